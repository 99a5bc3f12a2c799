package verdict

import (
	"fmt"
	"math"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/numeral"
)

// information makes the tables that inform and judge nothing: what follows from the results by published rules.
func information(a *Audit) []InfoTable {
	var out []InfoTable
	add := func(t InfoTable) {
		if len(t.Rows) > 0 {
			out = append(out, t)
		}
	}
	rate := findDirect(claims.Claim{Attribute: claims.DeliveryRate, Bound: claims.AtLeast}, a.Measurements)
	watts := findDirect(claims.Claim{Attribute: claims.Power, Bound: claims.AtMost}, a.Measurements)
	if rate.m != nil && rate.m.Value > 0 {
		add(areasByRule(rate.m))
		add(impliedChanges(a, rate.m))
		if a.Room != nil {
			add(clearingTimes(rate.m, a.Room))
		}
	}
	if rate.m != nil && watts.m != nil {
		add(perWatt(rate.m, watts.m))
	}
	if watts.m != nil {
		add(yearlyEnergy(a, watts.m))
	}
	for i := range a.Measurements {
		if m := &a.Measurements[i]; m.Attribute == string(claims.FilterLife) {
			add(lifeInMonths(m))
		}
	}
	return out
}

func of(m *measure.Measurement) string {
	s := m.Particle
	if m.Setting != "" {
		if s != "" {
			s += ", "
		}
		s += m.Setting
	}
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}

func areasByRule(m *measure.Measurement) InfoTable {
	t := InfoTable{Title: "Room area by published rule", Header: []string{"rule", "area served, m2", "air changes, 1/h", "ceiling, m", "source", "mark"}}
	for _, r := range measure.AreasByRule(*m, 0) {
		y, u := numeral.Rounded(r.Area, m.K*r.U)
		t.Rows = append(t.Rows, []string{r.Rule.Name, y + " ± " + u, about(r.Rule.Rate()), short(r.Rule.Ceiling), r.Rule.Source, r.Rule.Mark})
	}
	t.Note = fmt.Sprintf("For the rate measured%s. The rules ask for different things, so that one rate can carry areas that differ almost twofold; an area says something only with its rule.", of(m))
	return t
}

func impliedChanges(a *Audit, m *measure.Measurement) InfoTable {
	t := InfoTable{Title: "Air changes that the claimed areas imply", Header: []string{"claim", "area, m2", "ceiling, m", "at the rate measured, 1/h", "95 % interval, 1/h"}}
	for _, r := range a.Rows {
		c := r.Claim
		if c.Attribute != claims.RoomArea || c.Claimed == nil || c.Claimed.Low <= 0 || c.Claimed.Unit == "" {
			continue
		}
		ceiling := c.Basis.Ceiling
		if ceiling == 0 {
			ceiling = defaultCeiling
		}
		v := c.Claimed.Low * ceiling
		t.Rows = append(t.Rows, []string{c.ID, short(c.Claimed.Low), short(ceiling), about(measure.AirChanges(m.Value, v)),
			about(measure.AirChanges(m.Interval[0], v)) + " to " + about(measure.AirChanges(m.Interval[1], v))})
	}
	return t
}

func clearingTimes(m *measure.Measurement, room *Room) InfoTable {
	ach := measure.AirChanges(m.Value, room.Volume)
	t := InfoTable{Title: "Time to clean the test room", Header: []string{"particles removed", "minutes", "95 % interval, min"}}
	for _, f := range []float64{0.5, measure.Removal(1), 0.9, 0.95, 0.99} {
		name := numeral.Percent(100*f) + " %"
		if f == measure.Removal(1) {
			name = "63.2 % (one change of air)"
		}
		lo, hi := measure.AirChanges(m.Interval[1], room.Volume), measure.AirChanges(m.Interval[0], room.Volume)
		interval := "not known"
		if hi > 0 && lo > 0 {
			interval = about(measure.MinutesToRemove(f, lo)) + " to " + about(measure.MinutesToRemove(f, hi))
		}
		t.Rows = append(t.Rows, []string{name, about(measure.MinutesToRemove(f, ach)), interval})
	}
	t.Note = fmt.Sprintf("At the rate measured%s in %s m3, well mixed, with no source, for the unit alone.", of(m), about(room.Volume))
	return t
}

func perWatt(rate, watts *measure.Measurement) InfoTable {
	e := measure.Efficacy(rate, watts)
	t := InfoTable{Title: "Delivery rate per watt", Header: []string{"scheme", "tier", "asks for", "probability that it is met", "source", "mark"}}
	if e.Has(measure.NotTestable) {
		return InfoTable{}
	}
	for _, c := range e.Tiers {
		t.Rows = append(t.Rows, []string{c.Tier.Scheme, c.Tier.Name, c.Tier.Text, Chance(c.Probability), c.Tier.Source, c.Tier.Mark})
	}
	y, u := numeral.Rounded(e.Value, e.Expanded)
	t.Note = fmt.Sprintf("Measured: %s ± %s m3/(W h), %s cfm/W%s. Information: no claim was judged by these tiers, which are defined for their own test procedures and particles.", y, u, about(e.CfmPerWatt), of(rate))
	return t
}

func yearlyEnergy(a *Audit, on *measure.Measurement) InfoTable {
	standby := findDirect(claims.Claim{Attribute: claims.StandbyPower, Bound: claims.AtMost, Setting: "standby"}, a.Measurements).m
	t := InfoTable{Title: "Energy of a year by hours of use", Header: []string{"basis", "kWh a year", "U"}}
	add := func(name string, h float64, sb *measure.Measurement, off float64) {
		e := measure.AnnualEnergy(on, sb, h, off)
		if e.Has(measure.NotTestable) {
			return
		}
		y, u := numeral.Rounded(e.Value, e.Expanded)
		t.Rows = append(t.Rows, []string{name, y, u})
	}
	add("24 h a day", 24, nil, 0)
	if standby != nil {
		add("16 h a day and 8 h in standby (as in the US test procedure, 10 CFR 430 subpart B appendix FF; hours from memory)", 16, standby, 8)
		add("12 h a day and 12 h in standby", 12, standby, 12)
	}
	add("12 h a day", 12, nil, 0)
	add("8 h a day", 8, nil, 0)
	t.Note = fmt.Sprintf("At the power measured%s.", of(on))
	return t
}

func lifeInMonths(m *measure.Measurement) InfoTable {
	t := InfoTable{Title: "Filter life in months", Header: []string{"hours a day", "months", "95 % interval"}}
	for _, h := range []float64{8, 12, 24} {
		lo, hi := m.Interval[0], m.Interval[1]
		interval := "not known"
		if !math.IsInf(hi, 0) && !math.IsNaN(hi) && !math.IsNaN(lo) {
			interval = about(measure.LifeMonths(lo, h)) + " to " + about(measure.LifeMonths(hi, h))
		}
		t.Rows = append(t.Rows, []string{short(h), about(measure.LifeMonths(m.Value, h)), interval})
	}
	t.Note = "Running hours to half the first delivery rate, measured here, spread over a year of 365 days. An estimate for the aerosol of this test; house dust loads a filter differently."
	return t
}
