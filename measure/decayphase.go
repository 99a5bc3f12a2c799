package measure

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure/phase"
)

// findPhases cuts the log into its phases and takes from them where the window may lie: l.begin and l.stop, the readings
// of the burn up to the end of the run, l.knee, where the decay of the run begins, and l.natural, where a run with the
// unit on has a natural decay before it.
//
// What is typed as From and To bounds the readings that are looked at.
func (l *decayLog) findPhases() error {
	r := l.run
	l.over = l.stop
	first, last := 0, l.stop
	if !math.IsNaN(r.From) {
		first = searchTime(r.T, r.From, false)
	}
	if last-first < fewestFit {
		return nil
	}
	t, c := r.T[first:last], r.C[first:last]
	o := phase.Options{Step: l.delta, Linear: l.linear()}
	if o.Linear == 0 && massColumn(r.Column) {
		o.Linear = opticalLinear
	}
	if !math.IsNaN(r.Background) {
		o.Background = r.Background
	}
	l.phases = phase.Cut(t, c, o).Name()
	all := l.phases
	if last < len(r.T) { // the air after clearing may lie beyond the end that is set
		all = phase.Cut(r.T[first:], r.C[first:], o).Name()
	}
	if l.tail = l.tailOf(all); l.tail != nil && math.IsNaN(r.Background) {
		o.Background = l.tail.value
		l.phases = phase.Cut(t, c, o).Name()
		if last == len(r.T) {
			l.tail = l.tailOf(l.phases) // with a better rate
		}
	}
	if on := l.phases.On; len(on) > 1 && math.IsNaN(r.Background) && l.tail == nil {
		if b, ok := l.bend(on); ok {
			o.Background = b
			l.phases = phase.Cut(t, c, o).Name()
		}
	}
	if f := l.phases; r.both && len(f.On) == 1 && !f.Knee && !f.Stood(naturalSuspect) {
		return fmt.Errorf("state both takes a log that holds a natural decay and then, after a knee, the run with the unit on; no knee was found in it: give the log the state that it has, on or off")
	}
	if r.State == "off" {
		return l.findNatural()
	}
	return l.findOn()
}

// findOn takes the phase with the unit on, or refuses a log that holds several.
func (l *decayLog) findOn() error {
	r, on := l.run, l.phases.On
	if len(on) == 0 {
		return nil
	}
	run := on[0]
	if len(on) > 1 {
		if math.IsNaN(r.From) {
			return fmt.Errorf("the log holds %d decays that could be this run, and does not tell which: %s; write from and to of the one that is meant", len(on), l.list(on))
		}
		for _, p := range on {
			if p.From < run.From {
				run = p
			}
		}
	}
	l.setRun(run)
	return nil
}

// findNatural takes the natural decay of a log with the unit off: what comes before the knee, where one is, or the decay
// itself, which may grow slower on its way.
func (l *decayLog) findNatural() error {
	f := l.phases
	switch {
	case len(f.On) == 0 && !f.HasNatural:
	case len(f.On) == 0 || f.Knee && f.HasNatural:
		l.setRun(f.Natural)
	case f.Stood(naturalSuspect): // smoke in a closed room does not fall so fast: the unit was switched on
		l.setRun(f.Before)
	default:
		whole := f.On[0]
		for _, p := range f.On[1:] {
			if f.Between(whole, p, phase.Fill) {
				return l.findOn()
			}
			whole.From, whole.To = math.Min(whole.From, p.From), math.Max(whole.To, p.To)
		}
		l.setRun(whole)
	}
	return nil
}

// setRun sets the bounds of the run by its phase.
func (l *decayLog) setRun(p phase.Phase) {
	t := l.run.T
	l.knee, l.end, l.rate, l.found = p.From, p.To, p.Rate, true
	l.over = l.stop
	l.stop = min(l.stop, searchTime(t, p.To, true))
	for _, q := range l.phases.Phases { // on through the floor
		if tail := q.Kind == phase.Floor || q.Kind == phase.Natural && q.High < 0.3*p.High; !tail && q.From > p.From {
			l.over = min(l.over, searchTime(t, q.From, false))
		}
	}
	begin := p.From
	for i := len(l.phases.Phases) - 1; i >= 0; i-- { // back to the beginning of the burn
		q := l.phases.Phases[i]
		if q.From >= p.From {
			continue
		}
		if q.Kind == phase.Floor || q.Kind == phase.On {
			break
		}
		begin = q.From
	}
	l.begin = searchTime(t, begin, false)
}

// guard is how long after the knee the window begins: two minutes, or a tenth of the time in which the smoke falls to a
// tenth, but not below 20 s (judgement: mixing, and the sensor's own pace).
func guard(rate float64) float64 {
	if !(rate > 0) {
		return settle
	}
	return math.Min(settle, math.Max(20, 0.1*math.Ln10/rate*secondsPerHour))
}

// list words phases with what to write to choose them.
func (l *decayLog) list(ps []phase.Phase) string {
	var out []string
	for _, p := range ps {
		out = append(out, fmt.Sprintf("%.3g per hour, from %s to %s", p.Rate, l.clock(p.From), l.clock(p.To)))
	}
	return strings.Join(out, "; ")
}

