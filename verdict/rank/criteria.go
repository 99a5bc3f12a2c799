package rank

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"weighhouse/measure"
	"weighhouse/measure/uncertainty"
)

// notRanked marks, until settle, an entry that is shown and has no rank.
const notRanked = -1

const notMeasured = "not measured"

// Fraction is the part of the particles whose removal the clean time is given for (judgement).
const Fraction = 0.9

// judge tests every pair of entries that can be ranked, adjusts the p values and settles ranks and groups.
func (c *Criterion) judge(test func(i, j int) Pair) {
	var ranked []int
	for i, e := range c.Entries {
		if e.Value != nil && e.RankLow != notRanked {
			ranked = append(ranked, i)
		}
	}
	if c.Why == "" && len(ranked) < 2 {
		c.Why = "fewer than two units have a result"
	}
	c.Ranked = c.Why == ""
	if !c.Ranked {
		c.settle()
		return
	}
	for x, i := range ranked {
		for _, j := range ranked[x+1:] {
			p := test(i, j)
			p.a, p.b, p.A, p.B = i, j, c.Entries[i].Label, c.Entries[j].Label
			c.Pairs = append(c.Pairs, p)
		}
	}
	ps := make([]float64, len(c.Pairs))
	for i, p := range c.Pairs {
		ps[i] = math.NaN()
		if p.P != nil {
			ps[i] = *p.P
		}
	}
	for i, adj := range Holm(ps) {
		p := &c.Pairs[i]
		p.Adjusted = finite(adj)
		if p.P != nil {
			p.Different = adj <= Alpha && p.vetoed == ""
		}
		if p.vetoed != "" && adj <= Alpha {
			p.note(p.vetoed)
		}
		if p.Different && p.WelchP != nil && *p.WelchP > Alpha {
			p.note("told apart only if both units repeat equally well; Welch's test, which does not assume it, gives p above 0.05")
		}
	}
	c.settle()
}

func (p *Pair) note(s string) {
	if strings.Contains(p.Note, s) {
		return
	}
	if p.Note != "" {
		p.Note += "; "
	}
	p.Note += s
}

// rateEntry is the row of a unit in a criterion that divides its delivery rate by scale.
func rateEntry(i int, c *contender, scale, scaleU float64, lacks string) Entry {
	e := Entry{Label: c.unit.Label, Unit: i}
	switch {
	case c.rate == nil:
		e.Note = notMeasured
		return e
	case lacks != "":
		e.Note = lacks
		return e
	}
	v := c.rate.Value / scale
	u := math.Abs(v) * math.Hypot(c.rate.Expanded/c.rate.Value, scaleU/scale)
	e.Value, e.Expanded, e.Interval = finite(v), finite(u), [2]*float64{finite(v - u), finite(v + u)}
	if _, ok := c.logs(); !ok {
		e.RankLow, e.Note = notRanked, "a run was no faster than the natural decay, or none is on record: not told from zero"
	}
	return e
}

// tooSmall says why a difference of rates is not given: where the lower rate was measured in a room too small for the
// unit, it may be too low.
func tooSmall(a, b *contender, p *Pair) {
	low := b
	if p.Ratio != nil && *p.Ratio < 1 {
		low = a
	}
	if low.rate != nil && low.rate.Has(measure.RoomTooSmall) {
		p.vetoed = "the room is too small for the lower rate, which may in truth be higher: no order is given"
	}
}

// rateCriterion compares the delivery rates themselves.
func rateCriterion(cs []*contender) Criterion {
	c := Criterion{ID: "delivery rate", Title: "Delivery rate", Unit: "m3/h", Better: "higher",
		Basis: "Clean air delivered at the highest setting, natural decay taken off."}
	for i, x := range cs {
		c.Entries = append(c.Entries, rateEntry(i, x, 1, 0, ""))
	}
	pool := poolOf(cs)
	c.judge(func(i, j int) Pair {
		p := rateTest{scale: [2]float64{1, 1}, pool: pool}.compare(cs[i], cs[j])
		tooSmall(cs[i], cs[j], &p)
		return p
	})
	return c
}

