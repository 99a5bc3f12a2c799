package measure

import (
	"errors"
	"fmt"
	"math"

	"weighhouse/measure/fit"
	"weighhouse/measure/phase"
)

// decayLog is one run's log with what is known of it before any line is fitted. Indices count readings.
type decayLog struct {
	run         *DecayRun
	particle    string  // in canonical form
	delta       float64 // the sensor's resolution, 0 if none shows
	low, high   float64 // smallest and largest reading up to stop
	peak        int
	start, stop int  // readings start…stop-1 are those that a window may use
	plateau     int  // readings in a row equal to high, the last of them at peak; 0 unless they look clipped
	above       bool // readings above the linear range lie in the window: too few below it
	shifted     bool // start was moved on to where readings are within the linear range
	background  background
	pre         *background // a stable reading before the smoke was lit
	tail        *background // a stable reading after clearing, with the unit on
	phases      phase.Found
	begin       int       // first reading of the burn that the run belongs to
	all         int       // end of the readings that are looked at: of the log, or at To
	over        int       // end of the decay with the floor that follows it
	knee, end   float64   // s: where the run's own decay begins and ends, by its phases
	rate        float64   // 1/h of that decay, roughly
	found       bool      // knee and end are known
	ln, res     []float64 // work: ln(C - cb) from start on, as far as filled; residuals of the window's line
	cb          float64
	filled      int
}

// openDecay checks a run and finds its resolution, phases, peak and start.
//
// The start is From where given; otherwise a guard after the knee of the phases, two minutes after the peak where none is
// found, and for a sensor with a known linear range not
// before its readings are within it, as long as enough of the run remains.
func openDecay(r *DecayRun) (*decayLog, error) {
	if r.State != "on" && r.State != "off" {
		return nil, fmt.Errorf("state %q is neither \"on\" nor \"off\"", r.State)
	}
	if why := noConcentration(r.Column, r.ValueUnit); why != "" {
		return nil, errors.New(why)
	}
	if len(r.T) != len(r.C) {
		return nil, fmt.Errorf("%d times for %d readings", len(r.T), len(r.C))
	}
	if len(r.T) < fewestFit {
		return nil, fmt.Errorf("%d readings; a decay takes %d at the least, and %d to be trusted", len(r.T), fewestFit, fewestGood)
	}
	for i, t := range r.T {
		if c := r.C[i]; c-c != 0 || t-t != 0 { // NaN for what is not finite
			return nil, fmt.Errorf("reading %d is not a finite number: time %g, value %g", i+1, t, c)
		}
	}
	r = cleaned(r)
	l := &decayLog{run: r, stop: len(r.T)}
	l.particle, _ = Particle(r.Particle)
	for i, t := range r.T {
		if i > 0 && t < r.T[i-1] {
			return nil, fmt.Errorf("the times go back at reading %d: sort the log first", i+1)
		}
	}
	if !math.IsNaN(r.From) && !math.IsNaN(r.To) && r.To <= r.From {
		return nil, fmt.Errorf("the run's end %s is not after its start %s", l.clock(r.To), l.clock(r.From))
	}
	if !math.IsNaN(r.To) {
		l.stop = searchTime(r.T, r.To, true)
	}
	if l.stop < fewestFit {
		return nil, fmt.Errorf("%d readings up to the run's end %s; a decay takes %d", l.stop, l.clock(r.To), fewestFit)
	}
	l.all = l.stop
	l.delta = resolution(r.C)
	from := 0
	if !math.IsNaN(r.From) {
		from = searchTime(r.T, r.From, false)
	}
	if from >= l.stop {
		return nil, fmt.Errorf("no reading at or after the run's start %s; the log ends at %s", l.clock(r.From), l.clock(r.T[len(r.T)-1]))
	}
	if err := l.findPhases(); err != nil {
		return nil, err
	}
	l.findPeak()
	if l.high == l.low {
		return nil, fmt.Errorf("all readings are %.5g: no decay", l.low)
	}
	switch {
	case !math.IsNaN(r.From):
		l.start = from
	case l.found:
		l.start = searchTime(r.T, l.knee+guard(l.rate), false)
	default:
		l.start = searchTime(r.T, r.T[l.peak]+settle, false)
	}
	l.keepLinear()
	if n := l.stop - l.start; n < fewestFit {
		return nil, fmt.Errorf("%s between the start at %s and the end of the run; a decay takes %d: set from and to, or log longer",
			plural(max(n, 0), "reading"), l.clock(r.T[min(max(l.start, 0), l.stop-1)]), fewestFit)
	}
	if r.T[l.stop-1] <= r.T[l.start] {
		return nil, errors.New("all readings after the start carry the same time")
	}
	l.pre = l.beforeSmoke()
	return l, nil
}

