package measure

import (
	"math"
	"sort"
)

// mean and sample standard deviation (n − 1); the latter is NaN for fewer than two values.
func meanSD(x []float64) (mean, sd float64) {
	for _, v := range x {
		mean += v
	}
	mean /= float64(len(x))
	if len(x) < 2 {
		return mean, math.NaN()
	}
	var ss float64
	for _, v := range x {
		ss += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(ss / float64(len(x)-1))
}

// finite reports whether every number is finite.
func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// series is a log in order of time, without blank or non-finite samples, equal times averaged by mean.
type series struct {
	t, v    []float64
	dropped int     // samples left out
	gap     float64 // the longest step over the median one, 0 for fewer than three samples
}

// newSeries sorts and cleans a log. Without times (nil) the samples are taken as evenly spaced, a second apart.
func newSeries(seconds, values []float64, mean func([]float64) float64) series {
	var s series
	idx := make([]int, 0, len(values))
	at := func(i int) float64 {
		if seconds == nil {
			return float64(i)
		}
		return seconds[i]
	}
	for i, v := range values {
		if (seconds == nil || i < len(seconds)) && finite(v, at(i)) {
			idx = append(idx, i)
		} else {
			s.dropped++
		}
	}
	sort.SliceStable(idx, func(a, b int) bool { return at(idx[a]) < at(idx[b]) })
	for i := 0; i < len(idx); {
		j := i
		var same []float64
		for ; j < len(idx) && at(idx[j]) == at(idx[i]); j++ {
			same = append(same, values[idx[j]])
		}
		s.t = append(s.t, at(idx[i]))
		s.v = append(s.v, mean(same))
		i = j
	}
	if len(s.t) > 2 {
		steps := make([]float64, len(s.t)-1)
		longest := 0.0
		for i := range steps {
			steps[i] = s.t[i+1] - s.t[i]
			longest = math.Max(longest, steps[i])
		}
		sort.Float64s(steps)
		s.gap = longest / steps[len(steps)/2]
	}
	return s
}

// weights gives each sample the time for which it stands: half the step before it and half the step after it, so that
// a weighted sum is the integral by the trapezoid rule. One sample alone gets the weight one.
func (s series) weights() []float64 {
	w := make([]float64, len(s.t))
	if len(w) == 1 {
		w[0] = 1
		return w
	}
	for i := range w {
		if i > 0 {
			w[i] += (s.t[i] - s.t[i-1]) / 2
		}
		if i+1 < len(w) {
			w[i] += (s.t[i+1] - s.t[i]) / 2
		}
	}
	return w
}

// span is the time from the first sample to the last.
func (s series) span() float64 {
	if len(s.t) == 0 {
		return 0
	}
	return s.t[len(s.t)-1] - s.t[0]
}

// part is the samples from index i up to, not including, j.
func (s series) part(i, j int) series { return series{t: s.t[i:j], v: s.v[i:j]} }

// batches is how many equal parts batchU makes of a log.
const batches = 8

// batchU is the standard uncertainty of the mean of a log whose samples depend on each other: the log is cut into eight
// equal parts, and u is the standard deviation of their means over √8, with 7 degrees of freedom (method of batch
// means). It is 0 where the log is too short to be cut (fewer than four samples a part).
func batchU(s series, mean func(series) float64) float64 {
	n := len(s.t)
	if n < 4*batches {
		return 0
	}
	means := make([]float64, batches)
	for b := range means {
		means[b] = mean(s.part(b*n/batches, (b+1)*n/batches))
	}
	_, sd := meanSD(means)
	return sd / math.Sqrt(batches)
}

// wholeNumbers reports whether every reading is a whole number: the display then most likely shows no decimals.
func wholeNumbers(xs []float64) bool {
	for _, x := range xs {
		if x != math.Trunc(x) {
			return false
		}
	}
	return len(xs) > 0
}

// oneDecimal reports whether every reading has at most one decimal.
func oneDecimal(xs []float64) bool {
	for _, x := range xs {
		if math.Abs(x*10-math.Round(x*10)) > 1e-6 {
			return false
		}
	}
	return len(xs) > 0
}
