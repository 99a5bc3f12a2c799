package rank

import (
	"fmt"
	"math"

	"weighhouse/measure"
	"weighhouse/measure/uncertainty"
)

const (
	assumedScatter = 0.05 // relative run-to-run standard deviation of a unit with one run (coverage study; judgement)
	fewestRuns     = 3    // of each unit, below which a pair is indicative (judgement)
	pooledLeast    = 8.0  // degrees of freedom from which a pooled repeatability stands in for a unit's own (judgement)
)

// rateTest compares the delivery rates of two units, each divided by a known number such as its price, or by a quantity
// with an uncertainty of its own such as its power.
type rateTest struct {
	scale [2]float64                 // what the rates are divided by; 1 for the rates themselves
	parts [2][]uncertainty.Component // relative uncertainties of the scales
	pool  repeatability              // over all units of the ranking
}

// repeatability is a pooled standard deviation of ln k with its degrees of freedom: s_p² = Σν_i s_i²/Σν_i (GUM H.3.6, note).
type repeatability struct{ s, dof float64 }

// poolOf joins the run-to-run scatter of all units: they were tested in one room.
func poolOf(cs []*contender) repeatability {
	var r repeatability
	for _, c := range cs {
		if y, ok := c.logs(); ok && len(y) > 1 {
			r.s += sumSquares(y)
			r.dof += float64(len(y) - 1)
		}
	}
	if r.dof > 0 {
		r.s = math.Sqrt(r.s / r.dof)
	}
	return r
}

// compare tests ln of the ratio of (k_e − k̄_n) of a to that of b against ln of the ratio of their scales.
//
// The room's volume is common and cancels, and with it the allowance for an ordinary room and the background of one
// sensor. Runs that stood side by side are tested by a paired t, others by Student's t with equal variances, on
// ln(k_e − k̄_n); a unit with one run takes the repeatability pooled over all units where that has eight degrees of
// freedom, else an assumed scatter of 5 %, and the pair is indicative. The standard error of a fitted line never stands
// for the scatter between runs.
//
// A natural decay that both share cancels where their rates are alike: under the ratio ρ that is tested it adds
// u(k̄_n)·|√ρ − 1/√ρ|/D̄, D̄ the geometric mean of the two excesses, nothing at ρ = 1. Two natural decays of their own add
// u(k̄_n)/(k̄_e − k̄_n) each. Degrees of freedom by Welch and Satterthwaite, not truncated.
func (rt rateTest) compare(a, b *contender) Pair {
	p := Pair{}
	x, okX := a.logs()
	y, okY := b.logs()
	if !okX || !okY {
		p.Method, p.Note = "no test", "a run was not faster than the natural decay, or no run is on record; the ratio of the rates has no meaning"
		return p
	}
	t, m, own := rt.scatter(a, b, x, y, &p)
	if len(x) < fewestRuns || len(y) < fewestRuns {
		p.Indicative = true
	}
	if math.IsNaN(t.SE) {
		p.Method, p.Note = "no test", "the runs show no scatter that could be tested against"
		return p
	}
	rho := rt.scale[0] / rt.scale[1]
	test := rt.total(a, b, t, rho)
	p.setTest(tTest(t.Difference-math.Log(rho), test.SE, test.DOF))
	ratio := math.Exp(t.Difference)
	size := rt.total(a, b, t, ratio)
	half := tTest(t.Difference, size.SE, size.DOF).Half
	r := ratio / rho
	p.Ratio = &r
	p.Interval = [2]*float64{finite(r * math.Exp(-half)), finite(r * math.Exp(half))}
	if own && len(m.x) == 0 && len(x) > 1 && len(y) > 1 {
		w := Welch(x, y)
		w = rt.total(a, b, w, rho)
		p.WelchP = finite(tTest(w.Difference-math.Log(rho), w.SE, w.DOF).P)
	}
	return p
}

