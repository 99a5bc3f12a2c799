package fit

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
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
	s := spaces.Get().(*space)
	defer spaces.Put(s)
	s.clear(n*(3*m+4) + m*(m+7))
	d := &descent{
		model: model, x: x, y: y, m: m, now: s.point(n, m), next: s.point(n, m),
		qr: s.take((n + m) * m), rhs: s.take(n + m), scale: s.take(m), step: s.take(m), try: s.take(m), grad: s.take(m),
	}
	if w != nil {
		d.root = s.take(n)
		for i := range w {
			d.root[i] = math.Sqrt(w[i])
		}
	}
	if at := d.stand(p0); math.IsNaN(at) || math.IsInf(at, 0) {
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
	model       Model
	x, y        []float64
	root        []float64 // square roots of the weights; nil: all 1
	m, steps    int
	now, next   *point    // where the descent stands, and the last place tried
	qr, rhs     []float64 // work copies of J and the residuals, each column with the damping rows below
	scale, step []float64
	try, grad   []float64
}

// point holds the weighted residuals and their Jacobian at one set of parameters, by columns.
type point struct {
	jac [][]float64
	res []float64
	p   []float64 // the parameters
	rss float64
}

// space is the memory of one fit, which is kept for the next: fits of many short logs would otherwise ask for more than the
// logs themselves do.
type space struct{ used []float64 }

var spaces = sync.Pool{New: func() any { return &space{} }}

// clear makes room for n numbers.
func (s *space) clear(n int) { s.used = slices.Grow(s.used[:0], n) }

// take gives n of them, whatever they hold.
func (s *space) take(n int) []float64 {
	from := len(s.used)
	s.used = s.used[:from+n]
	return s.used[from : from+n : from+n]
}

func (s *space) point(n, m int) *point {
	p := &point{jac: make([][]float64, m), res: s.take(n), p: s.take(m), rss: math.NaN()}
	for j := range p.jac {
		p.jac[j] = s.take(n)
	}
	return p
}

// stand begins at q, or stays there, and returns the sum of squares.
func (d *descent) stand(q []float64) float64 {
	if slices.Equal(d.now.p, q) && !math.IsNaN(d.now.rss) {
		return d.now.rss
	}
	return d.at(q, d.now)
}

// accept moves to the last place tried, whose sum of squares is rss.
func (d *descent) accept(rss float64) float64 {
	d.now, d.next = d.next, d.now
	return rss
}

// at stores the residuals and J at q and returns the weighted residual sum of squares there.
func (d *descent) at(q []float64, p *point) float64 {
	s := 0.0
	for i, x := range d.x {
		r, sw := d.y[i]-d.model(x, q, d.grad), 1.0
		if d.root != nil {
			sw = d.root[i]
			r *= sw
		}
		s += r * r
		p.res[i] = r
		for j, g := range d.grad {
			p.jac[j][i] = sw * g
		}
	}
	copy(p.p, q)
	p.rss = s
	return s
}

// solve puts into d.step the step with damping lambda from J and the residuals where the descent stands.
func (d *descent) solve(lambda float64) bool {
	n, m := len(d.x), d.m
	rows := n
	if lambda != 0 {
		rows += m
	}
	for j, col := range d.now.jac {
		to := d.qr[j*rows : (j+1)*rows]
		clear(to[copy(to, col):])
		if lambda != 0 {
			to[n+j] = math.Sqrt(lambda) * math.Max(d.scale[j], 1e-300)
		}
	}
	clear(d.rhs[copy(d.rhs, d.now.res):])
	return householder(d.qr[:rows*m], d.rhs[:rows], rows, m, d.step)
}

