package sheet

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// complete puts the readings of one ask in order and says in notes what that took.
func (s *logScan) complete(a *ask) {
	a.flushThin()
	out, c := a.series, a.clock
	if len(out.T) == 0 {
		s.task.ps.Add(s.task.place, "", "column %s holds no reading, of %s rows", quote(a.header.Header), count(int64(s.rows)))
		a.failed = true
		return
	}
	if len(c.slash) > 0 {
		days, note, err := c.resolve()
		if note != "" {
			out.Notes = append(out.Notes, note)
		}
		if err != nil {
			p := s.task.place
			p.Col, p.Column = c.cols[0]+1, c.header
			s.task.ps.Add(p, "", "%v", err)
			a.failed = true
			return
		}
		for i, t := range out.T {
			k := math.Floor(t / slashStride)
			out.T[i] = days[int(k)] - float64(c.origin) + (t - k*slashStride - slashBias)
		}
	}
	if c.short && out.T[len(out.T)-1] > 0 {
		p := s.task.place
		p.Col, p.Column = c.cols[0]+1, c.header
		s.task.ps.Add(p, "", "%v", c.twoReadings(clockText(c.firstClock, false, true)))
		a.failed = true
		return
	}
	if c.mode == minutesMode && c.whole && out.T[len(out.T)-1] > 0 {
		for i := range out.T {
			out.T[i] /= 60
		}
		out.Notes = append(out.Notes, "the cells hold hours and minutes and were read as minutes and seconds, as the column's brackets say")
	}
	if out.ValueUnit == "" && a.cellUnit != "" {
		out.ValueUnit = a.cellUnit
	}
	out.TimeKind, out.order = c.kind(), c.order
	if out.TimeKind == Elapsed {
		out.unit = c.elapsedName()
	}
	out.reverse()
	if out.TimeKind == Wall {
		out.summerTime()
	}
	out.split()
	out.sort()
	if err := out.spread(); err != nil {
		p := a.header.Place
		p.Row = 0
		s.task.ps.Add(p, "", "%v", err)
		a.failed = true
		return
	}
	out.unique()
	if out.TimeKind != Elapsed {
		first := out.T[0]
		out.Start, out.Dated = c.start(first)
		for i := range out.T {
			out.T[i] = math.Round((out.T[i]-first)*1e6) / 1e6
		}
		for i := range out.shifts {
			out.shifts[i].at -= first
		}
	}
	s.note(a)
}

// reverse turns round a log whose newest reading stands first.
func (s *Series) reverse() {
	up, down := 0, 0
	for i := 1; i < len(s.T); i++ {
		switch {
		case s.T[i] > s.T[i-1]:
			up++
		case s.T[i] < s.T[i-1]:
			down++
		}
	}
	if down > up && down > 1 {
		slices.Reverse(s.T)
		slices.Reverse(s.V)
		s.Notes = append(s.Notes, "the newest reading stands first in the log; the readings were turned round")
	}
}

// summerTime finds where a wall clock was put back or forward by exactly one hour, once, and undoes it in T. A step
// back needs no more than that; a step forward could be a pause of the logger too, so it counts only where the hour
// that is missing begins on the hour, between midnight and four, as the changes of the world do.
func (s *Series) summerTime() {
	const hour = 3600.0
	back, steps := -1, 0
	ahead, jumps := -1, 0
	for i := 1; i < len(s.T); i++ {
		d := s.T[i] - s.T[i-1]
		if d < 0 {
			steps++
			back = i
		}
		if d > hour && d < hour+1800 && s.isJump(i) {
			jumps++
			ahead = i
		}
	}
	switch {
	case steps == 1 && math.Abs(s.T[back]-s.T[back-1]+hour-s.usual(back)) <= math.Max(1, s.usual(back)/2):
		s.shift(back, -hour, "back")
	case steps == 0 && jumps == 1:
		s.shift(ahead, hour, "forward")
	}
}

// isJump reports whether the step to reading i is the one hour that a clock leaves out in spring.
func (s *Series) isJump(i int) bool {
	const hour = 3600.0
	dt := s.usual(i)
	if dt <= 0 || dt > 1200 || math.Abs(s.T[i]-s.T[i-1]-hour-dt) > math.Max(1, dt/2) {
		return false
	}
	on := math.Floor(s.T[i]/hour) * hour // the hour at which the clock goes on
	day := math.Mod(on, 86400) / hour
	return day >= 1 && day <= 4 && s.T[i-1] < on-hour && s.T[i]-on <= 2*dt
}

