package listing

import (
	"slices"
	"strings"
	"testing"
)

// TestAsides: what speaks of something else is passed over and shown, what only looks like it is read. The listings are
// invented; that such words are no claim of the unit: judgement.
func TestAsides(t *testing.T) {
	const title = "Grumbeck Zubbin 40 air cleaner\n\n"
	for _, c := range []struct {
		text   string
		asides []string // of what
		claims []string // quotes
	}{
		{"Our showroom in Tarnwick: 320 m².", []string{ofPlace}, nil},
		{"For showrooms and rooms up to 60 m².", nil, []string{"rooms up to 60 m²"}},
		{"Larger rooms: up to 60 m² at 2 air changes an hour.", nil, []string{"rooms: up to 60 m² at 2 air changes an hour"}},
		{"It works in 40 m² bedrooms.", nil, []string{"40 m² bedrooms"}},
		{"For halls of 60 m².", nil, []string{"60 m²"}},
		{"It stood in my loft, 45 m², for a year.", []string{ofPlace}, nil},
		{"Also from Grumbeck: Zubbin Grand for up to 70 m², 62 W.", []string{ofProduct}, nil},
		{"Also in white.\nPower: 45 W on max.", nil, []string{"Power: 45 W on max"}},
		{"Do you still have a Zubbin 30? It made 54 dB.", []string{ofModel}, nil},
		{"The Zubbin 40 makes 50 dB(A).", nil, []string{"50 dB(A)"}},
		{"Sheet B (310 m³/h, 61 dB(A)) is withdrawn.", []string{ofPast}, nil},
		{"EN 779 was withdrawn; power 45 W on max.", nil, []string{"power 45 W on max"}},
		{"UV lamp that kills viruses: no", []string{ofAbsent}, nil},
		{"Ioniser: none", []string{ofAbsent}, nil},
		{"Q: My own cleaner does 61 dB on turbo. Is yours better?\nA: 50 dB(A) on turbo at 1 m.", []string{ofBuyer}, []string{"50 dB(A) on turbo at 1 m"}},
		{"Q: How loud is it?\nA: 50 dB(A) on turbo at 1 m.", nil, []string{"50 dB(A) on turbo at 1 m"}},
		{"48 dB(A) on max at 1 m, with 22 dB(A) in the room before.", []string{ofRoom}, []string{"48 dB(A) on max at 1 m"}},
	} {
		r := vet(t, title+c.text)
		var asides, quotes []string
		for _, a := range r.Asides {
			asides = append(asides, a.Of)
		}
		for _, d := range r.Claims {
			quotes = append(quotes, d.Quote)
		}
		if !slices.Equal(asides, c.asides) || !slices.Equal(quotes, c.claims) {
			t.Errorf("%q: passed over %q, want %q; claims %q, want %q", c.text, asides, c.asides, quotes, c.claims)
		}
	}
}

// TestColumnsOfOtherModels: of a table that sets models side by side the one on offer is read.
func TestColumnsOfOtherModels(t *testing.T) {
	x, err := Read("a.html", strings.NewReader("<h1>Zubbin B2</h1><table><tr><th></th><th>B1</th><th>B2</th><th>B3</th></tr><tr><td>Particle filter</td><td>E11</td><td>HEPA-class</td><td>H13</td></tr>"+
		"<tr><td>Power, max</td><td>22 W</td><td>36 W</td><td>64 W</td></tr><tr><td>UV lamp that kills viruses</td><td>no</td><td>no</td><td>yes</td></tr></table>"))
	if err != nil {
		t.Fatal(err)
	}
	r := Vet(x)
	if len(r.Claims) != 2 || r.Claims[0].Value == "H13" || r.Claims[1].Claim.Claimed.High != 36 {
		t.Errorf("read %+v", r.Claims)
	}
	for _, f := range r.Findings {
		if f.Rule == "FG-23" || f.Rule == "BIO-01" || f.Rule == "BIO-06" {
			t.Errorf("%s of another model: %q", f.Rule, f.Quote)
		}
	}
}