// run takes p downhill and reports whether it came to rest.
func (d *descent) run(p []float64, lambda float64) bool {
	clear(d.scale)
	cur := d.stand(p)
	for d.steps = 0; d.steps < maxSteps; d.steps++ {
		for j := range d.scale {
			s := 0.0
			for _, v := range d.now.jac[j] {
				s += v * v
			}
			d.scale[j] = math.Max(d.scale[j], math.Sqrt(s))
		}
		if !d.solve(lambda) {
			lambda *= 10
			continue
		}
		small := d.advance(p, 1e-9)
		next := d.at(d.try, d.next)
		if next < cur {
			rest := small && (cur-next) <= 1e-13*cur
			copy(p, d.try)
			cur = d.accept(next)
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
	cur := d.stand(p)
	for i := 0; i < 20 && d.solve(0); i++ {
		done := d.advance(p, 1e-14)
		next := d.at(d.try, d.next)
		if !(next <= cur*(1+1e-12)) {
			break
		}
		copy(p, d.try)
		cur = d.accept(next)
		if done {
			break
		}
	}
	if !d.solve(0) {
		return Curve{}, errUndetermined
	}
	c := Curve{P: p, RSS: cur, DOF: n - m, S: math.Sqrt(cur / float64(n-m)), SE: make([]float64, m)}
	for j := range c.SE {
		u := rowNormOfInverse(d.qr, n, m, j)
		// a parameter that could move by a million times its own size without the residuals' noise showing it
		// has no value
		if c.SE[j] = c.S * u; math.IsNaN(c.SE[j]) || c.SE[j] > 1e6*math.Abs(p[j]) {
			return Curve{}, errUndetermined
		}
	}
	return c, nil
}

// householder solves min |A z - b| for the rows x m matrix A, stored by columns, which it overwrites: R stays in its upper
// triangle. It reports false where A has no full rank.
func householder(a, b []float64, rows, m int, z []float64) bool {
	for k := 0; k < m; k++ {
		v := a[k*rows+k : (k+1)*rows] // the column from its diagonal down
		top, norm := 0.0, 0.0
		for _, x := range v {
			if x = math.Abs(x); x > top || x != x { // a NaN stays
				top = x
			}
		}
		if top > 0 {
			for _, x := range v {
				r := x / top // scaled, so that no square overflows or vanishes
				norm += r * r
			}
		}
		norm = top * math.Sqrt(norm)
		if norm == 0 || math.IsNaN(norm) || math.IsInf(norm, 0) {
			return false
		}
		if v[0] > 0 {
			norm = -norm
		}
		v0 := v[0] - norm
		beta := -1 / (norm * v0) // 2/(v'v), for v = column - norm*e1
		j := k + 1
		for ; j < m; j += 2 { // two columns at a time, the last with b, so that their sums run side by side
			to := b[k:rows]
			if j+1 < m {
				to = a[(j+1)*rows+k : (j+2)*rows]
			}
			reflect2(v, a[j*rows+k:(j+1)*rows], to, v0, beta)
		}
		if j == m {
			reflect(v, b[k:rows], v0, beta)
		}
		v[0] = norm
	}
	for k := m - 1; k >= 0; k-- {
		s := b[k]
		for j := k + 1; j < m; j++ {
			s -= a[j*rows+k] * z[j]
		}
		z[k] = s / a[k*rows+k]
		if math.IsNaN(z[k]) || math.IsInf(z[k], 0) {
			return false
		}
	}
	return true
}

// reflect applies I - beta v v' to y, where v is v0 and then v[1:].
func reflect(v, y []float64, v0, beta float64) {
	y = y[:len(v)]
	s := v0 * y[0]
	for i := 1; i < len(v); i++ {
		s += v[i] * y[i]
	}
	s *= beta
	y[0] -= s * v0
	for i := 1; i < len(v); i++ {
		y[i] -= s * v[i]
	}
}

// reflect2 is reflect of y and of z.
func reflect2(v, y, z []float64, v0, beta float64) {
	y, z = y[:len(v)], z[:len(v)]
	s, t := v0*y[0], v0*z[0]
	for i := 1; i < len(v); i++ {
		s += v[i] * y[i]
		t += v[i] * z[i]
	}
	s *= beta
	t *= beta
	y[0] -= s * v0
	z[0] -= t * v0
	for i := 1; i < len(v); i++ {
		y[i] -= s * v[i]
		z[i] -= t * v[i]
	}
}

// rowNormOfInverse is the norm of row j of R^-1, the square root of element (j, j) of (R'R)^-1: that of the solution z
// of R'z = e_j.
func rowNormOfInverse(r []float64, rows, m, j int) float64 {
	z := make([]float64, m)
	s := 0.0
	for k := 0; k < m; k++ {
		v := 0.0
		if k == j {
			v = 1
		}
		for i := 0; i < k; i++ {
			v -= r[k*rows+i] * z[i]
		}
		z[k] = v / r[k*rows+k]
		s = math.Hypot(s, z[k])
	}
	return s
}