// searchTime is the index of the first time at or after t; with past, of the first after t.
func searchTime(ts []float64, t float64, past bool) int {
	const eps = 1e-6 // s: clocks written as days or hours lose that much
	lo, hi := 0, len(ts)
	for lo < hi {
		m := (lo + hi) / 2
		if past && ts[m] <= t+eps || !past && ts[m] < t-eps {
			lo = m + 1
		} else {
			hi = m
		}
	}
	return lo
}

// findPeak finds the highest reading before stop that its neighbours bear out, and the run of equal readings there.
// A single reading more than twice both of its neighbours is a spike, not the smoke.
func (l *decayLog) findPeak() {
	c := l.run.C[:l.stop]
	l.low, l.high = math.Inf(1), math.Inf(-1)
	top := math.Inf(-1)
	for i, x := range c {
		if i < l.begin {
			continue
		}
		if x < l.low {
			l.low = x
		}
		if x > l.high {
			l.high = x
		}
		if x <= top {
			continue
		}
		near := math.Inf(-1)
		if i > 0 {
			near = c[i-1]
		}
		if i+1 < len(c) {
			near = math.Max(near, c[i+1])
		}
		if x > 2*near && x-near > 5*l.delta {
			continue
		}
		top, l.peak = x, i
	}
	l.peak = l.earlier(l.peak)
	n := 1
	for l.peak+n < len(c) && c[l.peak+n] == top {
		n++
	}
	if n >= 5 {
		l.plateau = n
		l.peak += n - 1
	}
}

// earlier guards a slow decay against its own noise, which can lift the highest reading far into the log: where more
// than a third of the log lies between the first reading of nine tenths of the top and the top, and no reading between
// falls below three quarters, the smoke was mixed at the former.
func (l *decayLog) earlier(peak int) int {
	c, t := l.run.C[:l.stop], l.run.T
	first := l.begin
	for median5(c, first) < 0.9*c[peak] && first < peak {
		first++
	}
	if t[peak]-t[first] <= (t[l.stop-1]-t[first])/3 {
		return peak
	}
	for i := first; i < peak; i++ {
		if median5(c, i) < 0.75*c[peak] {
			return peak
		}
	}
	return first
}

// window is what the first pass finds.
type window struct {
	stop  int     // the window is start…stop-1
	level float64 // of the excess, where the window ends by rule
	end   float64 // the time at which the first pass falls to level, +Inf if it does not
	ruled bool    // the end is the rule's, not the log's, the phase's or To's
}

