package verdict

import (
	"fmt"
	"math"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/uncertainty"
)

// Risk is the specific risk of the decision rule: supported at a probability of 1 - Risk or more, contradicted at Risk
// or less, inconclusive between.
const Risk = 0.05

// limitOf moves a claim by its own rounding and its tolerance to the maker's side: down for a floor, up for a ceiling, both ways for "about".
// Of a range the end that favours the maker counts: the low end of a floor, the high end of a ceiling, both of "about".
func limitOf(c claims.Claim, t Tolerance) Limit {
	l := Limit{Low: math.Inf(-1), High: math.Inf(1), Unit: c.Claimed.Unit}
	switch side(c) {
	case claims.AtLeast:
		l.Low = c.Claimed.Low - t.Rounding - t.Amount
		l.Value = l.Low
	case claims.AtMost:
		l.High = c.Claimed.High + t.Rounding + t.Amount
		l.Value = l.High
	default:
		high := t.Amount
		if t.Unit == "%" && c.Claimed.Low > 0 && c.Attribute != claims.FilterEfficiency {
			high *= c.Claimed.High / c.Claimed.Low
		}
		l.Low, l.High = c.Claimed.Low-t.Rounding-t.Amount, c.Claimed.High+t.Rounding+high
		l.Value = l.Low
	}
	return l
}

// side is the bound by which a claim is judged: "up to" on a benefit is a floor, on a burden a ceiling.
func side(c claims.Claim) claims.Bound {
	if c.Bound != claims.UpTo {
		return c.Bound
	}
	if ceiling(c.Attribute) {
		return claims.AtMost
	}
	return claims.AtLeast
}

// Probability is the probability that the true value of a measurement meets the limit.
//
//	at least: F((y - T_L)/u)    at most: F((T_U - y)/u)    about: F((T_U - y)/u) - F((T_L - y)/u)
//
// F is the distribution function of Student's t with the measurement's effective degrees of freedom, of the normal
// distribution where they are infinite. JCGM 106:2012 7.3 and 7.4 with a normal distribution; the t form for few degrees
// of freedom is this program's use (judgement). A measurement with its own exact distribution gives the probability
// itself; the text is its note, or "".
func Probability(l Limit, m *measure.Measurement) (float64, string) {
	if m.Exact != nil {
		p, note := 1.0, ""
		if !math.IsInf(l.Low, -1) {
			p, note = m.Exact.AtLeast(l.Low)
		}
		if !math.IsInf(l.High, 1) && !(m.Unit == "%" && l.High >= 100) { // no efficiency is above 100 %
			q, more := m.Exact.AtLeast(l.High)
			p = math.Max(0, p-q)
			if note == "" {
				note = more
			}
		}
		return p, note
	}
	switch {
	case m.Std == 0: // no uncertainty at all: met or not
		if m.Value >= l.Low && m.Value <= l.High {
			return 1, ""
		}
		return 0, ""
	case math.IsInf(l.High, 1): // written so that small probabilities keep their digits
		return cdf(m.Value-l.Low, m), ""
	case math.IsInf(l.Low, -1):
		return cdf(l.High-m.Value, m), ""
	}
	return cdf(l.High-m.Value, m) - cdf(l.Low-m.Value, m), ""
}

// cdf is F(d/u).
func cdf(d float64, m *measure.Measurement) float64 {
	switch {
	case math.IsInf(d, 1):
		return 1
	case math.IsInf(d, -1):
		return 0
	}
	return uncertainty.CDF(d/m.Std, m.DOF)
}

