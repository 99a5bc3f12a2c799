package measure

import (
	"fmt"
	"math"
	"sort"

	"weighhouse/measure/uncertainty"
)

// LoadPoint is one row of the loading table: the delivery rate after a time of running or a dose.
type LoadPoint struct {
	Hours      float64
	Dose       float64 // mg fed to the unit; NaN where not recorded
	Rate       float64 // m3/h
	U          float64 // standard uncertainty of Rate; NaN where none is known
	Setting    string
	Instrument string
	Run, Place string
}

// FewLoads is the flag of a decline through so few points that its shape cannot be seen.
const FewLoads Flag = "few loadings"

// ReduceLoading makes one Measurement of attribute "filter life" in h for each setting: the hours at which the delivery
// rate falls to half its initial value, the end point of GB/T 18801 and JEM 1467 (second-hand).
//
// A straight decline is fitted by weighted least squares. The crossing is t = −a/(2b), worked about the mean so that
// the covariance of a and b is in it; the interval and the probability of a claim follow Fieller's theorem, the symmetric
// U the law of propagation. Beyond the last reading the result is Extrapolated, and a component is added for the shape:
// the difference to the crossing of an exponential decline, ln 2/λ, taken as a rectangular half-width. A rate that does
// not fall, or not distinguishably at 95 %, crosses nothing: the result is then a LowerBound, the last reading.
func ReduceLoading(ps []LoadPoint) ([]Measurement, []RunProblem) {
	var problems []RunProblem
	groups, order := map[string][]LoadPoint{}, []string(nil)
	for _, p := range ps {
		switch {
		case !finite(p.Hours) || p.Hours < 0:
			problems = append(problems, RunProblem{Run: p.Run, Place: p.Place, Text: fmt.Sprintf("hours %g: running time from 0 is needed", p.Hours), Attribute: "filter life"})
			continue
		case !finite(p.Rate):
			problems = append(problems, RunProblem{Run: p.Run, Place: p.Place, Text: "no delivery rate is given", Attribute: "filter life"})
			continue
		}
		key := Fold(p.Setting)
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], p)
	}
	var out []Measurement
	for _, key := range order {
		g := groups[key]
		sort.SliceStable(g, func(i, j int) bool { return g[i].Hours < g[j].Hours })
		m, why := lifeResult(g)
		if why != "" {
			problems = append(problems, RunProblem{Run: rowName("", g[0].Setting), Place: g[0].Place, Text: why, Attribute: "filter life", Setting: g[0].Setting})
			continue
		}
		out = append(out, m)
	}
	return out, problems
}

func lifeResult(ps []LoadPoint) (Measurement, string) {
	m := Measurement{Attribute: "filter life", Setting: ps[0].Setting, Unit: "h", Instrument: ps[0].Instrument}
	var hours, rates, us []float64
	for _, p := range ps {
		hours, rates, us = append(hours, p.Hours), append(rates, p.Rate), append(us, p.U)
		std := p.U
		if !finite(std) {
			std = 0
		}
		m.Runs = append(m.Runs, Run{Run: p.Run, State: fmt.Sprintf("after %g h", p.Hours), Value: p.Rate, Unit: "m3/h", Std: std, Points: 1, R2: math.NaN(), Place: p.Place})
	}
	last := hours[len(hours)-1]
	f, err := fitDecline(hours, rates, us)
	if err != nil {
		return m, "no decline can be fitted: " + err.Error()
	}
	if why := noCrossing(f, last); why != "" {
		if !(f.start() > 0) {
			return m, why
		}
		return lifeBound(m, f, last, why), ""
	}
	m.Value = f.half()
	shape, shapeNote := 0.0, ""
	if m.Value > last {
		shape, shapeNote = declineShape(hours, rates, us, m.Value)
	}
	m.Budget = uncertainty.Budget{
		{Name: "rate at the middle of the loading", U: f.uy / math.Abs(2*f.b), DOF: f.dof, Kind: "A", Note: fmt.Sprintf("u = %.3g m3/h at %.4g h, times 1/(2b)", f.uy, f.x)},
		{Name: "slope of the decline", U: math.Abs(f.y) / (2 * f.b * f.b) * f.ub, DOF: f.dof, Kind: "A", Note: fmt.Sprintf("b = %.4g ± %.2g m3/h an hour, uncorrelated with the rate at the middle", f.b, f.ub)},
	}
	if shape > 0 {
		m.Budget = append(m.Budget, uncertainty.Component{Name: "shape of the decline", U: shape, DOF: TypeBDOF(0.25), Kind: "B", Note: shapeNote})
		m.Warn(Extrapolated, fmt.Sprintf("the rate falls to half at %.0f h, beyond the last reading at %g h; the uncertainty is widened for the unknown shape of the decline", m.Value, last))
	}
	m.Expand()
	m.Exact = crossing{f, shape}
	t := uncertainty.Quantile(0.975, f.dof)
	low, high, _ := f.fieller(t)
	wide := m.K * shape
	m.Interval = [2]float64{math.Max(0, m.Value-math.Hypot(m.Value-low, wide)), m.Value + math.Hypot(high-m.Value, wide)}
	m.Method = fmt.Sprintf("Hours until the delivery rate is half its initial %.4g m3/h, by a straight decline through %s weighted by their uncertainty; interval by Fieller's theorem. An estimate: smoke, dust and gases load a filter differently.",
		f.start(), plural(len(ps), "reading"))
	m.Method += doseSentence(ps)
	lifeWarnings(&m, f, ps, low, high)
	return m, ""
}

