package measure

import (
	"fmt"
	"math"
	"strings"
)

// againstModel is what the runs show against one decay with one background: differences that their own noise does not
// explain, each as the part of the budget that it is.
//
// The halves of the window differ by d: the rate lies between theirs, a rectangle of half-width d/2. With the offset left
// free, or over a window that begins later and goes on longer, the rate is another: a rectangle of half-width d.
func againstModel(fits []DecayFit) []part {
	var out []part
	add := func(name, note string, width float64, of func(DecayFit) (d, u, common float64)) {
		if e := unexplained(fits, of); e > 0 {
			out = append(out, part{name, width * e / math.Sqrt(3), TypeBDOF(GateValue("doubt of the room")), "B", fmt.Sprintf(note, e)})
		}
	}
	add("halves of the window", "the halves of the window differ by %.2g per hour more than their scatter explains; rectangular between them", 0.5,
		func(f DecayFit) (float64, float64, float64) {
			e, l := f.second.early, f.second.later
			if !e.given() || !l.given() {
				return math.NaN(), 0, 0
			}
			return l.k - e.k, math.Hypot(e.u, l.u), math.Abs(l.effect - e.effect)
		})
	add("fixed or free offset", "with the offset left free the rate is another by %.2g per hour more than the scatter explains; rectangular", 1,
		func(f DecayFit) (float64, float64, float64) {
			return f.FreeK - f.K, math.Hypot(f.FreeU, f.Within), f.BackgroundEffect
		})
	add("early or late window", "over a window that begins later and goes on longer the rate is another by %.2g per hour more than the scatter explains; rectangular", 1,
		func(f DecayFit) (float64, float64, float64) {
			l := f.second.late
			if !l.given() {
				return math.NaN(), 0, 0
			}
			return l.k - f.K, l.u, math.Abs(l.effect - f.BackgroundEffect)
		})
	add("mass or count channel", "the mass and the count channel of the same runs differ by %.2g per hour more than the scatter explains; rectangular", 1,
		func(f DecayFit) (float64, float64, float64) {
			c := f.second.channel
			if !c.given() {
				return math.NaN(), 0, 0
			}
			return c.k - f.K, math.Hypot(c.u, f.Within), math.Abs(c.effect - f.BackgroundEffect)
		})
	return out
}

// bent is how much faster per hour the smoke goes at the start of the windows than over them, as far as the scatter of
// their halves does not explain it: the halves' difference, since their middles lie half a window apart; 0 where it is not
// faster.
func bent(fits []DecayFit) float64 {
	halves := func(f DecayFit) (float64, float64, float64) {
		e, l := f.second.early, f.second.later
		if !e.given() || !l.given() {
			return math.NaN(), 0, 0
		}
		return e.k - l.k, math.Hypot(e.u, l.u), math.Abs(l.effect - e.effect)
	}
	sum := 0.0
	for _, f := range fits {
		if d, _, _ := halves(f); !math.IsNaN(d) {
			sum += d
		}
	}
	if sum <= 0 {
		return 0
	}
	return unexplained(fits, halves)
}

// unexplained is the part of a mean difference over runs that its standard uncertainty does not explain: the root of
// d² - u², 0 where u is the larger. common is what does not fall with the number of runs.
func unexplained(fits []DecayFit, of func(DecayFit) (d, u, common float64)) float64 {
	var ds []float64
	var sum, uu, common float64
	for _, f := range fits {
		d, u, c := of(f)
		if !finite(d, u) {
			continue
		}
		ds = append(ds, d)
		sum, uu, common = sum+d, uu+u*u, common+c
	}
	n := float64(len(ds))
	if n == 0 {
		return 0
	}
	mean, ss := sum/n, 0.0
	for _, d := range ds {
		ss += (d - mean) * (d - mean)
	}
	u := math.Sqrt(uu) / n
	if n >= 3 {
		u = math.Max(u, math.Sqrt(ss/(n-1)/n))
	}
	u = math.Hypot(u, common/n)
	return math.Sqrt(math.Max(0, mean*mean-u*u))
}

