package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// bench is a log as a bench gives it: clean air, the smoke lit and stirred, then a decay.
type bench struct {
	k, top, base, step, minutes float64
	noise                       float64 // relative, independent
	round                       bool
	lead                        float64                    // minutes of clean air, then two of smoke
	change                      func(t, c float64) float64 // t in minutes after the peak
	clip, floor                 float64
}

func (b bench) run(state string, seed uint64) DecayRun {
	r := rand.New(rand.NewPCG(seed, 7))
	d := DecayRun{Name: state, State: state, From: none, To: none, Background: b.base, BackgroundU: 0.3, Day: none, ValueUnit: "ug/m3"}
	if b.step == 0 {
		b.step = 10
	}
	for t := 0.0; t <= 60*(b.lead+2+b.minutes); t += b.step {
		m := t/60 - b.lead - 2 // minutes after the peak
		c := 0.0
		switch {
		case m < -2:
		case m < 0:
			c = b.top * (m + 2) / 2
		default:
			c = b.top * math.Exp(-b.k*m/60)
		}
		if b.change != nil {
			c = b.change(m, c)
		}
		c = c*(1+b.noise*r.NormFloat64()) + b.base
		if b.round {
			c = math.Round(c)
		}
		if b.clip > 0 {
			c = math.Min(c, b.clip)
		}
		d.T, d.C = append(d.T, t), append(d.C, math.Max(c, b.floor))
	}
	return d
}

var (
	goodOn  = bench{k: 6, top: 280, base: 5, minutes: 40, noise: 0.01, round: true, lead: 5}
	goodOff = bench{k: 0.25, top: 280, base: 5, minutes: 60, noise: 0.01, round: true, lead: 5}
)

func flagsOf(t *testing.T, d DecayRun) []Warning {
	t.Helper()
	f, err := ReduceRun(d)
	if err != nil {
		t.Fatal(err)
	}
	return f.Flags
}

// A sound log carries no flag, whatever its noise; each flaw carries its own.
func TestChecks(t *testing.T) {
	for seed := range uint64(40) {
		for state, b := range map[string]bench{"on": goodOn, "off": goodOff} {
			if ws := flagsOf(t, b.run(state, seed)); len(ws) != 0 {
				t.Errorf("sound %s run, seed %d: flags %v", state, seed, ws)
			}
		}
	}
	with := func(b bench, f func(*bench)) bench { f(&b); return b }
	for _, c := range []struct {
		name  string
		state string
		b     bench
		edit  func(*DecayRun)
		want  Flag
	}{
		{"saturated inside the window", "on", with(goodOn, func(b *bench) { b.top, b.clip = 3000, 1000 }), func(d *DecayRun) { d.Linear = 5000; d.From = 9 * 60 }, Saturated},
		{"saturated before it", "on", with(goodOn, func(b *bench) { b.top, b.clip = 1500, 1000 }), nil, Saturated},
		{"over the linear range", "on", with(goodOn, func(b *bench) { b.top = 900 }), func(d *DecayRun) { d.From = 8 * 60 }, OverRange},
		{"sensor floor", "on", with(goodOn, func(b *bench) { b.base, b.floor = 0, 25 }), nil, SensorFloor},
		{"coarse steps", "on", with(goodOn, func(b *bench) { b.top = 60 }), nil, Rounding},
		{"short run", "on", with(goodOn, func(b *bench) { b.minutes = 9 }), nil, ShortRun},
		{"few points", "on", with(goodOn, func(b *bench) { b.step = 180 }), nil, FewPoints},
		{"a source that goes on", "on", with(goodOn, func(b *bench) {
			b.noise, b.change = 0.005, func(m, c float64) float64 { return c + 25*(1-math.Exp(-6*math.Max(m, 0)/60)) }
		}), nil, NotFirstOrder},
		{"clock set forward", "on", goodOn, func(d *DecayRun) {
			d.T = append([]float64(nil), d.T...)
			for i := 80; i < len(d.T); i++ {
				d.T[i] += 150
			}
		}, ClockStep},
		{"gap", "on", goodOn, func(d *DecayRun) {
			d.T = append(d.T[:70:70], d.T[95:]...)
			d.C = append(d.C[:70:70], d.C[95:]...)
		}, LogGap},
		{"leak", "off", with(goodOff, func(b *bench) { b.k = 1.4 }), nil, NaturalDecay},
		{"low natural decay", "off", with(goodOff, func(b *bench) { b.k = 0.005; b.noise = 0.001; b.round = false }), nil, NaturalDecay},
		{"natural decay that rises", "off", with(goodOff, func(b *bench) { b.k = -0.1; b.noise = 0.001; b.round = false }), nil, NaturalDecay},
		{"wrong background", "on", with(goodOn, func(b *bench) { b.base = 25; b.noise = 0.002 }), func(d *DecayRun) { d.Background = 0 }, OffsetMismatch},
		{"low R2 and poor fit", "on", with(goodOn, func(b *bench) { b.k = 0.6; b.noise = 0.25; b.minutes = 15 }), nil, LowR2},
		{"poor fit", "on", with(goodOn, func(b *bench) { b.k = 0.6; b.noise = 0.25; b.minutes = 15 }), nil, PoorFit},
		{"one stray reading", "on", goodOn, func(d *DecayRun) {
			d.C = append([]float64(nil), d.C...)
			d.C[90] *= 1.6
		}, Outlier},
		{"end too late", "on", goodOn, func(d *DecayRun) { d.To = 45 * 60 }, WindowCut},
	} {
		d := c.b.run(c.state, 3)
		if c.edit != nil {
			c.edit(&d)
		}
		if ws := flagsOf(t, d); !hasFlag(ws, c.want) {
			t.Errorf("%s: flags %v, want %q", c.name, ws, c.want)
		}
	}
}

