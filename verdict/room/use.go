package room

import (
	"fmt"

	"weighhouse/measure"
)

// InForce is a qualification as audits of a test on its day use it. It implements measure.Rooms.
type InForce struct{ *Qualification }

// Effect gives what the room does to a rate of x air changes an hour, or the reason why the qualification does not hold.
func (f InForce) Effect(particle string, x float64) (measure.RoomEffect, string) {
	q := f.Qualification
	switch {
	case q.Model == nil:
		return measure.RoomEffect{}, q.Why
	case q.Identity.Particle != "" && particle != q.Identity.Particle:
		return measure.RoomEffect{}, fmt.Sprintf("the room is qualified for %s, the rate is for %s", q.Identity.Particle, particle)
	}
	c, err := q.Model.For(x)
	if err != nil {
		return measure.RoomEffect{}, err.Error()
	}
	e := measure.RoomEffect{Factor: 1, U: c.U, DOF: c.DOF, Doubted: c.Doubted}
	n, labs, _ := q.Counts()
	how := fmt.Sprintf("a factor of 1 is tenable (z = %.1f), so nothing is corrected and the shift of %+.1f %% is part of the uncertainty", c.Z, 100*(c.Factor-1))
	if c.Applied {
		e.Factor = c.Factor
		how = fmt.Sprintf("the rate is divided by %.4f", c.Factor)
	}
	e.Note = fmt.Sprintf("%.2g %% of the rate by the room book: %d reference units with certificates of %s; %s. It stands in place of mixing, furniture and the room's volume.", 100*c.U, n, plural(labs, "laboratory", "laboratories"), how)
	return e, ""
}

// Bars says why the room may not contradict a claim on the day, "" where it may.
func (f InForce) Bars() string { return f.Qualification.Bars(f.Day) }

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
