// Package uncertainty combines standard uncertainties as the GUM (JCGM 100:2008) does: a budget of components, the
// law of propagation, effective degrees of freedom by Welch and Satterthwaite, and a coverage factor from Student's t.
package uncertainty

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
)

// Component is one line of a budget.
//
// U is the standard uncertainty that it gives the result, in the result's own unit: the sensitivity coefficient times
// the standard uncertainty of the input. DOF is its degrees of freedom, +Inf where it is taken as exactly known.
// Kind is "A" (from repeated observations) or "B" (from anything else), GUM 4.2 and 4.3.
type Component struct {
	Name string
	U    float64
	DOF  float64
	Kind string
	Note string // how it was found, in words for the report
}

// Budget lists the components of one result; they are taken as uncorrelated.
type Budget []Component

// Combined is the combined standard uncertainty, u_c = sqrt(sum u_i^2). GUM 5.1.2, eq. (10) with c_i u_i = U.
func (b Budget) Combined() float64 {
	s := 0.0
	for _, c := range b {
		s = math.Hypot(s, c.U)
	}
	return s
}

// EffectiveDOF is nu_eff = u_c^4 / sum(u_i^4/nu_i), from the unrounded parts, not truncated; +Inf when no component
// with finite degrees of freedom contributes. GUM G.4.1, eq. (G.2b).
func (b Budget) EffectiveDOF() float64 {
	uc := b.Combined()
	if uc == 0 {
		return math.Inf(1)
	}
	s := 0.0
	for _, c := range b {
		if c.U == 0 || math.IsInf(c.DOF, 1) {
			continue
		}
		r := c.U / uc
		s += r * r * r * r / c.DOF
	}
	if s == 0 {
		return math.Inf(1)
	}
	return 1 / s
}

// Share is the part of the combined variance that component i brings, 0…1.
func (b Budget) Share(i int) float64 {
	uc := b.Combined()
	if uc == 0 {
		return 0
	}
	r := b[i].U / uc
	return r * r
}

// Expanded is a combined standard uncertainty with its coverage.
type Expanded struct {
	U   float64 // standard uncertainty u_c
	DOF float64 // effective degrees of freedom, truncated to a whole number and not below 1; +Inf if none is finite
	K   float64 // coverage factor t_0.975(DOF)
	Exp float64 // expanded uncertainty K*U, about 95 %
}

// Expand gives u_c, the truncated nu_eff, k = t_0.975(nu_eff) and U = k u_c. GUM G.4.1 and G.6.4.
func (b Budget) Expand() Expanded {
	u, nu := b.Combined(), b.EffectiveDOF()
	if !math.IsInf(nu, 1) {
		nu = math.Max(1, math.Floor(nu*(1+1e-12))) // a single component keeps its own whole number
	}
	k := Quantile(0.975, nu)
	return Expanded{U: u, DOF: nu, K: k, Exp: k * u}
}

// Quantile is the p-quantile of Student's t with nu degrees of freedom, of the normal distribution for nu = +Inf.
func Quantile(p, nu float64) float64 {
	if math.IsInf(nu, 1) || nu > 1e9 {
		return distuv.UnitNormal.Quantile(p)
	}
	key := [2]float64{p, nu}
	if q, ok := quantiles.Load(key); ok {
		return q.(float64)
	}
	q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Quantile(p)
	if nu == math.Trunc(nu) && nu <= 1000 && (p == 0.95 || p == 0.975) {
		quantiles.Store(key, q)
	}
	return q
}

// quantiles holds those that budgets and verdicts ask for again and again: whole degrees of freedom up to 1,000.
var quantiles sync.Map

// CDF is the distribution function F_nu(x) of Student's t, of the normal distribution for nu = +Inf.
func CDF(x, nu float64) float64 {
	if math.IsInf(nu, 1) || nu > 1e9 {
		return distuv.UnitNormal.CDF(x)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.CDF(x)
}
