package figure

import (
	"math"

	"weighhouse/templates/numeral"
)

// axis maps values to places between two coordinates, linearly or by logarithm.
type axis struct {
	lo, hi   float64 // values
	from, to float64 // places
	log      bool
}

// at is the place of v. A value that the axis cannot hold comes back as its nearer end.
func (a axis) at(v float64) float64 {
	lo, hi, x := a.lo, a.hi, v
	if a.log {
		if v <= 0 {
			return a.from
		}
		lo, hi, x = math.Log(lo), math.Log(hi), math.Log(v)
	}
	f := (x - lo) / (hi - lo)
	return a.from + math.Min(1, math.Max(0, f))*(a.to-a.from)
}

// holds reports whether v lies on the axis.
func (a axis) holds(v float64) bool { return v >= a.lo && v <= a.hi }

// ticks gives round values from lo to hi, a step of 1, 2 or 5 times a power of ten apart, about n of them.
func ticks(lo, hi float64, n int) []float64 {
	if !(hi > lo) || math.IsInf(hi-lo, 0) || n < 1 {
		return nil
	}
	step := roundStep((hi - lo) / float64(n))
	var out []float64
	first := math.Ceil(lo/step - 1e-9)
	for i := first; i*step <= hi+step*1e-9; i++ {
		out = append(out, i*step+0) // +0 turns -0 into 0
	}
	return out
}

// roundStep is the smallest of 1, 2, 5 times a power of ten that is at least x.
func roundStep(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 2, 5} {
		if m*p >= x*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// logTicks gives the values 1, 2 and 5 times powers of ten from lo to hi, or powers of ten alone where those are more
// than n.
func logTicks(lo, hi float64, n int) []float64 {
	if !(lo > 0) || !(hi > lo) || math.IsInf(hi, 0) {
		return nil
	}
	for _, ms := range [][]float64{{1, 2, 5}, {1}} {
		var out []float64
		for e := math.Floor(math.Log10(lo)); e <= math.Ceil(math.Log10(hi)); e++ {
			for _, m := range ms {
				if v := m * math.Pow(10, e); v >= lo*(1-1e-9) && v <= hi*(1+1e-9) {
					out = append(out, v)
				}
			}
		}
		if len(out) <= n || len(ms) == 1 {
			return out
		}
	}
	return nil
}

// nice widens lo and hi to the ticks around them.
func nice(lo, hi float64, n int) (float64, float64) {
	if !(hi > lo) {
		d := math.Max(math.Abs(hi)*0.1, 1)
		lo, hi = lo-d, hi+d
	}
	step := roundStep((hi - lo) / float64(n))
	return math.Floor(lo/step+1e-9) * step, math.Ceil(hi/step-1e-9) * step
}

// under draws the axis along y with ticks and numbers below it, and its name with the unit at the right end, under
// the numbers.
func (a axis) under(s Surface, y float64, vs []float64, name string) {
	s.Line(Point{a.from, y}, Point{a.to, y}, Stroke{0.5, Mid, Solid})
	for _, v := range vs {
		x := a.at(v)
		s.Line(Point{x, y}, Point{x, y + 2.5}, Stroke{0.5, Mid, Solid})
		n, t := numeral.Plain(tidy(v)), text(small, Soft, Middle)
		s.Text(Point{math.Min(x, a.to+4-t.Face.Width(n, t.Size)/2), y + 9.5}, n, t) // a long number stays within the figure
	}
	if name != "" {
		s.Text(Point{a.to, y + 18.5}, name, text(small, Soft, End))
	}
}

// tidy takes the noise of binary fractions off a tick, so that 0.30000000000000004 prints as 0.3.
func tidy(v float64) float64 {
	if v == 0 {
		return 0
	}
	p := math.Pow(10, 10-math.Ceil(math.Log10(math.Abs(v))))
	return math.Round(v*p) / p
}
