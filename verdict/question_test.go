package verdict

import (
	"strings"
	"testing"

	"weighhouse/claims"
)

// Of a claim that states its conditions only what it leaves open is asked, and no report where one is named.
func TestQuestionsByWhatIsOpen(t *testing.T) {
	const lab, shortLab = "Which laboratory measured it, by which standard and edition, and may we see the report?", "Which laboratory measured it, and may we see the report?"
	number := func(a claims.Attribute, words, basis string) claims.Claim {
		return claims.Claim{ID: "C1", Attribute: a, Wording: words, Basis: claims.ParseBasis(basis), Claimed: &claims.Range{Low: 1, High: 1, Unit: "x"}}
	}
	with := func(c claims.Claim, setting, particle string) claims.Claim {
		c.Setting, c.Particle = setting, particle
		return c
	}
	weighted := number(claims.Noise, "Sound pressure level 52 dB(A) at 1 m, maximum speed", "1 m; sound pressure")
	weighted.Weighting = true
	for _, x := range []struct {
		name string
		c    claims.Claim
		want string
	}{
		{"a rate with setting and particle", with(number(claims.DeliveryRate, "Smoke CADR 340 m³/h at maximum speed", ""), "max", "smoke"), lab},
		{"a rate whose words alone state the setting", with(number(claims.DeliveryRate, "Smoke CADR 340 m³/h at maximum speed", ""), "", "smoke"), lab},
		{"a bare rate", number(claims.DeliveryRate, "CADR 340 m³/h", ""), "At which fan setting and for which particles was the delivery rate measured? " + lab},
		{"high efficiency is no setting", with(number(claims.DeliveryRate, "high efficiency: 340 m³/h", ""), "", "smoke"), "At which fan setting was the delivery rate measured? " + lab},
		{"a level in full", with(weighted, "max", ""), lab},
		{"a bare level", number(claims.Noise, "24 dB", ""), "At which fan setting, at which distance, as a sound pressure or as a sound power level and with which weighting was the level measured? " + lab},
		{"an energy in full", with(number(claims.AnnualEnergy, "Annual energy 394 kWh at 24 hours a day, maximum speed", "24 h/day"), "max", ""),
			"From which measured watts was it computed, by which standard and edition, and may we see the report?"},
		{"a class in full", number(claims.FilterGrade, "Particle filter element F40-R: class E11 to EN 1822-1:2019 at a nominal air flow of 300 m³/h", "EN 1822-1:2019; 300 m3/h"), shortLab},
		{"an efficiency at a size", with(number(claims.FilterEfficiency, "Captures 99.97 % of particles at 0.3 µm", ""), "", "0.3 um"),
			"At which air flow and on the filter or on the whole unit was the efficiency measured? " + lab},
		{"an area in full", number(claims.RoomArea, "For rooms up to 60 m²", "4.8 ach; 2.4 m ceiling"), "From which delivery rate was the area computed, and may we see the report on that rate?"},
		{"a report is named", with(number(claims.DeliveryRate, "340 m³/h at maximum speed, test report 4711", ""), "", "smoke"), ""},
		{"a report is named and the particle is not", with(number(claims.DeliveryRate, "340 m³/h at maximum speed, test report 4711", ""), "", ""), "For which particles was the delivery rate measured?"},
		{"the mass alone", number(claims.CarbonMass, "500 g of dry carbon", ""), "How was it weighed, by whom, and may we see the record?"},
		{"ozone with the ioniser on", number(claims.Ozone, "under 5 ppb", "ioniser on"), lab},
		{"ozone", number(claims.Ozone, "under 5 ppb", ""), "With which functions switched on was the ozone measured? " + lab},
	} {
		if got := askOf(&Row{Claim: x.c}); got != x.want {
			t.Errorf("%s: %q, want %q", x.name, got, x.want)
		}
	}
	p := 0.01
	c := with(number(claims.DeliveryRate, "340 m³/h at maximum speed, test report 4711", ""), "", "smoke")
	if got := askOf(&Row{Claim: c, Probability: &p}); !strings.HasPrefix(got, "What may explain the difference") {
		t.Errorf("a judged claim of which nothing is open: %q", got)
	}
}

// Every part of the table is one that the program can tell, every attribute has its questions, and each has its frame
// where it has clauses.
func TestQuestionTable(t *testing.T) {
	for _, info := range claims.Attributes() {
		if len(questions()[info.Name]) == 0 {
			t.Errorf("%s has no question", info.Name)
		}
	}
	for a, qs := range questions() {
		clauses, frames := 0, 0
		for _, q := range qs {
			switch {
			case a == "*" || q.part == "report":
				if !strings.HasSuffix(q.ask, "?") {
					t.Errorf("%s, %s: %q is no question", a, q.part, q.ask)
				}
			case q.part == "frame":
				frames++
			case open[q.part] == nil:
				t.Errorf("%s: nothing tells whether %q is open", a, q.part)
			case !strings.HasSuffix(q.ask, "?"):
				clauses++
			}
		}
		if clauses > 0 && frames != 1 {
			t.Errorf("%s: %d clauses and %d frames", a, clauses, frames)
		}
	}
}
