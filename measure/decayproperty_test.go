package measure

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// caseRuns is a random sound case: three runs of each phase in two settings, with noise and rounding.
func caseRuns(r *rand.Rand) []DecayRun {
	var runs []DecayRun
	for _, setting := range []string{"high", "low", ""} {
		for i := range 3 {
			b := goodOff
			state := "off"
			if setting != "" {
				b, state = goodOn, "on"
				b.k = 3 + 6*r.Float64()
			}
			b.noise, b.base = 0.03*r.Float64(), 1+math.Floor(5*r.Float64())
			b.minutes *= 1.5
			d := b.run(state, r.Uint64())
			d.Name = state + setting + string(rune('1'+i))
			d.Setting, d.Particle = setting, "smoke"
			d.Linear = 1000
			if i == 1 && r.IntN(2) == 0 {
				d.Background, d.BackgroundU = none, none
			}
			runs = append(runs, d)
		}
	}
	return runs
}

func same(t *testing.T, what string, seed uint64, a, b []Measurement, rel float64) {
	t.Helper()
	if len(a) != len(b) {
		t.Fatalf("%s, seed %d: %d results, were %d", what, seed, len(b), len(a))
	}
	for i := range a {
		j := i
		for k := range b { // the order follows the runs
			if b[k].Setting == a[i].Setting {
				j = k
			}
		}
		x, y := a[i], b[j]
		for _, p := range [][2]float64{{x.Value, y.Value}, {x.Std, y.Std}, {x.Expanded, y.Expanded}, {x.DOF, y.DOF}} {
			if p[0] != p[1] && !(math.Abs(p[0]-p[1]) <= rel*math.Abs(p[0])) {
				t.Errorf("%s, seed %d, %s: %v became %v", what, seed, x.Setting, p[0], p[1])
			}
		}
		if len(x.Flags()) != len(y.Flags()) {
			t.Errorf("%s, seed %d, %s: flags %v became %v", what, seed, x.Setting, x.Flags(), y.Flags())
		}
	}
}

// What must change nothing: the sensor's gain, where the clock begins, the order of the runs, readings in other units; and
// what must scale: a room twice as large, a clock that runs twice as fast.
func TestInvariance(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 99))
		runs := caseRuns(r)
		o := DecayOptions{Volume: 31, VolumeU: 0.4, MethodU: none}
		base, problems := DeliveryRates(runs, o)
		if len(base) != 2 || len(problems) != 0 {
			t.Fatalf("seed %d: %d results, problems %v", seed, len(base), problems)
		}
		for i := range base {
			if !base[i].Finite() {
				t.Errorf("seed %d: result not finite", seed)
			}
		}
		edit := func(f func(*DecayRun)) []Measurement {
			out := append([]DecayRun(nil), runs...)
			for i := range out {
				f(&out[i])
			}
			ms, problems := DeliveryRates(out, o)
			if len(problems) != 0 {
				t.Fatalf("seed %d: %v", seed, problems)
			}
			return ms
		}
		for _, gain := range []float64{1.37, 0.001, 1000} { // a gain; then µg/m³ to mg/m³ or particles/L to particles/m³
			got := edit(func(d *DecayRun) {
				d.C, d.Background, d.BackgroundU, d.Linear = affine(d.C, gain, 0), d.Background*gain, d.BackgroundU*gain, d.Linear*gain
				d.ValueUnit = "other"
			})
			same(t, "gain", seed, base, got, 1e-9)
		}
		same(t, "time shifted to an hour before", seed, base, edit(func(d *DecayRun) { d.T = affine(d.T, 1, -3600) }), 1e-9)
		same(t, "time shifted to Unix seconds", seed, base, edit(func(d *DecayRun) { d.T = affine(d.T, 1, 1.7e9) }), 1e-6)
		order := r.Perm(len(runs))
		var mixed []DecayRun
		for _, i := range order {
			mixed = append(mixed, runs[i])
		}
		got, _ := DeliveryRates(mixed, o)
		same(t, "order of runs", seed, base, got, 1e-9)

		// a room twice as large, its uncertainty too: twice the rate and twice u
		o.Volume, o.VolumeU = 62, 0.8
		got, _ = DeliveryRates(runs, o)
		for i := range got {
			close2(t, "rate in a room twice as large", got[i].Value, 2*base[i].Value, 1e-12, 0)
			close2(t, "u in a room twice as large", got[i].Std, 2*base[i].Std, 1e-12, 0)
		}
		o.Volume, o.VolumeU = 31, 0.4
	}
}

// Inputs are not changed: the caller's logs serve other channels too.
func TestInputsUntouched(t *testing.T) {
	runs := caseRuns(rand.New(rand.NewPCG(5, 5)))
	var sums []float64
	for _, d := range runs {
		s := 0.0
		for i := range d.T {
			s += d.T[i]*3 + d.C[i]*float64(i)
		}
		sums = append(sums, s)
	}
	DeliveryRates(runs, DecayOptions{Volume: 30})
	for i, d := range runs {
		s := 0.0
		for j := range d.T {
			s += d.T[j]*3 + d.C[j]*float64(j)
		}
		if s != sums[i] {
			t.Errorf("run %d was changed", i)
		}
	}
}

