package measure

import (
	"math"

	"weighhouse/measure/fit"
	"weighhouse/measure/phase"
)

// What a run says of its own background: with the right one the logarithm of its excess is straight. With one that is too
// high it falls ever more steeply, with one too low ever less.

const (
	bearBlocks = 60  // to which the readings of a run are averaged, so that their scatter is nearly independent
	bearLimit  = 6.0 // of n*ln(ratio of sums of squares), from which one line is told to fit worse than another (judgement: 2.4 standard deviations)
)

// decline are the readings of a phase, averaged in blocks, as far as they stand clearly above b.
func (l *decayLog) decline(from, to, b float64) (t, c []float64) {
	i, j := searchTime(l.run.T, from, false), searchTime(l.run.T, to, true)
	if j-i < fewestFit {
		return nil, nil
	}
	x, y := blocks(l.run.T[i:j], l.run.C[i:j], bearBlocks)
	first := y[0] - b
	for k := range x {
		if y[k]-b > math.Max(0.05*first, 3*l.delta) {
			t, c = append(t, x[k]), append(c, y[k])
		}
	}
	return t, c
}

// misfit is the sum of squares of ln(c-b) about a line; NaN where no line is fitted. Readings that follow each other are
// not independent: n is how many independent ones their scatter is worth.
func misfit(t, c []float64, b float64) (sum, n float64) {
	if len(t) < fewestFit {
		return math.NaN(), 0
	}
	y := make([]float64, len(c))
	for i, x := range c {
		if x <= b {
			return math.Inf(1), 0
		}
		y[i] = math.Log(x - b)
	}
	line, err := fit.Straight(t, y)
	if err != nil {
		return math.NaN(), 0
	}
	for i := range y {
		y[i] -= line.Value(t[i])
	}
	n = fit.SerialCorrelation(len(y), fit.Autocorrelation(y, 1)).NEff
	return line.S*line.S*float64(len(t)-2) + 1e-6*float64(len(t)), n // no reading is exact to a thousandth
}

// bears reports whether a run is not clearly straighter over a background of zero than over b.
func (l *decayLog) bears(run phase.Phase, b float64) bool {
	t, c := l.decline(run.From+guard(run.Rate), run.To, b)
	own, _ := misfit(t, c, b)
	none, n := misfit(t, c, 0)
	return !(own > none) || n*math.Log(own/none) < bearLimit
}

// bend looks whether decays that follow each other ever more slowly are one over a background that is not known. It gives
// that background, with which one line passes them as well as a line for each does without.
func (l *decayLog) bend(runs []phase.Phase) (b float64, ok bool) {
	first, last := runs[0], runs[0]
	apart := 0.0
	for _, p := range runs {
		if p.From < first.From {
			first = p
		}
		if p.To > last.To {
			last = p
		}
		t, c := l.decline(p.From, p.To, 0)
		sum, _ := misfit(t, c, 0)
		apart += sum
	}
	if l.phases.Between(first, last, phase.Fill) || last.Rate > first.Rate {
		return 0, false
	}
	t, c := l.decline(first.From+guard(first.Rate), last.To, 0)
	if len(t) < fewestGood || math.IsNaN(apart) {
		return 0, false
	}
	low, high := 0.0, c[len(c)-1]
	for _, x := range c {
		high = math.Min(high, x)
	}
	for range 40 { // golden section: the misfit has one minimum over the background
		p, q := low+0.382*(high-low), low+0.618*(high-low)
		mp, _ := misfit(t, c, p)
		if mq, _ := misfit(t, c, q); mp < mq {
			high = q
		} else {
			low = p
		}
	}
	b = (low + high) / 2
	sum, n := misfit(t, c, b)
	return b, n*math.Log(sum/apart) < bearLimit
}