// scatter is the test of the runs' means alone. own is true where it rests on the two units' own scatter.
func (rt rateTest) scatter(a, b *contender, x, y []float64, p *Pair) (t TTest, m match, own bool) {
	if m = matched(a, b, x, y); len(m.x) >= 2 {
		p.Method = fmt.Sprintf("paired t on ln k, %d pairs, %s", len(m.x), m.how)
		if m.left > 0 {
			p.Note = fmt.Sprintf("%d run on a day without a counterpart was left out", m.left)
			if m.left > 1 {
				p.Note = fmt.Sprintf("%d runs on days without a counterpart were left out", m.left)
			}
		}
		return Paired(m.x, m.y), m, true
	}
	if len(x) > 1 && len(y) > 1 {
		p.Method = fmt.Sprintf("Student's t on ln k, %d and %d runs", len(x), len(y))
		return Student(x, y), m, true
	}
	d := mean(x) - mean(y)
	n := 1/float64(len(x)) + 1/float64(len(y))
	if rt.pool.dof >= pooledLeast {
		p.Method = fmt.Sprintf("t on ln k with the repeatability of all units, %.2g %%", 100*rt.pool.s)
		p.Note = "one run alone: its scatter is taken from all units of this room"
		return tTest(d, rt.pool.s*math.Sqrt(n), rt.pool.dof), m, false
	}
	p.Method = fmt.Sprintf("assumed scatter of %.0f %% between runs", 100*assumedScatter)
	p.Note = "indicative: one run alone shows no scatter between runs; repeat it to measure the scatter"
	v := assumedScatter*assumedScatter*n + within(a) + within(b)
	if own := sumSquares(x) + sumSquares(y); len(x)+len(y) > 2 { // never less than the scatter that a unit does show
		v = math.Max(v, own/float64(len(x)+len(y)-2)*n)
	}
	return tTest(d, math.Sqrt(v), math.Inf(1)), m, false
}

// within is the variance that the scatter within runs gives the mean of ln(k_e − k̄_n).
func within(c *contender) float64 {
	v, n := 0.0, float64(len(c.on))
	for _, d := range c.on {
		r := d.std / (d.k - c.natural.k) / n
		v += r * r
	}
	return v
}

// total adds to the scatter of the runs what does not cancel when the ratio of the excesses is rho.
func (rt rateTest) total(a, b *contender, t TTest, rho float64) TTest {
	budget := uncertainty.Budget{{U: t.SE, DOF: t.DOF}}
	if a.sharesNatural(b) {
		c := math.Abs(math.Sqrt(rho)-1/math.Sqrt(rho)) / math.Sqrt(a.excess*b.excess)
		budget = append(budget, uncertainty.Component{U: c * a.natural.u, DOF: a.natural.dof})
	} else {
		budget = append(budget, uncertainty.Component{U: a.natural.u / a.excess, DOF: a.natural.dof}, uncertainty.Component{U: b.natural.u / b.excess, DOF: b.natural.dof})
	}
	for _, side := range rt.parts {
		budget = append(budget, side...)
	}
	return TTest{Difference: t.Difference, SE: budget.Combined(), DOF: budget.EffectiveDOF()}
}

// setTest writes a test's numbers into the pair.
func (p *Pair) setTest(t TTest) {
	p.T, p.DOF, p.P = finite(t.T), finite(t.DOF), finite(t.P)
}

// compareResults tests the difference of two results with their full uncertainties as independent. What one instrument's
// error has in common is not taken off, which is on the side of a tie.
func compareResults(a, b *measure.Measurement) Pair {
	budget := uncertainty.Budget{{U: a.Std, DOF: a.DOF}, {U: b.Std, DOF: b.DOF}}
	t := tTest(a.Value-b.Value, budget.Combined(), budget.EffectiveDOF())
	p := Pair{Method: "t on the difference, full uncertainties of both"}
	p.setTest(t)
	d := t.Difference
	p.Difference = &d
	p.Interval = [2]*float64{finite(d - t.Half), finite(d + t.Half)}
	p.Indicative = a.Has(measure.Indicative) || b.Has(measure.Indicative)
	return p
}

// finite is x, or nil where it is not a finite number.
func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
