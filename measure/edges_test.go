package measure

import (
	"math"
	"strings"
	"testing"
)

// A slow log: a reading every ten minutes still has minutes between them, by interpolation.
func TestSteadyOfASlowLog(t *testing.T) {
	st := Steady(PowerLog{Seconds: []float64{0, 600, 1200, 1800}, Watts: []float64{60, 40.2, 40, 40.1}})
	if !st.Steady || st.From != 600 {
		t.Errorf("%+v", st)
	}
	wantAbs(t, "mean", st.Mean, 40.075, 1e-9) // trapezoids: (40.1 + 40.05)/2
	one := Steady(PowerLog{Seconds: []float64{5}, Watts: []float64{12}})
	wantAbs(t, "one sample", one.Mean, 12, 0)
	if len(one.Warnings) != 1 || one.Points != 1 {
		t.Errorf("%+v", one)
	}
	gap := PowerLog{Seconds: []float64{1, 2, 3, 4, 400}, Watts: []float64{10, 10, 10, 10, math.NaN()}}
	gap.Watts[4] = 10
	if st := Steady(gap); len(st.Warnings) != 1 || !strings.Contains(st.Warnings[0].Text, "gap") {
		t.Errorf("%+v", st)
	}
	lost := Steady(PowerLog{Watts: []float64{10, math.Inf(1), 12}}) // no times: a second apart
	wantAbs(t, "without times, one lost", lost.Mean, 11, 1e-12)
	doubled := newSeries([]float64{1, 1, 2}, []float64{10, 20, 30}, func(x []float64) float64 { m, _ := meanSD(x); return m })
	if len(doubled.v) != 2 || doubled.v[0] != 15 || doubled.span() != 1 {
		t.Errorf("equal times are averaged: %+v", doubled)
	}
}

// What stands in the notes of a budget: where the figure comes from and how well it is known.
func TestNotesNameTheirSource(t *testing.T) {
	for text, want := range map[string]string{"class 2": "ISO 9612", "0.4 dB (k = 2)": "divided by k = 2", "1.4 dB": "GUM 4.3.7"} {
		a, err := ParseAccuracy(text)
		if err != nil {
			t.Fatal(err)
		}
		m := oneSound(t, []SoundReading{{Setting: "max", Distance: 1, Level: 50.2, Background: 20, Meter: Meter{Acc: &a}, Weighted: true}})
		for _, c := range m.Budget {
			if c.Name == "meter accuracy" && !strings.Contains(c.Note, want) {
				t.Errorf("%q: note %q", text, c.Note)
			}
		}
	}
	percent, _ := ParseAccuracy("3 %")
	m := oneSound(t, []SoundReading{{Setting: "max", Distance: 1, Level: 50.2, Background: 20, Meter: Meter{Acc: &percent, Kind: ClassOne}, Weighted: true}})
	if u, _ := component(t, m, "meter accuracy"); u != 0.7 || !m.Has(AssumedAccuracy) {
		t.Errorf("a percentage is no accuracy of a level: u = %g, %v", u, m.Warnings)
	}
	if !math.IsInf(TypeBDOF(0), 1) {
		t.Error("no doubt means unlimited degrees of freedom")
	}
}

// Without any uncertainty the probabilities are steps, never a division by zero.
func TestProbabilitiesWithoutUncertainty(t *testing.T) {
	rate := rateOf(250, 0, math.Inf(1))
	ct := CleanTime(rate, 50, 0.9, 0)
	for limit, want := range map[float64]float64{20: 1, 30: 0, 0: 1, -1: 1} {
		if p, _ := ct.Exact.AtLeast(limit); p != want {
			t.Errorf("time of at least %g: %g", limit, p)
		}
	}
	exact := crossing{fit: declineFit{x: 1000, y: 250, b: -0.05, dof: math.Inf(1)}}
	for limit, want := range map[float64]float64{2999: 1, 3001: 0} {
		if p, _ := exact.AtLeast(limit); p != want {
			t.Errorf("life of at least %g: %g", limit, p)
		}
	}
	power := result("power", "max", 50, 0, math.Inf(1), meterAccuracy)
	for _, c := range Efficacy(&rate, power).Tiers {
		if want := 1.0; c.Tier.Minimum <= 5 && c.Probability != want || c.Tier.Minimum > 5 && c.Probability != 0 {
			t.Errorf("5 m³/(W·h) against %+v", c)
		}
	}
	// A rate that itself has an exact distribution hands it on.
	counted := rateOf(95, 1, 5)
	counted.Exact = Counts{2000, 100, 1, 1}
	p, _ := CleanTime(counted, 50, 0.9, 0).Exact.AtLeast(60 * math.Log(10) * 50 / 94)
	q, _ := counted.Exact.AtLeast(94)
	wantAbs(t, "handed on", p, 1-q, 1e-9)
}

