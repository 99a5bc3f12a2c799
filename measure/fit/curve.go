package fit

import (
	"errors"
	"fmt"
	"math"
)

// Model is a curve with parameters p. It returns f(x; p) and fills grad, which has len(p), with df/dp.
type Model func(x float64, p, grad []float64) float64

// Curve is a curve fitted by least squares.
type Curve struct {
	P, SE  []float64 // estimates and their standard errors, s*sqrt(diag((J'WJ)^-1))
	RSS, S float64   // (weighted) residual sum of squares; S = sqrt(RSS/DOF)
	DOF    int
	Steps  int // accepted and refused steps together
}

// ErrNoConvergence says that the steps did not come to rest within the limit.
var ErrNoConvergence = errors.New("the curve fit did not converge")

var errUndetermined = errors.New("the readings do not determine all parameters of the curve")

const maxSteps = 500

// dampings are the first values of lambda that are tried: a first step that is too bold can land on a plateau where the
// curve no longer depends on a parameter.
var dampings = []float64{1e-3, 1, 1e3}

// LevenbergMarquardt fits model to (x, y) from the start values p0, with weights w (inverse variances up to a common
// factor; nil: all 1). Steps solve the damped linear problem min |J d - r|² + lambda |D d|² by Householder QR, D the
// largest column norms of J so far (Moré 1978), and are taken only when they lower the residual sum of squares; undamped
// steps (Gauss and Newton) then bring the last digits. Where that ends with parameters undetermined the descent is begun
// anew with a larger first damping. It fails when there are fewer readings than parameters, when the model
// is not finite at p0, when the readings do not determine all parameters, or with ErrNoConvergence.
func LevenbergMarquardt(model Model, x, y, w, p0 []float64) (Curve, error) {
	n, m := len(x), len(p0)
	if len(y) != n || (w != nil && len(w) != n) {
		return Curve{}, fmt.Errorf("%d values of x, %d of y, %d weights", n, len(y), len(w))
	}
	if n <= m {
		return Curve{}, fmt.Errorf("%d readings for %d parameters", n, m)
	}
	d := &descent{
		model: model, x: x, y: y, w: w, m: m,
		jac: make([]float64, n*m), res: make([]float64, n), qr: make([]float64, (n+m)*m), rhs: make([]float64, n+m),
		scale: make([]float64, m), step: make([]float64, m), try: make([]float64, m), grad: make([]float64, m),
	}
	if s := d.rss(p0, false); math.IsNaN(s) || math.IsInf(s, 0) {
		return Curve{}, errors.New("the curve is not finite at the start values")
	}
	err, steps := ErrNoConvergence, 0
	for _, lambda := range dampings {
		p := append([]float64(nil), p0...)
		rest := d.run(p, lambda)
		if steps += d.steps; !rest {
			continue
		}
		var c Curve
		if c, err = d.finish(p); err == nil {
			c.Steps = steps
			return c, nil
		}
	}
	return Curve{}, err
}

// descent is the work space of one fit.
type descent struct {
	model             Model
	x, y, w           []float64
	m, steps          int
	jac, res, qr, rhs []float64 // J by rows and residuals, both weighted; work copies with the damping rows below
	scale, step       []float64
	try, grad         []float64
}

// rss is the weighted residual sum of squares at q; keep also stores J and the residuals there.
func (d *descent) rss(q []float64, keep bool) float64 {
	s := 0.0
	for i := range d.x {
		f := d.model(d.x[i], q, d.grad)
		sw := 1.0
		if d.w != nil {
			sw = math.Sqrt(d.w[i])
		}
		r := sw * (d.y[i] - f)
		s += r * r
		if keep {
			d.res[i] = r
			for j, g := range d.grad {
				d.jac[i*d.m+j] = sw * g
			}
		}
	}
	return s
}

// solve puts into d.step the step with damping lambda from the stored J and residuals.
func (d *descent) solve(lambda float64) bool {
	n, m := len(d.x), d.m
	copy(d.qr, d.jac)
	copy(d.rhs, d.res)
	if lambda == 0 {
		return householder(d.qr[:n*m], d.rhs[:n], n, m, d.step)
	}
	for j := 0; j < m; j++ {
		row := d.qr[(n+j)*m : (n+j+1)*m]
		clear(row)
		row[j] = math.Sqrt(lambda) * math.Max(d.scale[j], 1e-300)
		d.rhs[n+j] = 0
	}
	return householder(d.qr, d.rhs, n+m, m, d.step)
}

