package measure

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// rangeCodes are values that loggers and sensors write where the reading is beyond their range or missing: full registers
// of 15 and 16 bits with and without a decimal, and rows of nines (sensor data sheets and logger manuals, from memory).
var rangeCodes = []float64{65535, 6553.5, 655.35, 65534, 32767, 3276.7, 327.67, 32768, 9999, 99999, 999.9, 9999.9, 99.99, 999.99, 9999.99, 999999}

// rangeCode reports whether a value is such a code. 9999 and its like are codes wherever they stand alone; held for long
// they are the sensor's top.
func rangeCode(x float64) bool {
	for _, c := range rangeCodes {
		if math.Abs(x-c) < 1e-6*c {
			return true
		}
	}
	return x == -99 || x == -999 || x == -9999
}

// cleaned takes out of a run's readings what is none: codes that stand apart from both neighbours, or that are held while
// the readings beside them are far below; and single readings that both neighbours contradict while they agree with each
// other. The readings themselves are shared and not changed.
func cleaned(r *DecayRun) *DecayRun {
	codes := map[float64]int{}
	spikes, at := 0, 0.0
	drop := make(map[int]bool)
	n := len(r.C)
	for i := 0; i < n; {
		j := i + 1
		for j < n && r.C[j] == r.C[i] {
			j++
		}
		if rangeCode(r.C[i]) && apart(r.C, i, j) {
			codes[r.C[i]] += j - i
			for k := i; k < j; k++ {
				drop[k] = true
			}
		}
		i = j
	}
	factor := math.Exp(spikeLimit(r.C))
	for i := 1; i+1 < n; i++ {
		x, low, high := r.C[i], r.C[i-1], r.C[i+1]
		if low > high {
			low, high = high, low
		}
		if !(x > factor*high || x < low/factor) || !(low > 0) || high > factor*low || drop[i-1] || drop[i] || drop[i+1] {
			continue
		}
		if math.Abs(x-low) > spikeSteps(r.C, i) {
			spikes, at = spikes+1, r.T[i]
			drop[i] = true
		}
	}
	if len(drop) == 0 || len(drop) > n/2 {
		return r
	}
	out := *r
	out.T, out.C = make([]float64, 0, n-len(drop)), make([]float64, 0, n-len(drop))
	for i := range r.C {
		if !drop[i] {
			out.T, out.C = append(out.T, r.T[i]), append(out.C, r.C[i])
		}
	}
	out.Notes = append([]Warning(nil), r.Notes...)
	if len(codes) > 0 {
		var list []string
		total := 0
		for x, k := range codes {
			list, total = append(list, fmt.Sprintf("%g %d times", x, k)), total+k
		}
		sort.Strings(list)
		out.Notes = append(out.Notes, Warning{Dropouts, fmt.Sprintf("%s over range or missing (%s) and left out.", wasWere(total, "reading"), strings.Join(list, ", "))})
	}
	if spikes > 0 {
		l := decayLog{run: r}
		out.Notes = append(out.Notes, Warning{Outlier, fmt.Sprintf("%s left out that both neighbours contradict, the last at %s.", wasWere(spikes, "single reading"), l.clock(at))})
	}
	return &out
}

// apart reports whether the equal readings i … j-1 stand at more than twice what is beside them on either side: a top that
// a log rises to is its range, one that it jumps to is a code.
func apart(c []float64, i, j int) bool {
	x := c[i]
	if x < 0 {
		return true
	}
	beside := math.Inf(-1)
	if i > 0 {
		beside = math.Max(beside, c[i-1])
	}
	if j < len(c) {
		beside = math.Max(beside, c[j])
	}
	return !math.IsInf(beside, -1) && x > 2*beside
}

// spikeLimit is the least difference of ln by which a single reading is a spike: 0.35, or eight times the usual change from
// one reading to the next.
func spikeLimit(c []float64) float64 {
	stride := max(1, len(c)/2000)
	var d []float64
	for i := 1; i < len(c); i += stride {
		if c[i] > 0 && c[i-1] > 0 {
			d = append(d, math.Abs(math.Log(c[i]/c[i-1])))
		}
	}
	return math.Max(0.35, 8*middle(d))
}

// spikeSteps is the least difference in readings: twelve times the smallest step near, so that rounding makes no spike.
func spikeSteps(c []float64, i int) float64 {
	least := math.Inf(1)
	for j := max(1, i-20); j < min(len(c), i+20); j++ {
		if d := math.Abs(c[j] - c[j-1]); d > 0 {
			least = math.Min(least, d)
		}
	}
	return 12 * least
}
