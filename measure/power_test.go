package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

func onePower(t *testing.T, rs []PowerReading) Measurement {
	t.Helper()
	ms, ps := ReducePower(rs)
	if len(ms) != 1 || len(ps) != 0 {
		t.Fatalf("%d results, problems %v", len(ms), ps)
	}
	wantPrintable(t, ms[0])
	return ms[0]
}

func meterOf(t *testing.T, accuracy string) Meter {
	t.Helper()
	m, err := NewMeter("P1", accuracy, "power meter")
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestPowerRepeatsAndMeter(t *testing.T) {
	rs := []PowerReading{
		{Setting: "max", Watts: 44.8, Meter: meterOf(t, "1.5 %")}, {Setting: "Max", Watts: 45.4, Meter: meterOf(t, "1.5 %")},
		{Setting: "max", Watts: 45.1, Meter: meterOf(t, "1.5 %")},
	}
	m := onePower(t, rs)
	wantRel(t, "mean", m.Value, 45.1, 1e-12)
	u, dof := component(t, m, "repeats")
	wantRel(t, "s/√n", u, 0.3/math.Sqrt(3), 1e-9)
	wantAbs(t, "degrees of freedom", dof, 2, 0)
	u, _ = component(t, m, meterAccuracy) // one meter: its error does not average out
	wantRel(t, "meter", u, 0.015*45.1/math.Sqrt(3), 1e-9)
	u, _ = component(t, m, "resolution")
	wantRel(t, "resolution", u, 0.1/math.Sqrt(12), 1e-12)
	if len(m.Warnings) != 0 || m.Attribute != "power" {
		t.Errorf("%+v", m)
	}
}

// The project's default for a meter of no stated accuracy: u = 3 % of reading + 0.5 W; and no standby verdict below 2 W.
func TestPowerOfAnUnnamedMeter(t *testing.T) {
	m := onePower(t, []PowerReading{{Setting: "max", Watts: 50}})
	u, dof := component(t, m, meterAccuracy)
	wantRel(t, "default", u, 2.0, 1e-12)
	wantAbs(t, "degrees of freedom", dof, 8, 1e-9)
	if !m.Has(AssumedAccuracy) || !m.Has(Indicative) || m.Has(NotTestable) {
		t.Errorf("%+v", m.Warnings)
	}
	for _, c := range []struct {
		watts    float64
		accuracy string
		refused  bool
	}{{1.9, "", true}, {2.0, "", false}, {0.4, "2 % + 0.02 W", false}, {0.4, "class 2", true}} {
		s := onePower(t, []PowerReading{{Setting: " Stand-BY ", Watts: c.watts, Meter: meterOf(t, c.accuracy)}})
		if s.Attribute != "standby power" || s.Has(NotTestable) != c.refused {
			t.Errorf("%g W, %q: %s, %+v", c.watts, c.accuracy, s.Attribute, s.Warnings)
		}
	}
}

// A log with a known warm-up: P = 40 + 20·e^(−t/120 s) for 20 minutes, a reading each second. The mean from the steady
// part must lie within the 5 % of IEC 62301 of the final 40 W, and much nearer than that of the whole log (42.0 W).
func TestSteadyFindsTheEndOfWarmUp(t *testing.T) {
	var log PowerLog
	for i := range 1201 {
		log.Seconds = append(log.Seconds, float64(i))
		log.Watts = append(log.Watts, 40+20*math.Exp(-float64(i)/120))
	}
	st := Steady(log)
	if !st.Steady || len(st.Warnings) != 0 || st.From < 120 || st.From > 600 {
		t.Fatalf("%+v", st)
	}
	wantAbs(t, "mean", st.Mean, 40, 0.4)
	if math.Abs(st.Mean-40) > 3*st.U {
		t.Errorf("mean %g with u = %g does not hold 40 W", st.Mean, st.U)
	}
}

func TestSteadyAveragesWhatIsNeverSteady(t *testing.T) {
	// 60 W for 2 minutes and 20 W for 2 minutes in turn: a mean of 40 W that only the whole log shows.
	var log PowerLog
	for i := range 2400 {
		log.Seconds = append(log.Seconds, float64(i))
		w := 60.0
		if i/120%2 == 1 {
			w = 20
		}
		log.Watts = append(log.Watts, w)
	}
	st := Steady(log)
	if st.Steady || len(st.Warnings) != 1 || !strings.Contains(st.Warnings[0].Text, "no steady five minutes") {
		t.Errorf("%+v", st)
	}
	wantAbs(t, "mean", st.Mean, 40, 0.05)
	short := Steady(PowerLog{Seconds: []float64{0, 60, 120}, Watts: []float64{10, 20, 10}})
	wantAbs(t, "trapezoid mean", short.Mean, 15, 1e-12)
	if len(short.Warnings) != 1 {
		t.Errorf("%+v", short)
	}
}

// Irregular samples weigh by their time: 10 W for 100 s sampled densely, then a straight rise to 30 W within 100 s told
// by its ends alone. The integral is 100·10 + 100·20 = 3000 J over 200 s.
func TestPowerLogIsWeightedByTime(t *testing.T) {
	var log PowerLog
	for i := range 101 {
		log.Seconds = append(log.Seconds, float64(i))
		log.Watts = append(log.Watts, 10)
	}
	log.Seconds = append(log.Seconds, 200)
	log.Watts = append(log.Watts, 30)
	wantAbs(t, "mean", Steady(log).Mean, 15, 1e-9)
}

func TestPowerProblems(t *testing.T) {
	rs := []PowerReading{
		{Setting: "max", Watts: math.NaN(), Place: "lab/power.csv:2"}, {Setting: "max", Watts: -3}, {Setting: "max", Watts: 1e6},
		{Setting: "max", Log: &PowerLog{Watts: []float64{math.NaN()}}},
	}
	ms, ps := ReducePower(rs)
	if len(ms) != 0 || len(ps) != 4 || !strings.HasPrefix(ps[0].Error(), "lab/power.csv:2: max: ") {
		t.Errorf("%v, %v", ms, ps)
	}
}

// Order of samples, a shift of the clock and evenly split weights change nothing; scaling the watts scales the mean.
func TestSteadyProperties(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 2))
	for range 60 {
		n := 400 + rng.IntN(400)
		var log, other PowerLog
		at := 0.0
		for range n {
			at += 0.5 + 2*rng.Float64()
			log.Seconds = append(log.Seconds, at)
			log.Watts = append(log.Watts, 30+0.3*rng.NormFloat64()+10*math.Exp(-at/100))
		}
		for _, i := range rng.Perm(n) {
			other.Seconds = append(other.Seconds, log.Seconds[i]+4096)
			other.Watts = append(other.Watts, 2*log.Watts[i])
		}
		a, b := Steady(log), Steady(other)
		wantRel(t, "doubled, shifted and shuffled", b.Mean, 2*a.Mean, 1e-9)
		wantRel(t, "u", b.U, 2*a.U, 1e-6)
		if a.Points != b.Points {
			t.Fatalf("%d and %d points", a.Points, b.Points)
		}
	}
}
