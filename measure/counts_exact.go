package measure

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// PoissonLimits is the exact (Garwood) interval of the mean of a Poisson count n with the coverage level (0.95: two-
// sided): low = ½·χ²_α/2(2n), high = ½·χ²_1−α/2(2n + 2). As EN 1822-2 and ISO 29463-2 use them (form from memory).
func PoissonLimits(n, level float64) (low, high float64) {
	alpha := (1 - level) / 2
	return PoissonLow(n, alpha), PoissonHigh(n, alpha)
}

// PoissonLow is the one-sided lower limit of the mean of a Poisson count n at the risk alpha; 0 for n = 0.
func PoissonLow(n, alpha float64) float64 {
	if n <= 0 {
		return 0
	}
	return distuv.ChiSquared{K: 2 * n}.Quantile(alpha) / 2
}

// PoissonHigh is the one-sided upper limit of the mean of a Poisson count n at the risk alpha.
func PoissonHigh(n, alpha float64) float64 {
	return distuv.ChiSquared{K: 2*n + 2}.Quantile(1-alpha) / 2
}

// BinomialLimits is the exact interval of Clopper and Pearson for x successes in n with the coverage level: the α/2
// quantile of Beta(x, n − x + 1) and the 1 − α/2 quantile of Beta(x + 1, n − x).
func BinomialLimits(x, n, level float64) (low, high float64) {
	alpha := (1 - level) / 2
	low, high = 0, 1
	if x > 0 {
		low = mathext.InvRegIncBeta(x, n-x+1, alpha)
	}
	if x < n {
		high = mathext.InvRegIncBeta(x+1, n-x, 1-alpha)
	}
	return low, high
}

// Counts is the exact distribution behind an efficiency from counts. Up and Down are the particles counted before and
// behind the filter; the ratio of sampled volumes V_d/V_u lies between RatioLow and RatioHigh, which are equal unless
// rows with different volumes were summed. The limits then take the less favourable one, which bounds the truth: the
// sum of binomials lies between those of the extreme ratios.
type Counts struct {
	Up, Down            float64
	RatioLow, RatioHigh float64
}

// Interval is the exact conditional interval of the efficiency, as a fraction, with the coverage level. It needs Up > 0;
// a low end far below zero is possible where more was counted behind than before.
func (c Counts) Interval(level float64) (low, high float64) {
	l, h := BinomialLimits(c.Down, c.Up+c.Down, level)
	return 1 - h/(1-h)/c.RatioLow, 1 - l/(1-l)/c.RatioHigh
}

// ENInterval is the interval of the efficiency with separate Poisson limits of the two counts, as EN 1822-2 and
// ISO 29463-2 form it (from memory): E_min = 1 − c_d,high/c_u,low, E_max = 1 − c_d,low/c_u,high. Wider than Interval.
func (c Counts) ENInterval(level float64) (low, high float64) {
	ul, uh := PoissonLimits(c.Up, level)
	dl, dh := PoissonLimits(c.Down, level)
	return 1 - dh/ul/c.RatioLow, 1 - dl/uh/c.RatioHigh
}

// Tails are the two exact one-sided probabilities for the claim E ≥ limit (a fraction): with q = (1 − limit)·V_d/V_u and
// π0 = q/(1 + q), support = I_π0(N_d + 1, N_u), which at 0.95 or more supports the claim, and refute = I_π0(N_d, N_u + 1),
// which at 0.05 or less contradicts it (1 where nothing was counted behind: that contradicts nothing).
func (c Counts) Tails(limit float64) (support, refute float64) {
	pi := func(ratio float64) float64 {
		q := math.Max(0, 1-limit) * ratio
		return q / (1 + q)
	}
	support = mathext.RegIncBeta(c.Down+1, c.Up, pi(c.RatioLow))
	refute = 1
	if c.Down > 0 {
		refute = mathext.RegIncBeta(c.Down, c.Up+1, pi(c.RatioHigh))
	}
	return support, refute
}

// notTestable is the note where no outcome at this upstream count could have supported the claim.
const notTestable = "not testable at this count"

// AtLeast is the probability that the efficiency is at least limit, in %, as the decision rule reads it: the tail that
// decides where one does, else a value strictly between the two risks. Where even a clean downstream count would not
// have supported the claim at this upstream count, and the claim is not contradicted, the note says "not testable at
// this count".
func (c Counts) AtLeast(limit float64) (p float64, note string) {
	support, refute := c.Tails(limit / 100)
	best, _ := Counts{Up: c.Up, RatioLow: c.RatioLow, RatioHigh: c.RatioHigh}.Tails(limit / 100)
	switch {
	case support >= 0.95:
		p = support
	case refute <= 0.05:
		p = refute
	case support > 0.5:
		p = support
	case refute < 0.5:
		p = refute
	default:
		p = (support + refute) / 2
	}
	if best < 0.95 && refute > 0.05 {
		note = notTestable
	}
	return p, note
}

// CountsNeeded is the least upstream count at which a downstream count of zero supports an efficiency of at least limit
// (a fraction below 1) at equal volumes: the smallest N_u with 1 − (1 − π0)^N_u ≥ 0.95, π0 = (1 − limit)/(2 − limit).
func CountsNeeded(limit float64) float64 {
	pi := (1 - limit) / (2 - limit)
	return math.Ceil(math.Log(0.05) / math.Log1p(-pi))
}