// run takes p downhill and reports whether it came to rest.
func (d *descent) run(p []float64, lambda float64) bool {
	clear(d.scale)
	cur := d.rss(p, true)
	for d.steps = 0; d.steps < maxSteps; d.steps++ {
		for j := range d.scale {
			s := 0.0
			for i := range d.x {
				s += d.jac[i*d.m+j] * d.jac[i*d.m+j]
			}
			d.scale[j] = math.Max(d.scale[j], math.Sqrt(s))
		}
		if !d.solve(lambda) {
			lambda *= 10
			continue
		}
		small := d.advance(p, 1e-9)
		next := d.rss(d.try, false)
		if next < cur {
			rest := small && (cur-next) <= 1e-13*cur
			copy(p, d.try)
			cur = d.rss(p, true)
			lambda = math.Max(lambda/5, 1e-30)
			if rest {
				return true
			}
			continue
		}
		if small || cur == 0 { // a step at the level of rounding brings nothing more
			return true
		}
		if lambda *= 4; lambda > 1e30 { // also where next is not finite
			return false
		}
	}
	return false
}

// advance sets try = p + step and reports whether every part of the step is below rel of its parameter.
func (d *descent) advance(p []float64, rel float64) bool {
	small := true
	for j := range p {
		d.try[j] = p[j] + d.step[j]
		small = small && math.Abs(d.step[j]) <= rel*math.Abs(p[j])
	}
	return small
}

// finish brings the last digits by undamped steps, as long as the sum of squares does not rise beyond rounding, and
// gives the standard errors.
func (d *descent) finish(p []float64) (Curve, error) {
	n, m := len(d.x), d.m
	cur := d.rss(p, true)
	for i := 0; i < 20 && d.solve(0); i++ {
		done := d.advance(p, 1e-14)
		next := d.rss(d.try, false)
		if !(next <= cur*(1+1e-12)) {
			break
		}
		copy(p, d.try)
		cur = d.rss(p, true)
		if done {
			break
		}
	}
	if !d.solve(0) {
		return Curve{}, errUndetermined
	}
	c := Curve{P: p, RSS: cur, DOF: n - m, S: math.Sqrt(cur / float64(n-m)), SE: make([]float64, m)}
	for j := range c.SE {
		u := rowNormOfInverse(d.qr, m, j)
		// a parameter that could move by a million times its own size without the residuals' noise showing it
		// has no value
		if c.SE[j] = c.S * u; math.IsNaN(c.SE[j]) || c.SE[j] > 1e6*math.Abs(p[j]) {
			return Curve{}, errUndetermined
		}
	}
	return c, nil
}

// householder solves min |A z - b| for the rows x m matrix A, stored by rows, which it overwrites: R stays in its upper
// triangle. It reports false where A has no full rank.
func householder(a, b []float64, rows, m int, z []float64) bool {
	for k := 0; k < m; k++ {
		top, norm := 0.0, 0.0
		for i := k; i < rows; i++ {
			top = math.Max(top, math.Abs(a[i*m+k]))
		}
		for i := k; i < rows && top > 0; i++ {
			r := a[i*m+k] / top // scaled, so that no square overflows or vanishes
			norm += r * r
		}
		norm = top * math.Sqrt(norm)
		if norm == 0 || math.IsNaN(norm) || math.IsInf(norm, 0) {
			return false
		}
		if a[k*m+k] > 0 {
			norm = -norm
		}
		v0 := a[k*m+k] - norm
		beta := -1 / (norm * v0) // 2/(v'v), for v = column - norm*e1
		for j := k + 1; j <= m; j++ {
			s := 0.0
			if j < m {
				s = v0 * a[k*m+j]
				for i := k + 1; i < rows; i++ {
					s += a[i*m+k] * a[i*m+j]
				}
				s *= beta
				a[k*m+j] -= s * v0
				for i := k + 1; i < rows; i++ {
					a[i*m+j] -= s * a[i*m+k]
				}
				continue
			}
			s = v0 * b[k]
			for i := k + 1; i < rows; i++ {
				s += a[i*m+k] * b[i]
			}
			s *= beta
			b[k] -= s * v0
			for i := k + 1; i < rows; i++ {
				b[i] -= s * a[i*m+k]
			}
		}
		a[k*m+k] = norm
	}
	for k := m - 1; k >= 0; k-- {
		s := b[k]
		for j := k + 1; j < m; j++ {
			s -= a[k*m+j] * z[j]
		}
		z[k] = s / a[k*m+k]
		if math.IsNaN(z[k]) || math.IsInf(z[k], 0) {
			return false
		}
	}
	return true
}

// rowNormOfInverse is the norm of row j of R^-1, the square root of element (j, j) of (R'R)^-1: that of the solution z
// of R'z = e_j.
func rowNormOfInverse(r []float64, m, j int) float64 {
	z := make([]float64, m)
	s := 0.0
	for k := 0; k < m; k++ {
		v := 0.0
		if k == j {
			v = 1
		}
		for i := 0; i < k; i++ {
			v -= r[i*m+k] * z[i]
		}
		z[k] = v / r[k*m+k]
		s = math.Hypot(s, z[k])
	}
	return s
}
