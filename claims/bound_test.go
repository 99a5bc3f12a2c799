package claims

import "testing"

func TestBoundStated(t *testing.T) {
	for _, x := range []struct {
		words, text string
		bound       Bound
		want        bool
	}{
		{"Ozone-free ioniser, under 5 ppb", "5 ppb", AtMost, true},
		{"less than 5 ppb", "5 ppb", AtMost, true},
		{"< 5 ppb", "5 ppb", AtMost, true},
		{"5 ppb or less", "5 ppb", AtMost, true},
		{"24 dB(A) max", "24 dB(A)", AtMost, true},
		{"does not exceed 45 W", "45 W", AtMost, true},
		{"Rated input 45 W", "45 W", AtMost, false},
		{"under 10 ppb in a room, typically 5 ppb", "5 ppb", AtMost, false},
		{"at least 340 m³/h", "340 m3/h", AtLeast, true},
		{"more than 1,200 m³/h", "1200 m3/h", AtLeast, true},
		{"CADR 340 m³/h", "340 m3/h", AtLeast, false},
		{"under 340 m³/h", "340 m3/h", AtLeast, false},
		{"about 340 m³/h", "340 m3/h", About, true},
		{"", "340 m3/h", AtLeast, false},
	} {
		c := Claim{Wording: x.words, Bound: x.bound, Claimed: &Range{Text: x.text}}
		if got := c.BoundStated(); got != x.want {
			t.Errorf("%q, %s %s: %v", x.words, x.bound, x.text, got)
		}
	}
	if c := (Claim{BoundGiven: true}); !c.BoundStated() {
		t.Error("a bound of the column")
	}
}

func TestBasisIoniser(t *testing.T) {
	for text, want := range map[string]string{"ioniser on": "on", "ionizer off": "off", "Ioniser switched on; 1 m": "on", "without ioniser": "off", "with the ionizer": "on", "1 m": "", "ioniser": "", "ionisation on": "on"} {
		b := ParseBasis(text)
		if b.Ioniser != want || want != "" && len(b.Other) > 0 {
			t.Errorf("%q: %q, not understood %q", text, b.Ioniser, b.Other)
		}
	}
}