// decide gives the outcome for a probability, the notes that its flags call for, and what holds it open, a line each: why,
// and what would settle it. The benefit of doubt is the maker's: an upper bound, a lower bound, a rate that reads low and
// a room too small for the rate never contradict, one run alone contradicts at a smaller probability, and a result that no
// count could decide stays open. beyond is the smaller of the probabilities of being on the right side of each end of the
// limit; alone says that one run stands behind the result.
func decide(c claims.Claim, m *measure.Measurement, p, beyond float64, alone bool) (out Outcome, notes, holds []string) {
	risk := riskOf(alone)
	out = Inconclusive
	switch {
	case p >= 1-Risk:
		out = Supported
	case beyond <= risk:
		out = Contradicted
	case beyond <= Risk:
		holds = append(holds, fmt.Sprintf("one run alone contradicts at a probability of %g %% or less, and it is %s; two more runs would settle it", 100*risk, Chance(beyond)))
	case p <= Risk:
		holds = append(holds, fmt.Sprintf("the claim is of a value on both sides, and neither side is passed with a probability of %g %%; a result with a smaller uncertainty would settle it", 100*(1-Risk)))
	}
	hold := func(why string) { out, holds = Inconclusive, append(holds, why) }
	if m.Has(measure.UpperBound) {
		if out == Contradicted || out == Supported && side(c) != claims.AtMost {
			hold("the result is an upper bound: it can support a limit from above, and contradicts nothing; a quieter background or a finer instrument would settle it")
		} else {
			notes = append(notes, "the result is an upper bound: it can support a limit from above, and contradicts nothing")
		}
	}
	for _, f := range []struct {
		flag         measure.Flag
		note, settle string
	}{
		{measure.RoomTooSmall, "the room is too small for this rate: a shortfall there contradicts nothing", "a larger room would settle it"},
		{measure.ReadsLow, "the sensor makes this rate come out low: a shortfall contradicts nothing", "runs within the sensor's range would settle it"},
		{measure.LowerBound, "the result is a lower bound: it can support a claim within the readings, and contradicts nothing", "readings that go on until the end is reached would settle it"},
	} {
		switch {
		case !m.Has(f.flag):
		case out == Contradicted:
			hold(f.note + "; " + f.settle)
		default:
			notes = append(notes, f.note)
		}
	}
	if m.Has(measure.Indicative) {
		notes = append(notes, "indicative: "+reasonOf(m, measure.Indicative))
	}
	if m.Has(measure.Extrapolated) {
		notes = append(notes, reasonOf(m, measure.Extrapolated))
	}
	if m.Has(measure.NotTestable) {
		hold("the result cannot decide a claim: " + reasonOf(m, measure.NotTestable))
	}
	return out, notes, holds
}

// riskOf is the probability at or below which a claim is contradicted, by one run alone or by several.
func riskOf(alone bool) float64 {
	if alone {
		return measure.GateValue("risk of one run")
	}
	return Risk
}

// oneRun reports whether one run or reading alone stands behind a result.
func oneRun(m *measure.Measurement) bool {
	if !m.Has(measure.Indicative) {
		return false
	}
	n := 0
	for _, r := range m.Runs {
		if r.State != "off" && !r.LeftOut {
			n++
		}
	}
	return n <= 1
}

// beyond is the smaller of the probabilities that the true value is on the right side of each end of the limit.
func beyond(l Limit, m *measure.Measurement) float64 {
	low, _ := Probability(Limit{Low: l.Low, High: math.Inf(1)}, m)
	if math.IsInf(l.High, 1) {
		return low
	}
	high, _ := Probability(Limit{Low: math.Inf(-1), High: l.High}, m)
	if math.IsInf(l.Low, -1) {
		return high
	}
	return math.Min(low, high)
}

// guard is the guard band w = t_0.95(nu) u on each side of a limit; within it the outcome is inconclusive.
func guard(m *measure.Measurement) float64 { return uncertainty.Quantile(1-Risk, m.DOF) * m.Std }

// gapOf is measured less claimed, from the end of the claim by which it is judged; for "about" from the nearest end,
// and zero within the range.
func gapOf(c claims.Claim, m *measure.Measurement) *Gap {
	ref := c.Claimed.Low
	switch side(c) {
	case claims.AtMost:
		ref = c.Claimed.High
	case claims.About:
		ref = math.Min(math.Max(m.Value, c.Claimed.Low), c.Claimed.High)
		if ref == m.Value {
			return &Gap{Unit: c.Claimed.Unit}
		}
	}
	g := &Gap{Value: m.Value - ref, Unit: c.Claimed.Unit}
	if ref != 0 {
		g.Percent = 100 * g.Value / ref
	}
	return g
}
