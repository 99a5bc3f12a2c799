package measure

import (
	_ "embed"
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"

	"weighhouse/measure/source"
)

// Dim is a length or a volume with its standard uncertainty: m, or m3. U is NaN where none is stated.
type Dim struct{ Value, U float64 }

// given reports whether a dimension was stated at all.
func (d Dim) given() bool { return finite(d.Value) && d.Value != 0 }

// RoomDims is a room as the book states it: three lengths, or its volume.
type RoomDims struct{ Length, Width, Height, Volume Dim }

// The uncertainties that stand in where the book states none (this project's choice): a tape measure in an ordinary
// room, and a volume that someone wrote down.
const (
	lengthDoubt = 0.01 // m
	volumeDoubt = 0.02 // of the volume
)

// VolumeFrom is the room's volume in m3 with its standard uncertainty and how it was found:
// u(V)/V = √[(u_L/L)² + (u_W/W)² + (u_H/H)²]. A stated volume comes first where both are given and agree within 5 %; an
// error where they do not, and where neither is complete.
func (d RoomDims) VolumeFrom() (v, u float64, text string, err error) {
	for _, x := range []Dim{d.Length, d.Width, d.Height, d.Volume} {
		if x.given() && x.Value < 0 || finite(x.U) && x.U < 0 {
			return 0, 0, "", fmt.Errorf("a room dimension of %g ± %g: above zero is needed", x.Value, x.U)
		}
	}
	box := d.Length.given() && d.Width.given() && d.Height.given()
	var bv, bu float64
	var bt string
	if box {
		bv = d.Length.Value * d.Width.Value * d.Height.Value
		var rel float64
		assumed := ""
		for _, x := range []Dim{d.Length, d.Width, d.Height} {
			ux := x.U
			if !finite(ux) || ux == 0 {
				ux, assumed = lengthDoubt, fmt.Sprintf(" (u = %g m where no ± is stated, this project's choice)", lengthDoubt)
			}
			rel = math.Hypot(rel, ux/x.Value)
		}
		bu = bv * rel
		bt = fmt.Sprintf("%g x %g x %g m%s", d.Length.Value, d.Width.Value, d.Height.Value, assumed)
	}
	switch {
	case d.Volume.given() && box && math.Abs(bv-d.Volume.Value) > 0.05*d.Volume.Value:
		return 0, 0, "", fmt.Errorf("the volume %g m3 and the sides %s, which give %.4g m3, differ by more than 5 %%", d.Volume.Value, bt, bv)
	case d.Volume.given() && (!finite(d.Volume.U) || d.Volume.U == 0):
		return d.Volume.Value, volumeDoubt * d.Volume.Value, fmt.Sprintf("stated volume (u = %g %% where no ± is stated, this project's choice)", 100*volumeDoubt), nil
	case d.Volume.given():
		return d.Volume.Value, d.Volume.U, "stated volume", nil
	case box:
		return bv, bu, bt, nil
	}
	return 0, 0, "", errors.New("a room needs length, width and height, or its volume")
}

//go:embed room_rules.csv
var roomRulesCSV string

// AreaRule is one row of room_rules.csv: a published rule from a delivery rate to the area it serves. It states either
// the area a m3/h directly, or air changes an hour, or a fall to a remaining part within minutes.
type AreaRule struct {
	ID, Name     string
	SameAs       string  // the id of this rule in version 0.1.0, kept for one release
	AreaPerM3h   float64 // m2 per m3/h as the rule states it; NaN where it follows from what stands below
	AirChanges   float64 // 1/h; NaN where not stated
	Minutes      float64 // time of the fall; NaN where not stated
	Remaining    float64 // part of the particles left after Minutes
	Natural      float64 // 1/h that the rule takes off as natural loss
	Ceiling      float64 // m, the rule's own
	Note         string
	Keys         []string // words by which a claim's stated conditions name the rule; of the two ends of a range only the one in the maker's favour has any
	Source, Mark string
}

// Fraction is the part removed in Minutes, NaN where the rule names none.
func (r AreaRule) Fraction() float64 { return 1 - r.Remaining }

