package verdict

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"weighhouse/measure"
)

// accepted is the probability that an item of true value x, measured with standard uncertainty um, gives a result within
// the acceptance limits: Probability with the parts of value and limit exchanged.
func accepted(x, um, lo, hi float64) float64 {
	p, _ := Probability(Limit{Low: lo, High: hi}, &measure.Measurement{Value: x, Std: um, DOF: math.Inf(1)})
	return p
}

// integral of f over a to b in pieces, so that steps of the acceptance curve are met.
func integral(f func(float64) float64, a, b float64) float64 {
	const pieces = 400
	s, w := 0.0, (b-a)/pieces
	for i := range pieces {
		s += quad.Fixed(f, a+float64(i)*w, a+float64(i+1)*w, 16, nil, 0)
	}
	return s
}

// risks are the global consumer's and producer's risks of JCGM 106:2012 9.5: an item is accepted and does not conform, or
// is rejected and conforms. prior is the density of the production, from lo to hi; T and A are the tolerance and the
// acceptance limits.
func risks(prior func(float64) float64, lo, hi, um, tLow, tHigh, aLow, aHigh float64) (consumer, producer float64) {
	in := func(x float64) float64 { return prior(x) * accepted(x, um, aLow, aHigh) }
	out := func(x float64) float64 { return prior(x) * (1 - accepted(x, um, aLow, aHigh)) }
	if tLow > lo {
		consumer += integral(in, lo, tLow)
	}
	if tHigh < hi {
		consumer += integral(in, tHigh, hi)
	}
	return consumer, integral(out, math.Max(lo, tLow), math.Min(hi, tHigh))
}

// TestGlobalRisks integrates our probability over a production and meets the published risks.
func TestGlobalRisks(t *testing.T) {
	near := func(what string, got, want, tol float64) {
		t.Helper()
		if math.Abs(got-want) > tol {
			t.Errorf("%s: %.10f, want %.10f", what, got, want)
		}
	}
	// JCGM 106:2012, process example (second-hand; values recomputed): 1500 ± 0.2, production sd 0.12, u_m 0.04.
	n := distuv.Normal{Mu: 1500, Sigma: 0.12}
	for _, c := range []struct {
		name           string
		aLow, aHigh    float64
		consumer, prod float64
	}{
		{"A = [1499.82, 1500.18]", 1499.82, 1500.18, 0.0098783, 0.0690265},
		{"A = T", 1499.8, 1500.2, 0.0189422, 0.0372078},
		{"w = U = 0.08", 1499.88, 1500.12, 0.00046863, 0.2476696},
	} {
		rc, rp := risks(n.Prob, 1500-10*0.12, 1500+10*0.12, 0.04, 1499.8, 1500.2, c.aLow, c.aHigh)
		near(c.name+" consumer's risk", rc, c.consumer, 1e-7)
		near(c.name+" producer's risk", rp, c.prod, 1e-7)
	}
	// JCGM 106:2012 9.5.4 (second-hand): gamma production, shape 4, scale 1/4, tolerance 0 to 2, u_m 0.25; a result
	// below 0 is not accepted.
	g := distuv.Gamma{Alpha: 4, Beta: 4}
	near("gamma: not conforming", g.Survival(2), 0.0423801120, 1e-9)
	rc, rp := risks(g.Prob, 0, 12, 0.25, math.Inf(-1), 2, 0, 2)
	near("gamma: consumer's risk", rc, 0.0080191119, 1e-8)
	near("gamma: producer's risk", rp, 0.0313095249, 1e-8)
	rc, rp = risks(g.Prob, 0, 12, 0.25, math.Inf(-1), 2, 0, 1.6718287716)
	near("gamma, guard band: consumer's risk", rc, 0.001, 1e-8)
	near("gamma, guard band: producer's risk", rp, 0.0893588, 1e-7)
	// Sandia's uncertainty calculator, its test set (second-hand, recomputed): production sd 4, test sd 1, limits ± 8.
	m := distuv.Normal{Mu: 0, Sigma: 4}
	rc, rp = risks(m.Prob, -40, 40, 1, -8, 8, -8, 8)
	near("false accept", rc, 0.00800608, 1e-8)
	near("false reject", rp, 0.01485088, 1e-8)
	// RP-19 table (second-hand, recomputed): percentage in tolerance, test sd a quarter of the production's.
	for in, want := range map[float64]float64{0.6: 4.83860, 0.7: 3.92234, 0.8: 2.85583, 0.9: 1.59995, 0.95: 0.87101, 0.99: 0.19992} {
		limit := distuv.UnitNormal.Quantile((1 + in) / 2)
		rc, _ := risks(distuv.UnitNormal.Prob, -9, 9, 0.25, -limit, limit, -limit, limit)
		near("RP-19", 100*rc, want, 2e-5)
	}
}