// usual is the step between readings near i: the median of the steps before and after it.
func (s *Series) usual(i int) float64 {
	var d []float64
	for j := max(1, i-4); j <= min(len(s.T)-1, i+4); j++ {
		if x := s.T[j] - s.T[j-1]; j != i && x > 0 {
			d = append(d, x)
		}
	}
	if len(d) == 0 {
		return 0
	}
	sort.Float64s(d)
	return d[len(d)/2]
}

func (s *Series) shift(i int, by float64, where string) {
	for j := i; j < len(s.T); j++ {
		s.T[j] -= by
	}
	s.shifts = append(s.shifts, clockShift{s.T[i], by})
	s.Notes = append(s.Notes, "the clock was put "+where+" by one hour in the course of the log, as at a change of summer time; times since the start are counted through")
}

// byTime sorts T and V together.
type byTime struct{ t, v []float64 }

func (b byTime) Len() int           { return len(b.t) }
func (b byTime) Less(i, j int) bool { return b.t[i] < b.t[j] }
func (b byTime) Swap(i, j int) {
	b.t[i], b.t[j] = b.t[j], b.t[i]
	b.v[i], b.v[j] = b.v[j], b.v[i]
}

// sort puts the readings in order of time; readings of one time stay in the order of the log.
func (s *Series) sort() {
	latest := math.Inf(-1)
	for i, t := range s.T {
		if t < latest {
			s.Unsorted++
		}
		if i > 0 && t < s.T[i-1] {
			s.Backwards++
		}
		latest = math.Max(latest, t)
	}
	if s.Unsorted > 0 {
		sort.Stable(byTime{s.T, s.V})
	}
}

// unique leaves out readings of a time that another has already: the first in the log counts.
func (s *Series) unique() {
	n := 0
	for i := range s.T {
		if i > 0 && s.T[i] == s.T[n-1] {
			if s.V[i] == s.V[n-1] {
				s.Duplicate++
			} else {
				s.Conflicting++
			}
			continue
		}
		s.T[n], s.V[n] = s.T[i], s.V[i]
		n++
	}
	s.T, s.V = s.T[:n], s.V[:n]
}

// note says in sentences what was done to the readings.
func (s *logScan) note(a *ask) {
	out, c := a.series, a.clock
	add := func(format string, args ...any) { out.Notes = append(out.Notes, fmt.Sprintf(format, args...)) }
	rows := countRows
	if out.Blank > 0 {
		add("%s without a value left out", rows(out.Blank))
	}
	if out.Each > 1 {
		add("more than %s readings: medians of %s that follow each other are used", count(MaxKept), count(int64(out.Each)))
	}
	if out.TextSkipped > 0 {
		add("%s of text left out, as the case says", rows(out.TextSkipped))
	}
	switch {
	case out.Backwards > 1:
		add("the time goes backwards %d times; %s put in order of time", out.Backwards, rows(out.Unsorted))
	case out.Backwards == 1:
		add("the time goes backwards once; %s put in order of time", rows(out.Unsorted))
	}
	if out.Duplicate > 0 {
		add("%s that repeat another in time and value left out", rows(out.Duplicate))
	}
	if out.Conflicting > 0 {
		add("%s of a time that another has already, with another value, left out: the first of a time counts", rows(out.Conflicting))
	}
	if c.hours > 0 {
		add("the minutes begin anew after 59 %s; the hours were counted on", times(c.hours))
	}
	if s.again > 0 {
		add("the header comes again %s in the log and was passed over", times(s.again))
	}
	out.Notes = append(out.Notes, s.notes...)
	if c.days > 0 {
		add("the clock has no date and passes midnight %s; the days were counted on", times(c.days))
	}
	if c.mode == serialNumber {
		add("the times are numbers such as a spreadsheet uses for dates (days since 1899-12-30), and were read as such")
	}
	for i, n := range out.Notes {
		out.Notes[i] = "log " + s.task.name + ", column " + a.header.Header + ": " + n
	}
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}
