package measure

import (
	"fmt"
	"math"
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
	Level      float64   // dB; taken from Log where that is given; the middle of a range
	Half       float64   // dB, half the width of a level that is given as a range
	U          float64   // dB, the standard uncertainty that the book states of the reading; 0 or NaN where it states none
	Position   string    // the microphone's place, where the book names it; rows of one place are repeats
	Background float64   // dB with the unit off; NaN where none was read
	Log        *LevelLog // nil where one level was read
	Instrument string
	Meter      Meter
	Place      string
	Name       string   // label of the row, may be blank
	Weighted   bool     // the book says dB(A)
	Notes      []string // of the log: what was left out, what was taken for granted
}

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
// repeats are averaged by energy; their spread gives s/√n with n − 1 degrees of freedom; four and more named positions
// give their own in place of the flat allowance for room and position. The meter's error is common to
// all rows; u²(L_s) = c_L²·u²(L') + c_B²·u²(B), c_L = 1/(1 − 10^(−0.1·ΔL)), c_B = c_L − 1. What the room adds, K2, is taken
// off where its reverberation time is known; elsewhere RoomAdds holds how much that may be. A level is never converted to
// another distance. Rows that cannot be used are returned as problems.
func ReduceSound(rs []SoundReading, room SoundRoom) ([]Measurement, []RunProblem) {
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
		out = append(out, soundResult(groups[key], room))
	}
	return out, problems
}

// logNotes are the notes of a log as flags of its run.
func logNotes(notes []string) (out []Warning) {
	for _, n := range notes {
		out = append(out, Warning{"log", n})
	}
	return out
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
		t, clean, dropped, said, bad := dropouts("level", r.Log.Seconds, r.Log.Level, false)
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
		l.run.Flags = append(l.run.Flags, logNotes(r.Notes)...)
		if l.run.Dropped = dropped; said != "" {
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
	case r.Meter.Kind == Phone && l.raw < ThresholdOf("phone floor") && !finite(r.Background):
		return refuse("%.4g dB by a phone's built-in microphone is below %g dB and no background is recorded: its own noise cannot be told from the unit's", l.raw, ThresholdOf("phone floor"))
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
	backgroundCap := ThresholdOf("background cap")
	switch {
	case delta > ThresholdOf("background far"):
	case delta >= ThresholdOf("background near"):
		k1, cL := BackgroundTerm(delta)
		l.corrected, l.cL, l.cB = l.raw-k1, cL, cL-1
	case delta >= ThresholdOf("background none"):
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

func soundResult(ls []level, room SoundRoom) Measurement {
	first := ls[0].reading
	m := Measurement{Attribute: "noise", Setting: first.Setting, Unit: "dB(A)", Distance: distance(first), Instrument: first.Instrument}
	var corrected, raws []float64
	bounded := ""
	for _, l := range ls {
		corrected, raws = append(corrected, l.corrected), append(raws, l.raw-l.reading.Half, l.raw+l.reading.Half)
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
	places := positions(ls)
	m.Value = EnergyMean(places)
	m.Budget = soundBudget(ls, corrected, places, raws, m.Value, &m)
	adds := room.addition(m.Distance)
	m.RoomAdds = adds.most
	if adds.k2 > 0 {
		m.Value -= adds.k2
		m.Budget = append(m.Budget, adds.component())
	}
	m.Expand()
	m.Method = fmt.Sprintf("Sound pressure level in the room, energy mean of %s%s%s. Background: %s. %s. A level at this place; not a sound power level and not converted to another distance.",
		placed(len(ls), len(places)), at(m.Distance), logWords(ls), backgroundWords(ls), adds.words)
	if adds.large {
		m.Warn(UpperBound, adds.words)
	}
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
