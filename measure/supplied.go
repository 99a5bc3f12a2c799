package measure

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure/uncertainty"
)

// Supplied is a result that came as a number, from a laboratory's report or a label, in the unit that results of its
// attribute are given in. U is its standard uncertainty and K the coverage factor it was stated with, NaN and 0 where no
// uncertainty was stated. A range is its two ends.
type Supplied struct {
	Attribute, Setting, Particle string
	Low, High                    float64
	Unit                         string
	U, K                         float64
	Distance                     float64 // of a level in m, 0 where not recorded
	SoundPower                   bool    // a level is a sound power level
	Basis, How                   string  // conditions and method, as written
	Laboratory, Report, Standing string  // who, in which report, and under which accreditation; "" where not stated
	Date                         string
	Place                        string
}

// SuppliedUnits gives the unit in which results of each attribute are given.
var SuppliedUnits = map[string]string{"delivery rate": "m3/h", "noise": "dB(A)", "power": "W", "standby power": "W", "annual energy": "kWh", "filter efficiency": "%",
	"filter life": "h", "room area": "m2", "clean time": "min", "carbon mass": "g", "ozone": "ppb"}

// Unstated is the flag of a number that came without an uncertainty.
const Unstated Flag = "uncertainty not stated"

// Result makes a Measurement of a supplied number. Its uncertainty is believed as stated; a range adds its half-width over
// √3. A single number without an uncertainty decides nothing: it is not testable, and says so.
func (s Supplied) Result() Measurement {
	m := Measurement{Attribute: s.Attribute, Setting: s.Setting, Particle: s.Particle, Value: (s.Low + s.High) / 2, Unit: s.Unit, Distance: s.Distance, SoundPower: s.SoundPower, Source: s.source(), Basis: s.Basis}
	if s.U > 0 {
		m.Budget = append(m.Budget, uncertainty.Component{Name: "as stated", U: s.U, DOF: math.Inf(1), Kind: "B", Note: fmt.Sprintf("expanded uncertainty of the report divided by its coverage factor of %.3g", s.K)})
	}
	if s.High > s.Low {
		m.Budget = append(m.Budget, uncertainty.Component{Name: "range", U: (s.High - s.Low) / 2 / math.Sqrt(3), DOF: math.Inf(1), Kind: "B", Note: fmt.Sprintf("%.5g to %.5g, rectangular", s.Low, s.High)})
	}
	m.Expand()
	if s.U > 0 && s.High == s.Low && s.K > 0 { // U as it was stated
		m.K, m.Expanded = s.K, s.K*m.Std
		m.Interval = [2]float64{m.Value - m.Expanded, m.Value + m.Expanded}
	}
	m.Method = "Supplied by " + m.Source + "."
	if s.How != "" {
		m.Method = "By " + s.How + "; supplied by " + m.Source + "."
	}
	if !(m.Std > 0) {
		m.Warn(Unstated, "the report states no uncertainty")
		m.Warn(NotTestable, "the number came without an uncertainty: ask the laboratory for the expanded uncertainty and its coverage factor")
	}
	if s.Standing == "" {
		m.Warn("accreditation not stated", "no accreditation is stated for this number")
	}
	m.Runs = []Run{{Run: s.Report, Value: m.Value, Unit: m.Unit, Std: m.Std, R2: math.NaN(), Place: s.Place}}
	return m
}

// source names who supplied the number, in which report and under which accreditation.
func (s Supplied) source() string {
	who := s.Laboratory
	if who == "" {
		who = "a laboratory that is not named"
	}
	parts := []string{who}
	if s.Standing != "" {
		parts = append(parts, "accreditation "+s.Standing)
	}
	if s.Report != "" {
		parts = append(parts, "report "+s.Report)
	}
	if s.Date != "" {
		parts = append(parts, s.Date)
	}
	return strings.Join(parts, ", ")
}
