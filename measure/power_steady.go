package measure

import (
	"fmt"
	"math"
)

// SteadyPart is the part of a power log that counts: after warm-up, and its mean over time.
type SteadyPart struct {
	Mean     float64 // W, integral over time ÷ time
	U        float64 // standard uncertainty of Mean from the log's own variation, W
	From, To float64 // s, as in the log
	Points   int
	Steady   bool // a steady part was found; else the whole log counts
	Warnings []Warning
}

// The limits of steady state: the mean runs over at least five minutes, within which the power changes by less than
// 5 %. IEC 62301 edition 1 as read in a US DOE guide: stable = less than 5 % over 5 minutes, else the energy is
// integrated; that five minutes after warm-up are wanted of a running unit too is this project's choice.
const steadyBlock = 60.0 // means over a minute are compared, so that a noisy display does not hide a steady load

func steadySeconds() float64 { return 60 * ThresholdOf("steady time") }

// Steady finds the steady part of a power log and averages it over time by the trapezoid rule.
//
// Warm-up ends at the earliest minute from which five minutes follow whose one-minute means differ by less than 5 % of
// their mean, and from which the rest of the log keeps that mean within 5 %. Where there is no such minute, or the log
// is shorter than five minutes, the whole log counts and a warning says so. U is the larger of the uncertainty from
// the means of eighths of the part (dependent samples, 7 degrees of freedom) and its drift: the difference of the means
// of its halves, taken as rectangular, |m1 − m2|/√12.
func Steady(log PowerLog) SteadyPart {
	mean := func(x []float64) float64 { m, _ := meanSD(x); return m }
	s := newSeries(log.Seconds, log.Watts, mean)
	n := len(s.t)
	if n == 0 {
		return SteadyPart{}
	}
	var st SteadyPart
	if s.dropped > 0 {
		st.warn("%d of %d samples of the log are blank or no numbers and were left out", s.dropped, s.dropped+n)
	}
	if s.gap > 10 {
		st.warn("the log has a gap %.0f times its usual step: the power within it is taken as between its ends", s.gap)
	}
	start := 0
	if s.span() < steadySeconds() {
		st.warn("the log lasts %.1f minutes: five minutes after warm-up are wanted", s.span()/60)
	} else if i := s.steadyStart(); i >= 0 {
		start, st.Steady = i, true
	} else {
		st.warn("no steady five minutes were found: the power changes by 5 %% or more, and the energy of the whole log was averaged")
	}
	part := s.part(start, n)
	st.Mean, st.Points, st.From, st.To = part.timeMean(), n-start, part.t[0], part.t[n-start-1]
	half := len(part.t) / 2
	if half > 0 {
		drift := math.Abs(part.part(0, half).timeMean()-part.part(half, len(part.t)).timeMean()) / math.Sqrt(12)
		st.U = math.Max(batchU(part, series.timeMean), drift)
	}
	return st
}

func (st *SteadyPart) warn(format string, args ...any) {
	st.Warnings = append(st.Warnings, Warning{UnsteadyLog, fmt.Sprintf(format, args...)})
}

// timeMean is the integral by the trapezoid rule over the time; the value itself for one sample.
func (s series) timeMean() float64 {
	var sum, w float64
	for i, wi := range s.weights() {
		sum += wi * s.v[i]
		w += wi
	}
	return sum / w
}

// steadyStart is the index of the first sample of the steady part, -1 where there is none.
func (s series) steadyStart() int {
	blocks, starts := s.blocks(steadyBlock)
	window, steadyChange := int(steadySeconds()/steadyBlock), ThresholdOf("steady change")/100
	for i := 0; i+window <= len(blocks); i++ {
		low, high, sum := math.Inf(1), math.Inf(-1), 0.0
		for _, b := range blocks[i : i+window] {
			low, high, sum = math.Min(low, b), math.Max(high, b), sum+b
		}
		m := sum / float64(window)
		rest := s.part(starts[i], len(s.t)).timeMean()
		if high-low <= steadyChange*m && math.Abs(rest-m) <= steadyChange*m {
			return starts[i]
		}
	}
	return -1
}

// blocks cuts the log into pieces of a length in seconds and gives the mean of each over time with the index of its
// first sample. A piece without samples, in a log with a gap or a slow clock, takes the power interpolated at its middle.
func (s series) blocks(length float64) (means []float64, starts []int) {
	i := 0
	count := int(s.span()/length + 1e-9)
	for b := 0; b < count; b++ {
		end := s.t[0] + float64(b+1)*length
		j := i
		for j < len(s.t) && s.t[j] < end {
			j++
		}
		starts = append(starts, min(i, len(s.t)-1))
		if j > i {
			means = append(means, s.part(i, j).timeMean())
		} else {
			means = append(means, s.interpolate(end-length/2, i))
		}
		i = j
	}
	return means, starts
}

// interpolate is the value at time t between samples i−1 and i.
func (s series) interpolate(t float64, i int) float64 {
	if i == 0 || i >= len(s.t) {
		return s.v[min(i, len(s.v)-1)]
	}
	f := (t - s.t[i-1]) / (s.t[i] - s.t[i-1])
	return s.v[i-1] + f*(s.v[i]-s.v[i-1])
}
