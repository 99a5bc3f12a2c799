package verdict

import (
	"fmt"
	"regexp"
	"strings"

	"weighhouse/claims"
	"weighhouse/claims/wording"
	"weighhouse/measure"
)

// defaultCeiling is the ceiling that a room-area claim is read with where it names none, in metres. Of the ceilings that
// published rules use (2.4 and 2.4384 m) it is the one that gives the larger area, the maker's side (judgement).
const defaultCeiling = 2.4

// derived is a result that hangs on another: a room area on a delivery rate, an annual energy on a wattage. unclear is
// the reason why the claim as worded cannot be computed at all.
type derived struct {
	match
	unclear string
	on      *measure.Measurement                           // the result that it hangs on, where that is another
	again   func(measure.Measurement) *measure.Measurement // the same computed of another such result
}

// hangs is a result computed of another.
func hangs(on *measure.Measurement, notes []string, of func(measure.Measurement) measure.Measurement) derived {
	m := of(*on)
	return derived{match: match{m: &m, notes: notes}, on: on, again: func(other measure.Measurement) *measure.Measurement {
		m := of(other)
		return &m
	}}
}

// derive computes what a claim of room area, clean time or annual energy hangs on.
func derive(c claims.Claim, ms []measure.Measurement) derived {
	m, other := (*measure.Measurement)(nil), ""
	switch c.Attribute {
	case claims.RoomArea, claims.CleanTime, claims.AnnualEnergy:
		m, other = findSupplied(c, ms)
	}
	if m != nil {
		return derived{match: match{m: m, notes: []string{"judged by a number supplied by " + m.Source}}}
	}
	d := deriveOwn(c, ms)
	if other != "" {
		d.notes = append(d.notes, other)
	}
	return d
}

// deriveOwn computes the result from what was measured here.
func deriveOwn(c claims.Claim, ms []measure.Measurement) derived {
	switch c.Attribute {
	case claims.RoomArea:
		return deriveArea(c, ms)
	case claims.CleanTime:
		return deriveTime(c, ms)
	case claims.AnnualEnergy:
		return deriveEnergy(c, ms)
	}
	if c.Attribute == claims.FilterEfficiency && ofElement(c) {
		var tested []measure.Measurement // of the element, by a laboratory
		for _, m := range ms {
			if m.Source != "" && elementStandard.MatchString(m.Basis+" "+m.Method) {
				tested = append(tested, m)
			}
		}
		if d := findDirect(c, tested); d.m != nil {
			return derived{match: d}
		}
		return derived{match: match{reason: "the claim is for the filter element by its own standard; counts before and behind the unit in a room include its leaks, and are no proof for or against an element"}}
	}
	return derived{match: findDirect(c, ms)}
}

var elementStandard = regexp.MustCompile(`(?i)1822|29463|16890|52\.2|IEST|Z ?8122|filter (?:element|medium|media)|\bMPPS\b`)

// ofElement reports whether an efficiency is claimed for the filter element: by a standard for elements or by a class.
func ofElement(c claims.Claim) bool {
	if elementStandard.MatchString(c.Basis.Text) || elementStandard.MatchString(c.Wording) {
		return true
	}
	_, graded := wording.LookupGrade(c.Wording)
	return graded
}

// base finds the result of another attribute at the claim's own setting and particle.
func base(c claims.Claim, a claims.Attribute, ms []measure.Measurement) match {
	b := c
	b.Attribute, b.Bound = a, claims.AtLeast
	if info, ok := claims.Lookup(string(a)); ok {
		b.Bound = info.Bound
	}
	return findDirect(b, ms)
}

func deriveArea(c claims.Claim, ms []measure.Measurement) derived {
	r := base(c, claims.DeliveryRate, ms)
	ceiling, notes := c.Basis.Ceiling, r.notes
	rule, ruled := areaRule(c.Basis)
	if ceiling == 0 {
		ceiling = defaultCeiling
		if ruled && rule.Ceiling > 0 {
			ceiling = rule.Ceiling
		}
	}
	switch {
	case c.Basis.AirChanges > 0:
		if r.m == nil {
			return derived{match: r}
		}
		if c.Basis.Ceiling == 0 {
			notes = append(notes, fmt.Sprintf("the claim names no ceiling height; %s m was taken, the lowest of the published rules", short(ceiling)))
		}
		return hangs(r.m, notes, func(m measure.Measurement) measure.Measurement {
			return measure.RoomArea(m, c.Basis.AirChanges, ceiling)
		})
	case ruled:
		if r.m == nil {
			return derived{match: r}
		}
		return hangs(r.m, append(notes, "judged by the rule that the claim names: "+rule.Name), func(m measure.Measurement) measure.Measurement { return measure.RuleRoomArea(m, rule) })
	}
	why := "a room area without its air changes an hour or the rule it follows cannot be tested"
	if r.m != nil && c.Claimed != nil && c.Claimed.Low > 0 {
		why += fmt.Sprintf("; at the rate measured, %s and a ceiling of %s m would have %s air changes an hour",
			number(c.Claimed.Low, "m2"), short(ceiling), short(r.m.Value/(c.Claimed.Low*ceiling)))
	}
	return derived{match: match{notes: notes}, unclear: why}
}

