// Package phase finds the phases of a log of particle decay: the filling with smoke, a plateau of mixing or saturation,
// natural decay, the decay with a unit on, and the floor. It takes numbers and gives numbers.
//
// The logarithm of the excess over the background is cut into straight pieces by optimal partitioning (Jackson et al.
// 2005, pruned as in PELT, Killick et al. 2012) of at most some hundred medians, with a penalty from the noise at hand.
package phase

import (
	"math"
)

// Kind names a phase.
type Kind string

// The phases of a log.
const (
	Fill    Kind = "fill"
	Plateau Kind = "plateau"
	Natural Kind = "natural"
	On      Kind = "on"
	Floor   Kind = "floor"
)

// Phase is a stretch of a log. Times are those of the log, in seconds; Rate is the fall of ln of the excess, per hour,
// negative where it rises; High and Low are the excess at its ends.
type Phase struct {
	Kind      Kind
	From, To  float64
	Rate      float64
	High, Low float64
}

// Options are what is known of a log before: what the sensor shows in clean air, its step, and the reading above which
// it no longer follows the smoke (0: not known).
type Options struct {
	Background, Step, Linear float64
}

// Log is a log cut into pieces.
type Log struct {
	Pieces []piece
	bins   []bin
	sums   *sums
	s      float64
	o      Options
	top    float64 // ln of the highest excess
}

const penaltyFactor = 24 // of ln n, a piece: eight times Bayes' criterion, for noise that is not independent (judgement)

// Cut cuts a log of times (s, ascending) and readings into straight pieces.
func Cut(t, c []float64, o Options) *Log {
	l := &Log{bins: binned(t, c, o), o: o, top: math.Inf(-1)}
	n := len(l.bins)
	if n < shortest {
		return l
	}
	l.s = scatter(l.bins)
	l.sums = newSums(l.bins, l.s)
	cuts := l.sums.partition(penaltyFactor * math.Log(float64(n)))
	for i := 0; i+1 < len(cuts); i++ {
		l.Pieces = append(l.Pieces, l.piece(cuts[i], cuts[i+1]))
	}
	l.Pieces = l.joined(l.Pieces)
	for _, b := range l.bins {
		l.top = math.Max(l.top, b.y)
	}
	return l
}
