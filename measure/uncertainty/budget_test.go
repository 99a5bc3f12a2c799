package uncertainty

import (
	"math"
	"testing"
)

var inf = math.Inf(1)

func near(t *testing.T, what string, got, want, rel, abs float64) {
	t.Helper()
	if got != want && !(math.Abs(got-want) <= rel*math.Abs(want)+abs) {
		t.Errorf("%s = %.13g, want %.13g", what, got, want)
	}
}

// JCGM 100:2008, Annex H.1, end-gauge calibration: u 25, 9.7, 2.9, 16.6 nm with 18, 25.6, 50 and 2 degrees of freedom.
// Printed: u_c 32 nm, nu_eff 16.7 taken as 16, t_99(16) 2.92, U_99 93 nm. Further digits computed with scipy.
func TestEndGauge(t *testing.T) {
	b := Budget{{U: 25, DOF: 18}, {U: 9.7, DOF: 25.6}, {U: 2.9, DOF: 50}, {U: 16.6, DOF: 2}}
	near(t, "u_c", b.Combined(), 31.67112249352713, 1e-13, 0)
	near(t, "nu_eff", b.EffectiveDOF(), 16.76455398091716, 1e-12, 0)
	e := b.Expand()
	near(t, "nu used", e.DOF, 16, 0, 0)
	near(t, "t_99", Quantile(0.995, e.DOF), 2.920781622, 1e-9, 0)
	near(t, "U_99 from the printed 32", 32*Quantile(0.995, 16), 93.465, 0, 5e-4)
	near(t, "k", e.K, 2.1199, 0, 5e-5) // Table G.2
	near(t, "U", e.Exp, e.K*e.U, 1e-15, 0)
	// nu_eff comes from the unrounded u_c: the rounded 32 would give 17.47
	near(t, "rounded", math.Pow(32, 4)/math.Pow(b.Combined(), 4)*b.EffectiveDOF(), 17.4718, 0, 5e-5)
	// H.1.6: degrees of freedom of u(d), from 5.8/24, 3.9/5 and 6.7/8. Printed 25.6.
	d := Budget{{U: 5.8, DOF: 24}, {U: 3.9, DOF: 5}, {U: 6.7, DOF: 8}}
	near(t, "u(d)", d.Combined(), 9.7, 0, 0.05)
	near(t, "nu(d) with the printed 9.7", math.Pow(9.7, 4)/math.Pow(d.Combined(), 4)*d.EffectiveDOF(), 25.637631939787, 1e-11, 0)
}

// JCGM 100:2008, Annex H.2, resistance and reactance, with the correlations of the inputs left out as a Budget does:
// computed with numpy. (With them, u is 0.0711, 0.2956 and 0.2363: components that move together do not belong in one
// Budget as separate lines.)
func TestImpedanceUncorrelated(t *testing.T) {
	const v, i, phi = 4.999, 19.661e-3, 1.04446
	const uv, ui, uphi = 0.00320936131, 0.00947101e-3, 0.000752064
	for _, c := range []struct {
		name                string
		y, dv, di, dphi     float64
		value, uncorrelated float64
	}{
		{"R", v / i * math.Cos(phi), math.Cos(phi) / i, v / i / i * math.Cos(phi), v / i * math.Sin(phi), 127.732169928, 0.19454445},
		{"X", v / i * math.Sin(phi), math.Sin(phi) / i, v / i / i * math.Sin(phi), v / i * math.Cos(phi), 219.846511913, 0.20090931},
		{"Z", v / i, 1 / i, v / i / i, 0, 254.259701948, 0.20407643},
	} {
		b := Budget{{U: c.dv * uv, DOF: 4}, {U: c.di * ui, DOF: 4}, {U: c.dphi * uphi, DOF: 4}}
		near(t, c.name, c.y, c.value, 1e-9, 0)
		near(t, "u("+c.name+")", b.Combined(), c.uncorrelated, 2e-6, 0)
	}
}

