// Package fit holds the least-squares fits that the reductions use: straight lines, curves by Levenberg and Marquardt,
// and what serial correlation of the residuals does to their standard errors.
package fit

import (
	"errors"
	"fmt"
	"math"
)

// Line is a straight line fitted by least squares, y = Intercept + Slope*x.
//
// SEIntercept and SESlope are standard errors with DOF = N-2 degrees of freedom (N-1 through the origin, where the
// intercept and its error are 0). S is the residual standard deviation, R2 the coefficient of determination (uncentred
// through the origin, as NIST StRD certifies it), SSR and SSE the regression and residual sums of squares, F = SSR/(S*S).
// R is the correlation of intercept and slope. A quantity that the data do not determine (S with DOF = 0, R2 and F
// where y does not vary) is NaN.
type Line struct {
	Intercept, Slope     float64
	SEIntercept, SESlope float64
	R                    float64
	S, R2, SSR, SSE, F   float64
	N, DOF               int
	mean                 float64 // weighted mean of x
	at                   float64 // y on the line at mean
	seAt                 float64 // standard error of at
}

var errShort = errors.New("a straight line takes two readings at different places")

// Straight fits y = a + b*x by ordinary least squares. x and y have one length, at least 2, and x must vary.
// b = sum((x-x̄)(y-ȳ))/sum((x-x̄)²), SE(b) = s/sqrt(sum((x-x̄)²)); sums are taken about the means, in two passes.
func Straight(x, y []float64) (Line, error) { return Weighted(x, y, nil) }

// Weighted fits y = a + b*x with weights w, the inverse variances of y up to a common factor that the residuals
// decide. nil weights are all 1. Weights must be positive and finite.
func Weighted(x, y, w []float64) (Line, error) {
	n := len(x)
	if len(y) != n || (w != nil && len(w) != n) {
		return Line{}, fmt.Errorf("%d values of x, %d of y, %d weights", n, len(y), len(w))
	}
	if n < 2 {
		return Line{}, errShort
	}
	if w == nil {
		return unweighted(x, y)
	}
	var sw, mx, my float64
	x0, y0 := x[0], y[0] // offsets, so that sums of large numbers (Unix seconds) lose no digits
	for i := range x {
		wi := w[i]
		if !(wi > 0) || math.IsInf(wi, 1) {
			return Line{}, fmt.Errorf("weight %g is not a positive number", wi)
		}
		sw += wi
		mx += wi * (x[i] - x0)
		my += wi * (y[i] - y0)
	}
	mx, my = mx/sw, my/sw
	var sxx, sxy, syy float64
	for i := range x {
		wi, dx, dy := w[i], (x[i]-x0)-mx, (y[i]-y0)-my
		sxx += wi * dx * dx
		sxy += wi * dx * dy
		syy += wi * dy * dy
	}
	if !(sxx > 0) || math.IsNaN(sxy) || math.IsInf(sxx, 1) {
		return Line{}, errShort
	}
	l := Line{N: n, DOF: n - 2, Slope: sxy / sxx, mean: mx + x0, at: my + y0}
	l.Intercept = l.at - l.Slope*l.mean
	for i := range x {
		r := (y[i] - y0) - my - l.Slope*((x[i]-x0)-mx)
		l.SSE += w[i] * r * r
	}
	l.finish(sw, sxx, sxy, syy)
	return l, nil
}

// unweighted is Weighted with weights of 1.
func unweighted(x, y []float64) (Line, error) {
	n := float64(len(x))
	y = y[:len(x)]
	var mx, my float64
	x0, y0 := x[0], y[0]
	for i := range x {
		mx += x[i] - x0
		my += y[i] - y0
	}
	mx, my = mx/n, my/n
	var sxx, sxy, syy float64
	for i := range x {
		dx, dy := (x[i]-x0)-mx, (y[i]-y0)-my
		sxx += dx * dx
		sxy += dx * dy
		syy += dy * dy
	}
	if !(sxx > 0) || math.IsNaN(sxy) || math.IsInf(sxx, 1) {
		return Line{}, errShort
	}
	l := Line{N: len(x), DOF: len(x) - 2, Slope: sxy / sxx, mean: mx + x0, at: my + y0}
	l.Intercept = l.at - l.Slope*l.mean
	for i := range x {
		r := (y[i] - y0) - my - l.Slope*((x[i]-x0)-mx)
		l.SSE += r * r
	}
	l.finish(n, sxx, sxy, syy)
	return l, nil
}

// finish gives what follows from the sums of weights, of squares and of products.
func (l *Line) finish(sw, sxx, sxy, syy float64) {
	l.SSR = l.Slope * sxy
	l.S = math.Sqrt(l.SSE / float64(l.DOF)) // NaN for two readings: 0/0
	l.SESlope = l.S / math.Sqrt(sxx)
	l.seAt = l.S / math.Sqrt(sw)
	q := math.Sqrt(1/sw + l.mean*l.mean/sxx)
	l.SEIntercept = l.S * q
	l.R = -l.mean / (sxx * q * math.Sqrt(1/sxx))
	l.R2 = 1 - l.SSE/syy
	l.F = l.SSR / (l.S * l.S)
}

// ThroughOrigin fits y = b*x: b = sum(xy)/sum(x²), SE(b) = s/sqrt(sum(x²)), N-1 degrees of freedom.
func ThroughOrigin(x, y []float64) (Line, error) {
	if len(x) != len(y) {
		return Line{}, fmt.Errorf("%d values of x, %d of y", len(x), len(y))
	}
	var sxx, sxy, syy float64
	for i := range x {
		sxx += x[i] * x[i]
		sxy += x[i] * y[i]
		syy += y[i] * y[i]
	}
	if !(sxx > 0) || math.IsInf(sxx, 1) {
		return Line{}, errors.New("a line through the origin takes a reading away from it")
	}
	l := Line{N: len(x), DOF: len(x) - 1, Slope: sxy / sxx}
	for i := range x {
		r := y[i] - l.Slope*x[i]
		l.SSE += r * r
	}
	l.SSR = l.Slope * sxy
	l.S = math.Sqrt(l.SSE / float64(l.DOF))
	l.SESlope = l.S / math.Sqrt(sxx)
	l.R2 = 1 - l.SSE/syy
	l.F = l.SSR / (l.S * l.S)
	return l, nil
}

// Value is the line's value at x.
func (l Line) Value(x float64) float64 {
	if l.seAt == 0 && l.SEIntercept == 0 {
		return l.Intercept + l.Slope*x
	}
	return l.at + l.Slope*(x-l.mean)
}

// At gives the line's value at x and its standard uncertainty, u² = u²(a) + x²u²(b) + 2x u(a)u(b)r (GUM H.3.5,
// eq. (H.15)), worked about the mean of x, where the two terms are uncorrelated.
func (l Line) At(x float64) (y, u float64) {
	if l.seAt == 0 && l.SEIntercept == 0 { // through the origin, or no scatter
		return l.Intercept + l.Slope*x, math.Abs(x) * l.SESlope
	}
	d := x - l.mean
	return l.at + l.Slope*d, math.Hypot(l.seAt, d*l.SESlope)
}
