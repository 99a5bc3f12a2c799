package measure

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure/uncertainty"
)

// Flags of sound results beside those that change the verdict.
const (
	WeightingUnknown Flag = "weighting not recorded" // dB as written: the meter may not have been set to A
	DistanceUnknown  Flag = "distance not recorded"
	AssumedAccuracy  Flag = "assumed accuracy"  // no accuracy in the book: a cautious default stands in
	UnsteadyLog      Flag = "unsteady"          // the log rises, falls or jumps where it should be level
	ScatteredRuns    Flag = "scattered repeats" // repeats differ by more than their own uncertainty explains
)

// LevelLog is a logged sound level: A-weighted levels in dB at times in seconds from any origin. Seconds may be nil for
// evenly spaced samples.
type LevelLog struct {
	Seconds []float64
	Level   []float64
}

// SoundReading is one row of the sound table: a position or a repeat.
type SoundReading struct {
	Setting    string
	Distance   float64   // metres from the unit; NaN or 0 where not recorded
	Level      float64   // dB; taken from Log where that is given
	Background float64   // dB with the unit off; NaN where none was read
	Log        *LevelLog // nil where one level was read
	Instrument string
	Meter      Meter
	Place      string
	Name       string // label of the row, may be blank
	Weighted   bool   // the book says dB(A)
}

// phoneFloor is the level below which a phone's built-in microphone is refused unless background was recorded, in dB
// (this project's choice: its own noise is not known).
const phoneFloor = 35

// level is one row reduced: its level over the row's time, and that level corrected for background.
type level struct {
	reading   SoundReading
	raw       float64
	corrected float64
	cL, cB    float64 // sensitivities of corrected to raw and to background
	bound     string  // why it is an upper bound, "" if it is none
	within    float64 // standard uncertainty from a fluctuating log
	run       Run
}

// ReduceSound makes one Measurement of attribute "noise" for each setting and distance, in order of first appearance.
//
// A log is reduced to its L_eq. Each level is corrected for background, L_s = 10·lg(10^(0.1·L') − 10^(0.1·B)), by the
// criteria of ISO 3744 (from memory): above 15 dB no correction, 6 to 15 dB correction, 3 to 6 dB a correction of at
// most 1.3 dB and the flag UpperBound, below 3 dB or without background no correction and UpperBound. Positions and
// repeats are averaged by energy; their spread gives s/√n with n − 1 degrees of freedom. The meter's error is common to
// all rows; u²(L_s) = c_L²·u²(L') + c_B²·u²(B), c_L = 1/(1 − 10^(−0.1·ΔL)), c_B = c_L − 1. A level is never converted to
// another distance. Rows that cannot be used are returned as problems.
func ReduceSound(rs []SoundReading) ([]Measurement, []RunProblem) {
	var problems []RunProblem
	groups, order := map[string][]level{}, []string(nil)
	for _, r := range rs {
		l, bad := reduceLevel(r)
		problems = append(problems, bad...)
		if l == nil {
			continue
		}
		key := fmt.Sprintf("%s\x00%g", Fold(r.Setting), distance(r))
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], *l)
	}
	var out []Measurement
	for _, key := range order {
		out = append(out, soundResult(groups[key]))
	}
	return out, problems
}

// distance is the row's distance, 0 where it is not recorded.
func distance(r SoundReading) float64 {
	if finite(r.Distance) && r.Distance > 0 {
		return r.Distance
	}
	return 0
}

