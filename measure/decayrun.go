package measure

import (
	"errors"
	"fmt"
	"math"
	"time"

	"weighhouse/measure/fit"
)

// DecayFit is the reduction of one run: C(t) = Background + A*exp(-K*t) over the window, t from the window's first
// reading. Rates are per hour, concentrations in the unit of the readings.
type DecayFit struct {
	K  float64
	SE float64 // standard error of K from the line alone, as if residuals were independent: a diagnostic
	// Within is the within-run standard uncertainty of K, SE times the inflation for serial correlation.
	Within  float64
	A       float64
	R2      float64
	Largest float64 // largest residual of ln(C - Background)
	Serial  fit.Serial
	// First and Last are the indices of the window's first reading and of the one after its last; Points counts the
	// readings in it that stand above the background.
	First, Last, Points int
	Span                float64 // h
	Level               float64 // excess at which the window ends by rule
	Ruled               bool    // the window ends by that rule, not with the log or To
	Background          float64
	BackgroundU         float64
	// BackgroundEffect is the change of K that one standard uncertainty of the background makes.
	BackgroundEffect float64
	Resolution       float64 // of the sensor; 0 if none shows
	FreeK, FreeU     float64 // K with a free offset and its standard uncertainty; NaN where it cannot be told apart
	Flags            []Warning
	log              *decayLog
	source           background
	second           second
	low              bool // readings in the window that make the rate come out low
}

// ReduceRun reduces one run with the background that it carries, or, where it has none, with what its own log shows.
//
// k = -slope of the least-squares line of ln(C - Cb) on t over the window: from the knee at which the run's own decay begins
// and a guard for mixing (From stands in its place) to where the fitted excess has fallen to the larger of ten resolution
// steps and 10 % of its first value, the phase ends, or To, whichever comes first. The standard error is inflated for serial
// correlation, see fit.SerialCorrelation. No offset is fitted: three parameters cannot be told apart on a short arc.
func ReduceRun(r DecayRun) (DecayFit, error) {
	l, err := openDecay(&r)
	if err != nil {
		return DecayFit{}, err
	}
	findBackgrounds([]*decayLog{l})
	return l.reduce(l.background)
}

// reduce fits the window with the background b and checks the run.
func (l *decayLog) reduce(b background) (DecayFit, error) {
	w, err := l.firstPass(b.value)
	if err != nil {
		return DecayFit{}, err
	}
	n := w.stop - l.start
	line, used, err := l.line(0, n, b.value)
	if err != nil {
		return DecayFit{}, err
	}
	t := l.run.T[l.start:w.stop]
	y0, _ := line.At(t[0])
	f := DecayFit{
		K: -line.Slope * secondsPerHour, SE: line.SESlope * secondsPerHour, A: math.Exp(y0), R2: line.R2,
		First: l.start, Last: w.stop, Points: used, Span: (t[n-1] - t[0]) / secondsPerHour, Level: w.level, Ruled: w.ruled,
		Background: b.value, BackgroundU: b.u, Resolution: l.delta, FreeK: math.NaN(), FreeU: math.NaN(), log: l, source: b,
	}
	if math.IsNaN(f.R2) { // the readings do not vary
		f.R2 = 0
	}
	if !finite(f.K, f.SE, f.A) {
		return DecayFit{}, errors.New("the line through the window has no finite slope; look at the log's values")
	}
	f.Serial, f.Largest = l.residuals(n, line)
	f.Within = f.SE * f.Serial.Factor
	f.BackgroundEffect = l.backgroundEffect(n, b)
	l.check(&f, line)
	l.checkPhases(&f)
	l.ln, l.res = nil, nil // 16 bytes a reading of the window
	f.Flags = append(f.Flags, l.run.Notes...)
	return f, nil
}

