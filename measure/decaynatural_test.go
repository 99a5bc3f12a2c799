package measure

import (
	"math"
	"math/rand/v2"
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

// A spike of a minute in the on phase of one log with both states, at any place: the run is reduced or refused, and never
// stumbled over.
func TestSpikeInBoth(t *testing.T) {
	for start := 1000.0; start < 3600; start += 100 {
		for _, factor := range []float64{1.5, 3} {
			d := DecayRun{Name: "both", State: "both", Particle: "smoke", Background: math.NaN(), BackgroundU: math.NaN(), From: math.NaN(), To: math.NaN(), ValueUnit: "ug/m3", Day: math.NaN()}
			c := 250.0
			for s := 0.0; s < 4200; s += 5 {
				k := 0.2
				if s > 900 {
					k = 5.2
				}
				c *= math.Exp(-k * 5 / 3600)
				x := 3 + c
				if s >= start && s < start+60 {
					x *= factor
				}
				d.T, d.C = append(d.T, s), append(d.C, math.Round(x))
			}
			ms, bad := DeliveryRates([]DecayRun{d}, DecayOptions{Volume: 36, VolumeU: 0.3, Fan: "on", MethodU: math.NaN()})
			if len(ms)+len(bad) == 0 {
				t.Errorf("spike of %g at %g s: neither a rate nor a refusal", factor, start)
			}
		}
	}
}
