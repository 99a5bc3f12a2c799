package measure

import (
	"math"
	"sort"

	"weighhouse/measure/fit"
	"weighhouse/measure/phase"
)

// background is what the sensor shows in clean air.
type background struct {
	value, u    float64
	dof         float64
	sd          float64 // of the readings it is the mean of, 0 where it is no such mean
	first, last int     // of a mean after clearing: its first reading and the one after its last
	how         string  // for the report
	measured    bool    // given, or read before the smoke was lit
	fitted      bool    // from the tails of the on runs themselves
}

// findBackgrounds gives every log its background, the best that there is for its particle and instrument:
//
//  1. the run's own, as given;
//  2. the mean of those given for the other runs;
//  3. the air after clearing with the unit on, in the run's own log or the mean of the others': what a decay runs down to;
//  4. a stable reading before the smoke was lit, in the run's own log or in the others';
//  5. the offset that the long on runs themselves show, the mean of weighted fits with a free offset;
//  6. anything between zero and the lowest reading, or a twentieth of the smoke, as a rectangle; for a mass sensor in µg/m³ not above 20, which is
//     the offset of 10 that data sheets of laser sensors allow and as much again of particles never cleared (judgement).
//
// A reading before the smoke is refused where the tails of the on runs go clearly below it: the room's air was not clean.
func findBackgrounds(logs []*decayLog) {
	groups := map[string][]*decayLog{}
	for _, l := range logs {
		key := l.particle + "\x00" + l.run.Instrument
		groups[key] = append(groups[key], l)
	}
	for _, g := range groups {
		findBackground(g)
	}
}

func findBackground(g []*decayLog) {
	var given, before []background
	for _, l := range g {
		if !math.IsNaN(l.run.Background) {
			l.background = givenBackground(l)
			given = append(given, l.background)
		}
	}
	if len(given) == len(g) {
		return
	}
	if len(given) > 0 {
		b := meanBackground(given)
		b.how = "the mean of the backgrounds given for the other runs"
		b.measured = true
		assign(g, b)
		return
	}
	var tails []background
	for _, l := range g {
		if l.tail != nil && l.run.State == "on" {
			l.background = *l.tail
			tails = append(tails, *l.tail)
		}
	}
	if len(tails) > 0 {
		b := meanBackground(tails)
		b.how, b.measured = "the reading after clearing, with the unit on, in the other logs", true
		assign(g, b)
		return
	}
	fitted, ok := fittedBackground(g)
	for _, l := range g {
		if l.pre == nil {
			continue
		}
		if l.found && l.run.State == "on" && !l.bears(phase.Phase{From: l.knee, To: l.end, Rate: l.rate}, l.pre.value) {
			continue
		}
		if ok && l.pre.value-fitted.value > 2*math.Hypot(l.pre.u, fitted.u) || l.pre.value > l.lowest()+2*l.pre.u {
			continue
		}
		before = append(before, *l.pre)
		l.background = *l.pre
	}
	switch {
	case len(before) > 0 && !ok: // nothing shows what a run goes down to: the air before may have held dust that the unit takes
		b := meanBackground(before)
		b.value, b.u, b.dof = b.value/2, math.Hypot(b.u, b.value/math.Sqrt(12)), math.Inf(1)
		b.how = "not known; anything between zero and the reading before the smoke was lit (rectangular)"
		for _, l := range g {
			if math.IsNaN(l.run.Background) {
				l.background = b
			}
		}
	case len(before) == len(g):
	case len(before) > 0:
		b := meanBackground(before)
		b.how, b.measured = "the mean of the stable readings before the smoke was lit in the other logs", true
		assign(g, b)
	case ok:
		assign(g, fitted)
	default:
		low, smoke := math.Inf(1), math.Inf(1)
		for _, l := range g {
			low, smoke = math.Min(low, l.lowest()), math.Min(smoke, median5(l.run.C, l.start))
		}
		how := "not known; anything between zero and the lowest reading (rectangular)"
		if low > smoke/20 {
			low, how = smoke/20, "not known; anything between zero and a twentieth of the smoke (rectangular)"
		}
		if low = math.Max(low, 0); low > cleanAir && (g[0].run.ValueUnit == "ug/m3" || massColumn(g[0].run.Column)) {
			low, how = cleanAir, "not known; anything between zero and 20 µg/m³ (rectangular)"
		}
		assign(g, background{value: low / 2, u: low / math.Sqrt(12), dof: math.Inf(1), how: how})
	}
}

func assign(g []*decayLog, b background) {
	for _, l := range g {
		if l.background.how == "" {
			l.background = b
		}
	}
}

// givenBackground takes the book's value. Where it carries no uncertainty, the standard uncertainty is half a step of
// resolution or a tenth of the value, the larger (judgement).
func givenBackground(l *decayLog) background {
	b := background{value: l.run.Background, u: l.run.BackgroundU, dof: math.Inf(1), how: "given", measured: true}
	if math.IsNaN(b.u) || b.u < 0 {
		b.u = math.Max(l.delta/2, 0.1*math.Abs(b.value))
		b.how = "given without an uncertainty; half a step of resolution or a tenth of it is taken"
	}
	return b
}

