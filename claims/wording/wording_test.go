package wording

import "testing"

func TestSmoke(t *testing.T) {
	for _, s := range []string{"H13, 99.9 % at 0.3 µm", "H13 99.95 %", "H13 filter, 99.9 %", "H14 99.97 % at 0.3 µm", "H13 99.97 % at 0.3 µm", "HEPA E11", "HEPA H12", "H15", "MERV 17", "ISO 80 U", "ISO ePM1 83 %",
		"99.97 % down to 0.3 µm", "removes 99.97 % of particles of 0.3 mm", "HEPA-type", "HEPA-ähnlich", "type HEPA", "类HEPA", "not HEPA-type", "model code XH13-2", "CADR 400 m³/h, air flow 350 m³/h",
		"Filter life 6 months, 4380 h at 12 h/day", "HEPA H13 to EN 1822-1:2019, 99.95 % at MPPS", "noise as low as 24 dB in sleep mode, CADR 400 m³/h"} {
		t.Log(s)
		for _, f := range Check(s, Context{}) {
			t.Logf("    %s %v %s %s %q %s", f.Rule, f.Also, f.Class, f.Severity, f.Quote, f.Why)
		}
	}
}
