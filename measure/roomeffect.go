package measure

import "fmt"

// RoomEffect is what a qualified room does to a rate: the factor it is divided by (1 where nothing is corrected) and the
// relative standard uncertainty, with its degrees of freedom, that then stands for mixing, volume and all else the room adds.
type RoomEffect struct {
	Factor, U, DOF float64
	Note           string // how it was found, for the budget
	// Doubted says that the correction lowers the rate and rests on few units: it must not turn a claim into contradicted
	// that the uncorrected rate does not contradict.
	Doubted bool
}

// Rooms gives the effect of a qualified room on a rate of x air changes an hour for a particle. reason says why there is
// none for it; the rate is then that of an ordinary room.
type Rooms interface {
	Effect(particle string, x float64) (e RoomEffect, reason string)
	// Bars says why results of this test may not contradict a claim, "" where they may.
	Bars() string
}

// NotQualified is the flag of a rate for which the room's qualification does not hold.
const NotQualified Flag = "room not qualified for it"

// effect is what the qualified room does to a rate of x per hour, false where the room is not qualified for it.
func (o DecayOptions) effect(particle string, x float64) (RoomEffect, bool) {
	if o.Rooms == nil {
		return RoomEffect{}, false
	}
	e, reason := o.Rooms.Effect(particle, x)
	return e, reason == ""
}

// roomDoubts is what an outcome must survive in a qualified room: a correction that rests on few units, and a room that is
// out of control or unfit.
func (p *decayPhases) roomDoubts(m *Measurement, b basis, x float64, as func(basis) *Measurement, o DecayOptions) {
	if o.Rooms == nil {
		return
	}
	e, reason := o.Rooms.Effect(p.particle, x)
	if reason != "" {
		m.Warn(NotQualified, "The room's qualification does not hold for this rate: "+reason+". It is reduced as in an ordinary room.")
		return
	}
	m.RoomFactor = e.Factor
	if why := o.Rooms.Bars(); why != "" {
		m.Doubts = append(m.Doubts, Doubt{Name: "room", Holds: AgainstContradicted, Why: "the room may not contradict a claim: " + why, Settle: "a room that is in control, qualified anew"})
	}
	if e.Doubted {
		c := b
		c.uncorrected = true
		m.Doubts = append(m.Doubts, Doubt{Name: "uncorrected", Holds: AgainstContradicted, As: as(c),
			Why: fmt.Sprintf("the correction for the room, %.3f, lowers the rate and rests on fewer than eight reference units", e.Factor), Settle: "more reference units with certificates"})
	}
}
