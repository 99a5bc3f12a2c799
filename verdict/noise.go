package verdict

import (
	"fmt"
	"math"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/numeral"
)

// findNoise matches a level by setting and distance. A sound power level and a pressure level in a room are different
// quantities; a level at another distance is not converted, since in a room it does not follow the free-field law. One
// measured nearer than claimed, where a source is louder, can support a claim of at most so much and say nothing else.
func findNoise(c claims.Claim, of []*measure.Measurement) match {
	var power, pressure []*measure.Measurement
	for _, m := range of {
		if m.SoundPower {
			power = append(power, m)
		} else {
			pressure = append(pressure, m)
		}
	}
	switch {
	case c.Basis.SoundPower && len(power) > 0:
		at, reason, notes := atSetting(c.Setting, power)
		if reason != "" {
			return match{reason: reason}
		}
		return match{m: best(c, at), notes: notes}
	case len(pressure) == 0:
		return match{reason: "the claim is a sound pressure level, what was supplied a sound power level: never compared"}
	}
	at, reason, notes := atSetting(c.Setting, pressure)
	if reason != "" {
		return match{reason: reason}
	}
	if c.Basis.SoundPower {
		return match{reason: "the claim is a sound power level, the measurement a sound pressure level in a room: never compared" + abovePower(c, best(c, at))}
	}
	var near, nearer []*measure.Measurement
	where := map[string]bool{}
	for _, m := range at {
		if m.Distance > 0 {
			where[short(m.Distance)+" m"] = true
		}
		switch d := c.Basis.Distance; {
		case d <= 0 || m.Distance <= 0:
		case math.Abs(m.Distance-d) <= measure.ThresholdOf("distance")/100*d:
			near = append(near, m)
		case m.Distance < d && side(c) == claims.AtMost:
			nearer = append(nearer, m)
		}
	}
	switch {
	case len(near) > 0:
		return match{m: best(c, near), notes: notes}
	case len(where) == 0:
		return match{reason: "the distance of the measurement is not recorded"}
	}
	other := fmt.Sprintf("the claim is for %s m, measured was %s; conditions differ, and a level in a room is not converted by distance", short(c.Basis.Distance), names(where))
	if len(nearer) > 0 {
		return match{m: best(c, nearer), notes: notes, nearer: other}
	}
	return match{reason: other}
}

// abovePower is a note on a pressure level that is above the sound power level claimed, "" where it is not surely so: what
// the room may add and the uncertainty are on the maker's side. L_W = L_p + 10·lg S − K2, S = 2πr².
func abovePower(c claims.Claim, m *measure.Measurement) string {
	low := m.Value - m.Expanded
	if c.Claimed == nil || m.Distance < 1 || low <= c.Claimed.High || low-m.RoomAdds+10*math.Log10(2*math.Pi*m.Distance*m.Distance) <= c.Claimed.High {
		return ""
	}
	return fmt.Sprintf("; noted all the same: the level measured at %s m, %s %s, is above the sound power claimed, and for a single source the pressure level at 1 m or more is below the power level",
		short(m.Distance), m.Written().Value, m.Unit)
}

// aFortiori keeps a verdict that rests on a level measured nearer than claimed only where it supports the claim; elsewhere
// nothing bears on it, for the reason given.
func (r *Row) aFortiori(reason string) {
	if r.Verdict == Supported {
		r.note(fmt.Sprintf("measured nearer than claimed, at %s m, where the unit is louder: what meets the limit there meets it at %s m", short(r.Measured.Distance), short(r.Claim.Basis.Distance)))
		return
	}
	*r = Row{Claim: r.Claim, Verdict: Untested, Tolerance: r.Tolerance, Limit: r.Limit, Notes: append([]string(nil), r.Claim.Notes...), Hold: r.Hold}
	r.note(reason)
}

// withRoomSound holds a level open that is beyond its limit only by what the room may have added to it: a claim of a level
// at a distance is one without a room's echo, at worst for the maker.
func (r *Row) withRoomSound() {
	m := r.Measured
	if r.Claim.Attribute != claims.Noise || r.Verdict != Contradicted || m.RoomAdds <= 0 {
		return
	}
	less := *m
	less.Value = m.Value - m.RoomAdds
	if middle := (r.Limit.Low + r.Limit.High) / 2; side(r.Claim) == claims.About { // of all levels that the room leaves open the one that fits best
		less.Value = math.Min(m.Value, math.Max(less.Value, middle))
	}
	if p, _ := Probability(*r.Limit, &less); p > Risk {
		r.holdOpen(fmt.Sprintf("the room may have added up to %s dB to the level, which would bring it within the limit (probability %s): the reverberation time of the room, in the table room, would settle it",
			numeral.Fixed(m.RoomAdds, 1), Chance(p)))
	}
}