var loadAreaRules = sync.OnceValue(func() []AreaRule {
	var out []AreaRule
	for _, r := range table(roomRulesCSV) {
		out = append(out, AreaRule{
			ID: r["id"], SameAs: r["same_as"], Name: r["name"], Note: r["note"], Keys: strings.Split(r["keys"], "|"), Source: r["source"], Mark: r["mark"],
			AreaPerM3h: number(r["area_per_m3h"]), AirChanges: number(r["air_changes"]), Minutes: number(r["minutes"]),
			Remaining: number(r["remaining"]), Natural: number(r["natural"]), Ceiling: number(r["ceiling"]),
		})
	}
	return out
})

// AreaRules lists the published rules, each with its source.
func AreaRules() []AreaRule { return append([]AreaRule(nil), loadAreaRules()...) }

// Rate is CADR/V in 1/h that the rule asks of the unit: as stated, or −ln(remaining)·60/minutes − natural, or 1/(area
// per m3/h · ceiling).
func (r AreaRule) Rate() float64 {
	switch {
	case finite(r.AirChanges):
		return r.AirChanges
	case finite(r.Minutes):
		return -math.Log(r.Remaining)*60/r.Minutes - r.Natural
	}
	return 1 / (r.AreaPerM3h * r.Ceiling)
}

// PerM3h is the area in m2 that the rule gives for each m3/h: A = CADR/(rate·ceiling).
func (r AreaRule) PerM3h() float64 {
	if finite(r.AreaPerM3h) {
		return r.AreaPerM3h
	}
	return 1 / (r.Rate() * r.Ceiling)
}

// Area is the area in m2 that the rule gives for a delivery rate in m3/h.
func (r AreaRule) Area(rateM3h float64) float64 { return r.PerM3h() * rateM3h }

// RuleArea is what one rule makes of a measured rate.
type RuleArea struct {
	Rule    AreaRule
	Area, U float64 // m2, standard uncertainty
	Meets   bool    // the area is at least the one asked about
}

// AreasByRule sets a measured rate under every rule, beside an area in m2 that is claimed (0 if none is).
func AreasByRule(rate Measurement, claimed float64) []RuleArea {
	var out []RuleArea
	for _, r := range loadAreaRules() {
		a := r.Area(rate.Value)
		out = append(out, RuleArea{Rule: r, Area: a, U: r.PerM3h() * rate.Std, Meets: a >= claimed})
	}
	return out
}

// AirChanges is the air changes an hour of a rate in m3/h in a volume in m3; 0 where the volume is not above zero.
func AirChanges(rateM3h, volume float64) float64 {
	if !(volume > 0) {
		return 0
	}
	return rateM3h / volume
}

// RoomArea is the area in m2 that a delivery rate serves at air changes an hour and a ceiling in m, A = CADR/(ACH·h); both
// are conditions of the claim and carry no uncertainty. It is NotTestable where either is not above zero.
func RoomArea(rate Measurement, ach, ceiling float64) Measurement {
	m := Measurement{Attribute: "room area", Unit: "m2", Setting: rate.Setting, Particle: rate.Particle, Instrument: rate.Instrument}
	if !(ach > 0) || !(ceiling > 0) || !finite(ach, ceiling, rate.Value) {
		m.Method = "No room area."
		m.Warn(NotTestable, fmt.Sprintf("a room area needs air changes an hour and a ceiling above zero: %g 1/h, %g m", ach, ceiling))
		m.Expand()
		return m
	}
	c := 1 / (ach * ceiling)
	m.Value = rate.Value * c
	m.Budget = scaled(rate.Budget, c, "delivery rate: ")
	m.Expand()
	m.Method = fmt.Sprintf("A = CADR/(ACH x h) at %.4g air changes an hour and a ceiling of %g m, which are conditions and carry no uncertainty.", ach, ceiling)
	m.inherit(&rate, "delivery rate")
	return m
}

// RuleRoomArea is the area in m2 by one published rule, with the uncertainty of the rate.
func RuleRoomArea(rate Measurement, rule AreaRule) Measurement {
	m := RoomArea(rate, rule.Rate(), rule.Ceiling)
	m.Method = fmt.Sprintf("Area by the rule %q (%s): %.5g m2 per m3/h.", rule.Name, source.Cited(rule.Source, rule.Mark), rule.PerM3h())
	return m
}
