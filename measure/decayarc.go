package measure

import (
	"math"

	"weighhouse/measure/fit"
)

// second is what a run shows beside its rate: the same decay over other parts of its readings.
type second struct {
	early, later arc // the halves of the window
	channel      arc // of the same run, where the log holds a mass and a count channel
	late         arc // from a third of the window on, and past its end to half the end level where the log goes on
}

// arc is the rate over a part of a run, nothing where the part holds too few readings. k and its standard uncertainty u
// are per hour; effect is the change of k that one standard uncertainty of the background makes.
type arc struct{ k, u, effect, neff float64 }

func (a arc) given() bool { return a.neff > 0 }

// findArcs fits the decay over other parts of the run than the window.
func (l *decayLog) findArcs(f *DecayFit) {
	n := f.Last - f.First
	if n < 2*fewestFit {
		return
	}
	f.second.early, f.second.later = l.arc(f, 0, n/2), l.arc(f, n/2, n)
	if l.run.State != "on" || !(f.K > 0) {
		return
	}
	level := math.Max(GateValue("late end")*f.A, endSteps*l.delta/2)
	end := n
	if level < f.Level {
		t := l.run.T[l.start:l.stop]
		end = min(len(t), searchTime(t, t[0]+math.Log(f.A/level)/f.K*secondsPerHour, true))
		end = l.start + untilRise(l.run.C[l.start:l.start+end], f.A/10) - l.start
	}
	f.second.late = l.arc(f, n/3, max(end, n))
}

// arc fits readings i … j-1 of those from the window's start on, with the serial correlation of the window.
func (l *decayLog) arc(f *DecayFit, i, j int) arc {
	line, used, err := l.line(i, j, f.Background)
	if err != nil {
		return arc{}
	}
	inflate, neff := l.serial(i, j, used, line)
	whole := fit.SerialCorrelation(used, f.Serial.Rho)
	inflate, neff = math.Max(inflate, whole.Factor), math.Min(neff, whole.NEff)
	a := arc{k: -line.Slope * secondsPerHour, u: line.SESlope * inflate * secondsPerHour, neff: neff}
	t, c := l.run.T[l.start+i:l.start+j], l.run.C[l.start+i:l.start+j]
	var mean, slope, sww float64
	for k := range t {
		mean += (t[k] - t[0]) / float64(len(t))
	}
	for k := range t {
		w := t[k] - t[0] - mean
		sww += w * w
		if e := c[k] - f.Background; e > 0 {
			slope += w / math.Max(e, f.BackgroundU/2)
		}
	}
	if sww > 0 && f.BackgroundU > 0 {
		a.effect = math.Abs(slope) / sww * f.BackgroundU * secondsPerHour
	}
	return a
}

const mostBlocks = 24 // of readings, over which serial correlation is looked for in a part of a window

// serial is by how much the standard errors of a line through readings i … j-1 are to be inflated for serial correlation,
// and how many independent readings they are worth. Quick noise and rounding hide a slow wander from the correlation of
// neighbours, so the means of blocks of readings are looked at too, and the larger inflation is taken.
func (l *decayLog) serial(i, j, used int, line fit.Line) (inflate, neff float64) {
	t, y := l.run.T[l.start+i:l.start+j], l.ln[i:j]
	r := make([]float64, 0, used)
	for k := range y {
		if !math.IsNaN(y[k]) {
			r = append(r, y[k]-line.Value(t[k]))
		}
	}
	s := fit.SerialCorrelation(len(r), fit.Autocorrelation(r, 1))
	inflate, neff = s.Factor, s.NEff
	size := len(r) / mostBlocks
	if size < 2 || !(line.S > 0) {
		return inflate, neff
	}
	b := make([]float64, 0, len(r)/size)
	ss := 0.0
	for k := 0; k+size <= len(r); k += size {
		m := 0.0
		for _, x := range r[k : k+size] {
			m += x / float64(size)
		}
		b, ss = append(b, m), ss+m*m
	}
	s = fit.SerialCorrelation(len(b), fit.Autocorrelation(b, 1))
	wide := math.Sqrt(ss/float64(len(b)-2)*float64(size)) / line.S * s.Factor
	return math.Max(inflate, wide), math.Min(neff, s.NEff)
}

