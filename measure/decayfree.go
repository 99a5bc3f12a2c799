package measure

import (
	"math"

	"weighhouse/measure/fit"
)

// freeOffset is a fit of C = B + A*exp(-k*t) with the offset free.
type freeOffset struct {
	k, kU           float64 // 1/h
	offset, offsetU float64
	kt, neff        float64
}

const mostFreePoints = 600

// freeFit fits a free offset by weighted non-linear least squares to the readings from the window's start to limit, but
// not beyond a fall to about one hundredth. It serves for a background that was not given and as a cross-check; it needs
// k*T of 2 at least. Long logs are averaged in blocks first, which loses nothing at the sensor's pace.
//
// Weights are 1/((r*E)² + s²), E the expected excess, r the relative scatter where the excess is high, s the scatter of
// neighbouring readings in the last quarter, not below half a step of resolution.
func (l *decayLog) freeFit(limit int) (freeOffset, bool) {
	t, c := l.run.T[l.start:limit], l.run.C[l.start:limit]
	if len(c) < fewestGood {
		return freeOffset{}, false
	}
	base := math.Max(lowestMedian5(c, 0, len(c)), 0) / 2
	half := 0
	first := median5(c, 0) - base
	for half < len(c) && median5(c, half)-base > first/2 {
		half++
	}
	if half == len(c) || first <= 0 {
		return freeOffset{}, false
	}
	k := math.Ln2 / math.Max(t[half]-t[0], 1e-9)
	n := searchTime(t, t[0]+math.Log(100)/k, true)
	n = untilRise(c[:n], first/10)
	x, y := blocks(t[:n], c[:n], mostFreePoints)
	if len(x) < fewestGood {
		return freeOffset{}, false
	}
	w := make([]float64, len(x))
	p := []float64{base, first, k}
	var f fit.Curve
	for pass := 0; pass < 2; pass++ {
		freeWeights(x, y, p, l.delta, w)
		var err error
		if f, err = fit.LevenbergMarquardt(decayCurve, x, y, w, p); err != nil {
			return freeOffset{}, false
		}
		p = f.P
	}
	kt := f.P[2] * x[len(x)-1]
	if !(f.P[2] > 0) || !(f.P[1] > 0) || kt < longRun {
		return freeOffset{}, false
	}
	res := make([]float64, len(x))
	grad := make([]float64, 3)
	for i := range x {
		res[i] = math.Sqrt(w[i]) * (y[i] - decayCurve(x[i], f.P, grad))
	}
	s := fit.SerialCorrelation(len(x), fit.Autocorrelation(res, 1))
	return freeOffset{
		k: f.P[2] * secondsPerHour, kU: f.SE[2] * s.Factor * secondsPerHour,
		offset: f.P[0], offsetU: f.SE[0] * s.Factor, kt: kt, neff: s.NEff,
	}, finite(f.SE...)
}

// decayCurve is B + A*exp(-k*x) with p = (B, A, k).
func decayCurve(x float64, p, grad []float64) float64 {
	e := math.Exp(-p[2] * x)
	grad[0], grad[1], grad[2] = 1, e, -x*p[1]*e
	return p[0] + p[1]*e
}

func freeWeights(x, y, p []float64, delta float64, w []float64) {
	grad := make([]float64, 3)
	var rel, add float64
	var nr, na int
	for i := range x {
		f := decayCurve(x[i], p, grad)
		if e := f - p[0]; e > 0.4*p[1] {
			rel += (y[i]/f - 1) * (y[i]/f - 1)
			nr++
		}
		if i > 0 && i >= len(x)*3/4 {
			add += (y[i] - y[i-1]) * (y[i] - y[i-1]) / 2
			na++
		}
	}
	r2 := math.Max(rel/math.Max(float64(nr), 1), 1e-6)
	s2 := math.Max(add/math.Max(float64(na), 1), math.Max(delta*delta/4, 1e-8*p[1]*p[1]))
	for i := range x {
		e := p[1] * math.Exp(-p[2]*x[i])
		w[i] = 1 / (r2*e*e + s2)
	}
}

// untilRise is the number of readings before a lasting rise of more than step above the lowest level so far: what comes
// after is another source, or the next run.
func untilRise(c []float64, step float64) int {
	low := math.Inf(1)
	for i := range c {
		if i >= 2 && i+2 < len(c) { // the median of five lies beyond a bound where three of them do
			above, below := 0, 0
			for _, x := range c[i-2 : i+3] {
				if x > low+step {
					above++
				}
				if x < low {
					below++
				}
			}
			if above < 3 && below < 3 {
				continue
			}
		}
		m := median5(c, i)
		if m > low+step && i > 0 && m > 1.2*low {
			return max(0, i-2)
		}
		low = math.Min(low, m)
	}
	return len(c)
}

// blocks averages readings over at most most blocks of equal counts; times start at the first reading.
func blocks(t, c []float64, most int) (x, y []float64) {
	size := (len(t) + most - 1) / most
	size = max(size, 1)
	x, y = make([]float64, 0, len(t)/size), make([]float64, 0, len(t)/size)
	for i := 0; i+size <= len(t); i += size {
		var st, sc float64
		for j := i; j < i+size; j++ {
			st += t[j] - t[0]
			sc += c[j]
		}
		x, y = append(x, st/float64(size)), append(y, sc/float64(size))
	}
	return x, y
}
