package measure

import "math"

// resolution is the step of the sensor's readings: the largest number of which all differences between readings are
// whole multiples, found by Euclid's algorithm with a tolerance of two millionths of the largest reading. It is 0 where no
// step shows: readings with more digits than that.
func resolution(c []float64) float64 {
	top := 0.0
	for _, x := range c {
		top = math.Max(top, math.Abs(x))
	}
	eps := 2e-6 * top
	if eps == 0 {
		return 0
	}
	g := 0.0
	for i := 1; i < len(c); i++ {
		d := math.Abs(c[i] - c[i-1])
		if d <= eps {
			continue
		}
		if g == 0 {
			g = d
			continue
		}
		// most differences are whole multiples of the step already found
		if q := d / g; math.Abs(q-math.Round(q))*g <= eps {
			continue
		}
		for d > eps {
			r := math.Mod(g, d)
			if d-r <= eps { // a multiple but for rounding
				r = 0
			}
			g, d = d, r
		}
		if g <= 10*eps {
			return 0
		}
	}
	return g
}

// flat counts the longest run of consecutive readings in c equal to v.
func flat(c []float64, v float64) int {
	best, n := 0, 0
	for _, x := range c {
		if x == v {
			n++
			best = max(best, n)
		} else {
			n = 0
		}
	}
	return best
}

// clipped reports whether n equal readings in a row, taken every step seconds, are more than a decay of k per second
// from an excess of a can show through the sensor's resolution: the smoke stays within one step of resolution for
// delta/(k*a) seconds.
func clipped(n int, step, k, a, delta float64) bool {
	if n < 5 {
		return false
	}
	if k <= 0 {
		return false // a level that does not fall looks the same
	}
	return float64(n-1)*step > 5*delta/(k*a)
}
