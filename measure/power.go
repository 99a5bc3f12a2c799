package measure

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure/uncertainty"
)

// PowerLog is a logged power: watts at times in seconds from any origin. Seconds may be nil for evenly spaced samples.
type PowerLog struct {
	Seconds []float64
	Watts   []float64
}

// PowerReading is one row of the power table: a reading or a log at a setting.
type PowerReading struct {
	Setting    string  // "standby" gives standby power
	Watts      float64 // taken from Log where that is given; the middle of a range
	Half       float64 // W, half the width of a reading that is given as a range
	U          float64 // W, the standard uncertainty that the book states of the reading; 0 or NaN where it states none
	Log        *PowerLog
	Instrument string
	Meter      Meter
	Place      string
	Name       string
	Notes      []string // of the log: what was left out, what was taken for granted
}

// watts is one row reduced.
type watts struct {
	reading PowerReading
	value   float64
	within  float64 // standard uncertainty of a log's mean: scatter of its parts and drift
	run     Run
}

// ReducePower makes one Measurement for each setting, in order of first appearance: attribute "power", for the setting
// "standby" the attribute "standby power".
//
// A log is averaged over time from the end of its warm-up (see Steady). Repeats are averaged; their spread gives s/√n
// with n − 1 degrees of freedom. The meter's error is common to all readings. A meter of no stated accuracy gets
// u = 3 % of the reading + 0.5 W; with it a standby power below 2 W is NotTestable.
func ReducePower(rs []PowerReading) ([]Measurement, []RunProblem) {
	var problems []RunProblem
	groups, order := map[string][]watts{}, []string(nil)
	for _, r := range rs {
		w, bad := reduceWatts(r)
		if bad != nil {
			problems = append(problems, *bad)
			continue
		}
		key := Fold(r.Setting)
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], *w)
	}
	var out []Measurement
	for _, key := range order {
		out = append(out, powerResult(groups[key]))
	}
	return out, problems
}

func reduceWatts(r PowerReading) (*watts, *RunProblem) {
	refuse := func(format string, args ...any) (*watts, *RunProblem) {
		return nil, &RunProblem{Run: rowName(r.Name, r.Setting), Place: r.Place, Text: fmt.Sprintf(format, args...), Attribute: powerAttribute(r.Setting), Setting: r.Setting}
	}
	w := &watts{reading: r, value: r.Watts}
	w.run = Run{Run: rowName(r.Name, r.Setting), Unit: "W", Points: 1, R2: math.NaN(), Place: r.Place}
	if r.Log != nil {
		t, clean, dropped, said, bad := dropouts("power", r.Log.Seconds, r.Log.Watts, standby(r.Setting))
		if bad != "" {
			return refuse("%s", bad)
		}
		st := Steady(PowerLog{Seconds: t, Watts: clean})
		if st.Points == 0 {
			return refuse("the log has no readings of power")
		}
		w.value, w.within = st.Mean, st.U
		w.run.Points, w.run.From, w.run.To, w.run.Flags = st.Points, clock(st.From), clock(st.To), append(logNotes(r.Notes), st.Warnings...)
		if w.run.Dropped = dropped; said != "" {
			w.run.Flags = append(w.run.Flags, Warning{Dropouts, said})
		}
	}
	switch {
	case !finite(w.value):
		return refuse("no power is given")
	case w.value < 0:
		return refuse("a power of %g W is below zero; is the meter's direction reversed?", w.value)
	case w.value > 20000:
		return refuse("a power of %g W is not plausible for a room air cleaner; watts are expected", w.value)
	}
	w.run.Value, w.run.Std = w.value, w.within
	return w, nil
}

func powerResult(ws []watts) Measurement {
	first := ws[0].reading
	m := Measurement{Attribute: powerAttribute(first.Setting), Setting: first.Setting, Unit: "W"}
	var values []float64
	logs, assumed := 0, false
	for _, w := range ws {
		values = append(values, w.value)
		m.Runs = append(m.Runs, w.run)
		m.Instrument = joinNew(m.Instrument, w.reading.Instrument)
		if w.reading.Log != nil {
			logs++
		}
	}
	m.Value, _ = meanSD(values)
	m.Budget, assumed = powerBudget(ws, values, &m)
	m.Expand()
	m.Method = fmt.Sprintf("Mean of %s", plural(len(ws), "reading"))
	if logs > 0 {
		m.Method += fmt.Sprintf(", %d of them the mean over time of a log after warm-up", logs)
	}
	m.Method += "; the supply voltage as it was."
	if len(ws) == 1 {
		m.Warn(Indicative, "one reading: no repeat shows how far it can be reproduced")
	}
	if standbyFloor := ThresholdOf("standby floor"); m.Attribute == "standby power" && assumed && m.Value < standbyFloor {
		m.Warn(NotTestable, fmt.Sprintf("a standby power below %g W by a meter of no stated accuracy: the meter may err by as much as the load", standbyFloor))
	}
	return m
}