// doubt puts on a rate what an outcome must survive. x is the rate of the unit per hour.
func (p *decayPhases) doubt(m *Measurement, s *decaySetting, nat natural, b basis, x float64, o DecayOptions) {
	as := func(b basis) *Measurement {
		r, _, _ := p.rate(s.name, b, o)
		return &r
	}
	add := func(d Doubt) { m.Doubts = append(m.Doubts, d) }
	p.brokenRuns(s.fits, add)
	if free, ok := otherwise(s.fits, func(f *DecayFit) bool {
		f.K, f.Within, f.BackgroundEffect = f.FreeK, f.FreeU, 0
		return !math.IsNaN(f.FreeK)
	}); ok {
		add(Doubt{Name: "free offset", Holds: AgainstBoth, As: as(basis{on: free, off: b.off, natural: b.natural, seen: 1}),
			Why: "with the offset left free the runs give another rate", Settle: "a reading in clean air before the smoke and after it, and runs that are logged until the smoke is gone"})
	}
	if later, ok := otherwise(s.fits, func(f *DecayFit) bool {
		a := f.second.later
		f.K, f.Within, f.BackgroundEffect, f.Serial.NEff = a.k, a.u, a.effect, a.neff
		return a.given()
	}); ok {
		add(Doubt{Name: "later half", Holds: AgainstBoth, As: as(basis{on: later, off: b.off, natural: b.natural, seen: 1}),
			Why: "over the later half of the windows alone the runs give another rate", Settle: "longer runs, with the smoke mixed before the unit is switched on and no source left in the room"})
	}
	if bend := bent(s.fits); bend > 0 {
		first, _ := otherwise(s.fits, func(f *DecayFit) bool { f.K += bend; return true })
		add(Doubt{Name: "first minutes", Holds: AgainstContradicted, As: as(basis{on: first, off: b.off, natural: b.natural, seen: 1, extra: b.extra}),
			Why: "the curves flatten as a source, a wrong background or poor mixing flattens them, and before they do the rate is higher", Settle: "runs with no source left in the room and a reading in clean air before and after"})
	}
	p.roomDoubts(m, b, x, as, o)
	if _, qualified := o.effect(p.particle, x); qualified { // mixing is within the room's own shift
		p.naturalDoubts(b, as, add)
		p.leftOut(m, s, nat, b, as, add)
		return
	}
	if seen := o.seen(x); seen < 1 {
		c := b
		c.seen, c.noRoom = seen, o.mixed()
		d := Doubt{Name: "mixing", Holds: AgainstContradicted, As: as(c)}
		if o.mixed() {
			d.Why = fmt.Sprintf("poor mixing can hide %.0f %% of a rate of %.2g per hour, even with the mixing fan on", 100*(1-seen), x)
			d.Settle = "a larger room, or one whose mixing was measured"
		} else {
			d.Why = fmt.Sprintf("no mixing fan is stated to have run throughout, and without one an ordinary room can hide %.0f %% of a rate of %.2g per hour", 100*(1-seen), x)
			d.Settle = "runs with a mixing fan on throughout, in off runs too"
		}
		add(d)
	}
	p.naturalDoubts(b, as, add)
	p.leftOut(m, s, nat, b, as, add)
}

// naturalDoubts is what an outcome must survive where no run with the unit off was logged, or where those that were show
// more than a closed room does: a door ajar or a second sink in the off runs alone takes from the rate what is the unit's.
func (p *decayPhases) naturalDoubts(b basis, as func(basis) *Measurement, add func(Doubt)) {
	if len(b.off) > 0 {
		if mean, _ := meanRate(b.off); fineParticle(p.particle) && mean > naturalHigh {
			none := b
			none.off, none.natural = nil, GateValue("natural decay for contradicted")
			add(Doubt{Name: "quick natural decay", Holds: AgainstContradicted, As: as(none),
				Why:    fmt.Sprintf("with the unit off the smoke went at %.2g per hour, faster than in a closed room (0.05 to 0.6), and what made it go need not have been there with the unit on", mean),
				Settle: "runs with the unit off in the same closed room, with no door or window open"})
		}
		return
	}
	none, high := b, b
	none.natural, high.natural = GateValue("natural decay for contradicted"), GateValue("natural decay for supported")
	add(Doubt{Name: "no natural decay", Holds: AgainstContradicted, As: as(none), Why: "no run with the unit off was logged, and with no natural decay at all the rate is higher",
		Settle: "three runs with the unit off, on the same day"})
	add(Doubt{Name: "high natural decay", Holds: AgainstSupported, As: as(high), Why: fmt.Sprintf("no run with the unit off was logged, and with a natural decay of %.2g per hour the rate is lower", high.natural),
		Settle: "three runs with the unit off, on the same day"})
}

