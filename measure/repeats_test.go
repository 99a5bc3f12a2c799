package measure

import (
	"math"
	"testing"
)

// TestImpedanceSets is GUM (JCGM 100:2008) H.2.4, second approach: each set of observations is reduced by itself and the
// results are averaged, so that the correlations of the inputs are in the scatter. Printed values R 127.732 (0.071),
// X 219.847 (0.295), Z 254.260 (0.236); further digits computed.
func TestImpedanceSets(t *testing.T) {
	v := []float64{5.007, 4.994, 5.005, 4.990, 4.999}
	i := []float64{19.663, 19.639, 19.640, 19.685, 19.678} // mA
	phi := []float64{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}
	var r, x, z []float64
	for k := range v {
		m := v[k] / (i[k] / 1000)
		r, x, z = append(r, m*math.Cos(phi[k])), append(x, m*math.Sin(phi[k])), append(z, m)
	}
	for _, c := range []struct {
		name    string
		values  []float64
		mean, u float64
	}{{"R", r, 127.732169928, 0.0710714}, {"X", x, 219.846511913, 0.2955817}, {"Z", z, 254.259701948, 0.2363361},
		{"V", v, 4.999, 0.00320936}, {"I", i, 19.661, 0.00947101}, {"phi", phi, 1.04446, 0.000752064}} {
		mean, sd := meanSD(c.values)
		u := sd / math.Sqrt(float64(len(c.values)))
		// means and scatter of the sets differ from the values at the mean inputs by terms of second order: below 5 in 10⁶
		// and 5 in 10³, less than the last printed digit
		if math.Abs(mean-c.mean) > 5e-6*c.mean || math.Abs(u-c.u) > 5e-3*c.u {
			t.Errorf("%s: %.9g (%.7g), want %.9g (%.7g)", c.name, mean, u, c.mean, c.u)
		}
	}
}