// JCGM 100:2008, Annex H.4, activity of a radon sample, approach 2 (the mean of the six ratios). Printed: 0.4304 Bq/g,
// relative u 1.95 %; ratio 3.170 with s 0.046. Further digits computed with numpy.
func TestRadon(t *testing.T) {
	rows := [][6]float64{{243.74, 15380, 305.56, 4054, 367.37, 41432}, {984.53, 14978, 1046.10, 3922, 1107.66, 38706},
		{1723.87, 14394, 1785.43, 4200, 1846.99, 35860}, {2463.17, 13254, 2524.73, 3830, 2586.28, 32238},
		{3217.56, 12516, 3279.12, 3956, 3340.68, 29640}, {3956.83, 11058, 4018.38, 3980, 4079.94, 26356}}
	const lambda, t0 = 1.25894e-4, 60.0
	var ratio []float64
	mean, ss := 0.0, 0.0
	for _, r := range rows {
		x := (r[5] - r[3]) / t0 * math.Exp(lambda*r[4])
		s := (r[1] - r[3]) / t0 * math.Exp(lambda*r[0])
		ratio = append(ratio, x/s)
		mean += x / s / 6
	}
	for _, x := range ratio {
		ss += (x - mean) * (x - mean)
	}
	s := math.Sqrt(ss / 5 / 6)
	near(t, "mean ratio", mean, 3.1701858, 1e-7, 0)
	near(t, "its s", s, 0.0456332, 1e-5, 0)
	a := 0.1368 * 5.0192 / 5.0571 * mean
	near(t, "activity", a, 0.4304312, 1e-6, 0)
	b := Budget{{U: a * 0.0018 / 0.1368, DOF: inf}, {U: a * 0.0050 / 5.0192, DOF: inf}, {U: a * 0.0010 / 5.0571, DOF: inf}, {U: a * s / mean, DOF: 5}}
	near(t, "relative u", b.Combined()/a, 1.952852e-2, 1e-6, 0)
	near(t, "share of the counting", b.Share(3), math.Pow(s/mean/1.952852e-2, 2), 1e-5, 0)
}

// JCGM 100:2008, Table G.2: t_p(nu) for p = 68.27, 90, 95, 95.45, 99 and 99.73 %, to four digits (computed with scipy; the
// table prints two).
func TestTableG2(t *testing.T) {
	ps := []float64{0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973}
	for nu, row := range map[float64][]float64{
		1: {1.8374, 6.3138, 12.7062, 13.9678, 63.6567, 235.7837}, 2: {1.3213, 2.9200, 4.3027, 4.5266, 9.9248, 19.2060},
		3: {1.1969, 2.3534, 3.1824, 3.3068, 5.8409, 9.2187}, 4: {1.1417, 2.1318, 2.7764, 2.8693, 4.6041, 6.6201},
		5: {1.1105, 2.0150, 2.5706, 2.6487, 4.0321, 5.5070}, 6: {1.0906, 1.9432, 2.4469, 2.5165, 3.7074, 4.9040},
		7: {1.0767, 1.8946, 2.3646, 2.4288, 3.4995, 4.5299}, 8: {1.0666, 1.8595, 2.3060, 2.3664, 3.3554, 4.2766},
		9: {1.0588, 1.8331, 2.2622, 2.3198, 3.2498, 4.0942}, 10: {1.0526, 1.8125, 2.2281, 2.2837, 3.1693, 3.9569},
		12: {1.0435, 1.7823, 2.1788, 2.2314, 3.0545, 3.7642}, 14: {1.0370, 1.7613, 2.1448, 2.1953, 2.9768, 3.6358},
		16: {1.0323, 1.7459, 2.1199, 2.1689, 2.9208, 3.5441}, 18: {1.0286, 1.7341, 2.1009, 2.1489, 2.8784, 3.4754},
		20: {1.0257, 1.7247, 2.0860, 2.1330, 2.8453, 3.4221}, 25: {1.0204, 1.7081, 2.0595, 2.1051, 2.7874, 3.3296},
		30: {1.0170, 1.6973, 2.0423, 2.0868, 2.7500, 3.2703}, 35: {1.0145, 1.6896, 2.0301, 2.0740, 2.7238, 3.2291},
		40: {1.0127, 1.6839, 2.0211, 2.0645, 2.7045, 3.1987}, 45: {1.0113, 1.6794, 2.0141, 2.0571, 2.6896, 3.1755},
		50: {1.0101, 1.6759, 2.0086, 2.0513, 2.6778, 3.1571}, 100: {1.0050, 1.6602, 1.9840, 2.0253, 2.6259, 3.0767},
		inf: {1.0000, 1.6449, 1.9600, 2.0000, 2.5758, 3.0000},
	} {
		for j, want := range row {
			tol := 5.1e-5
			if nu == 1 && j == 5 {
				tol = 0.05
			}
			near(t, "t", Quantile((1+ps[j])/2, nu), want, 0, tol)
			near(t, "there and back", CDF(Quantile((1+ps[j])/2, nu), nu), (1+ps[j])/2, 1e-9, 0)
		}
	}
}