// Whatever the readings, a result has finite numbers or there is none.
func FuzzReduceRun(f *testing.F) {
	f.Add(uint64(1), 30, 10.0, 5.0, 200.0, 6.0, 0.03, true)
	f.Add(uint64(2), 7, 60.0, 0.0, 20.0, 0.1, 0.5, false)
	f.Add(uint64(3), 400, 1.0, 300.0, 1e6, 60.0, 0.0, true)
	f.Fuzz(func(t *testing.T, seed uint64, n int, step, base, top, k, noise float64, round bool) {
		if n < 0 || n > 2000 {
			return
		}
		r := rand.New(rand.NewPCG(seed, 1))
		d := DecayRun{State: "on", From: none, To: none, Background: none, BackgroundU: none, Day: none, ValueUnit: "ug/m3"}
		if seed%3 == 0 {
			d.Background, d.State = base, "off"
		}
		if seed%5 == 0 {
			d.From, d.To = step*3, step*float64(n-3)
		}
		for i := range n {
			c := base + top*math.Exp(-k*step*float64(i)/3600)*(1+noise*r.NormFloat64())
			if round {
				c = math.Round(c)
			}
			d.T, d.C = append(d.T, step*float64(i)), append(d.C, c)
		}
		ms, _ := DeliveryRates([]DecayRun{d}, DecayOptions{Volume: 30, VolumeU: 1, MethodU: none})
		if d.State == "off" {
			if _, err := ReduceRun(d); err != nil && err.Error() == "" {
				t.Error("an error without words")
			}
		}
		for _, m := range ms {
			if !m.Finite() || math.IsInf(m.Value, 0) {
				t.Errorf("not finite: %+v", m)
			}
			for _, c := range m.Budget {
				if !finite(c.U) || math.IsNaN(c.DOF) {
					t.Errorf("component not finite: %+v", c)
				}
			}
			for _, q := range m.Runs {
				if !finite(q.Value, q.Std, q.R2) {
					t.Errorf("run not finite: %+v", q)
				}
				if c := q.Curve; len(c.Hours) > mostCurvePoints || len(c.Hours) != len(c.Value) || !finite(c.A, c.K, c.Background) {
					t.Errorf("curve: %d points, A %g, k %g", len(c.Hours), c.A, c.K)
				}
			}
		}
	})
}

func TestCurve(t *testing.T) {
	b := goodOn
	b.step = 0.1
	d := b.run("on", 3)
	f, err := ReduceRun(d)
	if err != nil {
		t.Fatal(err)
	}
	c := f.curve()
	if len(c.Hours) > 2000 || len(c.Hours) < 900 {
		t.Errorf("%d points of %d", len(c.Hours), len(d.T))
	}
	before, first := 0, false
	for _, h := range c.Hours {
		if h < 0 {
			before++
		}
		first = first || h == 0
	}
	if before < 10 || !first || c.From != 0 || c.To != f.Span {
		t.Errorf("%d points before the window, first reading drawn %v, window %g to %g", before, first, c.From, c.To)
	}
}

func benchmarkReduce(b *testing.B, step, minutes float64, background float64) {
	g := goodOn
	g.step, g.minutes = step, minutes
	g.k = 60 / minutes * 3
	d := g.run("on", 1)
	d.Background = background
	b.ReportAllocs()
	b.SetBytes(int64(16 * len(d.T)))
	for b.Loop() {
		if _, err := ReduceRun(d); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(d.T)), "readings")
}

func BenchmarkReduceRunMillion(b *testing.B)             { benchmarkReduce(b, 0.06, 1000, 5) }
func BenchmarkReduceRunMillionNoBackground(b *testing.B) { benchmarkReduce(b, 0.06, 1000, math.NaN()) }
func BenchmarkReduceRunBench(b *testing.B)               { benchmarkReduce(b, 10, 40, 5) }

// middle is the element that a sort would put there, whatever the order and however many are equal.
func TestMiddle(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	rng := rand.New(rand.NewPCG(seed, 7))
	for range 3000 {
		x := make([]float64, 1+rng.IntN(60))
		for i := range x {
			x[i] = float64(rng.IntN(1 + rng.IntN(80)))
		}
		switch rng.IntN(3) {
		case 0:
			slices.Sort(x)
		case 1:
			slices.Sort(x)
			slices.Reverse(x)
		}
		y := append([]float64(nil), x...)
		slices.Sort(y)
		if got, want := middle(x), y[len(y)/2]; got != want {
			t.Fatalf("seed %d: %v of %v, wanted %v", seed, got, y, want)
		}
	}
	if middle(nil) != 0 {
		t.Error("the middle of nothing is 0")
	}
}
