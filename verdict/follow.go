package verdict

import (
	"math"

	"weighhouse/claims"
	"weighhouse/measure/setting"
)

// allowances are what the tolerance of a claim hangs on: the case's own tolerances, and the other claims, from which a
// figure may follow.
type allowances struct {
	over   []Override
	claims []claims.Claim
}

// follows is the tolerance of a figure that follows from another by a formula, a room area and a clean time from the
// delivery rate, a yearly energy from the power and the standby power: that other claim's own tolerance, taken through the
// formula, so that one measurement does not meet the one claim and miss the other. ok is false for other attributes.
//
//	area: a part f of the rate is the part f of the area    time: 1/(1 − f) − 1    energy: f of the power's share and of the standby's
func (al allowances) follows(c claims.Claim, from claims.Attribute) (t Tolerance, note string) {
	f, t := al.part(c, from)
	switch c.Attribute {
	case claims.CleanTime:
		if f < 1 {
			f = 1/(1-f) - 1
		}
	case claims.AnnualEnergy:
		at := end(c)
		if idle := al.standbyEnergy(c); idle > 0 && idle < at {
			g, _ := al.part(c, claims.StandbyPower)
			f = (f*(at-idle) + g*idle) / at
		}
	}
	t.Value, t.Unit, t.Amount = 100*f, "%", end(c)*f
	note = "the claim follows from the " + string(from) + ", and takes its tolerance through the formula"
	return t, note
}

// part is the tolerance of the claim that another follows from as a part of that claim; where the maker makes no such
// claim, of the value that the other implies. Of several the widest counts.
func (al allowances) part(c claims.Claim, from claims.Attribute) (f float64, t Tolerance) {
	f = -1
	for _, b := range al.claims {
		if b.Attribute != from || b.Claimed == nil || b.Claimed.Unit == "" || !(end(b) > 0) || from != claims.StandbyPower && !sameSetting(b.Setting, c.Setting) ||
			from == claims.DeliveryRate && b.Particle != "" && c.Particle != "" && b.Particle != c.Particle {
			continue
		}
		if own, _ := al.direct(b); own.Amount/end(b) > f {
			f, t = own.Amount/end(b), own
		}
	}
	if f >= 0 {
		return f, t
	}
	value := implied(c, from)
	if !(value > 0) {
		return 0, Tolerance{Source: "no tolerance is stated", Mark: "judgement"}
	}
	b := claims.Claim{Attribute: from, Claimed: &claims.Range{Low: value, High: value}}
	if info, ok := claims.Lookup(string(from)); ok {
		b.Bound, b.Claimed.Unit = info.Bound, info.Unit
	}
	own, _ := al.direct(b)
	return own.Amount / value, own
}

// sameSetting reports whether two claims are of one setting; a blank is the highest.
func sameSetting(a, b string) bool {
	return setting.Same(a, b) || setting.Asks(a) && setting.Asks(b)
}

// implied is the rate in m3/h, or the watts, that a claim implies; 0 where it cannot be told.
func implied(c claims.Claim, from claims.Attribute) float64 {
	at := end(c)
	switch c.Attribute {
	case claims.RoomArea:
		rule, ruled := areaRule(c.Basis)
		switch ceiling := c.Basis.Ceiling; {
		case c.Basis.AirChanges > 0 && ceiling > 0:
			return at * c.Basis.AirChanges * ceiling
		case c.Basis.AirChanges > 0:
			return at * c.Basis.AirChanges * defaultCeiling
		case ruled:
			return at / rule.PerM3h()
		}
	case claims.CleanTime:
		volume, _ := claimedVolume(c.Basis)
		return -60 * math.Log1p(-c.Basis.Reduction) * volume / at
	case claims.AnnualEnergy:
		if on, _ := energyHours(c.Basis); from == claims.Power && on > 0 {
			return at * 1000 / 365 / on
		}
	}
	return 0
}

// standbyEnergy is the part in standby of a claimed yearly energy in kWh, by the standby power that the maker claims; 0
// where it names none.
func (al allowances) standbyEnergy(c claims.Claim) float64 {
	_, off := energyHours(c.Basis)
	for _, b := range al.claims {
		if b.Attribute == claims.StandbyPower && b.Claimed != nil && b.Claimed.Unit != "" {
			return b.Claimed.High * off * 365 / 1000
		}
	}
	return 0
}

// end is the end of a claim by which it is judged: the high one of a ceiling, else the low one.
func end(c claims.Claim) float64 {
	if c.Bound == claims.AtMost || c.Bound == claims.UpTo && ceiling(c.Attribute) {
		return c.Claimed.High
	}
	return c.Claimed.Low
}
