// Package measure turns readings into results with uncertainty. Each reduction takes numbers, not files, and returns a
// Measurement: the value, its budget, the runs it came from and the warnings that belong to it, as data.
package measure

import (
	"math"
	"time"

	"weighhouse/measure/uncertainty"
)

// Flag is a short code that travels with a result and with every claim that is judged by it.
type Flag string

// The flags that change how a claim may be judged (trade: decision rule, benefit of doubt).
const (
	Indicative   Flag = "indicative"     // one run of a phase: no verdict rests on replication
	UpperBound   Flag = "upper bound"    // background too near: can support an "at most" claim, never contradict it
	RoomTooSmall Flag = "room too small" // the unit empties the room too fast: a shortfall never contradicts
	ReadsLow     Flag = "reads low"      // the sensor makes the rate come out low: a shortfall never contradicts
	LowerBound   Flag = "lower bound"    // the true value is at least this: can support a floor, never contradict it
	Extrapolated Flag = "extrapolated"   // the answer lies beyond the last observation
	NotTestable  Flag = "not testable"   // too few counts, too coarse a meter: no outcome could decide
)

// Warning says in one sentence what weakens a result. Flag is its short code.
type Warning struct {
	Flag Flag
	Text string
}

// Measurement is one reduced result.
type Measurement struct {
	ID         string // "M1", "M2" … given by the caller
	Attribute  string // one of the contract's attributes: "delivery rate", "noise" …
	Setting    string
	Particle   string
	Value      float64
	Unit       string // canonical name in package unit: m3/h, dB(A), W, kWh, %, h, m2, min, g, ppb
	Budget     uncertainty.Budget
	Std        float64 // combined standard uncertainty u
	Expanded   float64 // U = K*Std, about 95 %
	K          float64
	DOF        float64 // +Inf where no component has finite degrees of freedom
	Method     string  // one or two sentences for the report
	Runs       []Run
	Warnings   []Warning
	Distance   float64 // sound only: metres from the unit, 0 if not recorded
	RoomAdds   float64 // sound only: what the room may add to the level at most, dB; 0 where that was taken off
	Exact      Exact   // where the distribution is not a t: counts; nil otherwise
	Interval   [2]float64
	Instrument string
	RoomFactor float64 // what a qualified room had the rate divided by; 0 for none
	Doubts     []Doubt // what an outcome must survive before a claim is decided on this
	SoundPower bool    // of a level: a sound power level, not a pressure level at a distance
	Source     string  // who supplied a result that came as a number; "" where it was measured here
	Basis      string  // conditions of such a result, as written
}

// Exact gives the probability for results whose distribution is not a Student t, such as counts.
type Exact interface {
	// AtLeast returns the probability that the true value is at least limit, as the decision rule reads it, and a note
	// (for instance "not testable at this count") or "".
	AtLeast(limit float64) (p float64, note string)
}

// Run is one run, reading or repeat behind a Measurement.
type Run struct {
	Run     string
	State   string // decay: "on" or "off"
	Value   float64
	Unit    string
	Std     float64 // within-run standard uncertainty
	From    string  // as the log's own clock or elapsed time, for people
	To      string
	Start   time.Time // of the first reading used, as the log's own clock shows it; zero where the log names no day
	Points  int
	Dropped int     // readings of a log that were codes for no reading and left out
	R2      float64 // NaN where no line was fitted
	Flags   []Warning
	Phases  []PhaseSpan // decay: what the log holds, in order of time
	LeftOut bool        // by the book, with its cause: no part of the result
	Curve   *Curve      // nil where there is nothing to draw
	Place   string      // where the row stands: "lab.xlsx: sheet decay, row 4"
}

// PhaseSpan is a phase of a decay log: fill, plateau, natural, on or floor.
type PhaseSpan struct {
	Phase    string
	From, To string     // as the log's own clock or elapsed time, for people
	Rate     float64    // 1/h, falling; negative where the readings rise
	Hours    [2]float64 // since the first reading used in the fit, as in Curve
}

// Curve is what a decay figure draws: the readings, thinned to at most 2,000, and the fitted line.
type Curve struct {
	Hours      []float64 // since the first reading used in the fit; readings before it are negative
	Value      []float64 // as the sensor showed it
	Background float64
	A, K       float64 // fitted excess A*exp(-K*Hours) over Background, K per hour
	From, To   float64 // the window, in Hours
	ValueUnit  string
}

// Expand fills Std, DOF, K, Expanded and Interval from the budget.
func (m *Measurement) Expand() {
	e := m.Budget.Expand()
	m.Std, m.DOF, m.K, m.Expanded = e.U, e.DOF, e.K, e.Exp
	m.Interval = [2]float64{m.Value - m.Expanded, m.Value + m.Expanded}
}

// Flags lists the distinct codes of the result's warnings and of its runs', in order of first appearance.
func (m *Measurement) Flags() []Flag {
	var out []Flag
	seen := map[Flag]bool{}
	add := func(ws []Warning) {
		for _, w := range ws {
			if !seen[w.Flag] {
				seen[w.Flag] = true
				out = append(out, w.Flag)
			}
		}
	}
	add(m.Warnings)
	for _, r := range m.Runs {
		add(r.Flags)
	}
	return out
}

// Has reports whether the result itself carries the flag.
func (m *Measurement) Has(f Flag) bool {
	for _, w := range m.Warnings {
		if w.Flag == f {
			return true
		}
	}
	return false
}

// Warn adds a warning once.
func (m *Measurement) Warn(f Flag, text string) {
	for _, w := range m.Warnings {
		if w.Flag == f && w.Text == text {
			return
		}
	}
	m.Warnings = append(m.Warnings, Warning{f, text})
}

// Finite reports whether every number of the result is finite; DOF may be +Inf.
func (m *Measurement) Finite() bool {
	for _, x := range []float64{m.Value, m.Std, m.Expanded, m.K} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return !math.IsNaN(m.DOF)
}
