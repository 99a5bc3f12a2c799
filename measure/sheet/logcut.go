package sheet

import (
	"fmt"
	"math"
)

// spread gives readings their own times where stamps were cut to the minute, the second or the hour: a program showed them without their last
// part and the rest was lost. It is that where the stamps follow each other by that unit and each stands for as many readings, but for one more or
// fewer, in whose order no other series shows. The readings of a stamp are put at even steps through it; those of the first at its end. A note says so.
func (s *Series) spread() error {
	n := len(s.T)
	stamps, extra, shared := 0, 0, 0 // extra: readings of a time that another has, with another value; shared: stamps of several readings
	for i, run := 0, 0; i < n; i++ {
		if i == 0 || s.T[i] != s.T[i-1] {
			stamps, run = stamps+1, 1
			continue
		}
		if s.V[i] != s.V[i-1] {
			extra++
		}
		if run++; run == 2 {
			shared++
		}
	}
	if extra <= mayHide(n) && (extra == 0 || 2*shared < stamps) {
		return nil
	}
	at := make([]int, 0, stamps) // index of the first reading of each stamp
	for i := range s.T {
		if i == 0 || s.T[i] != s.T[i-1] {
			at = append(at, i)
		}
	}
	refuse := fmt.Errorf("%s of %s have the time of another row and another value, which is more than may be left out (1 in 100, or 3): the times were cut short when the log was saved, or the rows are of several series; export the log again with full times, or choose rows where the value column is named", countRows(n-len(at)), count(int64(n)))
	if len(at) < 3 {
		return refuse
	}
	unit := math.Inf(1)
	for i := 1; i < len(at); i++ {
		unit = math.Min(unit, s.T[at[i]]-s.T[at[i-1]])
	}
	name, known := map[float64]string{1: "second", 60: "minute", 3600: "hour"}[unit]
	if !known {
		return refuse
	}
	sizes := map[int]int{}
	next, whole := 0, 0
	for i := range at {
		if math.Mod(s.T[at[i]], unit) != 0 {
			return refuse
		}
		if i+1 < len(at) && s.T[at[i+1]]-s.T[at[i]] == unit {
			next++
		}
		if i > 0 && i+1 < len(at) {
			sizes[at[i+1]-at[i]]++
			whole++
		}
	}
	usual := 0
	for k, m := range sizes {
		if m > sizes[usual] || m == sizes[usual] && k > usual {
			usual = k
		}
	}
	near := sizes[usual] + sizes[usual-1] + sizes[usual+1]
	if usual < 2 || near*100 < 98*whole || next*10 < 9*(len(at)-1) || s.interleaved(at, usual) {
		return refuse
	}
	end := func(i int) int {
		if i+1 < len(at) {
			return at[i+1]
		}
		return n
	}
	for i := range at {
		k := end(i) - at[i]
		step, lead := unit/float64(max(k, usual)), 0.0
		if i > 0 && i+1 < len(at) {
			step = unit / float64(k)
		} else if i == 0 && k < usual {
			lead = float64(usual-k) * step
		}
		stamp := s.T[at[i]]
		for j := at[i]; j < end(i); j++ {
			s.T[j] = stamp + lead + float64(j-at[i])*step
		}
	}
	s.Notes = append(s.Notes, fmt.Sprintf("the times are cut to the %s, with %d readings in each; the readings were spread evenly, %s s apart", name, usual, short(unit/float64(usual))))
	return nil
}

// interleaved reports whether readings of equal stamps are of several series: those of one place in the stamps differ from those of another by far
// more than from one stamp to the next.
func (s *Series) interleaved(at []int, k int) bool {
	sum, n, change, steps := make([]float64, k), make([]int, k), 0.0, 0
	for i := 0; i+2 < len(at); i++ {
		if at[i+1]-at[i] != k || at[i+2]-at[i+1] != k {
			continue
		}
		for j := range k {
			sum[j] += s.V[at[i]+j]
			n[j]++
			change += math.Abs(s.V[at[i+1]+j] - s.V[at[i]+j])
			steps++
		}
	}
	if steps == 0 {
		return false
	}
	low, high := math.Inf(1), math.Inf(-1)
	for j := range k {
		if n[j] > 0 {
			low, high = math.Min(low, sum[j]/float64(n[j])), math.Max(high, sum[j]/float64(n[j]))
		}
	}
	return high-low > 3*change/float64(steps) && high-low > 0.02*math.Abs(high)
}