// How many times their standard uncertainty the rates of the halves of a window, and the first readings and the line
// through the later ones, must be apart. Set so that either flag stands on fewer than 1 in 100 clean simulated runs
// (TestFalseAlarms).
const (
	halvesApart = 4.0
	startApart  = 4.0
)

// checkHalves compares the rates of the two halves of the window: a difference of more than a tenth that the noise of
// both does not explain says that one straight line describes the logarithm less well than it should.
func (l *decayLog) checkHalves(f *DecayFit) {
	e, r := f.second.early, f.second.later
	if !e.given() || !r.given() {
		return
	}
	d := math.Abs(e.k - r.k)
	if d > 0.10*math.Abs(f.K) && d > halvesApart*math.Hypot(math.Hypot(e.u, r.u), r.effect-e.effect) {
		f.warn(NotFirstOrder, "The first half of the window falls at %.3g per hour, the second at %.3g: more than a tenth apart, and more than their scatter explains, so one straight line describes the logarithm less well than usual. Saturation, a wrong background, a second source and poor mixing can do that.", e.k, r.k)
	}
}

// checkAfter looks at what follows a run whose decay ends before its smoke is gone: a slower fall that is still too quick
// for natural decay says that something feeds the air, or that the unit ran on at another setting.
func (l *decayLog) checkAfter(f *DecayFit) {
	if f.Ruled || !l.found || l.run.State != "on" {
		return
	}
	for _, p := range l.phases.Phases {
		if p.From < l.end-1e-6 {
			continue
		}
		if left := p.High - f.Background; p.Rate > naturalHigh && p.Rate < 0.8*f.K && left > 1.5*f.Level {
			f.warn(Flattens, "After %s the smoke falls at %.2g per hour, slower than in the run and quicker than natural decay: a source is left in the room, or the unit runs at another setting.", l.clock(l.end), p.Rate)
		}
		return
	}
}

// checkClock looks for a clock that was set forward while the run was logged: a pause of the log's times across which
// the smoke does not fall as the line says, by more than readings as near to each other differ elsewhere in the window.
func (l *decayLog) checkClock(f *DecayFit, res []float64) {
	t := l.run.T[f.First:f.Last]
	n := len(t)
	m := max(2, min(5, n/10))
	if n < 6*m || !(f.K > 0) {
		return
	}
	pace := typicalStep(t)
	step := func(i int) float64 { // of ln C between the m readings before i and the m from i on, less that of the decay within them
		var d float64
		for j := range m {
			d += res[i+j] - res[i-1-j]
		}
		return d / float64(m)
	}
	for i := m; i+m <= n; i++ {
		pause := t[i] - t[i-1] - pace
		if pause < 0.9*pace || pause <= 0 {
			continue
		}
		fall := f.K * pause / secondsPerHour // what the line asks for beyond that of one step
		seen := step(i)
		if !(seen > GateValue("clock step")*fall) {
			continue
		}
		var ss, count float64
		for j := m; j+m <= n; j += m {
			if j+m <= i || j-m >= i {
				if d := step(j); !math.IsNaN(d) {
					ss, count = ss+d*d, count+1
				}
			}
		}
		// the step tilts the line and so every other step: what that does to them is taken off
		tilt := fall * float64(m) / float64(n)
		if u := math.Sqrt(math.Max(0, ss/math.Max(count, 1)-tilt*tilt)); count >= 4 && seen > 4*u && seen > 0.03 {
			f.warn(ClockStep, "The log's times jump by %.3g s between %s and %s, and the smoke did not fall in between as it does elsewhere: the clock was set forward there, or the sensor held its reading; the rate comes out low.",
				t[i]-t[i-1], l.clock(t[i-1]), l.clock(t[i]))
			return
		}
	}
}

// typicalStep is the median time between readings, of a thinned sample where there are many.
func typicalStep(t []float64) float64 {
	stride := max(1, len(t)/2000)
	var d []float64
	for i := 1; i < len(t); i += stride {
		d = append(d, t[i]-t[i-1])
	}
	return middle(d)
}
