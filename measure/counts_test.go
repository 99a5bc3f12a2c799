package measure

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// Exact Poisson limits: scipy 1.10.1 (chi2.ppf), equal to R 4.2.2 poisson.test; the rounded figures are the table that
// EN 1822-2 prints (from memory), which differs in the last digit.
func TestPoissonLimits(t *testing.T) {
	for _, r := range [][3]float64{
		{0, 0, 3.6889}, {1, 0.0253, 5.5716}, {2, 0.2422, 7.2247}, {3, 0.6187, 8.7673}, {4, 1.0899, 10.2416}, {5, 1.6235, 11.6683},
		{6, 2.2019, 13.0595}, {7, 2.8144, 14.4227}, {8, 3.4538, 15.7632}, {9, 4.1154, 17.0848}, {10, 4.7954, 18.3904},
		{12, 6.2006, 20.9616}, {14, 7.6539, 23.4896}, {15, 8.3954, 24.7402}, {16, 9.1454, 25.9830}, {18, 10.6679, 28.4478},
		{20, 12.2165, 30.8884}, {25, 16.1787, 36.9049}, {30, 20.2409, 42.8269}, {35, 24.3788, 48.6765}, {40, 28.5766, 54.4686},
		{45, 32.8233, 60.2135}, {50, 37.1110, 65.9188}, {60, 45.7863, 77.2319}, {70, 54.5684, 88.4408}, {80, 63.4350, 99.5669},
		{90, 72.3706, 110.6253}, {100, 81.3640, 121.6268}, {200, 173.2409, 229.7220}, {500, 457.1286, 545.8093}, {1000, 938.9730, 1063.9521},
	} {
		l, h := PoissonLimits(r[0], 0.95)
		wantAbs(t, "low", l, r[1], 5.1e-5)
		wantAbs(t, "high", h, r[2], 5.1e-5)
	}
	l, h := PoissonLimits(10, 0.95)
	wantRel(t, "R poisson.test(10), low", l, 4.79538869613, 1e-10)
	wantRel(t, "R poisson.test(10), high", h, 18.39035604202, 1e-10)
	_, h = PoissonLimits(0, 0.95)
	wantRel(t, "R poisson.test(0), high", h, 3.68887945411, 1e-10)
	for _, r := range [][3]float64{{0, 0, 3.7}, {1, 0.1, 5.6}, {10, 4.7, 18.4}, {100, 81.4, 121.6}} {
		l, h := PoissonLimits(r[0], 0.95)
		wantAbs(t, "EN 1822-2 table, low", l, r[1], 0.1)
		wantAbs(t, "EN 1822-2 table, high", h, r[2], 0.1)
	}
	for _, r := range [][3]float64{{0, 0, 2.9957}, {1, 0.0513, 4.7439}, {2, 0.3554, 6.2958}, {3, 0.8177, 7.7537}, {5, 1.9701, 10.5130},
		{10, 5.4254, 16.9622}, {20, 13.2547, 29.0620}, {50, 38.9647, 63.2871}, {100, 84.1393, 118.0793}, {1000, 948.5598, 1053.6031}} {
		wantAbs(t, "one-sided low", PoissonLow(r[0], 0.05), r[1], 5.1e-5)
		wantAbs(t, "one-sided high", PoissonHigh(r[0], 0.05), r[2], 5.1e-5)
	}
}

// Clopper and Pearson limits: scipy beta.ppf.
func TestBinomialLimits(t *testing.T) {
	for _, r := range [][4]float64{{0, 3, 0, 0.707598}, {3, 3, 0.292402, 1}, {0, 10, 0, 0.308497}, {1, 10, 0.002529, 0.445016},
		{5, 10, 0.187086, 0.812914}, {10, 10, 0.691503, 1}, {3, 20, 0.032071, 0.378927}, {0, 30, 0, 0.115703}, {8, 100, 0.035172, 0.151558}} {
		l, h := BinomialLimits(r[0], r[1], 0.95)
		wantAbs(t, "low", l, r[2], 1e-6)
		wantAbs(t, "high", h, r[3], 1e-6)
	}
	for _, r := range [][2]float64{{10, 0.258866}, {30, 0.095034}, {100, 0.029513}} {
		_, h := BinomialLimits(0, r[0], 0.90)
		wantAbs(t, "one-sided", h, r[1], 1e-6)
	}
}

