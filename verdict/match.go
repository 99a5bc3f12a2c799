package verdict

import (
	"fmt"
	"sort"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
)

// match is what was found for a claim among the results: a measurement, or the reason why there is none.
type match struct {
	m      *measure.Measurement
	reason string   // why nothing bears on the claim
	notes  []string // what was assumed in the maker's favour
	nearer string   // of a level measured nearer than claimed: why it says nothing unless it supports the claim
}

// findDirect looks for a result of the claim's own attribute at its setting, particle and distance. A condition that
// cannot be matched leaves the claim untested: nothing is converted in silence.
func findDirect(c claims.Claim, ms []measure.Measurement) match {
	var of []*measure.Measurement
	for i := range ms {
		if ms[i].Attribute == string(c.Attribute) {
			of = append(of, &ms[i])
		}
	}
	if len(of) == 0 {
		return match{reason: fmt.Sprintf("nothing in the lab book bears on %s", c.Attribute)}
	}
	if c.Attribute == claims.Noise {
		return findNoise(c, of)
	}
	if c.Attribute == claims.StandbyPower { // one mode, whatever a row calls its setting
		return match{m: best(c, of)}
	}
	if reason := otherLife(c); reason != "" {
		return match{reason: reason}
	}
	at, reason, notes := atSetting(c.Setting, of)
	if reason != "" {
		return match{reason: reason}
	}
	switch c.Attribute {
	case claims.DeliveryRate, claims.FilterEfficiency, claims.RoomArea, claims.CleanTime:
		m := findParticle(c, at)
		m.notes = append(notes, m.notes...)
		return m
	}
	return match{m: best(c, at), notes: notes}
}

// otherLife says why the hours to half the first rate do not bear on a filter life: it is of another filter, or it ends
// otherwise by the claim's own words.
func otherLife(c claims.Claim) string {
	switch {
	case c.Attribute != claims.FilterLife:
	case c.Basis.Element != "":
		return fmt.Sprintf("the life claimed is that of the %s; what was measured is how the delivery rate falls with the filter in the unit", c.Basis.Element)
	case c.Basis.EndOfLife != "" && !c.Basis.ToHalf:
		return fmt.Sprintf("the life claimed lasts %s; what was measured is the hours to half the first delivery rate, another end", c.Basis.EndOfLife)
	}
	return ""
}

// findParticle keeps the results for the particle that the claim names. A claim that names none is judged by the result
// most favourable to it, and says so. Rates for different particles are different quantities and are never compared.
func findParticle(c claims.Claim, of []*measure.Measurement) match {
	if c.Particle == "" {
		m := best(c, of)
		if m.Particle == "" {
			return match{m: m}
		}
		note := fmt.Sprintf("the claim names no particle; it was judged by the result for %s", m.Particle)
		if len(of) > 1 {
			note += ", the most favourable to it"
		}
		return match{m: m, notes: []string{note}}
	}
	measured := map[string]bool{}
	for _, m := range of {
		if m.Particle == c.Particle {
			return match{m: m}
		}
		if m.Particle != "" {
			measured[m.Particle] = true
		}
	}
	if len(measured) == 0 {
		return match{reason: fmt.Sprintf("the claim is for %s; the lab book does not say which particle was measured", c.Particle)}
	}
	return match{reason: fmt.Sprintf("the claim is for %s, measured was %s: different quantities, never compared", c.Particle, names(measured))}
}

// best is the result that favours the claim most.
func best(c claims.Claim, of []*measure.Measurement) *measure.Measurement {
	out := of[0]
	for _, m := range of[1:] {
		if (side(c) == claims.AtMost) == (m.Value < out.Value) && m.Value != out.Value {
			out = m
		}
	}
	return out
}

func names(set map[string]bool) string {
	var out []string
	for n := range set {
		if n == "" {
			n = "no setting named"
		}
		out = append(out, n)
	}
	sort.Strings(out)
	return strings.Join(out, ", ")
}
