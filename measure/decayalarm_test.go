package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"
)

// cleanRun is a run in which the model holds: one decay, one background, no fault. Noise is a part of the smoke as AR(1)
// with the correlation rho at step seconds, and a part that does not fall with it; readings are rounded to round.
type cleanRun struct {
	name                 string
	rate, step, rho      float64
	noise, add, baseline float64
	round                float64
	minutes              float64
}

func cleanRuns() []cleanRun {
	var out []cleanRun
	for _, k := range []float64{3, 6, 12} {
		minutes := math.Min(60, math.Max(20, 3.2/k*60))
		for _, c := range []cleanRun{
			{name: "1 min, AR 0.9", step: 60, rho: 0.9, noise: 0.03, add: 0.5, baseline: 4, round: 1},
			{name: "1 min, white", step: 60, noise: 0.03, add: 0.5, baseline: 4, round: 1},
			{name: "10 s, AR 0.9", step: 10, rho: 0.9, noise: 0.03, add: 0.5, baseline: 4, round: 1},
			{name: "10 s, AR 0.5, counts", step: 10, rho: 0.5, noise: 0.02, add: 0.2, baseline: 1, round: 0.1},
			{name: "1 s, AR 0.97", step: 1, rho: 0.97, noise: 0.03, add: 0.5, baseline: 4, round: 1},
		} {
			c.rate, c.minutes = k, minutes
			c.name = fmt.Sprintf("%s, %g per hour", c.name, k)
			out = append(out, c)
		}
	}
	return out
}

func (c cleanRun) readings(r *rand.Rand, k, minutes float64) (t, v []float64) {
	n := int(minutes*60/c.step) + 1
	t, v = every(c.step, n), make([]float64, n)
	ar := r.NormFloat64()
	for i := range v {
		if i > 0 {
			ar = c.rho*ar + math.Sqrt(1-c.rho*c.rho)*r.NormFloat64()
		}
		x := 200*math.Exp(-k*t[i]/3600)*(1+c.noise*ar) + c.baseline + c.add*r.NormFloat64()
		v[i] = math.Max(0, math.Round(x/c.round)*c.round)
	}
	return t, v
}

// TestFalseAlarms counts the flags on runs in which nothing is wrong: each stands on at most 1 in 100 of them, over all
// kinds together. The background is known to 0.3.
func TestFalseAlarms(t *testing.T) {
	const seed = 20261201
	n := 60
	if *long {
		n = 500
	}
	t.Logf("seed %d, %d runs of a kind", seed, n)
	total, runs := map[string]int{}, 0
	for _, c := range cleanRuns() {
		r := rand.New(rand.NewPCG(seed, uint64(len(c.name))*100+uint64(c.rate)))
		seen := map[string]int{}
		for range n {
			for _, state := range []string{"on", "off"} {
				k, minutes := 0.25*(1+0.2*r.NormFloat64()), 60.0
				if state == "on" {
					k, minutes = k+c.rate, c.minutes
				}
				d := DecayRun{State: state, From: none, To: none, Background: c.baseline + 0.3*r.NormFloat64(), BackgroundU: 0.3, Day: none, ValueUnit: "ug/m3"}
				d.T, d.C = c.readings(r, k, minutes)
				f, err := ReduceRun(d)
				if err != nil {
					t.Fatalf("%s: %v", c.name, err)
				}
				runs++
				for _, w := range f.Flags {
					seen[state+" "+string(w.Flag)]++
					total[state+" "+string(w.Flag)]++
				}
			}
		}
		t.Logf("| %s | %s |", c.name, counted(seen, n))
	}
	for flag, count := range total {
		share := float64(count) / (float64(runs) / 2)
		bound := 0.01
		if !*long {
			bound += 3.3 * math.Sqrt(0.01/(float64(runs)/2))
		}
		if share > bound {
			t.Errorf("%q stands on %.1f %% of clean runs, at most %.1f %% is wanted", flag, 100*share, 100*bound)
		}
	}
}

func counted(seen map[string]int, n int) string {
	var out []string
	for flag, c := range seen {
		out = append(out, fmt.Sprintf("%s %.1f %%", flag, 100*float64(c)/float64(n)))
	}
	sort.Strings(out)
	return strings.Join(out, ", ")
}
