package phase

import "math"

const (
	decayed    = 0.7  // fall of ln from which a piece can be a run of its own: half the smoke
	kneeRatio  = 2.0  // rate over that before it, from which a piece is another state and not another setting
	newBurn    = 0.69 // rise of ln that is another burn: twice the smoke
	tailShare  = 0.15 // of its start, below which what follows a run is its tail
	emptyShare = 0.05 // of the top, below which a level that stands still is that of clear air
	mixing     = 180. // s: a faster fall at the start that lasts no longer is smoke that spreads
)

// Found is what a log holds for a run.
type Found struct {
	Phases []Phase
	// On are the plausible phases with the unit on, the likeliest first; more than one where the log does not tell which
	// of them is the run.
	On []Phase
	// Natural is the natural decay; ok where there is one. Knee tells that a faster fall follows it.
	Natural    Phase
	HasNatural bool
	Knee       bool
	// Before is the phase that stands before the first of On, in its burn.
	Before Phase
	// Quick is the rate of a fall before the first of On that is slower, yet quick for natural decay; 0 where there is none.
	Quick float64
}

// Name names the pieces.
func (l *Log) Name() Found {
	var f Found
	ps := l.Pieces
	if len(ps) == 0 {
		return f
	}
	burn := l.burns()
	best := l.best(burn)
	if best >= 0 {
		best = l.extend(best)
		ps, burn = l.Pieces, l.burns()
	}
	kinds := make([]Kind, len(ps))
	for i, p := range ps {
		kinds[i] = l.kind(i, p, burn)
	}
	if best >= 0 {
		kinds[best] = On
		f.On = append(f.On, l.phase(ps[best], On))
		for i := range ps {
			if i != best && l.rival(i, best, burn) {
				kinds[i] = On
				f.On = append(f.On, l.phase(ps[i], On))
			}
		}
		// what lies between the end of the filling and the run
		for i := best - 1; i >= 0 && burn[i] == burn[best] && kinds[i] != Fill && kinds[i] != On; i-- {
			if p := ps[i]; kinds[i] == Natural && p.k*kneeRatio <= ps[best].k {
				f.Knee = true
				if p.k > 1 && p.fall() > 0.5 && !l.beyond(p) {
					f.Quick = math.Max(f.Quick, p.k)
				}
			}
		}
	}
	for i, p := range ps {
		q := l.phase(p, kinds[i])
		if n := len(f.Phases); n > 0 && f.Phases[n-1].Kind == q.Kind && q.Kind != On && (q.Kind != Natural || burn[i] == burn[i-1]) {
			last := &f.Phases[n-1]
			if d := q.To - last.From; d > 0 && q.Kind != Floor && last.High > 0 && q.Low > 0 {
				last.Rate = math.Log(last.High/q.Low) / d * 3600
			}
			last.To, last.Low = q.To, q.Low
			continue
		}
		f.Phases = append(f.Phases, q)
	}
	for i, p := range f.Phases {
		if i > 0 && len(f.On) > 0 && p.Kind == On && p.From == f.On[0].From {
			f.Before = f.Phases[i-1]
		}
		if f.Knee && (i+1 == len(f.Phases) || f.Phases[i+1].Kind != On || f.Phases[i+1].From != f.On[0].From) {
			continue // the one before the knee, where there is a knee; otherwise the longest
		}
		if p.Kind == Natural && (!f.HasNatural || p.To-p.From > f.Natural.To-f.Natural.From) {
			f.Natural, f.HasNatural = p, true
		}
	}
	return f
}

// Stood reports whether the level stood still for five minutes before the first of On, which falls faster than fast per
// hour: a natural decay too slow to be seen, and then the unit.
func (f Found) Stood(fast float64) bool {
	return len(f.On) > 0 && f.On[0].Rate > fast && f.Before.Kind == Plateau && f.Before.To-f.Before.From >= 300
}

// Between reports whether a phase of a kind lies between two others, in either order.
func (f Found) Between(p, q Phase, k Kind) bool {
	for _, r := range f.Phases {
		if r.Kind == k && r.From > math.Min(p.From, q.From) && r.From < math.Max(p.From, q.From) {
			return true
		}
	}
	return false
}

func (l *Log) phase(p piece, k Kind) Phase {
	return Phase{Kind: k, From: p.t0, To: p.t1, Rate: p.k, High: math.Exp(p.y0), Low: math.Exp(p.y1)}
}