// powerAttribute is the attribute that watts at a setting are a result of.
func powerAttribute(setting string) string {
	if strings.ReplaceAll(Fold(setting), " ", "") == "standby" { // "Stand-by" too
		return "standby power"
	}
	return "power"
}

// standby reports whether a setting is standby, "Stand-by" too.
func standby(setting string) bool { return strings.ReplaceAll(Fold(setting), " ", "") == "standby" }

func powerBudget(ws []watts, values []float64, m *Measurement) (b uncertainty.Budget, assumed bool) {
	n := float64(len(ws))
	var meter, within, ranged float64
	meterDOF, meterNote := math.Inf(1), ""
	var shown []float64 // single readings, whose decimals tell the display's resolution
	for _, w := range ws {
		u, dof, note, guess := w.reading.Meter.wattsU(w.value)
		if w.reading.U > 0 {
			u, dof, note, guess = w.reading.U, math.Inf(1), "stated with the reading", ""
		}
		ranged = math.Hypot(ranged, w.reading.Half/math.Sqrt(3)/n)
		meter += u / n
		meterDOF = math.Min(meterDOF, dof)
		meterNote = joinNew(meterNote, note)
		within = math.Hypot(within, w.within/n)
		if w.reading.Log == nil {
			shown = append(shown, w.value-w.reading.Half, w.value+w.reading.Half)
		}
		if guess != "" {
			assumed = true
			m.Warn(AssumedAccuracy, guess)
		}
	}
	if len(ws) > 1 {
		_, sd := meanSD(values)
		b = append(b, uncertainty.Component{Name: "repeats", U: sd / math.Sqrt(n), DOF: n - 1, Kind: "A",
			Note: fmt.Sprintf("standard deviation %.3g W of %d readings, over √%d", sd, len(ws), len(ws))})
	}
	if within > 0 {
		b = append(b, uncertainty.Component{Name: "variation in the log", U: within, DOF: batches - 1, Kind: "A",
			Note: "means of eighths of the steady part, and its drift"})
	}
	if ranged > 0 {
		b = append(b, uncertainty.Component{Name: "readings given as a range", U: ranged, DOF: math.Inf(1), Kind: "B", Note: "half the range, rectangular: a/√3"})
	}
	b = append(b, uncertainty.Component{Name: meterAccuracy, U: meter, DOF: meterDOF, Kind: "B", Note: meterNote})
	step := 0.0
	switch {
	case wholeNumbers(shown):
		step = 1
	case oneDecimal(shown):
		step = 0.1
	case len(shown) > 0:
		step = 0.01
	}
	if step > 0 {
		b = append(b, uncertainty.Component{Name: "resolution", U: step / math.Sqrt(12), DOF: math.Inf(1), Kind: "B",
			Note: fmt.Sprintf("readings in steps of %g W, rectangular: step/√12", step)})
	}
	return b, assumed
}

// meterAccuracy names the component that two readings of one meter share.
const meterAccuracy = "meter accuracy"

// wattsU is the standard uncertainty of a power meter at a reading, with its degrees of freedom and its note in the
// budget; assumed says so where the default stands in because the book states no accuracy of a power, else "".
func (m Meter) wattsU(reading float64) (u, dof float64, note, assumed string) {
	if m.Acc != nil && m.Acc.Class == 0 && (m.Acc.Abs == 0 || m.Acc.Unit == "W") {
		return m.Acc.U(reading), m.Acc.DOF(), m.Acc.note(), ""
	}
	d := instrument("power unknown")
	note, assumed = d.note(), "no accuracy of the meter is stated; taken as: "+d.short()
	if m.Acc != nil {
		note = fmt.Sprintf("%q is no accuracy of a power; %s", m.Acc.Text, note)
		assumed = fmt.Sprintf("%q is no accuracy of a power; taken as: %s", m.Acc.Text, d.short())
	}
	return d.U(reading), d.DOF(), note, assumed
}