// brokenRuns holds a contradiction open for what is seen on the runs with the unit on: something on any of them that a
// decay does not do, or most of them not first-order, not mixed or too short to tell (k·T below 1).
func (p *decayPhases) brokenRuns(fits []DecayFit, add func(Doubt)) {
	words := []struct {
		flag    Flag
		what    string
		settle  string
		spoiled []string
	}{
		{flag: LogGap, what: "a gap in the log", settle: "runs whose logs have no hole"},
		{flag: Rising, what: "a rise of the readings", settle: "runs with no source and no door opened while they last"},
		{flag: OffsetMismatch, what: "an offset that is not the background", settle: "a reading in clean air before the smoke and after it"},
		{flag: Flattens, what: "a fall that goes on slower after it, and quicker than natural decay,", settle: "runs with no source left in the room, the unit on until the smoke is gone"},
		{flag: ClockStep, what: "a clock that was moved", settle: "runs with the logger's clock left alone"},
	}
	good := 0
	for _, f := range fits {
		fit := true
		for _, w := range f.Flags {
			for i := range words {
				if words[i].flag == w.Flag {
					words[i].spoiled = append(words[i].spoiled, f.log.run.Name)
				}
			}
			fit = fit && w.Flag != NotFirstOrder && w.Flag != StillMixing && w.Flag != ShortRun
		}
		if fit {
			good++
		}
	}
	for _, w := range words {
		if len(w.spoiled) > 0 {
			add(Doubt{Name: string(w.flag), Holds: AgainstContradicted, Why: fmt.Sprintf("%s on run %s", w.what, strings.Join(w.spoiled, ", ")), Settle: w.settle})
		}
	}
	if float64(good) <= GateValue("most runs")*float64(len(fits)) {
		add(Doubt{Name: string(NotFirstOrder), Holds: AgainstContradicted, Why: fmt.Sprintf("of %s with the unit on %d are first-order, mixed and long enough, not most of them", plural(len(fits), "run"), good),
			Settle: "runs with the smoke mixed before the unit is switched on, within the sensor's range, and no source left in the room"})
	}
}

// leftOut prints a rate with the runs that the book leaves out beside the one without them; an outcome must hold for both.
func (p *decayPhases) leftOut(m *Measurement, s *decaySetting, nat natural, b basis, as func(basis) *Measurement, add func(Doubt)) {
	left := append(append([]DecayFit(nil), s.left...), nat.left...)
	if len(left) == 0 {
		return
	}
	c := b
	c.on = append(append([]DecayFit(nil), s.fits...), s.left...)
	c.off = append(append([]DecayFit(nil), nat.fits...), nat.left...)
	c.extra = againstModel(c.on)
	all := as(c)
	names := make([]string, len(left))
	for i, f := range left {
		names[i] = f.log.run.Name
	}
	which := strings.Join(names, ", ")
	m.Warn(LeftOut, fmt.Sprintf("Run %s was left out by the book. Without it the rate is %.4g ± %.2g m³/h, with it %.4g ± %.2g m³/h; a claim is decided only where both agree.",
		which, m.Value, m.Expanded, all.Value, all.Expanded))
	add(Doubt{Name: "all runs", Holds: AgainstBoth, As: all, Why: fmt.Sprintf("with the runs that were left out (%s) the outcome is another", which), Settle: "a new set of runs, none of them left out"})
}

// planned says where the runs are not as many as the plan written before the test.
func (p *decayPhases) planned(m *Measurement, s *decaySetting, nat natural, o DecayOptions) {
	if o.Planned <= 0 {
		return
	}
	for _, phase := range []struct {
		what  string
		n     int
		other int
	}{{"with the unit on", len(s.fits), len(s.left)}, {"with it off", len(nat.fits), len(nat.left)}} {
		switch {
		case phase.n < o.Planned:
			m.Warn(NotAsPlanned, fmt.Sprintf("Runs %s: %d used, of %d planned before the test.", phase.what, phase.n, o.Planned))
		case phase.n+phase.other > o.Planned:
			m.Warn(NotAsPlanned, fmt.Sprintf("Runs %s: %d made, more than the %d planned before the test.", phase.what, phase.n+phase.other, o.Planned))
		}
	}
}

// otherwise gives the runs with something in them changed; false where it cannot be changed in any.
func otherwise(fits []DecayFit, change func(*DecayFit) bool) ([]DecayFit, bool) {
	out := make([]DecayFit, len(fits))
	changed := false
	for i, f := range fits {
		g := f
		if change(&g) {
			out[i], changed = g, true
		} else {
			out[i] = f
		}
	}
	return out, changed
}