// Probabilities of Student's t where the decision rule uses them, computed with scipy 1.10; nu = 4 by the closed form
// 1/2 + 3/8*x/sqrt(q)*(1 - x²/(12q)), q = 1 + x²/4, in 30 digits.
func TestCDF(t *testing.T) {
	for nu, want := range map[float64]float64{2: 0.8791480194, 4: 0.9123424664, 9: 0.9328101395, 30: 0.9447953576, inf: 0.9500150945} {
		near(t, "F_nu(1.645)", CDF(1.645, nu), want, 0, 1e-9)
	}
	for nu, want := range map[float64]float64{2: 2.919985580, 4: 2.131846781, 9: 1.833112933, 30: 1.697260894} {
		near(t, "t_0.95", Quantile(0.95, nu), want, 0, 1e-8)
	}
	for p, want := range map[float64]float64{0.80: 0.841621, 0.90: 1.281552, 0.95: 1.644854, 0.975: 1.959964, 0.99: 2.326348, 0.999: 3.090232} {
		near(t, "z", Quantile(p, inf), want, 0, 5e-7)
	}
	near(t, "symmetry", CDF(-1.3, 5), 1-CDF(1.3, 5), 1e-12, 0)
}

// Welch and Satterthwaite at its edges: one component keeps its degrees of freedom, a component that is exactly known adds
// none, a budget that is nothing but such components has infinitely many, and the result never has fewer than one.
func TestWelchSatterthwaite(t *testing.T) {
	near(t, "one component", Budget{{U: 3, DOF: 7}}.EffectiveDOF(), 7, 1e-15, 0)
	near(t, "equal halves", Budget{{U: 1, DOF: 4}, {U: 1, DOF: 4}}.EffectiveDOF(), 8, 1e-14, 0)
	near(t, "a known half", Budget{{U: 1, DOF: 4}, {U: 1, DOF: inf}}.EffectiveDOF(), 16, 1e-14, 0)
	near(t, "known parts", Budget{{U: 1, DOF: inf}, {U: 2, DOF: inf}}.Expand().DOF, inf, 0, 0)
	near(t, "k of known parts", Budget{{U: 1, DOF: inf}}.Expand().K, 1.959963985, 1e-9, 0)
	near(t, "nothing", Budget{}.Expand().Exp, 0, 0, 0)
	near(t, "below one", Budget{{U: 1, DOF: 0.5}}.Expand().DOF, 1, 0, 0)
	// scaling every part scales U and leaves the rest; tiny and huge parts lose nothing
	for _, f := range []float64{1e-150, 1, 1e150} {
		e := Budget{{U: 3 * f, DOF: 5}, {U: 4 * f, DOF: 9}}.Expand()
		near(t, "u_c", e.U, 5*f, 1e-14, 0)
		near(t, "nu", e.DOF, 13, 0, 0) // 5⁴/(3⁴/5 + 4⁴/9) = 13.9995, truncated and not rounded
	}
}