// still is the change of ln that is none.
func (l *Log) still() float64 { return math.Max(0.1, 5*l.s) }

// burns numbers the burns: another one begins where the level has doubled since it was lowest.
func (l *Log) burns() []int {
	out := make([]int, len(l.Pieces))
	n, lowest := 0, math.Inf(1)
	for i, p := range l.Pieces {
		switch high := math.Max(p.y0, p.y1); {
		case i > 0 && p.k < 0 && l.Pieces[i-1].k < 0:
			lowest = high // a rise that goes on
		case high-lowest > newBurn:
			n, lowest = n+1, high
		}
		lowest = math.Min(lowest, p.y1)
		out[i] = n
	}
	return out
}

// kind names a piece by itself and its neighbours.
func (l *Log) kind(i int, p piece, burn []int) Kind {
	if p.low {
		return Floor
	}
	top := math.Inf(-1) // of this burn
	peak := i
	for j, q := range l.Pieces {
		if burn[j] == burn[i] {
			if y := math.Max(q.y0, q.y1); y > top {
				top, peak = y, j
			}
		}
	}
	switch {
	case p.fall() < -l.still():
		return Fill
	case p.fall() <= l.still() && l.top-p.y0 > math.Log(1/emptyShare):
		return Floor
	case i < peak && p.fall() <= l.still() && top-p.y1 > l.still():
		return Fill // a pause in the filling
	case p.fall() > l.still():
		if i < peak {
			return Fill
		}
		return Natural
	case i > peak && top-p.y0 > math.Log(1/tailShare):
		return Floor // a level far below the smoke
	case p.k > 0 && p.fall() > 0.02 && p.span() > 60:
		return Natural
	}
	return Plateau
}

// best is the piece with the largest fall times the root of its rate; -1 where nothing falls.
func (l *Log) best(burn []int) int {
	best := -1
	for i, p := range l.Pieces {
		if !p.low && p.fall() > l.still() && (best < 0 || p.score() > l.Pieces[best].score()) {
			best = i
		}
	}
	// smoke that spreads falls faster, for a short while, than the run that follows it
	for best >= 0 && best+1 < len(l.Pieces) {
		p, q := l.Pieces[best], l.Pieces[best+1]
		if q.low || burn[best+1] != burn[best] || q.fall() < decayed || q.k >= p.k || p.span() > mixing || 4*p.span() > q.span() || p.y0-q.y0 > math.Log(4) {
			break
		}
		best++
	}
	return best
}

// extend joins to the best piece what follows it on its way down, as long as that is no run of its own, and what comes
// before it at its rate or faster. It gives the piece's new place.
func (l *Log) extend(best int) int {
	ps, burn := l.Pieces, l.burns()
	b := ps[best]
	from, to := best, best
	for to+1 < len(ps) && burn[to+1] == burn[best] && !ps[to+1].low && ps[to+1].k*kneeRatio >= b.k && !l.rival(to+1, best, burn) && l.gap(ps[to], ps[to+1]) <= l.still() {
		to++
	}
	for from > 0 && burn[from-1] == burn[best] && ps[from-1].k*(1+alike) >= b.k && ps[from-1].span() > mixing && !l.rival(from-1, best, burn) {
		from--
	}
	if from < to {
		ps[from] = l.piece(ps[from].i, ps[to].j)
		l.Pieces = append(ps[:from+1], ps[to+1:]...)
	}
	return from
}

// beyond reports whether a piece lies above the range in which the sensor follows the smoke.
func (l *Log) beyond(p piece) bool {
	return l.o.Linear > 0 && (p.y0+p.y1)/2 > math.Log(math.Max(l.o.Linear-l.o.Background, 1e-9))
}

// rival reports whether piece i could be the run as well as the best one.
func (l *Log) rival(i, best int, burn []int) bool {
	p, b := l.Pieces[i], l.Pieces[best]
	if p.low || p.fall() < decayed || p.k*kneeRatio < b.k || p.j-p.i < 5 || 8*p.span() < b.span() {
		return false
	}
	if burn[i] != burn[best] {
		return true
	}
	if i > best {
		return b.y0-p.y0 < math.Log(1/tailShare)
	}
	if l.beyond(p) && p.k < b.k {
		return false
	}
	return !(p.k > b.k && p.span() <= mixing && 4*p.span() <= b.span())
}
