package text

import "testing"

// TestScan: both decimal habits (the contract's rule for English, the usage of the other languages), a bare point, and full-width
// digits once they are narrowed.
func TestScan(t *testing.T) {
	for _, c := range []struct {
		text  string
		at    int
		comma bool
		want  float64
		rest  string
	}{
		{"1.200 m³/h", 0, true, 1200, " m³/h"}, {"1.200 m³/h", 0, false, 1.2, " m³/h"}, {"1,200 m³/h", 0, false, 1200, " m³/h"},
		{"use .3 W", 5, false, 0.3, " W"}, {"<.5", 2, false, 0.5, ""}, {"v1.3", 3, false, 3, ""}, {Narrowed("４５Ｗ"), 0, false, 45, "W"},
	} {
		n, ok := Scan(c.text, c.at, c.comma)
		if !ok || n.Value != c.want || c.text[n.End:] != c.rest {
			t.Errorf("%q at %d (comma %v): %v, rest %q, want %v, %q", c.text, c.at, c.comma, n.Value, c.text[n.End:], c.want, c.rest)
		}
	}
	for s, want := range map[string]float64{"1.2.3": 0, "": 0, "1,5": 1.5, "12": 12} {
		if v := Value(s, false); v != want {
			t.Errorf("%q: %v, want %v", s, v, want)
		}
	}
}
