package measure

import (
	"math"
	"testing"
)

func TestCarbon(t *testing.T) {
	m := Carbon(152, 0.5)
	wantPrintable(t, m)
	if m.Value != 152 || m.Std != 0.5 || m.Unit != "g" || m.Attribute != "carbon mass" || !m.Has(MoistureUnknown) || m.Has(AssumedAccuracy) {
		t.Errorf("%+v", m)
	}
	wantAbs(t, "k", m.K, 1.959964, 5e-7) // the normal quantile, for an uncertainty taken as known
	// t_0.975(8) = 2.3060 (GUM table G.2)
	wantAbs(t, "k at 8 degrees of freedom", Carbon(152, 0.5, 8).K, 2.3060, 5e-5)
	for _, u := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		m := Carbon(152, u)
		wantPrintable(t, m)
		if !m.Has(AssumedAccuracy) || m.Std <= 1 {
			t.Errorf("u = %g: %+v", u, m)
		}
	}
	for _, g := range []float64{-1, math.NaN(), math.Inf(1)} {
		m := Carbon(g, 1)
		wantPrintable(t, m)
		if !m.Has(NotTestable) {
			t.Errorf("%g g: %+v", g, m)
		}
	}
}
