package verdict

import (
	"math"
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
)

// supplied is a report's number with its expanded uncertainty at k = 2.
func supplied(attribute, unit string, value, expanded float64, set func(*measure.Supplied)) measure.Measurement {
	s := measure.Supplied{Attribute: attribute, Unit: unit, Low: value, High: value, U: expanded / 2, K: 2, Laboratory: "Example Laboratory", Standing: "0000", Report: "EX-1"}
	if expanded == 0 {
		s.U, s.K = math.NaN(), 0
	}
	if set != nil {
		set(&s)
	}
	m := s.Result()
	m.ID = "M1"
	return m
}

func claimOf(attribute claims.Attribute, bound claims.Bound, value float64, unit, basis string) claims.Claim {
	return claims.Claim{ID: "C1", Attribute: attribute, Bound: bound, Claimed: &claims.Range{Low: value, High: value, Unit: unit, Text: "as claimed"}, Basis: claims.ParseBasis(basis), Wording: ""}
}

// Numbers that came from a laboratory are judged as what was measured here: JCGM 106:2012 7.3 with the stated u. A number
// without an uncertainty decides nothing; a sound power level bears on a claim of sound power alone; conditions have to be
// the claim's.
func TestSupplied(t *testing.T) {
	for _, c := range []struct {
		name  string
		claim claims.Claim
		m     measure.Measurement
		want  Outcome
	}{
		{"rate met", claimOf(claims.DeliveryRate, claims.AtLeast, 300, "m3/h", ""), supplied("delivery rate", "m3/h", 305, 15, nil), Supported},
		{"rate missed", claimOf(claims.DeliveryRate, claims.AtLeast, 300, "m3/h", ""), supplied("delivery rate", "m3/h", 200, 15, nil), Contradicted},
		{"no uncertainty", claimOf(claims.DeliveryRate, claims.AtLeast, 300, "m3/h", ""), supplied("delivery rate", "m3/h", 200, 0, nil), Inconclusive},
		{"sound power", claimOf(claims.Noise, claims.AtMost, 50, "dB(A)", "sound power"), supplied("noise", "dB(A)", 49, 2, func(s *measure.Supplied) { s.SoundPower = true }), Supported},
		{"power for a pressure", claimOf(claims.Noise, claims.AtMost, 50, "dB(A)", "1 m"), supplied("noise", "dB(A)", 70, 2, func(s *measure.Supplied) { s.SoundPower = true }), Untested},
		{"metered year", claimOf(claims.AnnualEnergy, claims.AtMost, 200, "kWh", "12 h/day"), supplied("annual energy", "kWh", 180, 6, func(s *measure.Supplied) { s.Basis = "12 h/day" }), Supported},
		{"another day", claimOf(claims.AnnualEnergy, claims.AtMost, 200, "kWh", "12 h/day"), supplied("annual energy", "kWh", 380, 6, func(s *measure.Supplied) { s.Basis = "24 h/day" }), Untested},
		{"element", claimOf(claims.FilterEfficiency, claims.AtLeast, 99.95, "%", "EN 1822-1:2019"), supplied("filter efficiency", "%", 99.97, 0.01, func(s *measure.Supplied) { s.How, s.Particle = "EN 1822-5", "0.2 um" }), Supported},
	} {
		if c.claim.Attribute == claims.FilterEfficiency {
			c.claim.Particle = "0.2 um"
		}
		if r := judged(c.claim, c.m); r.Verdict != c.want {
			t.Errorf("%s: %s, want %s: %s %v", c.name, r.Verdict, c.want, r.Statement, r.Notes)
		} else if r.Measured != nil && !strings.Contains(r.Measured.Method, "Example Laboratory") {
			t.Errorf("%s: method %q names no laboratory", c.name, r.Measured.Method)
		}
	}
}