// meanBackground joins several: the larger of their scatter and of their own uncertainty, neither reduced by their
// number, since it must serve for a run of its own.
func meanBackground(bs []background) background {
	n := float64(len(bs))
	var m, uu, ss float64
	for _, b := range bs {
		m += b.value / n
		uu += b.u * b.u / n
	}
	for _, b := range bs {
		ss += (b.value - m) * (b.value - m)
	}
	out := background{value: m, u: math.Sqrt(uu), dof: math.Inf(1)}
	if s := math.Sqrt(ss / math.Max(n-1, 1)); s > out.u {
		out.u, out.dof = s, n-1
	}
	return out
}

// lowest is the lowest level that the log holds for five readings from the run's start on, a bound for the background
// from above.
func (l *decayLog) lowest() float64 {
	c := l.run.C[l.start:]
	return lowestMedian5(c, 2, len(c)-2)
}

// lowestMedian5 is the lowest median5 of readings from … to-1; +Inf for none.
func lowestMedian5(c []float64, from, to int) float64 {
	low := math.Inf(1)
	for i := from; i < to; i++ {
		if median5Below(c, i, 0, low) {
			low = median5(c, i)
		}
	}
	return low
}

// beforeSmoke is a stable reading before the smoke was lit: at least five readings over at least a minute, of the last
// ten minutes before the rise, below a tenth of the peak, whose two halves agree. The rise begins where the log's phases
// say so, or else where the reading goes above a tenth of the peak.
// Its uncertainty allows for serial correlation. nil where there is none.
func (l *decayLog) beforeSmoke() *background {
	t, c := l.run.T, l.run.C
	end := l.peak - l.plateau
	for end >= 0 && c[end] > 0.1*l.high {
		end--
	}
	for i, p := range l.phases.Phases {
		if p.Kind == phase.Floor && i+1 < len(l.phases.Phases) && l.phases.Phases[i+1].Kind == phase.Fill && end >= 0 && p.From < t[end] {
			end = min(end, searchTime(t, p.To, true)-1)
		}
	}
	begin := max(0, searchTime(t, t[max(end, 0)]-600, false))
	if stop := searchTime(t, t[max(end, 0)]-15, true); stop-begin >= 5 { // the last quarter minute may hold the first smoke
		end = stop - 1
	}
	n := end - begin + 1
	if n < 5 || t[end]-t[begin] < 60 {
		return nil
	}
	b, _ := steady(c[begin:end+1], l.delta, l.high/200)
	if b == nil || b.value+2*b.sd > 0.1*l.high {
		return nil
	}
	b.how = "the stable reading before the smoke was lit"
	return b
}

// steady is the mean of readings that keep their level: whose halves agree within a step of the sensor, or most. Its uncertainty allows for serial correlation.
// nil where they do not; up then tells that they rise.
func steady(x []float64, delta, most float64) (b *background, up bool) {
	n := len(x)
	var m, ss float64
	for _, v := range x {
		m += v / float64(n)
	}
	for _, v := range x {
		ss += (v - m) * (v - m)
	}
	s := math.Sqrt(ss / float64(n-1))
	neff := fit.SerialCorrelation(n, fit.Autocorrelation(x, 1)).NEff
	u := readingU(s, neff, delta)
	var before, after float64
	h := n / 2
	for i := 0; i < h; i++ {
		before += x[i] / float64(h)
		after += x[n-1-i] / float64(h)
	}
	if math.Abs(before-after) > math.Max(delta, most) {
		return nil, after > before
	}
	return &background{value: m, u: u, sd: s, dof: math.Max(1, neff-1), measured: true}, false
}

// readingU is the standard uncertainty of a mean reading, sqrt(s²/n_eff + delta²/12); the second term is that of a
// rectangle as wide as the sensor's step (GUM H.6).
func readingU(s, neff, delta float64) float64 { return math.Sqrt(s*s/neff + delta*delta/12) }

// fittedBackground is the mean offset of the long on runs of g, each from a weighted fit with a free offset. Only runs
// with at least 0.7 of the longest k*T take part: the length of the arc decides how well an offset is seen. The
// uncertainty is the larger of the scatter and of the fits' own; the value is held between zero and the lowest reading.
func fittedBackground(g []*decayLog) (background, bool) {
	var free []freeOffset
	longest := 0.0
	low := math.Inf(1)
	for _, l := range g {
		if l.run.State != "on" {
			continue
		}
		f, ok := l.freeFit(l.over)
		if run := (phase.Phase{From: l.knee, To: l.end, Rate: l.rate}); ok && l.found && !l.bears(run, f.offset) {
			f, ok = l.freeFit(l.stop)
		}
		if ok {
			free = append(free, f)
			longest = math.Max(longest, f.kt)
			low = math.Min(low, l.lowest())
		}
	}
	if len(free) == 0 {
		return background{}, false
	}
	sort.Slice(free, func(i, j int) bool { return free[i].kt > free[j].kt })
	for len(free) > 1 && free[len(free)-1].kt < 0.7*longest {
		free = free[:len(free)-1]
	}
	n := float64(len(free))
	var m, uu, ss, dof float64
	for _, f := range free {
		m += f.offset / n
		uu += f.offsetU * f.offsetU / n
		dof += f.neff - 3
	}
	for _, f := range free {
		ss += (f.offset - m) * (f.offset - m)
	}
	b := background{value: m, u: math.Sqrt(uu / n), dof: math.Max(1, dof), fitted: true,
		how: "not given; the offset that the runs with the unit on show, fitted to their own curves"}
	if s := math.Sqrt(ss / math.Max(n-1, 1) / n); s > b.u {
		b.u, b.dof = s, n-1
	}
	b.value = math.Min(math.Max(b.value, 0), math.Max(low, 0))
	return b, true
}
