package measure

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// A door ajar in the off runs alone makes natural decay quick and the rate slow; nothing in the on runs shows it. The rate
// has to carry the doubt with no natural decay at all, which holds the truth. The truth is the simulation's own: 6 an hour
// in 36 m³, natural decay 0.25 per hour with the door closed and 1.5 with it ajar.
func TestQuickNaturalDecay(t *testing.T) {
	const seed = 77
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	run := func(state string, k float64) DecayRun {
		d := DecayRun{Name: state, State: state, Particle: "smoke", Background: 3, BackgroundU: 0.3, From: math.NaN(), To: math.NaN(), ValueUnit: "ug/m3", Day: math.NaN()}
		for s := 0.0; s < 2400; s += 10 {
			d.T = append(d.T, s)
			d.C = append(d.C, math.Round(10*(3+220*math.Exp(-k*s/3600)*(1+0.01*r.NormFloat64())))/10)
		}
		return d
	}
	for _, c := range []struct {
		natural float64
		want    bool
	}{{0.25, false}, {1.5, true}} {
		var runs []DecayRun
		for range 3 {
			runs = append(runs, run("off", c.natural), run("on", 6.25))
		}
		ms, bad := DeliveryRates(runs, DecayOptions{Volume: 36, VolumeU: 0.3, Fan: "on", MethodU: math.NaN()})
		if len(ms) != 1 || len(bad) > 0 {
			t.Fatalf("%d rates, %v", len(ms), bad)
		}
		found := false
		for _, d := range ms[0].Doubts {
			if d.Name == "quick natural decay" {
				found = true
				if d.Holds != AgainstContradicted || d.As.Value < 6*36 {
					t.Errorf("holds %v, as %.4g m3/h, the truth is %d", d.Holds, d.As.Value, 6*36)
				}
			}
		}
		if found != c.want {
			t.Errorf("natural decay of %g per hour: doubted %v, want %v", c.natural, found, c.want)
		}
	}
}

// A spike of a minute, ten minutes after the unit was switched on, in one log with both states (testdata/spike-both.txt, a
// reading every 10 s, simulated by somebody who had not seen the program): the runs are reduced or refused, and never
// stumbled over. The same with the spike's readings at other places.
func TestSpikeInBoth(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("testdata", "spike-both.txt"))
	if err != nil {
		t.Fatal(err)
	}
	var plain []float64
	for _, w := range strings.Fields(string(text)) {
		x, err := strconv.ParseFloat(w, 64)
		if err != nil {
			t.Fatal(err)
		}
		plain = append(plain, x)
	}
	for shift := 0; shift < len(plain); shift += 7 {
		d := DecayRun{Name: "both", State: "both", Background: math.NaN(), BackgroundU: math.NaN(), From: math.NaN(), To: math.NaN(), Day: math.NaN()}
		for i, x := range plain {
			if shift > 0 && i >= shift && i < shift+6 { // shift 0 is the log as it is
				x *= 3
			}
			d.T, d.C = append(d.T, 10*float64(i)), append(d.C, x)
		}
		ms, bad := DeliveryRates(d.Parts(), DecayOptions{Volume: 36, VolumeU: 0.3, Fan: "on", MethodU: math.NaN()})
		if len(ms)+len(bad) == 0 {
			t.Errorf("a spike at reading %d: neither a rate nor a refusal", shift)
		}
	}
}
