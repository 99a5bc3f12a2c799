package measure

import (
	"fmt"
	"math"

	"weighhouse/measure/uncertainty"
)

// basis is what one delivery rate is computed from: the runs, or one thing in them taken otherwise.
type basis struct {
	on, off     []DecayFit
	natural     float64 // 1/h, in place of the off runs; NaN: by them, or by the usual band where there are none
	seen        float64 // the part of the rate that is seen, the rest being lost to poor mixing; 1
	noRoom      bool    // without the room's component
	extra       []part  // of the on runs, beside their replication
	uncorrected bool    // without the factor of a qualified room
}

// combine joins the on runs of one setting with the natural decays into a delivery rate, with what speaks against the
// model as part of its uncertainty and what an outcome must survive as its doubts.
func (p *decayPhases) combine(s *decaySetting, nat natural, o DecayOptions) Measurement {
	off := nat.fits
	b := basis{on: s.fits, off: off, natural: math.NaN(), seen: 1, extra: againstModel(s.fits)}
	m, kOn, kOff := p.rate(s.name, b, o)
	for _, fits := range [][]DecayFit{s.fits, s.left, off, nat.left} {
		for i := range fits {
			m.Runs = append(m.Runs, fits[i].row())
		}
	}
	p.judge(&m, s.fits, off, kOn, kOff, o)
	p.planned(&m, s, nat, o)
	p.doubt(&m, s, nat, b, kOn.mean-kOff.mean, o)
	m.Method = methodText(s.fits, off, kOn.mean, kOff.mean, o)
	return m
}

// rate is the delivery rate on a basis, with its budget.
func (p *decayPhases) rate(name string, b basis, o DecayOptions) (m Measurement, on, natural replication) {
	v := o.Volume
	on = replicate(b.on, onRunToRun, p.pooled())
	known := !math.IsNaN(b.natural)
	switch {
	case known:
		natural = replication{mean: b.natural}
	case len(b.off) > 0:
		natural = replicate(b.off, offRunToRun, repeatability{})
		if u := o.deposition(natural.mean); u > 0 {
			natural.parts = append(natural.parts, part{"moved air", u, math.Inf(1), "B",
				fmt.Sprintf("the unit's own air may change what settles by %.0f %% of natural decay, rectangular; a mixing fan on throughout, in off runs too, would do away with it", 100*GateValue("deposition"))})
		}
	default:
		natural = replication{mean: (naturalLow + naturalHigh) / 2, parts: []part{{"usual band", (naturalHigh - naturalLow) / math.Sqrt(12), math.Inf(1), "B",
			"no run with the unit off; 0.05 to 0.6 per hour for smoke in a closed room, rectangular"}}}
	}
	delta := on.mean - natural.mean
	effect, qualified := o.effect(p.particle, delta)
	seen := b.seen
	if qualified && !b.uncorrected {
		seen *= effect.Factor
	}
	m = Measurement{
		Attribute: "delivery rate", Setting: name, Particle: p.particle, Value: v * delta / seen, Unit: "m3/h",
		Instrument: instrumentsOf(b.on, b.off),
	}
	add := func(name string, u, dof float64, kind, note string) {
		m.Budget = append(m.Budget, uncertainty.Component{Name: name, U: u / seen, DOF: dof, Kind: kind, Note: note})
	}
	for _, q := range on.parts {
		add(q.name, v*q.u, q.dof, q.kind, q.note)
	}
	for _, q := range b.extra {
		if on.assumed {
			q.dof = math.Inf(1)
		}
		add(q.name, v*q.u, q.dof, q.kind, q.note)
	}
	for _, q := range natural.parts {
		add("natural decay, "+q.name, v*q.u, q.dof, q.kind, q.note)
	}
	bg, bgDOF, bgKind, bgNote := backgroundPart(b.on)
	if on.assumed {
		bgDOF = math.Inf(1)
	}
	add("background", v*bg, bgDOF, bgKind, bgNote)
	if qualified { // the volume as stated is within the factor
		dof := effect.DOF
		if on.assumed {
			dof = math.Inf(1)
		}
		add("room, by its qualification", effect.U*v*math.Abs(delta), dof, "B", effect.Note)
		m.expandAs(on.assumed || natural.assumed || len(b.off) == 0 && !known)
		return m, on, natural
	}
	add("room volume", math.Abs(delta)*o.VolumeU, math.Inf(1), "B", fmt.Sprintf("%.4g m³ with a standard uncertainty of %.2g m³", v, o.VolumeU))
	if q := o.room(delta); q.u > 0 && !b.noRoom {
		if on.assumed {
			q.dof = math.Inf(1)
		}
		add(q.name, q.u*v*math.Abs(delta), q.dof, q.kind, q.note)
	}
	m.expandAs(on.assumed || natural.assumed || len(b.off) == 0 && !known)
	return m, on, natural
}

// expandAs expands the budget, with a coverage factor of 2 at the least where a part of it is assumed.
func (m *Measurement) expandAs(assumed bool) {
	m.Expand()
	if assumed && m.K < 2 {
		m.K, m.Expanded = 2, 2*m.Std
		m.Interval = [2]float64{m.Value - m.Expanded, m.Value + m.Expanded}
	}
}

