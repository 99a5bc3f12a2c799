package measure

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"weighhouse/measure/uncertainty"
)

// declineFit is a straight line y = ȳ + b·(x − x̄) by weighted least squares, kept about its weighted mean, where ȳ and
// b are uncorrelated: cov(a, b) of the usual intercept is thereby in every number that is made of the two.
type declineFit struct {
	x, y   float64 // weighted means
	b      float64
	uy, ub float64
	dof    float64 // of uy and ub
	birge  float64 // √(χ²/ν) where it is above one and widens the errors, else 1
}

var errDecline = errors.New("two different loads at the least are needed, and three where the rates have no ±")

// fitDecline fits a line through y with standard uncertainties u, taken as known: weights 1/u², u²(b) = 1/Σw(x−x̄)².
// Where the residuals are larger than u explains (χ² > ν) the errors are multiplied by √(χ²/ν) (Birge ratio), and where
// χ² exceeds its 95 % point, so that u is not to be believed, they get ν = n − 2 degrees of freedom. Where any u is
// missing (NaN or 0) all weights are equal, and the residuals alone give the errors.
func fitDecline(x, y, u []float64) (declineFit, error) {
	n := len(x)
	known := true
	for _, v := range u {
		known = known && finite(v) && v > 0
	}
	if n < 2 || (!known && n < 3) {
		return declineFit{}, errDecline
	}
	w := make([]float64, n)
	var sw float64
	f := declineFit{dof: math.Inf(1), birge: 1}
	for i := range x {
		w[i] = 1
		if known {
			w[i] = 1 / (u[i] * u[i])
		}
		sw += w[i]
		f.x += w[i] * x[i]
		f.y += w[i] * y[i]
	}
	f.x, f.y = f.x/sw, f.y/sw
	var sxx, sxy float64
	for i := range x {
		sxx += w[i] * (x[i] - f.x) * (x[i] - f.x)
		sxy += w[i] * (x[i] - f.x) * (y[i] - f.y)
	}
	if !(sxx > 0) {
		return declineFit{}, errDecline
	}
	f.b = sxy / sxx
	var chi2 float64
	for i := range x {
		r := y[i] - f.at(x[i])
		chi2 += w[i] * r * r
	}
	f.uy, f.ub = 1/math.Sqrt(sw), 1/math.Sqrt(sxx)
	nu := float64(n - 2)
	if s := math.Sqrt(chi2 / nu); nu > 0 && (!known || s > 1) {
		f.birge, f.uy, f.ub = s, f.uy*s, f.ub*s
		if !known || chi2 > (distuv.ChiSquared{K: nu}).Quantile(0.95) {
			f.dof = nu
		}
	}
	return f, nil
}

// at is the line's value at x.
func (f declineFit) at(x float64) float64 { return f.y + f.b*(x-f.x) }

// start is the line's value at no load.
func (f declineFit) start() float64 { return f.at(0) }

// half is where the line falls to half of its value at no load: a + b·x = a/2 gives x = −a/(2b) = x̄/2 − ȳ/(2b).
func (f declineFit) half() float64 { return f.x/2 - f.y/(2*f.b) }

// margin is the rate at x above half the initial rate, a/2 + b·x = ȳ/2 + b·(x − x̄/2), with its standard uncertainty.
// It is above zero where the crossing lies beyond x, also for a line that does not fall at all.
func (f declineFit) margin(x float64) (v, u float64) {
	c := x - f.x/2
	return f.y/2 + f.b*c, math.Hypot(f.uy/2, f.ub*c)
}

// fieller is the interval of half by Fieller's theorem: all x at which margin is within t of its own uncertainty. ok is
// false where the slope is not distinguishable from none at this t, and the interval has no end.
func (f declineFit) fieller(t float64) (low, high float64, ok bool) {
	// (ȳ/2 + b·c)² = t²·(u²(ȳ)/4 + u²(b)·c²), a quadratic in c = x − x̄/2.
	qa := f.b*f.b - t*t*f.ub*f.ub
	qb := f.y * f.b
	qc := f.y*f.y/4 - t*t*f.uy*f.uy/4
	d := qb*qb - 4*qa*qc
	if !(qa > 0) || d < 0 || f.b >= 0 {
		return 0, 0, false
	}
	r := math.Sqrt(d)
	return f.x/2 + (-qb-r)/(2*qa), f.x/2 + (-qb+r)/(2*qa), true
}

// crossing is the exact distribution behind a filter life: the probability that the rate at a load still is above half.
type crossing struct {
	fit   declineFit
	shape float64 // standard uncertainty from the shape of the decline, in units of load
}

// AtLeast is the probability that the crossing of half the initial rate lies at limit or beyond: F_ν of the margin at
// limit over its uncertainty, with the uncertainty of the shape of the decline added. The counterpart of Fieller's
// interval.
func (c crossing) AtLeast(limit float64) (float64, string) {
	v, u := c.fit.margin(limit)
	u = math.Hypot(u, c.fit.b*c.shape)
	if u == 0 {
		if v >= 0 {
			return 1, ""
		}
		return 0, ""
	}
	return uncertainty.CDF(v/u, c.fit.dof), ""
}