// areaRule finds the published room-size rule that a claim's conditions name.
func areaRule(b claims.Basis) (measure.AreaRule, bool) {
	for _, r := range measure.AreaRules() {
		for _, k := range r.Keys {
			if named(b.Text, k) {
				return r, true
			}
		}
	}
	return measure.AreaRule{}, false
}

func deriveTime(c claims.Claim, ms []measure.Measurement) derived {
	r := base(c, claims.DeliveryRate, ms)
	volume, assumed := claimedVolume(c.Basis)
	notes := r.notes
	if assumed != "" {
		notes = append(notes, assumed)
	}
	var lacks []string
	if volume == 0 {
		lacks = append(lacks, "the room")
	}
	if c.Basis.Reduction <= 0 || c.Basis.Reduction >= 1 {
		lacks = append(lacks, "the part of the particles to be removed")
	}
	if lacks != nil {
		return derived{match: match{notes: notes}, unclear: "a clean time without " + strings.Join(lacks, " and ") +
			" cannot be tested; one change of a room's air leaves 37 % of what was in it"}
	}
	if r.m == nil {
		return derived{match: r}
	}
	natural := NaturalDecay(r.m)
	counted := func(m measure.Measurement) measure.Measurement {
		return measure.CleanTime(m, volume, c.Basis.Reduction, natural)
	}
	if natural == 0 {
		return hangs(r.m, append(notes, "computed for the unit alone: settling and leakage of a room were not measured and are not counted"), counted)
	}
	alone := measure.CleanTime(*r.m, volume, c.Basis.Reduction, 0)
	return hangs(r.m, append(notes, fmt.Sprintf("the natural decay of the test room, %s per hour, is counted with the unit, in the maker's favour: the words do not say whether a room's own settling is meant; by the unit alone it would be %s min",
		about(natural), alone.Written().Value)), counted)
}

// NaturalDecay is the mean rate, 1/h, of the runs of natural decay behind a delivery rate; 0 where there are none.
func NaturalDecay(rate *measure.Measurement) float64 {
	k, n := 0.0, 0.0
	for _, run := range rate.Runs {
		if run.State == "off" && !run.LeftOut && run.Value > 0 {
			k, n = k+run.Value, n+1
		}
	}
	if n == 0 {
		return 0
	}
	return k / n
}

// claimedVolume is the room of a claim in m3, 0 where it names none, and what was assumed of its ceiling.
func claimedVolume(b claims.Basis) (volume float64, assumed string) {
	switch {
	case b.RoomVolume > 0:
		return b.RoomVolume, ""
	case b.RoomArea > 0 && b.Ceiling > 0:
		return b.RoomArea * b.Ceiling, ""
	case b.RoomArea > 0:
		return b.RoomArea * defaultCeiling, fmt.Sprintf("the claim names no ceiling height; %s m was taken, the lowest of the published rules", short(defaultCeiling))
	}
	return 0, ""
}

func deriveEnergy(c claims.Claim, ms []measure.Measurement) derived {
	on, off := energyHours(c.Basis)
	if on == 0 {
		return derived{unclear: "a yearly energy without its hours a day cannot be tested"}
	}
	r := base(c, claims.Power, ms)
	if r.m == nil {
		return derived{match: r}
	}
	notes := r.notes
	var standby *measure.Measurement
	lack := "the standby watts were not measured"
	for i := range ms {
		if ms[i].Attribute == string(claims.StandbyPower) {
			if ms[i].Has(measure.NotTestable) {
				lack = "the standby watts were read with a meter that cannot decide so low a power, and were not used"
				continue
			}
			standby = &ms[i]
		}
	}
	switch {
	case on >= 24:
		standby, off = nil, 0
	case off > 0 && standby == nil:
		notes = append(notes, lack+"; the hours in standby were counted as nothing, in the maker's favour")
		off = 0
	case off == 0:
		standby = nil
		notes = append(notes, fmt.Sprintf("the claim names %s h/day of use and no standby; the other hours were counted as nothing, in the maker's favour", short(on)))
	}
	follows := fmt.Sprintf("it follows from the watts measured: %s at %s h/day", r.m.Written().Value+" W", short(on))
	if standby != nil && off > 0 {
		follows += fmt.Sprintf(" and %s in standby at %s h/day", standby.Written().Value+" W", short(off))
	}
	notes = append(append([]string(nil), notes...), follows+", 365 days a year; the energy itself was not metered")
	m := measure.AnnualEnergy(r.m, standby, on, off)
	return derived{match: match{m: &m, notes: notes}, on: r.m}
}