// A log that begins in clean air: its peak, its start two minutes later, and its background are found.
func TestWholeLog(t *testing.T) {
	d := goodOn.run("on", 11)
	d.Background, d.BackgroundU = none, none
	f, err := ReduceRun(d)
	if err != nil {
		t.Fatal(err)
	}
	peak := 0
	for i, c := range d.C {
		if c > d.C[peak] {
			peak = i
		}
	}
	if got := d.T[f.First]; got != d.T[peak]+120 {
		t.Errorf("start at %g s, want two minutes after the peak at %g s", got, d.T[peak])
	}
	close2(t, "background before the smoke", f.Background, 5, 0, 0.5)
	close2(t, "k", f.K, 6, 0.02, 0)
	on, off := d, goodOff.run("off", 12)
	off.Background, off.BackgroundU = none, none
	ms, _ := DeliveryRates([]DecayRun{on, off}, DecayOptions{Volume: 30})
	if len(ms) != 1 || ms[0].Has(NoBackground) {
		t.Errorf("a reading in clean air before the smoke is a background: %v", ms)
	}
	on.From, off.From = 9*60, 9*60 // without the lead there is none
	for _, r := range []*DecayRun{&on, &off} {
		i := searchTime(r.T, r.From, false)
		r.T, r.C = r.T[i:], r.C[i:]
	}
	ms, _ = DeliveryRates([]DecayRun{on, off}, DecayOptions{Volume: 30})
	if len(ms) != 1 || !ms[0].Has(NoBackground) {
		t.Errorf("no background at all carries no flag: %v", ms)
	}
	// a spike of one reading is not the smoke
	d.C[10] = 990
	g, err := ReduceRun(d)
	if err != nil {
		t.Fatal(err)
	}
	if g.First != f.First {
		t.Errorf("a spike in clean air moved the start from reading %d to %d", f.First, g.First)
	}
	// From and To overrule
	d.From, d.To = d.T[60], d.T[100]
	if g, err = ReduceRun(d); err != nil {
		t.Fatal(err)
	}
	if g.First != 60 || g.Last != 101 {
		t.Errorf("window %d…%d with from and to given, want 60…100", g.First, g.Last-1)
	}
	// smoke above the sensor's linear range: the start moves on to where it is within it
	b := goodOn
	b.top, b.minutes = 900, 60
	d = b.run("on", 5)
	if g, err = ReduceRun(d); err != nil {
		t.Fatal(err)
	}
	if c := median5(d.C, g.First); c > 300 || median5(d.C, g.First-1) <= 300 {
		t.Errorf("start at a reading of %g, want the first within 300", c)
	}
}

