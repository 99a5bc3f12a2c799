package phase

import "math"

// sums are running sums of the bins, from which the cost of a straight line through any stretch follows at once.
type sums struct {
	w, x, y, xx, xy, yy []float64
	s2                  float64
}

// newSums weighs each bin by 1/(s² + rounding), in units of 1/s².
func newSums(b []bin, s float64) *sums {
	n := len(b) + 1
	all := make([]float64, 6*n)
	p := &sums{w: all[:n], x: all[n : 2*n], y: all[2*n : 3*n], xx: all[3*n : 4*n], xy: all[4*n : 5*n], yy: all[5*n:], s2: s * s}
	if len(b) == 0 {
		return p
	}
	t0, y0 := (b[0].t+b[len(b)-1].t)/2, b[0].y
	for i, q := range b {
		w, x, y := p.s2/(p.s2+q.v), q.t-t0, q.y-y0
		p.w[i+1], p.x[i+1], p.y[i+1] = p.w[i]+w, p.x[i]+w*x, p.y[i]+w*y
		p.xx[i+1], p.xy[i+1], p.yy[i+1] = p.xx[i]+w*x*x, p.xy[i]+w*x*y, p.yy[i]+w*y*y
	}
	return p
}

// line gives the slope and the weighted means of the line through bins i … j-1, and its weighted sum of squares.
func (p *sums) line(i, j int) (slope, mx, my, rss float64) {
	w := p.w[j] - p.w[i]
	mx, my = (p.x[j]-p.x[i])/w, (p.y[j]-p.y[i])/w
	sxx := p.xx[j] - p.xx[i] - w*mx*mx
	sxy := p.xy[j] - p.xy[i] - w*mx*my
	syy := p.yy[j] - p.yy[i] - w*my*my
	if sxx > 0 {
		slope = sxy / sxx
	}
	return slope, mx, my, math.Max(0, syy-slope*sxy)
}

// cost is the sum of squares of bins i … j-1 about their line, in units of s².
func (p *sums) cost(i, j int) float64 {
	_, _, _, rss := p.line(i, j)
	return rss / p.s2
}

// shortest is the fewest bins of a piece.
const shortest = 3

// partition cuts the bins into straight pieces so that the sum of their costs and of one penalty a piece is least:
// optimal partitioning (Jackson et al. 2005), its candidates pruned as in PELT (Killick, Fearnhead and Eckley 2012).
// It gives the first bin of each piece and, last, the number of bins.
func (p *sums) partition(penalty float64) []int {
	n := len(p.w) - 1
	if n < 2*shortest {
		return []int{0, n}
	}
	best, from := make([]float64, n+1), make([]int, n+1)
	for j := range best {
		best[j] = math.Inf(1)
	}
	best[0] = -penalty
	candidates := []int{0}
	for j := shortest; j <= n; j++ {
		for _, i := range candidates {
			if v := best[i] + p.cost(i, j) + penalty; v < best[j] {
				best[j], from[j] = v, i
			}
		}
		if m := j + 1 - shortest; m >= shortest { // what is beaten at m stays beaten, for m itself is a candidate from j+1 on
			kept := candidates[:0]
			for _, i := range candidates {
				if i >= m || best[i]+p.cost(i, m) <= best[m] {
					kept = append(kept, i)
				}
			}
			candidates = kept
		}
		if i := j - shortest + 1; i >= shortest {
			candidates = append(candidates, i)
		}
	}
	var cuts []int
	for j := n; j > 0; j = from[j] {
		cuts = append([]int{j}, cuts...)
	}
	return append([]int{0}, cuts...)
}
