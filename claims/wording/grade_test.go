package wording

import (
	"fmt"
	"math"
	"testing"
)

// TestISONumberRule checks the ISO 29463-1:2017 rows against the rule that holds for all 13 classes: N ending in 0 has a
// penetration of 10^(-N/10), N ending in 5 one of 5·10^(-(N+5)/10). The expected figures are those of the standard's
// table as restated in the literature (second-hand), the rule is computed.
func TestISONumberRule(t *testing.T) {
	want := map[int]float64{15: 5, 20: 1, 25: 0.5, 30: 0.1, 35: 0.05, 40: 0.01, 45: 0.005, 50: 0.001, 55: 5e-4, 60: 1e-4, 65: 5e-5, 70: 1e-5, 75: 5e-6}
	seen := 0
	for _, g := range Grades() {
		if g.System != "ISO 29463" {
			continue
		}
		var n int
		var letter string
		if _, err := fmt.Sscanf(g.Class, "ISO %d %s", &n, &letter); err != nil {
			t.Fatalf("%s: %v", g.Class, err)
		}
		seen++
		rule := 100 * math.Pow(10, -float64(n)/10)
		if n%10 == 5 {
			rule = 500 * math.Pow(10, -float64(n+5)/10)
		}
		if math.Abs(rule/want[n]-1) > 1e-12 {
			t.Errorf("ISO %d: the rule gives %g %%, the table %g %%", n, rule, want[n])
		}
		// The table holds efficiencies; 100 - e of a float64 near 100 is good to 1.5e-14.
		if math.Abs((100-g.Integral)-rule) > 3e-14 {
			t.Errorf("%s: penetration %g %%, the rule gives %g %%", g.Class, 100-g.Integral, rule)
		}
	}
	if seen != 13 {
		t.Errorf("%d classes of ISO 29463-1:2017, want 13", seen)
	}
}

// TestLocalPenetration checks local over overall penetration: 5 for H13 to U16, 20 for U17, 10 for ISO 70 U (computed
// from the class tables of EN 1822-1:2019 and ISO 29463-1:2017, second-hand).
func TestLocalPenetration(t *testing.T) {
	want := map[string]float64{"H13": 5, "H14": 5, "U15": 5, "U16": 5, "U17": 20, "ISO 35 H": 5, "ISO 40 H": 5, "ISO 45 H": 5, "ISO 50 U": 5, "ISO 55 U": 5,
		"ISO 60 U": 5, "ISO 65 U": 5, "ISO 70 U": 10, "ISO 75 U": 20}
	for class, ratio := range want {
		g, ok := LookupGrade(class + " filter")
		if !ok {
			t.Errorf("%s is not found", class)
			continue
		}
		// 100 - 99.999995 loses digits: the penetration has an error of 1.5e-14 over 5e-6.
		if got := (100 - g.Local) / (100 - g.Integral); math.Abs(got/ratio-1) > 1e-7 {
			t.Errorf("%s: local / overall penetration %g, want %g", class, got, ratio)
		}
	}
	for _, class := range []string{"E10", "E11", "E12", "ISO 15 E", "ISO 30 E"} {
		if g, ok := LookupGrade(class); !ok || g.Local != 0 || g.Group != "E" {
			t.Errorf("%s: %+v; group E has no leak test", class, g)
		}
	}
}

func TestLookupGrade(t *testing.T) {
	for text, want := range map[string]string{
		"HEPA H13": "H13", "h-13": "H13", "HEPA 14 filter": "H14", "class U15": "U15", "ISO 35 H": "ISO 35 H", "ISO35H": "ISO 35 H", "iso 50u": "ISO 50 U",
		"MERV-13": "MERV 13", "MERV13": "MERV 13", "ISO ePM1 80 %": "ISO ePM1", "ePM2.5 65%": "ISO ePM2.5", "F7": "F7", "G4": "G4", "filter class H12": "E12",
		"Filterklasse Ｈ１３": "H13", "N95": "N95",
	} {
		if g, ok := LookupGrade(text); !ok || g.Class != want {
			t.Errorf("LookupGrade(%q) = %q, %v, want %q", text, g.Class, ok, want)
		}
	}
	for _, text := range []string{"", "HEPA", "H15", "XH13-2", "MERV 17", "ISO 9001", "ISO 50 H", "a fine filter", "\xff\xfe"} {
		if g, ok := LookupGrade(text); ok {
			t.Errorf("LookupGrade(%q) = %q, want none", text, g.Class)
		}
	}
	if g, _ := LookupGrade("MERV 16"); g.E1 != 95 || g.E2 != 95 || g.E3 != 95 {
		t.Errorf("MERV 16: %+v, want 95 %% in all three ranges (ANSI/ASHRAE 52.2, second-hand)", g)
	}
}