// Room air that was not clean before the smoke is no background: the tails of the runs go below it.
func TestDirtyRoomBefore(t *testing.T) {
	b := goodOn
	b.minutes, b.base = 60, 2
	b.change = func(m, c float64) float64 {
		if m < -2 {
			return 25
		}
		return c
	}
	var runs []DecayRun
	for i := range uint64(3) {
		on, off := b.run("on", i), goodOff.run("off", i)
		on.Background, off.Background = none, none
		runs = append(runs, on, off)
	}
	ms, problems := DeliveryRates(runs, DecayOptions{Volume: 30, MethodU: 0})
	if len(problems) != 0 || len(ms) != 1 {
		t.Fatal(ms, problems)
	}
	if d := math.Abs(ms[0].Value - 30*5.75); d > ms[0].Expanded || d > 10 {
		t.Errorf("rate %.1f ± %.1f, true 172.5", ms[0].Value, ms[0].Expanded)
	}
}

func TestErrors(t *testing.T) {
	for _, c := range []struct {
		name, want string
		edit       func(*DecayRun)
	}{
		{"state", `"running"`, func(d *DecayRun) { d.State = "running" }},
		{"lengths", "times for", func(d *DecayRun) { d.T = d.T[:5] }},
		{"short", "5 readings", func(d *DecayRun) { d.T, d.C = d.T[:5], d.C[:5] }},
		{"not a number", "not a finite number", func(d *DecayRun) { d.C[9] = math.NaN() }},
		{"backwards", "times go back", func(d *DecayRun) { d.T[9] = 0 }},
		{"constant", "all readings are 5", func(d *DecayRun) {
			for i := range d.C {
				d.C[i] = 5
			}
		}},
		{"coarse", "ten steps", func(d *DecayRun) {
			for i := range d.C {
				d.C[i] = 50 * math.Round(d.C[i]/50)
			}
		}},
		{"from after the log", "log ends at", func(d *DecayRun) { d.From = 1e7 }},
		{"to before from", "not after", func(d *DecayRun) { d.From, d.To = 900, 600 }},
		{"to before the log", "up to the run's end", func(d *DecayRun) { d.To = -1 }},
		{"background above", "not above the background", func(d *DecayRun) { d.Background = 500 }},
		{"one time", "same time", func(d *DecayRun) {
			for i := range d.T {
				d.T[i] = 0
			}
			d.From = 0
		}},
	} {
		d := goodOn.run("on", 1)
		d.C = append([]float64(nil), d.C...)
		c.edit(&d)
		_, err := ReduceRun(d)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
	bad := goodOn.run("on", 1)
	bad.State, bad.Place, bad.Name = "?", "lab.xlsx: sheet decay, row 4", "r7"
	ms, problems := DeliveryRates([]DecayRun{bad, goodOn.run("on", 2), goodOff.run("off", 2)}, DecayOptions{Volume: 30})
	if len(ms) != 1 || len(problems) != 1 || !strings.Contains(problems[0].Error(), "row 4") {
		t.Errorf("a bad run must not stop the others: %d results, problems %v", len(ms), problems)
	}
	for _, o := range []DecayOptions{{}, {Volume: none}, {Volume: 30, VolumeU: -1}, {Volume: math.Inf(1)}} {
		if ms, problems := DeliveryRates([]DecayRun{goodOn.run("on", 2)}, o); len(ms) != 0 || len(problems) != 1 {
			t.Errorf("volume %g: %d results, problems %v", o.Volume, len(ms), problems)
		}
	}
}

func TestGroups(t *testing.T) {
	mk := func(state, setting, particle string, seed uint64, k float64) DecayRun {
		b := goodOn
		if state == "off" {
			b = goodOff
		}
		if k > 0 {
			b.k = k
		}
		d := b.run(state, seed)
		d.Setting, d.Particle = setting, particle
		return d
	}
	find := func(ms []Measurement, setting, particle string) *Measurement {
		for i := range ms {
			if ms[i].Setting == setting && ms[i].Particle == particle {
				return &ms[i]
			}
		}
		t.Fatalf("no result for %q, %q", setting, particle)
		return nil
	}
	// one run of each: indicative, k = 2
	ms, _ := DeliveryRates([]DecayRun{mk("on", "high", "smoke", 1, 0), mk("off", "", "smoke", 2, 0)}, DecayOptions{Volume: 30, MethodU: none})
	m := find(ms, "high", "smoke")
	if !m.Has(Indicative) || m.K != 2 || !math.IsInf(m.DOF, 1) {
		t.Errorf("one run of each: flags %v, k %g, dof %g; want indicative, 2, +Inf", m.Flags(), m.K, m.DOF)
	}
	if c := m.Budget[len(m.Budget)-1]; c.Name != "ordinary room (method allowance)" || math.Abs(c.U-0.05*m.Value) > 1e-9 {
		t.Errorf("method allowance %+v, want 5 %% of %g", c, m.Value)
	}
	// three of each, two settings and another channel, with its own natural decay and without
	var runs []DecayRun
	for i := range uint64(3) {
		runs = append(runs, mk("on", "High", "PM2.5", i, 0), mk("on", "low", "pm 2.5", 10+i, 3), mk("on", "High", "dust", 20+i, 7), mk("off", "", "pm2.5", 30+i, 0))
	}
	ms, problems := DeliveryRates(runs, DecayOptions{Volume: 30})
	if len(ms) != 2 || len(problems) != 3 || !strings.Contains(problems[0].Text, "another particle") {
		t.Fatalf("%d results, problems %v; want two and the three dust runs refused", len(ms), problems)
	}
	for i, want := range []float64{30 * 5.75, 30 * 2.75} {
		if d := math.Abs(ms[i].Value - want); d > ms[i].Expanded {
			t.Errorf("%s: %.1f ± %.1f, true %.1f", ms[i].Setting, ms[i].Value, ms[i].Expanded, want)
		}
		if ms[i].Has(Indicative) || len(ms[i].Runs) != 6 {
			t.Errorf("%s: flags %v, %d runs", ms[i].Setting, ms[i].Flags(), len(ms[i].Runs))
		}
	}
	// two runs of each of eight settings: the pooled repeatability carries a verdict; of seven it does not
	for _, n := range []int{8, 7} {
		runs = nil
		for s := range n {
			for i := range uint64(2) {
				runs = append(runs, mk("on", string(rune('a'+s)), "smoke", uint64(s)*10+i, 4+0.05*float64(i)))
			}
		}
		for i := range uint64(3) {
			runs = append(runs, mk("off", "", "smoke", 90+i, 0))
		}
		ms, problems = DeliveryRates(runs, DecayOptions{Volume: 30})
		if len(ms) != n || len(problems) != 0 || ms[0].Has(Indicative) != (n < 8) {
			t.Errorf("%d settings of two runs: %d results, flags %v, problems %v", n, len(ms), ms[0].Flags(), problems)
		}
		if n == 8 && (ms[0].Budget[0].Name != "between runs (pooled over settings)" || ms[0].Budget[0].DOF != 8) {
			t.Errorf("pooled: %+v", ms[0].Budget[0])
		}
	}
	// no natural decay at all: the band for smoke, none for dust
	ms, problems = DeliveryRates([]DecayRun{mk("on", "", "smoke", 1, 0), mk("on", "", "dust", 2, 0)}, DecayOptions{Volume: 30})
	if len(ms) != 1 || len(problems) != 1 || !ms[0].Has(NoNaturalDecay) || !ms[0].Has(Indicative) {
		t.Errorf("no natural decay: %d results, problems %v", len(ms), problems)
	}
	// days apart, fast decay
	runs = nil
	for i := range uint64(3) {
		on, off := mk("on", "", "", i, 30), mk("off", "", "", 5+i, 0)
		on.Day, off.Day = 20000.5, 19996.5
		on.T = affine(on.T, 0.5, 0)
		runs = append(runs, on, off)
	}
	ms, problems = DeliveryRates(runs, DecayOptions{Volume: 10})
	if len(ms) != 1 || !ms[0].Has(RoomTooSmall) || !ms[0].Has(DaysApart) {
		t.Errorf("fast decay, days apart: %v, problems %v", ms, problems)
	}
}

func affine(x []float64, a, b float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = a*x[i] + b
	}
	return out
}