// lifeBound is the result where the rate has not fallen, or not distinguishably, by the last reading: the life is longer
// than that. It can support a claim within the readings, and contradicts nothing.
func lifeBound(m Measurement, f declineFit, last float64, why string) Measurement {
	m.Value = last
	m.Expand()
	m.Interval = [2]float64{0, math.Inf(1)}
	m.Exact = withinReadings{crossing{fit: f}, last}
	m.Method = fmt.Sprintf("Hours until the delivery rate is half its initial %.4g m3/h: not reached. A straight line through the readings gives the probability that the rate at a time within them still was above half.", f.start())
	known := fmt.Sprintf("; the readings neither show nor exclude a crossing of half within %g h", last)
	if p, _ := m.Exact.AtLeast(last); p >= 0.95 {
		m.Interval[0] = last
		known = fmt.Sprintf("; the life is longer than the %g h of this loading, how much longer it does not say", last)
	}
	m.Warn(LowerBound, why+known)
	return m
}

// withinReadings is the distribution of a life of which only a lower bound is known.
type withinReadings struct {
	crossing
	last float64 // h
}

// AtLeast is the probability that the rate at limit still is above half, for a limit within the readings. Beyond them
// nothing is known: one half, with a note.
func (w withinReadings) AtLeast(limit float64) (float64, string) {
	if limit > w.last {
		return 0.5, fmt.Sprintf("the claim is beyond the last reading at %g h, and the rate had not fallen by then: nothing decides it", w.last)
	}
	return w.crossing.AtLeast(limit)
}

// noCrossing says why a fitted decline has no crossing of half, "" if it has one.
func noCrossing(f declineFit, last float64) string {
	switch {
	case !(f.start() > 0):
		return fmt.Sprintf("the fitted initial rate of %.3g m3/h is not above zero: half of it means nothing", f.start())
	case f.b >= 0:
		return fmt.Sprintf("the rate does not fall over %g h (slope %+.3g m3/h an hour): it reaches half at no time that these readings show", last, f.b)
	}
	if _, _, ok := f.fieller(uncertainty.Quantile(0.975, f.dof)); !ok {
		return fmt.Sprintf("the fall of the rate over %g h (%.3g ± %.2g m3/h an hour) cannot be told from none at 95 %%: a longer loading is needed", last, f.b, f.ub)
	}
	return ""
}

// declineShape is the standard uncertainty of an extrapolated crossing from the shape of the decline: the difference to
// the crossing of an exponential decline through the same readings, as a rectangular half-width. Where a rate is not
// above zero, and so has no logarithm, the distance of the extrapolation itself stands in.
func declineShape(hours, rates, us []float64, linear float64) (float64, string) {
	last := hours[len(hours)-1]
	ln, ul := make([]float64, len(rates)), make([]float64, len(rates))
	ok := true
	for i, r := range rates {
		ok = ok && r > 0
		ln[i], ul[i] = math.Log(r), us[i]/r
	}
	if ok {
		if f, err := fitDecline(hours, ln, ul); err == nil && f.b < 0 {
			e := math.Ln2 / -f.b
			return math.Abs(e-linear) / math.Sqrt(3), fmt.Sprintf("an exponential decline would cross at %.0f h; the difference as a rectangular half-width", e)
		}
	}
	return (linear - last) / math.Sqrt(3), "no exponential decline fits; the distance beyond the last reading as a rectangular half-width"
}

// doseSentence says at which dose the rate falls to half, where doses are recorded and show it.
func doseSentence(ps []LoadPoint) string {
	var dose, rate, u []float64
	for _, p := range ps {
		if finite(p.Dose) && p.Dose >= 0 {
			dose, rate, u = append(dose, p.Dose), append(rate, p.Rate), append(u, p.U)
		}
	}
	if len(dose) < 2 {
		return ""
	}
	f, err := fitDecline(dose, rate, u)
	if err != nil || noCrossing(f, 0) != "" {
		return " The recorded doses show no crossing of half."
	}
	low, high, _ := f.fieller(uncertainty.Quantile(0.975, f.dof))
	most := dose[0]
	for _, d := range dose {
		most = math.Max(most, d)
	}
	s := fmt.Sprintf(" By dose, half is reached at %.0f mg (95 %% interval %.0f to %.0f mg)", f.half(), low, high)
	if f.half() > most {
		s += fmt.Sprintf(", an extrapolation beyond the last dose of %.5g mg", most)
	}
	return s + "."
}

func lifeWarnings(m *Measurement, f declineFit, ps []LoadPoint, low, high float64) {
	if len(ps) < 4 {
		m.Warn(FewLoads, fmt.Sprintf("%s: whether the decline is straight cannot be seen", plural(len(ps), "reading")))
	}
	if ps[0].Hours > 0 {
		m.Warn("no initial rate", fmt.Sprintf("the first reading is at %g h: the initial rate is that of the line, not a reading of the new filter", ps[0].Hours))
	}
	if f.birge > 1 && finite(ps[0].U) && ps[0].U > 0 {
		m.Warn(ScatteredRuns, fmt.Sprintf("the readings lie %.1f times as far from the line as their ± explains: the uncertainty is widened for it", f.birge))
	}
	if down, up := m.Value-low, high-m.Value; up > 1.5*down {
		m.Warn("skewed interval", fmt.Sprintf("the interval is lopsided: %.0f h below and %.0f h above the value; the symmetric ± is the lesser guide", down, up))
	}
}