// Intervals of an efficiency at equal volumes: scipy; the ratio's limits for 25 of 50 000 are R poisson.test(c(25, 50000)).
func TestCountIntervals(t *testing.T) {
	for _, r := range []struct{ up, down, enMin, enMax, min, max float64 }{
		{1000000, 50, 0.999934, 0.999963, 0.999934, 0.999963},
		{100000, 5, 0.999883, 0.999984, 0.999883, 0.999984},
		{50000, 25, 0.999255, 0.999679, 0.999262, 0.999676},
		{10000, 0, 0.999624, 1, 0.999631, 1},
		{2000, 10, 0.990388, 0.997705, 0.990786, 0.997606},
		{1000, 250, 0.698620, 0.793254, 0.712553, 0.783230},
		{200, 40, 0.685590, 0.875604, 0.718012, 0.861284},
	} {
		c := Counts{r.up, r.down, 1, 1}
		l, h := c.ENInterval(0.95)
		wantAbs(t, "EN form, min", l, r.enMin, 1e-6)
		wantAbs(t, "EN form, max", h, r.enMax, 1e-6)
		l, h = c.Interval(0.95)
		wantAbs(t, "exact, min", l, r.min, 1e-6)
		wantAbs(t, "exact, max", h, r.max, 1e-6)
	}
	l, h := Counts{50000, 25, 1, 1}.Interval(0.95)
	wantAbs(t, "R poisson.test, low penetration", 1-h, 0.000323541863516, 1e-12)
	wantAbs(t, "R poisson.test, high penetration", 1-l, 0.000738186500695, 1e-12)
}

// Exact one-sided probabilities of E ≥ L: scipy betainc.
func TestCountTails(t *testing.T) {
	for _, r := range []struct {
		up, down, limit, support, refute float64
		outcome                          string
	}{
		{12297, 0, 0.9997, 0.974992, 1, "supported"},
		{9986, 0, 0.9997, 0.949981, 1, "inconclusive"},
		{10000, 0, 0.9997, 0.950191, 1, "supported"},
		{50000, 25, 0.9997, 0.006192, 0.011178, "contradicted"},
		{50000, 25, 0.9995, 0.447079, 0.526621, "inconclusive"},
		{50000, 10, 0.9997, 0.881499, 0.930127, "inconclusive"},
		{100000, 60, 0.9995, 0.072210, 0.092331, "inconclusive"},
		{2000, 10, 0.99, 0.988896, 0.994873, "supported"},
		{200, 40, 0.85, 0.042750, 0.061673, "inconclusive"},
	} {
		c := Counts{r.up, r.down, 1, 1}
		s, f := c.Tails(r.limit)
		wantAbs(t, "support", s, r.support, 1e-6)
		wantAbs(t, "refute", f, r.refute, 1e-6)
		p, note := c.AtLeast(100 * r.limit)
		outcome := "inconclusive"
		if p >= 0.95 {
			outcome = "supported"
		} else if p <= 0.05 {
			outcome = "contradicted"
		}
		if outcome != r.outcome {
			t.Errorf("%g, %g, %g: %s at p = %g, want %s", r.up, r.down, r.limit, outcome, p, r.outcome)
		}
		if (note != "") != (r.up == 9986) {
			t.Errorf("%g, %g: note %q", r.up, r.down, note)
		}
	}
}