func reduceLevel(r SoundReading) (*level, []RunProblem) {
	refuse := func(format string, args ...any) (*level, []RunProblem) {
		return nil, []RunProblem{{Run: rowName(r.Name, r.Setting), Place: r.Place, Text: fmt.Sprintf(format, args...), Attribute: "noise", Setting: r.Setting}}
	}
	l := &level{reading: r, raw: r.Level, cL: 1}
	l.run = Run{Run: rowName(r.Name, r.Setting), Unit: "dB(A)", Points: 1, R2: math.NaN(), Place: r.Place}
	if r.Log != nil {
		t, clean, said, bad := dropouts("level", r.Log.Seconds, r.Log.Level, false)
		if bad != "" {
			return refuse("%s", bad)
		}
		s := newSeries(t, clean, EnergyMean)
		if len(s.v) == 0 {
			return refuse("the log has no levels")
		}
		leq := func(s series) float64 { return EnergyMeanOver(s.v, s.weights()) }
		l.raw, l.within = leq(s), batchU(s, leq)
		l.run.Points = len(s.v)
		l.run.From, l.run.To = clock(s.t[0]), clock(s.t[len(s.t)-1])
		if said != "" {
			l.run.Flags = append(l.run.Flags, Warning{Dropouts, said})
		}
		if s.dropped > 0 {
			l.run.Flags = append(l.run.Flags, Warning{UnsteadyLog, fmt.Sprintf("%d of %d samples of the log are blank or no numbers and were left out", s.dropped, s.dropped+len(s.v))})
		}
		if l.within > 0.5 {
			l.run.Flags = append(l.run.Flags, Warning{UnsteadyLog, fmt.Sprintf("the level is not steady: eighths of the log scatter by %.1f dB", l.within*math.Sqrt(batches))})
		}
	}
	switch {
	case !finite(l.raw):
		return refuse("no level is given")
	case l.raw < -10 || l.raw > 160:
		return refuse("a level of %g dB is not plausible for a room air cleaner; a level from -10 to 160 would do", l.raw)
	case r.Meter.Kind == Phone && l.raw < phoneFloor && !finite(r.Background):
		return refuse("%.4g dB by a phone's built-in microphone is below %d dB and no background is recorded: its own noise cannot be told from the unit's", l.raw, phoneFloor)
	}
	l.correct()
	l.run.Value, l.run.Std = l.corrected, l.within
	return l, nil
}

// correct sets the corrected level, its sensitivities and whether it is an upper bound.
func (l *level) correct() {
	l.corrected = l.raw
	if !finite(l.reading.Background) {
		l.bound = "no background was recorded: the level holds the background too"
		l.run.Flags = append(l.run.Flags, Warning{UpperBound, l.bound})
		return
	}
	delta := l.raw - l.reading.Background
	switch {
	case delta > backgroundFar:
	case delta >= backgroundNear:
		k1, cL := BackgroundTerm(delta)
		l.corrected, l.cL, l.cB = l.raw-k1, cL, cL-1
	case delta >= backgroundNone:
		k1, _ := BackgroundTerm(delta)
		l.corrected = l.raw - math.Min(k1, backgroundCap)
		l.bound = fmt.Sprintf("background only %.1f dB below the level: no more than %g dB was taken off", delta, backgroundCap)
	default:
		l.bound = fmt.Sprintf("background only %.1f dB below the level: nothing was taken off", delta)
		if delta < 0 {
			l.bound = fmt.Sprintf("background %.1f dB above the level: nothing was taken off; check both readings", -delta)
		}
	}
	if l.bound != "" {
		l.run.Flags = append(l.run.Flags, Warning{UpperBound, l.bound})
	}
}

func soundResult(ls []level) Measurement {
	first := ls[0].reading
	m := Measurement{Attribute: "noise", Setting: first.Setting, Unit: "dB(A)", Distance: distance(first), Instrument: first.Instrument}
	var corrected, raws []float64
	bounded := ""
	for _, l := range ls {
		corrected, raws = append(corrected, l.corrected), append(raws, l.raw)
		if finite(l.reading.Background) {
			raws = append(raws, l.reading.Background)
		}
		m.Runs = append(m.Runs, l.run)
		if l.bound != "" && bounded == "" {
			bounded = l.bound
		}
		if !l.reading.Weighted {
			m.Warn(WeightingUnknown, "the levels are recorded in dB without a weighting: taken as dB(A), make sure that the meter was set to A")
		}
		if l.reading.Instrument != m.Instrument {
			m.Instrument = joinNew(m.Instrument, l.reading.Instrument)
		}
	}
	m.Value = EnergyMean(corrected)
	m.Budget = soundBudget(ls, corrected, raws, m.Value, &m)
	m.Expand()
	m.Method = fmt.Sprintf("Sound pressure level in the room, energy mean of %s%s%s. Background: %s. A level in a room, at this place; not a sound power level and not converted to another distance.",
		plural(len(ls), "reading"), at(m.Distance), logWords(ls), backgroundWords(ls))
	if bounded != "" {
		m.Warn(UpperBound, bounded)
	}
	if len(ls) == 1 {
		m.Warn(Indicative, "one reading: no repeat shows how far it can be reproduced")
	}
	if m.Distance == 0 {
		m.Warn(DistanceUnknown, "no distance is recorded: the level cannot be set against a claim at a distance")
	}
	if _, sd := meanSD(corrected); sd > 3 {
		m.Warn(ScatteredRuns, fmt.Sprintf("positions or repeats scatter by %.1f dB", sd))
	}
	return m
}

