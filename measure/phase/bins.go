package phase

import (
	"math"
	"sort"
)

const (
	mostBins  = 600 // that a log is thinned to; the partition takes time as their square
	mostInBin = 40  // readings that a bin is the median of
	floorBins = 60  // of them for readings at the floor, however long it lasts
)

// bin is the median of some readings that follow each other: y is ln of the excess over the background, never below
// that of the floor.
type bin struct {
	t, y  float64
	low   bool    // at the floor
	v     float64 // variance of y that the sensor's steps make
	index int     // of the first reading
}

// floorLevel is the excess below which a log says nothing of a decay: ten steps of the sensor or 0.3 % of the top.
func floorLevel(top, step float64) float64 {
	return math.Max(10*step, 0.003*top) * (1 + 1e-9) // a reading of ten whole steps is at it, whatever the unit
}

// refresh is how many polls a sensor shows one reading for: the median length of stretches of equal readings that end
// with a change of more than a step and a half. A level that moves by single steps is not held, it is rounded.
func refresh(c []float64, step float64) int {
	var lengths []int
	n := 1
	for i := 1; i < len(c); i++ {
		if c[i] == c[i-1] {
			n++
			continue
		}
		if d := math.Abs(c[i] - c[i-1]); d > 1.5*step && i > n {
			lengths = append(lengths, n)
		}
		n = 1
	}
	if len(lengths) < 8 {
		return 1
	}
	sort.Ints(lengths)
	return lengths[len(lengths)/2]
}

// binned thins a log: of readings that are held, one each time the sensor renews them; then medians of equal numbers of
// readings, at most mostBins of them.
func binned(t, c []float64, o Options) []bin {
	top := topLevel(c) - o.Background
	if !(top > 0) {
		return nil
	}
	floor := floorLevel(top, o.Step)
	keep := renewed(c, refresh(c, o.Step))
	if stride := len(keep) / (mostBins * mostInBin); stride > 1 { // a median of forty is as good as one of thousands
		n := 0
		for i := 0; i < len(keep); i += stride {
			keep[n] = keep[i]
			n++
		}
		keep = keep[:n]
	}
	high := 0
	for _, i := range keep {
		if c[i]-o.Background > floor {
			high++
		}
	}
	each := float64(mostBins-floorBins) / math.Max(float64(high), mostBins-floorBins)
	rest := math.Min(each, floorBins/math.Max(float64(len(keep)-high), 1))
	var out []bin
	var ts, cs []float64
	first, sum := 0, 0.0
	flush := func() {
		if len(cs) == 0 {
			return
		}
		sort.Float64s(cs)
		e := (cs[len(cs)/2]+cs[(len(cs)-1)/2])/2 - o.Background
		b := bin{t: (ts[0] + ts[len(ts)-1]) / 2, index: first, low: e <= floor}
		e = math.Max(e, floor)
		b.y, b.v = math.Log(e), o.Step*o.Step/12/(e*e)
		out = append(out, b)
		ts, cs, sum = ts[:0], cs[:0], 0
	}
	for _, i := range keep {
		w := rest
		if c[i]-o.Background > floor {
			w = each
		}
		if len(cs) == 0 {
			first = i
		}
		ts, cs, sum = append(ts, t[i]), append(cs, c[i]), sum+w
		if sum >= 1-1e-9 {
			flush()
		}
	}
	flush()
	return smooth(out)
}

// smooth takes single spikes away: each bin's level is the median of itself and its neighbours.
func smooth(b []bin) []bin {
	out := append([]bin(nil), b...)
	for i := 1; i+1 < len(b); i++ {
		x, y, z := b[i-1].y, b[i].y, b[i+1].y
		out[i].y = math.Max(math.Min(x, y), math.Min(math.Max(x, y), z))
	}
	return out
}

// renewed gives the indices of the readings that are not merely held: the first of equal ones, and of a longer stretch
// every hold-th.
func renewed(c []float64, hold int) []int {
	keep := make([]int, 0, len(c)/hold+1)
	n := 0
	for i := range c {
		if i > 0 && c[i] == c[i-1] && n+1 < hold {
			n++
			continue
		}
		n = 0
		keep = append(keep, i)
	}
	return keep
}

// topLevel is the highest reading that two others at least reach to nine tenths.
func topLevel(c []float64) float64 {
	var best [3]float64
	for i := range best {
		best[i] = math.Inf(-1)
	}
	for _, x := range c {
		for i := range best {
			if x > best[i] {
				copy(best[i+1:], best[i:])
				best[i] = x
				break
			}
		}
	}
	return best[2]
}

// scatter is the standard deviation of the bins' levels about a smooth course: the larger of what second differences
// show, which a slow wander passes, and of the median residual about lines through twelve bins, which it does not.
// It is not below one percent: no room falls more evenly.
func scatter(b []bin) float64 {
	var d, r []float64
	for i := 2; i < len(b); i++ {
		if !b[i].low && !b[i-2].low {
			d = append(d, math.Abs(b[i].y-2*b[i-1].y+b[i-2].y)/math.Sqrt(6)/0.6745)
		}
	}
	const w = 12
	s := newSums(b, 1)
	for i := 0; i+w <= len(b); i += w / 2 {
		if !b[i].low && !b[i+w-1].low {
			r = append(r, math.Sqrt(s.cost(i, i+w)*s.s2/(w-2)))
		}
	}
	return math.Max(0.01, math.Max(median(d), median(r)))
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	sort.Float64s(x)
	return (x[len(x)/2] + x[(len(x)-1)/2]) / 2
}