// instrumentsOf joins the names of the sensors behind some runs, each once.
func instrumentsOf(groups ...[]DecayFit) string {
	names := ""
	for _, g := range groups {
		for _, f := range g {
			names = joinNew(names, f.log.run.Instrument)
		}
	}
	return names
}

// part is a component of the uncertainty of a mean rate, per hour.
type part struct {
	name   string
	u, dof float64
	kind   string
	note   string
}

// replication is the mean rate of one phase with its uncertainty.
type replication struct {
	mean, sd float64
	runs     int
	parts    []part
	assumed  bool // fewer than three runs, and no pooled repeatability that could stand in

	scattered bool // two runs that differ by more than the assumed scatter
}

// repeatability is a pooled relative standard deviation between runs: s_p = sqrt(sum(nu_i s_i²)/sum(nu_i)) (GUM H.3.6, note).
type repeatability struct{ s, dof float64 }

// pooled joins the run-to-run scatter of all settings of this particle, tested in one room.
func (p *decayPhases) pooled() repeatability {
	var r repeatability
	for _, s := range p.on {
		m, sd := meanRate(s.fits)
		if nu := float64(len(s.fits) - 1); nu > 0 && m > 0 {
			r.s += nu * (sd / m) * (sd / m)
			r.dof += nu
		}
	}
	if r.dof > 0 {
		r.s = math.Sqrt(r.s / r.dof)
	}
	return r
}

func meanRate(fits []DecayFit) (mean, sd float64) {
	n := float64(len(fits))
	for _, f := range fits {
		mean += f.K / n
	}
	for _, f := range fits {
		sd += (f.K - mean) * (f.K - mean)
	}
	return mean, math.Sqrt(sd / math.Max(n-1, 1))
}

// replicate gives a phase's mean rate and its uncertainty.
//
// Three runs and more: u = max(s/sqrt(m), sqrt(mean u_w²)/sqrt(m)), the scatter of run means as in GUM H.5 with the
// within-run uncertainty as its floor, since few runs can agree by luck; degrees of freedom m-1, or the sum of
// (n_eff - 2) where the floor rules. Fewer: the within-run uncertainty with an assumed run-to-run scatter, or with the
// pooled one where that has eight degrees of freedom, and never less than the runs' own scatter.
func replicate(fits []DecayFit, assumed float64, pool repeatability) replication {
	m := float64(len(fits))
	r := replication{runs: len(fits)}
	r.mean, r.sd = meanRate(fits)
	var ww, dof float64
	for _, f := range fits {
		ww += f.Within * f.Within / m
		dof += f.Serial.NEff - 2
	}
	between, within := r.sd/math.Sqrt(m), math.Sqrt(ww/m)
	if r.runs >= 3 {
		if between >= within {
			r.parts = []part{{"between runs", between, m - 1, "A", fmt.Sprintf("standard deviation %.3g per hour over %s, relative to a mean of %.4g", r.sd, plural(r.runs, "run"), r.mean)}}
		} else {
			r.parts = []part{{"within runs", within, math.Max(1, dof), "A", "the runs agree more closely than the scatter within them allows; the latter stands, inflated for serial correlation"}}
		}
		return r
	}
	if pool.dof >= pooledLeast {
		t := uncertainty.Quantile(0.975, pool.dof)
		s := math.Max(pool.s*math.Abs(r.mean), 2*r.sd/t)
		r.parts = []part{{"between runs (pooled over settings)", math.Max(s/math.Sqrt(m), within), pool.dof, "A",
			fmt.Sprintf("relative repeatability %.2g %% with %.0f degrees of freedom from all settings", 100*pool.s, pool.dof)}}
		return r
	}
	r.assumed = true
	guess := assumed * math.Abs(r.mean) / math.Sqrt(m)
	if r.runs == 2 && between > math.Hypot(guess, within) {
		r.scattered = true
		r.parts = []part{{"between runs", between, m - 1, "A", "two runs that differ by more than the assumed scatter: their own difference stands, with one degree of freedom"}}
		return r
	}
	r.parts = []part{
		{"within runs", within, math.Inf(1), "A", "scatter about the line, inflated for serial correlation"},
		{"run to run (assumed)", guess, math.Inf(1), "B", fmt.Sprintf("%.0f %% of the rate assumed for %s; repeat the run to measure it", 100*assumed, plural(r.runs, "run"))},
	}
	return r
}

// backgroundPart is u_bg: the change of the rate that one standard uncertainty of the background makes, averaged over
// the on runs. The background is common to the runs, so more of them do not reduce it.
func backgroundPart(fits []DecayFit) (u, dof float64, kind, note string) {
	dof, kind = math.Inf(1), "B"
	for _, f := range fits {
		u += f.BackgroundEffect / float64(len(fits))
		dof = math.Min(dof, f.source.dof)
		if f.source.fitted {
			kind = "A"
		}
	}
	f := fits[0]
	return u, dof, kind, fmt.Sprintf("%.3g with a standard uncertainty of %.2g in the sensor's unit: %s", f.Background, f.BackgroundU, f.source.how)
}