// residuals puts the residuals of the line into l.res and gives their serial correlation and the largest of them.
// The residuals of a line have mean zero, so sum(r_i r_(i+1))/sum(r_i²) is taken as it stands.
func (l *decayLog) residuals(n int, line fit.Line) (fit.Serial, float64) {
	t, ln := l.run.T[l.start:l.start+n], l.ln[:n]
	l.res = make([]float64, n)
	var num, den, last, largest float64
	last = math.NaN()
	count := 0
	for i, y := range ln {
		r := y - line.Value(t[i])
		l.res[i] = r
		if r != r { // no logarithm
			continue
		}
		count++
		den += r * r
		if last == last {
			num += r * last
		}
		last = r
		if r = math.Abs(r); r > largest {
			largest = r
		}
	}
	rho := 0.0
	if den > 0 {
		rho = num / den
	}
	return fit.SerialCorrelation(count, rho), largest
}

// backgroundEffect is half the difference of K with the background moved up and down by its standard uncertainty, the
// window held; by the derivative dk/dCb = sum(w/(C-Cb))/sum(w²) where a reading would fall to the moved background.
func (l *decayLog) backgroundEffect(n int, b background) float64 {
	if b.u == 0 {
		return 0
	}
	t, c := l.run.T[l.start:l.start+n], l.run.C[l.start:l.start+n]
	lowest, mean := math.Inf(1), 0.0
	for i := range t {
		lowest = math.Min(lowest, c[i]-b.value)
		mean += (t[i] - t[0]) / float64(n)
	}
	var up, down, slope, sww float64
	for i := range t {
		w, e := (t[i]-t[0])-mean, c[i]-b.value
		sww += w * w
		if lowest > 2*b.u {
			up -= w * math.Log(e-b.u)
			down -= w * math.Log(e+b.u)
		} else if e > 0 {
			slope += w / math.Max(e, b.u/2)
		}
	}
	if lowest > 2*b.u {
		return math.Abs(up-down) / 2 / sww * secondsPerHour
	}
	return math.Abs(slope) * b.u / sww * secondsPerHour
}

// row is the run as the report shows it.
func (f *DecayFit) row() Run {
	r, t := f.log.run, f.log.run.T
	var start time.Time
	if !r.Start.IsZero() {
		start = r.Start.Add(time.Duration(math.Round(t[f.First]*1e3)) * time.Millisecond)
	}
	state := r.State
	if r.Exclude != "" {
		state += " (left out)"
	}
	return Run{Start: start,
		Run: r.Name, State: state, Value: f.K, Unit: "1/h", Std: f.Within,
		From: f.log.clock(t[f.First]), To: f.log.clock(t[f.Last-1]), Points: f.Points, R2: f.R2,
		Flags: f.Flags, Phases: f.log.spans(t[f.First]), Curve: f.curve(), Place: r.Place, LeftOut: r.Exclude != "",
	}
}

const mostCurvePoints = 2000

// curve thins the log to what a figure can show: the window, three times as much before it, at least ten minutes, and as
// much after it.
func (f *DecayFit) curve() *Curve {
	r := f.log.run
	t0, t1 := r.T[f.First], r.T[f.Last-1]
	lo := searchTime(r.T, t0-math.Max(3*(t1-t0), 600), false)
	hi := searchTime(r.T, t1+(t1-t0), true)
	stride := (hi - lo + mostCurvePoints - 1) / mostCurvePoints
	stride = max(stride, 1)
	c := &Curve{Background: f.Background, A: f.A, K: f.K, To: (t1 - t0) / secondsPerHour, ValueUnit: r.ValueUnit}
	first := lo + (f.First-lo)%stride // so that the window's first reading is drawn
	n := min((hi-first)/stride+1, mostCurvePoints)
	c.Hours, c.Value = make([]float64, 0, n), make([]float64, 0, n)
	for i := first; i < hi && len(c.Hours) < mostCurvePoints; i += stride {
		c.Hours = append(c.Hours, (r.T[i]-t0)/secondsPerHour)
		c.Value = append(c.Value, r.C[i])
	}
	return c
}

func (f *DecayFit) warn(flag Flag, format string, args ...any) {
	f.Flags = append(f.Flags, Warning{flag, fmt.Sprintf(format, args...)})
}