// soundBudget lists the components of a mean of corrected levels. The weight of a reading in the energy mean is its
// share of the energy.
func soundBudget(ls []level, corrected, raws []float64, value float64, m *Measurement) uncertainty.Budget {
	var b uncertainty.Budget
	n := float64(len(ls))
	var cL, cB, within float64
	meter, meterDOF, meterNote := 0.0, math.Inf(1), ""
	for _, l := range ls {
		w := math.Pow(10, 0.1*(l.corrected-value)) / n
		cL, cB = cL+w*l.cL, cB+w*l.cB
		within = math.Hypot(within, w*l.cL*l.within)
		u, dof, note, assumed := l.reading.Meter.levelU(l.raw)
		// One meter's error is common to all its readings, so the shares add; two meters are treated alike, for caution.
		meter += w * l.cL * u
		meterDOF = math.Min(meterDOF, dof)
		meterNote = joinNew(meterNote, note)
		if assumed != "" {
			m.Warn(AssumedAccuracy, assumed)
		}
	}
	if len(ls) > 1 {
		_, sd := meanSD(corrected)
		b = append(b, uncertainty.Component{Name: "repeats and positions", U: sd / math.Sqrt(n), DOF: n - 1, Kind: "A",
			Note: fmt.Sprintf("standard deviation %.2f dB of %d corrected levels, over √%d", sd, len(ls), len(ls))})
	} else if within > 0 {
		b = append(b, uncertainty.Component{Name: "fluctuation in the log", U: within, DOF: batches - 1, Kind: "A", Note: "from the means of eighths of the log"})
	}
	b = append(b, uncertainty.Component{Name: "meter accuracy", U: meter, DOF: meterDOF, Kind: "B",
		Note: fmt.Sprintf("%s; times %.3f for the background correction", meterNote, cL)})
	room := instrument("room and position")
	if len(ls) < 3 {
		room = instrument("room and one position")
	}
	b = append(b, uncertainty.Component{Name: "room and position", U: room.Abs, DOF: room.DOF(), Kind: "B", Note: room.note()})
	if cB > 0 {
		bg := instrument("background")
		b = append(b, uncertainty.Component{Name: "background", U: cB * bg.Abs, DOF: bg.DOF(), Kind: "B",
			Note: fmt.Sprintf("u(B) = %g dB (%s) times %.3f", bg.Abs, bg.Mark, cB)})
	}
	res, step := 0.1, "0.1 dB"
	if wholeNumbers(raws) {
		res, step = 1, "1 dB, all readings being whole numbers"
	}
	return append(b, uncertainty.Component{Name: "resolution", U: cL * res / math.Sqrt(12), DOF: math.Inf(1), Kind: "B",
		Note: "readings in steps of " + step + ", rectangular: step/√12"})
}

// levelU is the standard uncertainty of a sound meter at a level, with its degrees of freedom and its note in the
// budget; assumed says so where a default stands in because the book states neither a class nor an accuracy, else "".
func (m Meter) levelU(level float64) (u, dof float64, note, assumed string) {
	if m.Acc != nil && (m.Acc.Class != 0 || m.Acc.Percent == 0 && strings.HasPrefix(m.Acc.Unit, "dB")) {
		return m.Acc.U(level), m.Acc.DOF(), m.Acc.note(), ""
	}
	id := "level unknown"
	switch m.Kind {
	case ClassOne, ClassTwo, Phone, PhoneExternal:
		id = m.Kind
	}
	d := instrument(id)
	note = d.note()
	switch {
	case m.Acc != nil:
		note = fmt.Sprintf("%q is no accuracy of a level; %s", m.Acc.Text, note)
		assumed = fmt.Sprintf("%q is no accuracy of a level; taken as: %s", m.Acc.Text, d.short())
	case id != ClassOne && id != ClassTwo:
		assumed = "no accuracy of the meter is stated; taken as: " + d.short()
	}
	return d.U(level), d.DOF(), note, assumed
}
