package measure

import "math"

// keepLinear moves the start on to readings within the sensor's linear range, where From does not fix it. Where the
// range is only guessed, from a column's name, the start moves if the readings above it fall more slowly than those below.
func (l *decayLog) keepLinear() {
	r, linear := l.run, l.linear()
	guessed := linear == 0 && massColumn(r.Column)
	if guessed {
		linear = opticalLinear
	}
	if linear == 0 || l.start >= l.stop {
		return
	}
	if !math.IsNaN(r.From) {
		l.above = !guessed && median5(r.C[:l.stop], l.start) > linear
		return
	}
	i := l.start
	for i < l.stop && median5(r.C[:l.stop], i) > linear {
		i++
	}
	if i == l.start || guessed && !l.slowerAbove(i) {
		return
	}
	if i < l.stop && l.stop-i >= fewestGood && (r.State == "off" || r.C[i] > 3*math.Max(l.low, 0)) {
		l.start, l.shifted = i, true
		return
	}
	l.above = !guessed
}

// slowerAbove reports whether the readings from the start to i fall more slowly, by a tenth and more, than those from i on
// to a tenth: as those of a sensor do that is beyond its range.
func (l *decayLog) slowerAbove(i int) bool {
	c := l.run.C[:l.stop]
	cb := 0.0
	if l.tail != nil {
		cb = l.tail.value
	}
	j := i
	for j < l.stop && median5(c, j)-cb > endFraction*(c[i]-cb) {
		j++
	}
	above, _, err := l.line(0, i-l.start, cb)
	below, _, err2 := l.line(i-l.start, j-l.start, cb)
	l.ln = nil // they count from the start, which may move
	return err == nil && err2 == nil && above.Slope > 0.9*below.Slope
}

// linear is the top of the linear range in the unit of C, 0 if unknown.
func (l *decayLog) linear() float64 {
	if l.run.Linear > 0 {
		return l.run.Linear
	}
	if l.run.Linear == 0 && l.run.ValueUnit == "ug/m3" {
		return opticalLinear
	}
	return 0
}

// median5 is the median of up to five readings around i, which one stray reading does not move.
func median5(c []float64, i int) float64 {
	lo, hi := max(0, i-2), min(len(c), i+3)
	var b [5]float64
	n := copy(b[:], c[lo:hi])
	for j := 1; j < n; j++ {
		for k := j; k > 0 && b[k] < b[k-1]; k-- {
			b[k], b[k-1] = b[k-1], b[k]
		}
	}
	return (b[n/2] + b[(n-1)/2]) / 2
}

// median5Below reports whether median5(c, i) - cb is below limit. The median of five is below where three of them are.
func median5Below(c []float64, i int, cb, limit float64) bool {
	if i < 2 || i+2 >= len(c) {
		return median5(c, i)-cb < limit
	}
	n := 0
	for _, x := range c[i-2 : i+3] {
		if x-cb < limit {
			n++
		}
	}
	return n >= 3
}