// The least counts: 9 988 for 99.97 % by the exact one-sided form (computed with scipy); two-sided Poisson 12 296.26,
// 7 377.76, 73 777.59 and one-sided 9 985.77, 5 991.46 from the upper limit of zero over the penetration.
func TestCountsNeeded(t *testing.T) {
	wantAbs(t, "99.97 %", CountsNeeded(0.9997), 9988, 0)
	for _, limit := range []float64{0.9, 0.99, 0.9995, 0.9997} {
		n := CountsNeeded(limit)
		if s, _ := (Counts{n, 0, 1, 1}).Tails(limit); s < 0.95 {
			t.Errorf("%g: %g counts give %g", limit, n, s)
		}
		if s, _ := (Counts{n - 1, 0, 1, 1}).Tails(limit); s >= 0.95 {
			t.Errorf("%g: %g counts give %g already", limit, n-1, s)
		}
	}
	_, two := PoissonLimits(0, 0.95)
	one := PoissonHigh(0, 0.05)
	for i, q := range []float64{3e-4, 5e-4, 5e-5} {
		wantAbs(t, "two-sided", two/q, []float64{12296.26, 7377.76, 73777.59}[i], 0.01)
	}
	wantAbs(t, "one-sided 99.97 %", one/3e-4, 9985.77, 0.01)
	wantAbs(t, "one-sided 99.95 %", one/5e-4, 5991.46, 0.01)
}

func TestReduceCounts(t *testing.T) {
	nan := math.NaN()
	ms, ps := ReduceCounts([]CountReading{
		{SizeUm: 0.3, Up: 1000, Down: 125, UpVolume: 2.83, DownVolume: 2.83, Setting: "max"},
		{SizeUm: 0.3, Up: 1000, Down: 125, UpVolume: 2.83, DownVolume: 2.83, Setting: "MAX"},
		{SizeUm: 0.3, SizeHighUm: 0.5, Up: 100, Down: 0, UpVolume: nan, DownVolume: nan},
		{SizeUm: 0.5, Up: 0, Down: 3, UpVolume: nan, DownVolume: nan},
		{SizeUm: 1, Up: 10.5, Down: 3, UpVolume: nan, DownVolume: nan},
		{SizeUm: 1, Up: 10, Down: -3, UpVolume: nan, DownVolume: nan},
		{SizeUm: 1, Up: 10, Down: 3, UpVolume: 1, DownVolume: nan},
		{SizeUm: 1, Up: 10, Down: 3, UpVolume: 1, DownVolume: 0},
		{SizeUm: nan, Up: 10, Down: 3, UpVolume: nan, DownVolume: nan},
	})
	if len(ms) != 2 || len(ps) != 6 {
		t.Fatalf("%d results, %v", len(ms), ps)
	}
	m := ms[0]
	wantAbs(t, "pooled", m.Value, 87.5, 1e-12)
	lo, hi := Counts{2000, 250, 1, 1}.Interval(0.95)
	wantAbs(t, "interval of the sums, low", m.Interval[0], 100*lo, 1e-9)
	wantAbs(t, "interval of the sums, high", m.Interval[1], 100*hi, 1e-9)
	if m.Particle != "0.3 um" || m.Has(Indicative) || m.Has(OverDispersed) || len(m.Runs) != 2 {
		t.Errorf("%+v", m)
	}
	if z := ms[1]; z.Particle != "0.3-0.5 um" || z.Value != 100 || z.Interval[1] != 100 || z.Std <= 0 || !z.Has("volumes not recorded") {
		t.Errorf("%+v", z)
	}
	for _, m := range ms {
		wantPrintable(t, m)
	}
}

// Volumes: a penetration P counted in another volume must give the same efficiency.
func TestCountsFollowVolumes(t *testing.T) {
	ms, _ := ReduceCounts([]CountReading{{SizeUm: 0.3, Up: 10000, Down: 500, UpVolume: 1, DownVolume: 10}})
	wantRel(t, "ten times the volume behind", ms[0].Value, 99.5, 1e-12)
	l, h := Counts{10000, 500, 10, 10}.Interval(0.95)
	if !(l < 0.995 && h > 0.995) || h-l > 0.002 {
		t.Errorf("interval %g to %g", l, h)
	}
	s, _ := Counts{10000, 500, 10, 10}.Tails(l)
	wantAbs(t, "the tail at the interval's end is its risk", s, 0.975, 0.003)
	mixed, _ := ReduceCounts([]CountReading{
		{SizeUm: 0.3, Up: 10000, Down: 500, UpVolume: 1, DownVolume: 10}, {SizeUm: 0.3, Up: 10000, Down: 250, UpVolume: 1, DownVolume: 5}})
	if !mixed[0].Has("volumes differ") || mixed[0].Interval[1]-mixed[0].Interval[0] < 100*(h-l) {
		t.Errorf("%+v", mixed[0])
	}
}