func TestDoseWithoutCrossing(t *testing.T) {
	ps := loads(4, 0, 300, 1000, 250, 2000, 200, 3000, 150)
	for i := range ps {
		ps[i].Dose = 100 * float64(3-i) // falling doses beside rising hours: the rate rises with dose
	}
	if m := oneLife(t, ps); !strings.Contains(m.Method, "show no crossing") {
		t.Errorf("method %q", m.Method)
	}
	for i := range ps {
		ps[i].Dose = math.NaN()
	}
	ps[1].Dose = 100
	if m := oneLife(t, ps); strings.Contains(m.Method, "dose") {
		t.Errorf("one dose is none: %q", m.Method)
	}
	// By dose beyond the last: 300 falling by 50 in 4000 mg reaches 150 at 12 000 mg.
	far := loads(1, 0, 300, 500, 275, 1000, 250)
	for i := range far {
		far[i].Dose = 2000 * float64(i)
	}
	if m := oneLife(t, far); !strings.Contains(m.Method, "12000 mg") || !strings.Contains(m.Method, "beyond the last dose of 4000 mg") {
		t.Errorf("method %q", m.Method)
	}
	// An exponential decline that no straight line meets early: rates below zero have no logarithm.
	u, note := declineShape([]float64{0, 100}, []float64{10, -5}, []float64{1, 1}, 400)
	wantRel(t, "distance of the extrapolation", u, 300/math.Sqrt(3), 1e-12)
	if note == "" {
		t.Error("no note")
	}
}

func TestLopsidedIntervalIsNamed(t *testing.T) {
	m := oneLife(t, loads(12, 0, 300, 500, 290, 1000, 270, 1500, 262, 2000, 250))
	if !m.Has("skewed interval") || m.Interval[1]-m.Value < m.Value-m.Interval[0] {
		t.Errorf("%v, %v", m.Interval, m.Warnings)
	}
}

func TestCountsWithMoreBehindThanBefore(t *testing.T) {
	ms, bad := ReduceCounts([]CountReading{{SizeUm: 0.3, Up: 5, Down: 40, UpVolume: 1, DownVolume: 1, Name: "swap"}, {SizeUm: 0.3, Up: 0, Down: 2, UpVolume: 1, DownVolume: 1}})
	if len(ms) != 0 || len(bad) != 1 || !strings.Contains(bad[0].Text, "below 0") || bad[0].Attribute != "filter efficiency" {
		t.Errorf("%+v, %v", ms, bad)
	}
	if p, _ := (Counts{5, 42, 1, 1}).AtLeast(50); p > 0.05 {
		t.Errorf("50 %% with eight times as many behind: p = %g", p)
	}
	for _, limit := range []float64{100, 120} { // no count shows 100 %
		p, note := Counts{1000, 0, 1, 1}.AtLeast(limit)
		if p >= 0.95 || p <= 0.05 || note != notTestable {
			t.Errorf("%g %%: p = %g, %q", limit, p, note)
		}
	}
}

func TestAreaRuleFraction(t *testing.T) {
	wantRel(t, "JEM 1467 removes", ruleByID(t, "88-in-30-min").Fraction(), 0.88, 1e-12)
	wantAbs(t, "no volume", AirChanges(300, 0), 0, 0)
}

func BenchmarkSteady(b *testing.B) {
	var log PowerLog
	for i := range 100_000 {
		log.Seconds = append(log.Seconds, float64(i))
		log.Watts = append(log.Watts, 40+20*math.Exp(-float64(i)/120))
	}
	for b.Loop() {
		if st := Steady(log); !st.Steady {
			b.Fatal("not steady")
		}
	}
}

func BenchmarkCountsAtLeast(b *testing.B) {
	c := Counts{1e6, 50, 1, 1}
	for b.Loop() {
		c.AtLeast(99.97)
	}
}

// A load that creeps from 40 W to 40.4 W over 20 minutes: the means of its halves differ by half of the rise, and as a
// rectangular range that is u = 0.2/√12 W (GUM 4.3.7), more than the means of its eighths show.
func TestSteadyCountsDrift(t *testing.T) {
	var log PowerLog
	for i := range 1200 {
		log.Seconds = append(log.Seconds, float64(i))
		log.Watts = append(log.Watts, 40+0.4*float64(i)/1199)
	}
	wantRel(t, "drift", Steady(log).U, 0.2/math.Sqrt(12), 2e-3)
}
