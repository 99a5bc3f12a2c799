package measure

import (
	"fmt"
	"math"
)

// mixed reports whether a mixing fan ran throughout, in off runs too.
func (o DecayOptions) mixed() bool { return Fold(o.Fan) == "on" }

// chamber reports whether the room is a chamber whose standard asks for its mixing: by name, with its standard named and
// mixing on. The word alone shows nothing.
func (o DecayOptions) chamber() bool {
	return Fold(o.Method) == "chamber" && o.Standard != "" && o.mixed()
}

// room is what the room adds to a rate of x per hour, as a part of it: as the case states it, or by gate.csv.
func (o DecayOptions) room(x float64) part {
	place := "ordinary room"
	if Fold(o.Method) == "chamber" {
		place = "chamber"
	}
	q := part{name: place + " (method allowance)", u: o.MethodU, dof: math.Inf(1), kind: "B"}
	if !o.assumed {
		q.note = fmt.Sprintf("%.3g %% of the rate, as stated for this %s", 100*q.u, place[max(0, len(place)-7):])
		if place == "ordinary room" {
			q.note = fmt.Sprintf("%.3g %% of the rate, as stated for this room", 100*q.u)
		}
		return q
	}
	if o.chamber() {
		return part{}
	}
	q.name, q.dof = "ordinary room (method allowance)", TypeBDOF(GateValue("doubt of the room"))
	if place == "chamber" {
		q.name = "chamber, its mixing not shown (method allowance)"
	}
	if o.mixed() {
		q.u = math.Hypot(GateValue("room with the fan"), x/(4*GateValue("usual exchange with the fan")))
		q.note = fmt.Sprintf("%.2g %% of the rate for furniture, drifting humidity and what mixing leaves with the fan on (this project's choice, itself known to about a quarter). A case may state its own.", 100*q.u)
		return q
	}
	q.u = GateValue("room without the fan")
	q.note = fmt.Sprintf("%.3g %% of the rate for imperfect mixing, furniture and drifting humidity in an ordinary room (this project's choice, itself known to about a quarter; published rates with the mixing fans off were 3 to 16 %% lower). A case may state its own.", 100*q.u)
	return q
}

// seen is the least part of a rate of x per hour that mixing lets be seen: two halves of a room with the exchange b show
// 1 - x/(4b) of it, and with the fan off no more is taken than the largest effect published. 1 in a chamber.
func (o DecayOptions) seen(x float64) float64 {
	const least = 0.1 // beyond, the relation says nothing
	switch {
	case o.chamber():
		return 1
	case o.mixed():
		return math.Max(least, 1-x/(4*GateValue("exchange with the fan")))
	}
	return math.Max(least, math.Min(GateValue("effect without"), 1-x/(4*GateValue("exchange without"))))
}

// deposition is the standard uncertainty per hour of natural decay for air that the unit moves and the off runs did not.
func (o DecayOptions) deposition(natural float64) float64 {
	if o.mixed() {
		return 0
	}
	return GateValue("deposition") * math.Max(natural, 0) / math.Sqrt(3)
}
