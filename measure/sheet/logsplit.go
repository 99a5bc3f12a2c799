package sheet

import (
	"fmt"
	"math"
)

// The most that a row may be late, in steps of the log and in s (judgement): a logger that hands over a buffer writes rows
// out of turn, one whose clock was set or that began anew writes the same times twice.
const (
	lateSteps   = 10
	lateSeconds = 30.0
)

// split cuts a log where its clock steps back by more than a late row does, and keeps the longest part: what stands on the
// two sides of such a step must never be put in one order of time.
func (s *Series) split() {
	var cuts []int
	latest := math.Inf(-1)
	for i, t := range s.T {
		if t < latest && latest-t > math.Max(lateSeconds, lateSteps*s.pace(i)) && (i+1 == len(s.T) || s.T[i+1] < latest) {
			cuts = append(cuts, i)
			latest = t
			continue
		}
		latest = math.Max(latest, t)
	}
	if len(cuts) == 0 {
		return
	}
	cuts = append(cuts, len(s.T))
	from, to, begin := 0, 0, 0
	for _, end := range cuts {
		if end-begin > to-from {
			from, to = begin, end
		}
		begin = end
	}
	left := len(s.T) - (to - from)
	s.ClockSteps = len(cuts) - 1
	s.ClockNote = fmt.Sprintf("the clock steps back %s, by %s s at the most: the log was cut there, and the longest part, %s readings, is used; %s others are left out",
		times(s.ClockSteps), short(s.farthestBack(cuts[:len(cuts)-1])), count(int64(to-from)), count(int64(left)))
	s.T, s.V = s.T[from:to], s.V[from:to]
}

// pace is the step between readings before i.
func (s *Series) pace(i int) float64 {
	j := max(1, i-9)
	if j >= i {
		return 0
	}
	return math.Max(0, (s.T[i-1]-s.T[j-1])/float64(i-j))
}

func (s *Series) farthestBack(cuts []int) float64 {
	most := 0.0
	for _, i := range cuts {
		most = math.Max(most, s.T[i-1]-s.T[i])
	}
	return most
}
