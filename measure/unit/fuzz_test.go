package unit

import (
	"math"
	"testing"
)

// FuzzLookup: folding a spelling that is known is settled after one pass, a unit that is found stays found by its own name, and a value that goes
// to the base unit and back is the same to 15 digits.
func FuzzLookup(f *testing.F) {
	for _, s := range []string{"m3/h", "m³/h", "㎥/h", "CFM", "dB(A)", "µm", "μm", "L/s", "m^3 / min", "°C", "hours", "sq. ft", "\u2044", "", "\x00", "k\u212a"} {
		f.Add(s, 3.5)
	}
	f.Fuzz(func(t *testing.T, s string, v float64) {
		u, ok := Lookup(s)
		if !ok {
			return
		}
		if once := Fold(s); Fold(once) != once {
			t.Fatalf("%q folds to %q, and that to %q", s, once, Fold(once))
		}
		if again, ok := Lookup(u.Name); !ok || again != u {
			t.Fatalf("%q is %+v, and its name %q is %+v", s, u, u.Name, again)
		}
		base := Base(u.Dimension).Name
		if v = math.Abs(v); !(v > 1e-200 && v < 1e200) {
			return
		}
		there, err := Convert(v, s, base)
		if err != nil {
			t.Fatalf("%q to %s: %v", s, base, err)
		}
		if back, err := Convert(there, base, s); err != nil || math.Abs(back-v) > 1e-15*v {
			t.Fatalf("%g %s is %g %s, and back %g %v", v, s, there, base, back, err)
		}
	})
}