// timeCriterion gives the time in which each unit alone would clear the test room. It is the delivery rate in other words:
// the tests and ranks are the same.
func timeCriterion(cs []*contender, rates Criterion) Criterion {
	volume := cs[0].audit.Room.Volume
	c := Criterion{ID: "clean time", Title: "Clean time", Unit: "min", Better: "lower", Why: rates.Why,
		Basis: fmt.Sprintf("Time to remove %.0f %% of the particles from %.4g m³ by the unit alone, well mixed, without a source. It follows from the delivery rate: the tests are the same.", 100*Fraction, volume)}
	ranked := map[int]bool{}
	for _, e := range rates.Entries {
		ranked[e.Unit] = e.RankLow > 0
	}
	for i, x := range cs {
		e := Entry{Label: x.unit.Label, Unit: i, Note: notMeasured}
		if x.rate != nil {
			e.Note = ""
			m := measure.CleanTime(*x.rate, volume, Fraction, 0)
			if m.Finite() && !m.Has(measure.NotTestable) {
				e.Value, e.Expanded = finite(m.Value), finite(m.Expanded)
				e.Interval = [2]*float64{finite(m.Interval[0]), finite(m.Interval[1])}
			}
			if e.Value == nil || !ranked[i] {
				e.RankLow, e.Note = notRanked, "the rate is not told from zero"
			}
		}
		c.Entries = append(c.Entries, e)
	}
	byPair := map[[2]string]Pair{}
	for _, p := range rates.Pairs {
		byPair[[2]string{p.A, p.B}] = p
	}
	c.judge(func(i, j int) Pair {
		p := byPair[[2]string{cs[i].unit.Label, cs[j].unit.Label}]
		p.Ratio, p.Interval[0], p.Interval[1] = inverse(p.Ratio), inverse(p.Interval[1]), inverse(p.Interval[0])
		if p.T != nil {
			t := -*p.T
			p.T = &t
		}
		return p
	})
	return c
}

func inverse(x *float64) *float64 {
	if x == nil || *x == 0 {
		return nil
	}
	return finite(1 / *x)
}

// wattCriterion compares the delivery rates by the power drawn at the same setting.
func wattCriterion(cs []*contender) Criterion {
	c := Criterion{ID: "rate per watt", Title: "Delivery rate per watt", Unit: "m3/(W h)", Better: "higher",
		Basis: "Delivery rate over the power drawn, both at the highest setting. The errors of the power meter are counted in full for each unit."}
	for i, x := range cs {
		scale, u, lacks := 1.0, 0.0, ""
		if x.power == nil || !(x.power.Value > 0) {
			lacks = "power not measured at this setting"
		} else {
			scale, u = x.power.Value, x.power.Expanded
		}
		c.Entries = append(c.Entries, rateEntry(i, x, scale, u, lacks))
	}
	pool := poolOf(cs)
	c.judge(func(i, j int) Pair {
		a, b := cs[i], cs[j]
		rt := rateTest{scale: [2]float64{a.power.Value, b.power.Value}, pool: pool}
		for k, x := range []*contender{a, b} {
			rt.parts[k] = []uncertainty.Component{{U: x.power.Std / x.power.Value, DOF: x.power.DOF}}
		}
		p := rt.compare(a, b)
		if p.P != nil {
			p.Method += "; uncertainty of both powers added"
		}
		tooSmall(a, b, &p)
		return p
	})
	return c
}

// priceCriterion compares the delivery rates by the price of the unit. Prices in different currencies are never mixed.
func priceCriterion(cs []*contender) Criterion {
	c := Criterion{ID: "rate per price", Title: "Delivery rate per price", Better: "higher",
		Basis: "Delivery rate at the highest setting over the price in the product table, which is taken as exact."}
	currencies := map[string]bool{}
	for i, x := range cs {
		lacks, scale := "", x.price
		switch {
		case math.IsNaN(x.price):
			lacks, scale = "no price stated", 1
		case x.unit.Currency == "":
			lacks, scale = "no currency stated", 1
		}
		e := rateEntry(i, x, scale, 0, lacks)
		if e.Value != nil {
			currencies[x.unit.Currency] = true
			e.Measure = "m3/h per " + x.unit.Currency
		}
		c.Entries = append(c.Entries, e)
	}
	switch len(currencies) {
	case 0:
		c.Unit = "m3/h per price"
	case 1:
		c.Unit = "m3/h per " + keys(currencies)[0]
		for i := range c.Entries {
			c.Entries[i].Measure = ""
		}
	default:
		c.Unit = "m3/h per price"
		c.Why = "the prices are in " + strings.Join(keys(currencies), " and ") + "; currencies are never mixed"
	}
	pool := poolOf(cs)
	c.judge(func(i, j int) Pair {
		p := rateTest{scale: [2]float64{cs[i].price, cs[j].price}, pool: pool}.compare(cs[i], cs[j])
		tooSmall(cs[i], cs[j], &p)
		return p
	})
	return c
}

func keys(set map[string]bool) (out []string) {
	for k := range set {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}
