package verdict

import (
	"fmt"
	"math"
	"sort"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/lab"
)

// costsOf computes the running cost of each filter option for one year of use.
//
//	E = (P_on h + P_standby (24 - h)) 365/1000 kWh    energy cost = E × price    filter cost = Σ price × filters a year
//
// The energy carries the uncertainty of its meter; price and hours carry none and are printed with the result. A tariff
// given as a range gives a range of totals. Prices of different currencies are never added. The second result says why
// there is no cost, "" where there is one or nothing was asked.
func costsOf(rows []lab.Cost, ms []measure.Measurement) ([]Cost, []string) {
	if len(rows) == 0 {
		return nil, nil
	}
	in := costInputs{perYear: map[string]lab.Cost{}, filter: map[string][]lab.Cost{}}
	notes := in.sort(rows)
	in.life = findDirect(claims.Claim{Attribute: claims.FilterLife, Bound: claims.AtLeast}, ms).m
	switch {
	case in.tariff == nil:
		return nil, append(notes, "running cost: the costs table names no electricity price")
	case len(in.hours) == 0:
		return nil, append(notes, "running cost: the costs table names no hours per day")
	}
	on := findDirect(claims.Claim{Attribute: claims.Power, Bound: claims.AtMost}, ms)
	if on.m == nil {
		return nil, append(notes, "running cost: "+on.reason)
	}
	var standby *measure.Measurement
	for i := range ms {
		if ms[i].Attribute == string(claims.StandbyPower) {
			standby = &ms[i]
		}
	}
	var out []Cost
	for _, h := range in.hours {
		sb, off := standby, 24-h
		if off <= 0 {
			sb, off = nil, 0
		}
		e := measure.AnnualEnergy(on.m, sb, h, off)
		for _, option := range in.options() {
			c, note := in.cost(option, h, e, on.m, sb)
			if note != "" {
				notes = append(notes, note)
				continue
			}
			rate := findDirect(claims.Claim{Attribute: claims.DeliveryRate, Bound: claims.AtLeast}, ms)
			if rate.m != nil && rate.m.Value > 0 {
				air := rate.m.Value * h * 365
				c.PerThousand = 1000 * c.Total / air
				c.PerThousandU = c.PerThousand * math.Hypot(rate.m.Expanded/rate.m.Value, c.TotalU/math.Max(c.Total, 1e-12))
			}
			out = append(out, c)
		}
	}
	return out, notes
}

// costInputs is the costs table sorted by what its rows are.
type costInputs struct {
	tariff  *lab.Cost
	hours   []float64
	perYear map[string]lab.Cost   // by option; "" holds for all
	filter  map[string][]lab.Cost // by option
	life    *measure.Measurement  // filter life measured, for options without filters per year; nil if none
}

func (in *costInputs) sort(rows []lab.Cost) (notes []string) {
	for i, r := range rows {
		switch r.Item {
		case "electricity":
			if in.tariff != nil {
				notes = append(notes, r.Place.String()+": a second electricity price; the first was used")
				continue
			}
			in.tariff = &rows[i]
		case "hours per day", "hours a day", "hours/day":
			in.hours = append(in.hours, r.Low)
		case "filters per year", "filters a year":
			in.perYear[r.Option] = r
		case "filter":
			in.filter[r.Option] = append(in.filter[r.Option], r)
		default:
			notes = append(notes, fmt.Sprintf("%s: item %q is not one of electricity, hours per day, filter, filters per year; it was not used", r.Place, r.Item))
		}
	}
	sort.Float64s(in.hours)
	return notes
}

func (in *costInputs) options() []string {
	var out []string
	for o := range in.filter {
		out = append(out, o)
	}
	sort.Strings(out)
	if len(out) == 0 {
		return []string{""}
	}
	return out
}

func (in *costInputs) cost(option string, h float64, e measure.Measurement, on, standby *measure.Measurement) (Cost, string) {
	label := option
	if label == "" {
		label = "energy alone"
		if len(in.filter) > 0 {
			label = "filter"
		}
	}
	c := Cost{Option: label, HoursPerDay: h, EnergyKWh: e.Value, EnergyU: e.Expanded, Currency: in.tariff.Currency, TariffLow: in.tariff.Low, TariffHigh: in.tariff.High}
	tariff := (in.tariff.Low + in.tariff.High) / 2
	c.EnergyCost = e.Value * tariff
	c.TotalU = e.Expanded * tariff
	fromLife := ""
	for _, f := range in.filter[option] {
		if f.Currency != in.tariff.Currency {
			return c, fmt.Sprintf("running cost of %q: the filter is priced in %q, electricity in %q; they are not added", label, f.Currency, in.tariff.Currency)
		}
		per, ok := in.perYear[option]
		if !ok {
			per, ok = in.perYear[""]
		}
		if !ok && in.life != nil && in.life.Value > 0 {
			n := measure.FiltersPerYear(in.life.Value, h)
			per, ok = lab.Cost{Low: n, High: n}, true
			fromLife = fmt.Sprintf(", from the filter life measured, %s", in.life.Written().Value+" h")
		}
		if !ok {
			return c, fmt.Sprintf("running cost of %q: the costs table names no filters per year, and no filter life was measured", label)
		}
		c.FilterPrice = (f.Low + f.High) / 2
		c.PerYear = (per.Low + per.High) / 2
		c.FilterCost += c.FilterPrice * c.PerYear
		c.FilterLow += f.Low * per.Low
		c.FilterHigh += f.High * per.High
	}
	c.Whole = math.Ceil(c.PerYear - 1e-9)
	c.Total = c.EnergyCost + c.FilterCost
	c.Low = (e.Value-e.Expanded)*in.tariff.Low + c.FilterLow
	c.High = (e.Value+e.Expanded)*in.tariff.High + c.FilterHigh
	c.Basis = fmt.Sprintf("%s h/day at %s", short(h), on.Written().Value+" W")
	if standby != nil {
		c.Basis += fmt.Sprintf(", %s h/day in standby at %s", short(24-h), standby.Written().Value+" W")
	} else if h < 24 {
		c.Basis += ", the other hours counted as nothing"
	}
	if in.tariff.Low == in.tariff.High {
		c.Basis += fmt.Sprintf("; %s %s a kWh", short(tariff), c.Currency)
	} else {
		c.Basis += fmt.Sprintf("; %s to %s %s a kWh", short(in.tariff.Low), short(in.tariff.High), c.Currency)
	}
	if c.PerYear > 0 {
		c.Basis += fmt.Sprintf("; %s filters a year at %s %s%s", short(c.PerYear), short(c.FilterPrice), c.Currency, fromLife)
		if c.Whole != c.PerYear {
			c.Basis += fmt.Sprintf(" (bought whole: %s)", short(c.Whole))
		}
	}
	return c, ""
}
