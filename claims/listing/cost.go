package listing

import (
	"fmt"
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
)

// Cost is a year of running by the listing's own figures, for one number of hours a day and one filter price.
type Cost struct {
	Hours      float64  `json:"hours_per_day"`
	EnergyKWh  float64  `json:"energy_kwh"`
	EnergyCost *float64 `json:"energy_cost"` // nil where the listing names no price of electricity
	Filter     string   `json:"filter"`      // the filter price as quoted; "" where there is none
	Filters    *float64 `json:"filters_per_year"`
	FilterCost *float64 `json:"filter_cost"`
	Total      *float64 `json:"total"` // nil unless both are known and in one currency
	Currency   string   `json:"currency"`
	Basis      string   `json:"basis"`
}

// hourBases are the hours a day that annual figures of the trade rest on: all day; 5840 h a year (US test procedure,
// from memory); 4380 h; 2920 h.
var hourBases = []float64{24, 16, 12, 8}

// costs works out the running cost from what the listing states:
//
//	E = (P_on·h + P_standby·(24 − h))·365/1000 kWh a year     energy cost = E·price of a kWh
//	filter cost = price·filters a year, filters a year = h·365/life in running hours, or 8760/life by the calendar
//
// Without watts there are filters alone. Currencies are never added, nor filter prices averaged: each price is an option.
func costs(e Extract) ([]Cost, []string) {
	var notes []string
	on, ok := largest(e, claims.Power)
	if !ok {
		notes = append(notes, "running cost: the listing states no watts; no energy is worked out")
	}
	standby := 0.0
	if s, ok := largest(e, claims.StandbyPower); ok {
		standby = s.Claim.Claimed.High
	} else if ok {
		notes = append(notes, "running cost: the listing states no standby power; none is counted")
	}
	var tariff *Price
	var filters []Price
	for i := range e.Prices {
		switch p := &e.Prices[i]; p.Kind {
		case "electricity":
			if tariff == nil {
				tariff = p
			} else {
				notes = append(notes, fmt.Sprintf("running cost: a second price of electricity, %q, is not used", p.Quote))
			}
		case "filter":
			filters = append(filters, *p)
		}
	}
	if tariff == nil && ok {
		notes = append(notes, "running cost: the listing names no price of electricity; the energy alone is worked out")
	}
	lives := lives(e)
	if len(filters) > 0 && len(lives) == 0 {
		notes = append(notes, "running cost: a filter price without a filter life")
	}
	hours := slices.Clone(hourBases)
	for _, d := range e.Claims {
		if h := d.Claim.Basis.HoursPerDay; h > 0 && h <= 24 && !slices.Contains(hours, h) {
			hours = append(hours, h)
		}
	}
	slices.SortFunc(hours, func(a, b float64) int { return compare(b, a) })
	if len(filters) == 0 || len(lives) == 0 {
		if !ok {
			return nil, notes
		}
		filters = []Price{{}}
	}
	var out []Cost
	for _, f := range filters {
		for _, h := range hours {
			out = append(out, cost(on, standby, h, tariff, f, lives))
		}
	}
	return out, notes
}

func cost(on Said, standby, h float64, tariff *Price, filter Price, lives []Said) Cost {
	c := Cost{Hours: h}
	var basis []string
	if on.Claim.Claimed != nil {
		c.EnergyKWh = measure.AnnualKWh(on.Claim.Claimed.High, standby, h, 24-h)
		text := fmt.Sprintf("%s for %g h a day", on.Claim.Claimed.Text, h)
		if h < 24 && standby > 0 {
			text += fmt.Sprintf(", %g W for the rest", standby)
		}
		basis = append(basis, text)
		if tariff != nil {
			v := c.EnergyKWh * tariff.Value
			c.EnergyCost, c.Currency = &v, tariff.Currency
			basis = append(basis, tariff.Quote)
		}
	}
	if filter.Value > 0 {
		life := soonest(lives, h)
		n := perYear(life, h)
		v := n * filter.Value / float64(max(filter.Pieces, 1))
		c.Filter, c.Filters, c.FilterCost = filter.Quote, &n, &v
		text := fmt.Sprintf("a filter at %s every %s", filter.Quote, lifeText(life))
		if filter.Pieces > 1 {
			text = fmt.Sprintf("a filter, %d of which cost %s, every %s", filter.Pieces, filter.Quote, lifeText(life))
		}
		basis = append(basis, text)
		switch {
		case c.EnergyCost == nil:
			c.Currency = filter.Currency
		case filter.Currency == tariff.Currency:
			t := *c.EnergyCost + v
			c.Total = &t
		default:
			basis = append(basis, fmt.Sprintf("%s and %s are not added", tariff.Currency, filter.Currency))
		}
	}
	c.Basis = strings.Join(basis, "; ")
	return c
}

// lifeText says a life with the setting that it is stated for.
func lifeText(life Said) string {
	text := fmt.Sprintf("%s h", plain(life.Claim.Claimed.Low))
	if life.Claim.Calendar {
		text = life.Claim.Claimed.Text
	}
	if s := life.Claim.Setting; s != "" {
		text += fmt.Sprintf(" (stated for %q)", s)
	}
	return text
}

// perYear is how many filters a year of h hours a day needs by the stated life.
func perYear(life Said, h float64) float64 {
	c := life.Claim
	if c.Calendar && c.Basis.HoursPerDay == 0 {
		return 8760 / c.Claimed.Low
	}
	return h * 365 / c.Claimed.Low
}

// soonest is the life that ends first at h hours a day: of "6 months or 2,500 hours" whichever comes first.
func soonest(lives []Said, h float64) Said {
	return slices.MaxFunc(lives, func(a, b Said) int { return compare(perYear(a, h), perYear(b, h)) })
}

// largest is the claim of an attribute at the highest setting, else the largest of all.
func largest(e Extract, a claims.Attribute) (Said, bool) {
	var best Said
	found := false
	for _, top := range []bool{true, false} {
		for _, d := range e.Claims {
			if d.Claim.Attribute != a || d.Claim.Claimed == nil || top && !highest(d.Claim.Setting) {
				continue
			}
			if !found || d.Claim.Claimed.High > best.Claim.Claimed.High {
				best, found = d, true
			}
		}
		if found {
			break
		}
	}
	return best, found
}

// lives lists the lives of the filter itself that the listing states.
func lives(e Extract) (out []Said) {
	for _, d := range e.Claims {
		if d.Claim.Attribute == claims.FilterLife && d.Claim.Basis.Element == "" && d.Claim.Claimed != nil && d.Claim.Claimed.Low > 0 {
			out = append(out, d)
		}
	}
	return out
}