// TestAmountsWithoutAName: behind the price of the offer an amount that nothing names is no price of it.
func TestAmountsWithoutAName(t *testing.T) {
	r := vet(t, "Grumbeck Zubbin 40 air cleaner\nPrice 259 EUR, one element alone 47 EUR, courier 8 EUR. Wall hook, 4 EUR. At 96 kWh a year, or 31 EUR.")
	var got []string
	for _, p := range r.Prices {
		got = append(got, p.Kind+" "+p.Quote)
	}
	if want := []string{"product 259 EUR", "filter 47 EUR", "running cost 31 EUR"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestIncluded: what is part of a price is no price beside it.
func TestIncluded(t *testing.T) {
	for text, want := range map[string]float64{"Price incl. delivery: 149 EUR": 149, "149 EUR (delivery included)": 149, "Preis inkl. Versand 149 EUR": 149,
		"149 EUR with free shipping": 149, "Free shipping over 50 EUR": 0, "Delivery 5 EUR": 0} {
		got := 0.0
		for _, p := range vet(t, text).Prices {
			got += p.Value
		}
		if got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}

// TestSharedSettings: a setting said once for several figures, and a highest one without its noun.
func TestSharedSettings(t *testing.T) {
	r := vet(t, "Grumbeck Zubbin 40\nDelivery rate: 285 m³/h for pollen and 270 m³/h for smoke, both on turbo.\nSound pressure 24 dB(A) at night speed and 50 dB(A) at the highest; all at 1 m.")
	var got []string
	for _, d := range r.Claims {
		got = append(got, d.Claim.Setting)
	}
	if want := []string{"turbo", "turbo", "night", "max"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestColumnOfUnits: tables laid out with spaces, with a second line of heads and with a column of units.
func TestColumnOfUnits(t *testing.T) {
	for _, text := range []string{
		"Grumbeck Zubbin 40\n\nSetting   Delivery rate,   Sound power,   Power\n          smoke [m3/h]     LWA [dB(A)]    [W]\nLevel 1        60             27           4.1\nLevel 2       120             36           9.5\n",
		"Grumbeck Zubbin 40\n\nAIR                       level 1   level 2\nDelivery rate, smoke  m³/h     60      120\nSound power level     dB(A)    27       36\nPower input           W        4.1     9.5\n",
	} {
		r := vet(t, text)
		got := map[string]float64{}
		for _, d := range r.Claims {
			got[string(d.Claim.Attribute)+" "+fold(d.Claim.Setting)] = d.Claim.Claimed.High
		}
		for k, want := range map[string]float64{"delivery rate level 1": 60, "delivery rate level 2": 120, "noise level 1": 27, "noise level 2": 36, "power level 1": 4.1, "power level 2": 9.5} {
			if got[k] != want {
				t.Errorf("%s: %v, want %v; read %v", k, got[k], want, got)
			}
		}
		if len(got) != 6 {
			t.Errorf("read %v", got)
		}
	}
}

// TestNotesOnOneLine: several notes in a row, each for its own mark.
func TestNotesOnOneLine(t *testing.T) {
	r := vet(t, "Grumbeck Zubbin 40\nSound pressure level² on max: 55 dB(A)\nRoom area³: 40 m²\n\n¹ AHAM AC-1-2020. ² At 1 m. ³ At 4.8 air changes an hour with a 2.5 m ceiling.\nDelivery rate¹ 480 m³/h for smoke on max")
	for _, d := range r.Claims {
		b := d.Claim.Basis
		switch d.Claim.Attribute {
		case "noise":
			if b.Distance != 1 || b.AirChanges != 0 {
				t.Errorf("%s", d.Understood)
			}
		case "room area":
			if b.AirChanges != 4.8 || b.Ceiling != 2.5 || b.Distance != 0 {
				t.Errorf("%s", d.Understood)
			}
		case "delivery rate":
			if b.Standard != "AHAM AC-1-2020" {
				t.Errorf("%s", d.Understood)
			}
		}
	}
	if len(r.Claims) != 3 {
		t.Errorf("%d claims, want 3", len(r.Claims))
	}
}
