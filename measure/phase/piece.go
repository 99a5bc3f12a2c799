package phase

import "math"

// piece is a stretch of a log whose logarithm is straight.
type piece struct {
	i, j   int     // bins i … j-1
	t0, t1 float64 // s
	y0, y1 float64 // of its line, at t0 and t1
	k      float64 // 1/h, falling is positive
	low    bool    // at the floor
}

func (p piece) fall() float64  { return p.y0 - p.y1 }
func (p piece) span() float64  { return p.t1 - p.t0 }
func (p piece) score() float64 { return p.fall() * math.Sqrt(math.Max(p.k, 0)) }

func (l *Log) piece(i, j int) piece {
	slope, mx, my, _ := l.sums.line(i, j)
	mid := (l.bins[0].t + l.bins[len(l.bins)-1].t) / 2
	p := piece{i: i, j: j, t0: l.bins[i].t, t1: l.bins[j-1].t, k: -slope * 3600}
	y := l.bins[0].y + my
	p.y0, p.y1 = y+slope*(p.t0-mid-mx), y+slope*(p.t1-mid-mx)
	low := 0
	for _, b := range l.bins[i:j] {
		if b.low {
			low++
		}
	}
	p.low = 2*low > j-i
	return p
}

// joined joins pieces that are one course: neighbours whose rates are within three tenths with no step between them, and
// any that follow each other and that a common line passes within a tenth, or within a share of its fall.
func (l *Log) joined(ps []piece) []piece {
	for {
		from, to, least := 0, 0, math.Inf(1)
		for i := range ps {
			for j := i + 1; j < len(ps) && ps[j].low == ps[i].low; j++ {
				if d, ok := l.oneCourse(ps[i : j+1]); ok && d < least {
					from, to, least = i, j, d
				}
			}
		}
		if to == from {
			return ps
		}
		ps[from] = l.piece(ps[from].i, ps[to].j)
		ps = append(ps[:from+1], ps[to+1:]...)
	}
}

const (
	alike  = 0.30 // relative difference of rates that are one course
	near   = 0.10 // of ln: what a common line may miss
	wobble = 0.07 // the same, as a share of its fall
)

// oneCourse gives how much pieces that follow each other differ, as a share of what they may, and whether they are one course.
func (l *Log) oneCourse(ps []piece) (float64, bool) {
	p, q := ps[0], ps[len(ps)-1]
	if p.low {
		return 0, true
	}
	both := l.piece(p.i, q.j)
	off := 0.0
	for _, r := range ps {
		for _, d := range [2]float64{r.y0 - both.at(r.t0), r.y1 - both.at(r.t1)} {
			off = math.Max(off, math.Abs(d))
		}
	}
	most := math.Max(near, 3*l.s)
	if math.Min(p.k, q.k)*kneeRatio >= both.k { // a share of the fall must not hide a knee
		most = math.Max(most, wobble*math.Abs(both.fall()))
	}
	if off <= most {
		return off / most, true
	}
	if len(ps) > 2 || !(p.k > 0 && q.k > 0) {
		return 0, false
	}
	d := math.Abs(p.k-q.k) / math.Max(p.k, q.k) / alike
	return d, d <= 1 && l.gap(p, q) <= math.Max(near, 5*l.s)
}

// gap is the step between two pieces that follow each other, beyond what their rates make of the time between.
func (l *Log) gap(p, q piece) float64 {
	return math.Abs(q.y0 - p.y1 + (p.k+q.k)/2/3600*(q.t0-p.t1))
}

// at is the level of the piece's line at t.
func (p piece) at(t float64) float64 { return p.y0 - p.k/3600*(t-p.t0) }