// firstPass finds the window's end: where the fitted excess A*exp(-k*t) has fallen to max(10 steps of resolution, 10 % of
// A). The fit is a least-squares line through ln(C - Cb) of the first third of the readings, at least six; where that
// third itself runs below the end level it is shortened to the part above. The end is never taken from single readings.
func (l *decayLog) firstPass(cb float64) (window, error) {
	c, t := l.run.C[l.start:l.stop], l.run.T[l.start:l.stop]
	first := 0.0
	m := min(5, len(c))
	for _, x := range c[:m] {
		first += (x - cb) / float64(m)
	}
	if !(first > 0) {
		return window{}, fmt.Errorf("the readings at the start, %.4g, are not above the background of %.4g", first+cb, cb)
	}
	if l.delta > 0 && first <= endSteps*l.delta {
		return window{}, fmt.Errorf("the smoke at the start stands %.3g above the background, fewer than ten steps of the sensor's resolution of %.3g: start with more smoke", first, l.delta)
	}
	n := min(max(fewestFit, (l.all-l.start)/3), len(c))
	rough := math.Max(endSteps*l.delta, endFraction*first)
	for i := 2; i < n; i++ {
		if median5Below(c, i, cb, rough) {
			n = max(fewestFit, i)
			break
		}
	}
	for {
		line, used, err := l.line(0, n, cb)
		if err != nil {
			return window{}, err
		}
		w := window{stop: l.stop, end: math.Inf(1)}
		y0, _ := line.At(t[0])
		a := math.Exp(y0)
		w.level = math.Max(endSteps*l.delta, endFraction*a)
		if line.Slope < 0 {
			w.end = t[0] + (y0-math.Log(w.level))/-line.Slope
		}
		if a <= w.level {
			return window{}, fmt.Errorf("the smoke at the start stands %.3g above the background, fewer than ten steps of the sensor's resolution of %.3g: start with more smoke", a, l.delta)
		}
		inside := searchTime(t[:n], w.end, true)
		if inside < n && n > fewestFit && used > fewestFit {
			n = max(fewestFit, min(inside, n-1))
			continue
		}
		w = l.checkedEnd(w, cb)
		if stop := l.start + searchTime(t, w.end, true); stop < l.stop {
			w.stop, w.ruled = stop, true
		}
		return w, nil
	}
}

// checkedEnd guards the window's end against a first third that is not like the rest: where the line through as much of
// the run as its phase takes to fall to a tenth ends clearly elsewhere, that end counts.
func (l *decayLog) checkedEnd(w window, cb float64) window {
	if !(l.rate > 0) {
		return w
	}
	t := l.run.T[l.start:l.stop]
	n := searchTime(t, t[0]+math.Ln10/l.rate*secondsPerHour, true)
	line, _, err := l.line(0, n, cb)
	if err != nil || !(line.Slope < 0) {
		return w
	}
	y0, _ := line.At(t[0])
	level := math.Max(endSteps*l.delta, endFraction*math.Exp(y0))
	if end := t[0] + (y0-math.Log(level))/-line.Slope; math.Abs(w.end-end) > 0.15*(end-t[0]) && end > t[0] {
		w.end, w.level = end, level
	}
	return w
}

// line fits ln(C - cb) of readings start+i … start+j-1 against time in seconds. Readings at or below cb have no
// logarithm and are left out; used counts the others.
func (l *decayLog) line(i, j int, cb float64) (line fit.Line, used int, err error) {
	t, y := l.run.T[l.start:l.stop], l.logs(j, cb)
	used = j - i
	for _, v := range y[i:j] {
		if v != v {
			used--
		}
	}
	if used < fewestFit {
		return line, used, fmt.Errorf("%s above the background in the window; a decay takes %d", plural(used, "reading"), fewestFit)
	}
	if used == j-i {
		line, err = fit.Straight(t[i:j], y[i:j])
		return line, used, err
	}
	tt, yy := make([]float64, 0, used), make([]float64, 0, used)
	for k := i; k < j; k++ {
		if !math.IsNaN(y[k]) {
			tt, yy = append(tt, t[k]), append(yy, y[k])
		}
	}
	line, err = fit.Straight(tt, yy)
	return line, used, err
}

// logs gives ln(C - cb) of the first n readings from start on, NaN where C is not above cb. They are found once for each cb.
func (l *decayLog) logs(n int, cb float64) []float64 {
	if l.ln == nil || l.cb != cb {
		l.cb, l.filled = cb, 0
		if l.ln == nil {
			l.ln = make([]float64, l.stop-l.start)
		}
	}
	c := l.run.C[l.start:l.stop]
	for ; l.filled < n; l.filled++ {
		if e := c[l.filled] - cb; e > 0 {
			l.ln[l.filled] = math.Log(e)
		} else {
			l.ln[l.filled] = math.NaN()
		}
	}
	return l.ln
}

// clock words a time of the log for people.
func (l *decayLog) clock(t float64) string {
	if l.run.Clock != nil {
		return l.run.Clock(t)
	}
	return fmt.Sprintf("%.1f min", (t-l.run.T[0])/60)
}
