package rank

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"weighhouse/measure"
	"weighhouse/verdict"
)

// noiseCriterion compares sound pressure levels at the highest setting, at one distance that all units share. A level is
// not converted to another distance.
func noiseCriterion(cs []*contender) Criterion {
	c := Criterion{ID: "noise", Title: "Noise at the highest setting", Unit: "dB(A)", Better: "lower",
		Basis: "Sound pressure level in the room. The meter's error is counted in full for each unit, though one meter was used: units of different sound share it only in part."}
	distance, ok := commonDistance(cs)
	if ok {
		c.Basis = strings.Replace(c.Basis, "in the room", fmt.Sprintf("in the room at %g m", distance), 1)
	} else {
		c.Why = "the levels were not measured at one distance that is recorded; a level in a room is not converted to another distance"
	}
	levels := make([]*measure.Measurement, len(cs))
	for i, x := range cs {
		e := Entry{Label: x.unit.Label, Unit: i, Note: notMeasured}
		for _, m := range x.noise {
			if !ok || m.Distance == distance {
				levels[i] = m
				break
			}
		}
		if m := levels[i]; m != nil {
			e.Value, e.Expanded, e.Note = finite(m.Value), finite(m.Expanded), ""
			e.Interval = [2]*float64{finite(m.Interval[0]), finite(m.Interval[1])}
			if m.Has(measure.UpperBound) {
				e.Note = "an upper bound: the background was too near"
			}
			if !ok {
				e.Note = strings.TrimPrefix(e.Note+"; distance not recorded", "; ")
				if m.Distance > 0 {
					e.Note = strings.Replace(e.Note, "distance not recorded", fmt.Sprintf("at %g m", m.Distance), 1)
				}
			}
		}
		c.Entries = append(c.Entries, e)
	}
	c.judge(func(i, j int) Pair {
		p := compareResults(levels[i], levels[j])
		louder := levels[i]
		if levels[j].Value > louder.Value {
			louder = levels[j]
		}
		if louder.Has(measure.UpperBound) {
			p.vetoed = "the higher level is an upper bound, the unit may in truth be quieter: no order is given"
		}
		return p
	})
	return c
}

// commonDistance is the distance at which every unit with a level was measured: 1 m where all have it, else the least.
func commonDistance(cs []*contender) (float64, bool) {
	count, units := map[float64]int{}, 0
	for _, x := range cs {
		if len(x.noise) == 0 {
			continue
		}
		units++
		seen := map[float64]bool{}
		for _, m := range x.noise {
			if m.Distance > 0 && !seen[m.Distance] {
				seen[m.Distance] = true
				count[m.Distance]++
			}
		}
	}
	best, ok := math.Inf(1), false
	for d, n := range count {
		if n == units && (d == 1 || best != 1 && d < best) {
			best, ok = d, true
		}
	}
	return best, ok || units == 0
}

// costCriteria compares the yearly costs, one criterion for each number of hours a day, with an entry for each option of
// each unit.
func costCriteria(cs []*contender) (out []Criterion) {
	set := map[float64]bool{}
	for _, x := range cs {
		for _, k := range x.audit.Costs {
			set[k.HoursPerDay] = true
		}
	}
	var hours []float64
	for h := range set {
		hours = append(hours, h)
	}
	sort.Float64s(hours)
	for _, h := range hours {
		out = append(out, costCriterion(cs, h))
	}
	if len(out) == 0 {
		c := costCriterion(cs, math.NaN())
		c.Title, c.Basis = "Yearly cost", "No case gives an electricity price and hours of use."
		out = append(out, c)
	}
	return out
}

func costCriterion(cs []*contender, hours float64) Criterion {
	c := Criterion{ID: "yearly cost", Title: fmt.Sprintf("Yearly cost at %g h/day", hours), Better: "lower"}
	currencies, tariffs := map[string]bool{}, map[string]bool{}
	costs := map[int]verdict.Cost{}
	for i, x := range cs {
		found := false
		for _, k := range x.audit.Costs {
			if k.HoursPerDay != hours {
				continue
			}
			found = true
			currencies[k.Currency] = true
			if k.EnergyKWh > 0 {
				tariffs[fmt.Sprintf("%.9g", k.EnergyCost/k.EnergyKWh)] = true
			}
			costs[len(c.Entries)] = k
			e := Entry{Label: x.unit.Label + ", " + k.Option, Unit: i, Option: k.Option, Value: finite(k.Total), Expanded: finite(k.TotalU),
				Interval: [2]*float64{finite(k.Low), finite(k.High)}, Measure: k.Currency, Note: k.Basis}
			c.Entries = append(c.Entries, e)
		}
		if !found {
			c.Entries = append(c.Entries, Entry{Label: x.unit.Label, Unit: i, Note: "no cost on record for these hours"})
		}
	}
	switch {
	case len(currencies) > 1:
		c.Unit, c.Why = "money", "the costs are in "+strings.Join(keys(currencies), " and ")+"; currencies are never mixed"
	case len(tariffs) > 1:
		c.Why = "the electricity prices differ between the cases; give all cases one tariff"
	}
	if len(currencies) == 1 {
		c.Unit = keys(currencies)[0]
		for i := range c.Entries {
			c.Entries[i].Measure = ""
		}
		c.Basis = "Electricity at one tariff and filters, for one year of use."
		if len(tariffs) == 1 {
			c.Basis = fmt.Sprintf("Electricity at %s %s a kWh and filters, for one year of use. Filter prices and hours are taken as exact.", keys(tariffs)[0], c.Unit)
		}
	}
	c.judge(func(i, j int) Pair { return compareCosts(c.Entries[i], c.Entries[j], costs[i], costs[j]) })
	return c
}

// compareCosts compares two yearly costs. Two options of one unit differ by their filters alone, which is exact. For two
// units the uncertainties of their energies are taken as independent; where a price is a range, the two ranges of the
// totals must also lie apart.
func compareCosts(x, y Entry, a, b verdict.Cost) Pair {
	d := a.Total - b.Total
	p := Pair{Method: "difference of the totals, uncertainty of the energy of both", Difference: &d}
	half := math.Hypot(a.TotalU, b.TotalU)
	if x.Unit == y.Unit {
		p.Method, half = "one unit: the filters alone differ, without a test", 0
	}
	// An expanded uncertainty is at least 1.96 standard ones; the normal p value with U/1.96 is on the side of a tie.
	t := tTest(d, half/tTest(1, 1, math.Inf(1)).Half, math.Inf(1))
	p.setTest(t)
	p.Interval = [2]*float64{finite(d - half), finite(d + half)}
	if x.Unit == y.Unit && (a.FilterHigh > 0 || a.FilterCost == 0) && (b.FilterHigh > 0 || b.FilterCost == 0) { // tariff and energy are common
		a.Low, a.High, a.TotalU, b.Low, b.High, b.TotalU = a.FilterLow, a.FilterHigh, 0, b.FilterLow, b.FilterHigh, 0
	}
	if (ranged(a) || ranged(b)) && a.Low <= b.High && b.Low <= a.High {
		p.vetoed = "the ranges that the prices leave open overlap: no order is given"
	}
	return p
}

// ranged reports whether a price that stands behind a cost is a range: its ends lie further apart than the uncertainty of
// the energy makes them.
func ranged(k verdict.Cost) bool { return k.High-k.Low > 2*k.TotalU*(1+1e-6)+1e-9 }