// tailOf is the reading after clearing: what follows a run where its own decay has left less than half a step of the
// sensor or half a hundredth of the smoke, as long as it neither falls nor rises.
func (l *decayLog) tailOf(f phase.Found) *background {
	for i, p := range f.Phases {
		if p.Kind != phase.Floor || i == 0 || f.Phases[i-1].Kind != phase.On {
			continue
		}
		on := f.Phases[i-1]
		left := math.Max(l.delta/2, on.High/200)
		cleared := on.From + math.Log(on.High/left)/on.Rate*secondsPerHour
		i, j := searchTime(l.run.T, math.Max(p.From, cleared), false), searchTime(l.run.T, p.To, true)
		if b := l.level(i, j, on.High/1000); b != nil && l.bears(on, b.value) {
			rest := 0.0 // of the smoke, on average over the readings
			for _, t := range l.run.T[b.first:b.last] {
				rest += on.High * math.Exp(-on.Rate/secondsPerHour*(t-on.From)) / float64(b.last-b.first)
			}
			b.value, b.u = b.value-rest, math.Hypot(b.u, rest/2)
			b.how = "the reading after clearing, with the unit on"
			return b
		}
	}
	return nil
}

// level is the stable reading of i … j-1, its halves no further apart than half a step or most. Where the first half stands above the second it still falls, where below a
// source has come; then the half that is lower is looked at alone.
func (l *decayLog) level(i, j int, most float64) *background {
	t, c := l.run.T, l.run.C
	for j-i >= fewestGood && t[j-1]-t[i] >= 60 {
		b, up := steady(c[i:j], l.delta/2*(1+1e-9), most)
		if b != nil {
			b.first, b.last = i, j
			return b
		}
		if h := (i + j) / 2; up {
			j = h
		} else {
			i = h
		}
	}
	return nil
}

// checkPhases says what the phases mean for the window: an end that was set and lies beyond that of the decay, a start
// before the knee, a quick fall before the run, and a background that the air after clearing does not bear out.
func (l *decayLog) checkPhases(f *DecayFit) {
	r := l.run
	t := r.T
	if !math.IsNaN(r.To) {
		if set := searchTime(t, r.To, true); f.Last < set && t[set-1]-t[f.Last-1] > 1e-6 {
			why := "has fallen to a tenth, or to ten steps of the sensor"
			if !f.Ruled {
				why = "no longer falls as in the run"
			}
			f.warn(WindowCut, "The end that was set, %s, lies beyond where the smoke %s; the window ends there, at %s.", l.clock(r.To), why, l.clock(t[f.Last-1]))
		}
	}
	if !l.found {
		return
	}
	if i := l.stop; i < l.all && !f.Ruled {
		pace := (t[i-1] - t[f.First]) / float64(i-f.First)
		if d := t[i] - t[i-1]; d > math.Max(60, 10*pace) && math.Log((r.C[i-1]-f.Background)/(r.C[i]-f.Background)) < 0.5*f.K*d/secondsPerHour {
			f.warn(ClockStep, "From %s to %s the log's clock runs on and the smoke does not: the clock was set. The part before that is used.", l.clock(t[i-1]), l.clock(t[i]))
		}
	}
	if before := l.knee - t[f.First]; !math.IsNaN(r.From) && before > math.Max(30, 0.1*(t[f.Last-1]-t[f.First])) {
		f.warn(BeforeKnee, "The start that was set, %s, lies before %s, where the decay of this run begins: the line goes through both, and the rate comes out low. Set from to %s or later, or leave it blank.",
			l.clock(r.From), l.clock(l.knee), l.clock(l.knee))
		f.low = true
	}
	if q := l.phases.Quick; q > 0 && r.State == "on" && math.IsNaN(r.From) {
		f.warn(QuickBefore, "Before %s the smoke falls at %.3g per hour, quick for natural decay: if the unit ran there at another setting, set from and to of the run that is meant.", l.clock(l.knee), q)
	}
	if b := l.tail; b != nil && f.source.how == "given" {
		if d := f.Background - b.value; math.Abs(d) > 2*math.Hypot(f.BackgroundU, b.u)+l.delta && math.Abs(d) > 0.01*f.A {
			f.warn(OffsetMismatch, "The background that is given is %.3g; the air after clearing, with the unit on, reads %.3g. The latter is what the decay runs down to: leave the background blank, or give that.", f.Background, b.value)
		}
	}
}

// spans are the phases for people; origin is the first reading of the window.
func (l *decayLog) spans(origin float64) []PhaseSpan {
	var out []PhaseSpan
	for _, p := range l.phases.Phases {
		kind := p.Kind
		if kind == phase.On && l.run.State == "off" && p.From >= l.knee && p.To <= l.end { // the run itself
			kind = phase.Natural
		}
		out = append(out, PhaseSpan{Phase: string(kind), From: l.clock(p.From), To: l.clock(p.To), Rate: p.Rate,
			Hours: [2]float64{(p.From - origin) / secondsPerHour, (p.To - origin) / secondsPerHour}})
	}
	return out
}

// massColumn reports whether the name of a column of readings says that it is mass of particles: pm2.5, mPM10, "PM 1.0".
func massColumn(name string) bool {
	n := strings.TrimPrefix(strings.ReplaceAll(Fold(name), " ", ""), "m")
	rest, ok := strings.CutPrefix(n, "pm")
	return ok && rest != "" && rest[0] >= '0' && rest[0] <= '9' && !strings.Contains(n, "#") && !strings.Contains(n, "/")
}
