package measure

import (
	"math"
	"testing"

	"weighhouse/measure/fit"
)

// JCGM 100:2008, Annex H.5, a Zener voltage standard: ten daily means of five readings each. Printed: mean 10.000097 V,
// s of the means 57 µV, the prudent s of the mean 18 µV with nu = 9 (H.5.2.5 "avoids a possible underestimate").
// Here the days are runs: k the daily mean in µV above 10 V, Within its standard deviation over sqrt(5).
func TestZener(t *testing.T) {
	mean := []float64{172, 116, 13, 144, 106, 31, 60, 125, 163, 41}
	s := []float64{60, 77, 111, 101, 67, 93, 80, 73, 88, 86}
	var fits []DecayFit
	for i := range mean {
		fits = append(fits, DecayFit{K: mean[i], Within: s[i] / math.Sqrt(5), Serial: fit.Serial{NEff: 6}})
	}
	r := replicate(fits, onRunToRun, repeatability{})
	close2(t, "mean", r.mean, 97.1, 1e-12, 0)
	close2(t, "s of the daily means", r.sd, 57.08950088, 1e-9, 0)
	close2(t, "prudent s of the mean", r.parts[0].u, 18.05328533, 1e-9, 0)
	close2(t, "nu", r.parts[0].dof, 9, 0, 0)
	// the floor is s_b/sqrt(JK), s_b = 84.88698369 pooled within days; with means that agree by luck it stands
	for i := range fits {
		fits[i].K = 97.1 + mean[i]/1e3
	}
	r = replicate(fits, onRunToRun, repeatability{})
	close2(t, "floor", r.parts[0].u, 84.88698369/math.Sqrt(50), 1e-9, 0)
	close2(t, "nu of the floor", r.parts[0].dof, 40, 0, 0)
}

// Rounding to whole numbers alone, window to 10 % of the start: the error of k in %, computed with numpy over the whole run.
func TestRoundingBias(t *testing.T) {
	for _, c := range []struct{ a, kT, want float64 }{{200, 2.3, 0.18}, {200, 3, 0.38}, {100, 2.3, -0.88}, {100, 3, -0.22}, {50, 2.3, 0.54}, {50, 3, 0.65}, {20, 2.3, 1.29}, {20, 3, 3.84}} {
		tt := every(60, 31)
		x := make([]float64, 31)
		for i := range x {
			x[i] = math.Round(c.a * math.Exp(-c.kT*float64(i)/30))
		}
		r := run("on", tt, x, 0)
		close2(t, "error of k in %", 100*(wholeRate(t, r)/(2*c.kT)-1), c.want, 0, 0.0051)
	}
}

// How a pure gain that bends with the level changes a rate: the published smoke correction (second-hand) at 50 % RH,
// computed. The apparent rate over a short arc about S = 1000 is 0.687 of the true one.
func TestBentGain(t *testing.T) {
	curve := func(s float64) float64 { return 0.46*s + 3.93e-4*s*s + 2.97 }
	for s, want := range map[float64]float64{400: 0.806592, 600: 0.752201, 800: 0.714651, 1000: 0.686974} {
		tt := every(1, 41)
		x := make([]float64, 41)
		for i := range x { // the raw reading whose corrected value decays at 2 per hour through curve(s) in the middle
			c := curve(s) * math.Exp(-2*(tt[i]-20)/3600)
			a, b, q := 3.93e-4, 0.46, 2.97-c
			x[i] = (-b + math.Sqrt(b*b-4*a*q)) / (2 * a)
		}
		r := run("on", tt, x, 0)
		r.Linear, r.To = 300, 40
		f, err := ReduceRun(r)
		if err != nil {
			t.Fatal(err)
		}
		close2(t, "apparent over true rate", f.K/2, want, 2e-5, 0)
		if !hasFlag(f.Flags, OverRange) {
			t.Errorf("readings about %g carry no flag %q", s, OverRange)
		}
	}
}
