package fit

import "math"

// Autocorrelation is the lag-k autocorrelation of r about its mean, sum(r_i r_(i+k))/sum(r_i²). NIST/SEMATECH
// e-Handbook 1.3.5.12. It is 0 where r does not vary or has no pair at that lag.
func Autocorrelation(r []float64, lag int) float64 {
	if lag < 0 || lag >= len(r) {
		return 0
	}
	m := 0.0
	for _, x := range r {
		m += x
	}
	m /= float64(len(r))
	var num, den float64
	for i, x := range r {
		den += (x - m) * (x - m)
		if i+lag < len(r) {
			num += (x - m) * (r[i+lag] - m)
		}
	}
	if den == 0 {
		return 0
	}
	return num / den
}

// Serial is what first-order serial correlation does to the standard error of a slope.
type Serial struct {
	Rho       float64 // estimated lag-1 autocorrelation of the residuals
	Corrected float64 // after the correction for its small-sample bias, within 0…0.95
	Factor    float64 // by which the standard error grows, sqrt((1+rho)/(1-rho))
	NEff      float64 // effective number of independent readings, n(1-rho)/(1+rho), not below 3
}

// SerialCorrelation gives the inflation for n residuals with lag-1 autocorrelation rho:
// rho_c = (n*rho + 2)/(n - 4) within 0…0.95, n_eff = n(1-rho_c)/(1+rho_c), factor sqrt((1+rho_c)/(1-rho_c)).
//
// The form of n_eff is that of N. F. Zhang, Metrologia 43 (2006) S276 (second-hand); the small-sample correction and the
// bounds are judgement, chosen by a coverage study. n of 4 and fewer gives the upper bound.
func SerialCorrelation(n int, rho float64) Serial {
	c := 0.95
	if n > 4 {
		c = (float64(n)*rho + 2) / float64(n-4)
	}
	c = math.Min(math.Max(c, 0), 0.95)
	return Serial{
		Rho: rho, Corrected: c,
		Factor: math.Sqrt((1 + c) / (1 - c)),
		NEff:   math.Max(3, float64(n)*(1-c)/(1+c)),
	}
}