func TestCountsThatScatterMoreThanCounting(t *testing.T) {
	var rs []CountReading
	for _, d := range []float64{100, 200, 50, 150} {
		rs = append(rs, CountReading{SizeUm: 0.3, Up: 10000, Down: d, UpVolume: 1, DownVolume: 1})
	}
	ms, _ := ReduceCounts(rs)
	l, h := Counts{40000, 500, 1, 1}.Interval(0.95)
	if !ms[0].Has(OverDispersed) || ms[0].Interval[1]-ms[0].Interval[0] < 3*100*(h-l) {
		t.Errorf("%+v", ms[0])
	}
}

// Coverage of the exact interval and wrong verdicts at the claim's edge, by simulation: an exact interval covers at
// least 95 %, and a claim that is just true is contradicted in at most 5 %. 4 000 trials: three standard errors are 1 %.
func TestCountsCoverage(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 4))
	poisson := func(mean float64) float64 { // Knuth's product method, in pieces that do not underflow
		n := 0.0
		for mean > 0 {
			step := math.Min(mean, 30)
			for p := rng.Float64(); p > math.Exp(-step); p *= rng.Float64() {
				n++
			}
			mean -= step
		}
		return n
	}
	const trials, truth = 4000, 0.99
	var held, refuted, supported int
	for range trials {
		c := Counts{poisson(600), poisson(600 * (1 - truth)), 1, 1}
		l, h := c.Interval(0.95)
		if l <= truth && truth <= h {
			held++
		}
		p, _ := c.AtLeast(100 * truth)
		if !(p >= 0 && p <= 1) {
			t.Fatalf("%+v: p = %g", c, p)
		}
		if p <= 0.05 {
			refuted++
		}
		if p >= 0.95 {
			supported++
		}
	}
	t.Logf("the interval holds the truth in %.1f %%; at the edge %.1f %% contradicted, %.1f %% supported", 100*float64(held)/trials, 100*float64(refuted)/trials, 100*float64(supported)/trials)
	if held < 0.94*trials || refuted > 0.06*trials || supported > 0.06*trials {
		t.Errorf("held %d, contradicted %d, supported %d of %d", held, refuted, supported, trials)
	}
}

// p falls as the limit rises, and rises with fewer particles behind.
func TestCountsAreMonotone(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 5))
	for range 500 {
		c := Counts{float64(1 + rng.IntN(20000)), float64(rng.IntN(400)), 1, 1}
		a, b := 50+49.99*rng.Float64(), 50+49.99*rng.Float64()
		s1, f1 := c.Tails(math.Min(a, b) / 100)
		s2, f2 := c.Tails(math.Max(a, b) / 100)
		if s2 > s1+1e-12 || f2 > f1+1e-12 || s1 > f1+1e-12 {
			t.Fatalf("%+v at %g, %g: %g %g, %g %g", c, a, b, s1, f1, s2, f2)
		}
		worse := c
		worse.Down++
		if w, _ := worse.Tails(a / 100); w > s1+1e-12 && a <= b {
			t.Fatalf("%+v: one more behind raises support from %g to %g", c, s1, w)
		}
		p, _ := c.AtLeast(a)
		if s, f := c.Tails(a / 100); (p >= 0.95) != (s >= 0.95) || (s < 0.95 && (p <= 0.05) != (f <= 0.05)) {
			t.Fatalf("%+v at %g: p %g, tails %g, %g", c, a, p, s, f)
		}
	}
}
