package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// roomTest is a sound test of three runs and three, 6 per hour in 30 m³.
func roomTest(seed uint64) []DecayRun {
	r := rand.New(rand.NewPCG(seed, 3))
	c := cleanRun{step: 10, rho: 0.9, noise: 0.02, add: 0.5, baseline: 4, round: 1}
	var runs []DecayRun
	for i := range 6 {
		d := DecayRun{Name: string("123123"[i]), State: "on", Setting: "max", Particle: "pm2.5", From: none, To: none, Background: 4, BackgroundU: 0.3, Day: none, ValueUnit: "ug/m3"}
		k, minutes := 6.25, 30.0
		if i >= 3 {
			d.State, k, minutes = "off", 0.25, 60
		}
		d.T, d.C = c.readings(r, k*(1+0.02*r.NormFloat64()), minutes)
		runs = append(runs, d)
	}
	return runs
}

func doubts(m Measurement) (names string) {
	for _, d := range m.Doubts {
		names += d.Name + ";"
	}
	return names
}

func ratesOf(t *testing.T, runs []DecayRun, o DecayOptions) Measurement {
	t.Helper()
	o.Volume, o.VolumeU, o.MethodU = 30, 0.3, math.NaN()
	ms, ps := DeliveryRates(runs, o)
	if len(ms) == 0 {
		t.Fatal(ps)
	}
	return ms[0]
}

// What mixing can hide is 1 - x/80 of a rate with the fan on, the least of 0.84 and 1 - x/40 without (the trade notes' C2,
// extended for fast units), and nothing in a chamber by its standard with mixing on. The word chamber alone shows nothing.
func TestMixing(t *testing.T) {
	for _, c := range []struct {
		o            DecayOptions
		seen         float64
		budget, lack string
	}{
		{DecayOptions{Fan: "on"}, 1 - 6.0/80, "ordinary room", "moved air"},
		{DecayOptions{Fan: "off"}, 0.84, "moved air", ""},
		{DecayOptions{}, 0.84, "moved air", ""},
		{DecayOptions{Method: "chamber"}, 0.84, "not shown", ""},
		{DecayOptions{Method: "chamber", Fan: "on"}, 1 - 6.0/80, "not shown", "moved air"},
		{DecayOptions{Method: "chamber", Standard: "IEC 63086-2-1:2024", Fan: "on"}, 1, "", "method allowance"},
	} {
		m := ratesOf(t, roomTest(1), c.o)
		text := ""
		for _, b := range m.Budget {
			text += b.Name + ";"
		}
		if !strings.Contains(text, c.budget) || c.lack != "" && strings.Contains(text, c.lack) {
			t.Errorf("%+v: budget %s", c.o, text)
		}
		seen := 1.0
		for _, d := range m.Doubts {
			if d.Name == "mixing" {
				seen = m.Value / d.As.Value
			}
		}
		if math.Abs(seen-c.seen) > 0.004 {
			t.Errorf("%+v: %.4f of the rate is seen, want %.4f", c.o, seen, c.seen)
		}
	}
}

// Natural decay that no run shows is taken as nothing, and as 0.6 per hour; a run that the book leaves out stands beside.
func TestNaturalAndLeftOut(t *testing.T) {
	runs := roomTest(2)
	m := ratesOf(t, runs[:3], DecayOptions{Fan: "on"})
	got := map[string]float64{}
	for _, d := range m.Doubts {
		if d.As != nil {
			got[d.Name] = (d.As.Value - m.Value) / 30
		}
	}
	if math.Abs(got["no natural decay"]-0.325) > 1e-9 || math.Abs(got["high natural decay"]+0.275) > 1e-9 {
		t.Errorf("shifts %v per hour, want +0.325 and -0.275 from the middle of the band", got)
	}
	all := ratesOf(t, runs, DecayOptions{Fan: "on"})
	runs[1].Exclude = "the window was open"
	m = ratesOf(t, runs, DecayOptions{Fan: "on", Planned: 3})
	if !m.Has(LeftOut) || !m.Has(NotAsPlanned) || !strings.Contains(doubts(m), "all runs") {
		t.Errorf("warnings %v, doubts %s", m.Warnings, doubts(m))
	}
	for _, d := range m.Doubts {
		if d.Name == "all runs" && math.Abs(d.As.Value-all.Value) > 1e-9 {
			t.Errorf("with the run left in %.3f, want %.3f", d.As.Value, all.Value)
		}
	}
	runs[0].Exclude, runs[2].Exclude = "a", "b"
	if ms, ps := DeliveryRates(runs, DecayOptions{Volume: 30, MethodU: math.NaN()}); len(ms) != 0 || len(ps) != 3 {
		t.Errorf("all runs left out: %d results, problems %v", len(ms), ps)
	}
}

// A mass and a count channel of the same runs that differ widen the result; a second mass channel does not.
func TestChannels(t *testing.T) {
	runs := roomTest(3)
	for i := range runs {
		runs[i].Log = string("abcdef"[i]) + "\x00pm25"
	}
	for _, c := range []struct {
		unit string
		want bool
	}{{"1/cm3", true}, {"ug/m3", false}} {
		both := append([]DecayRun(nil), runs...)
		for i, d := range runs {
			d.Particle, d.ValueUnit, d.Log = "0.3 um", c.unit, string("abcdef"[i])+"\x00count"
			d.C = append([]float64(nil), d.C...)
			for j := range d.C { // falls faster by 0.5 per hour with the unit on
				if d.State == "on" {
					d.C[j] = 4 + (d.C[j]-4)*math.Exp(-0.5*d.T[j]/3600)
				}
			}
			both = append(both, d)
		}
		m := ratesOf(t, both, DecayOptions{Fan: "on"})
		got := false
		for _, b := range m.Budget {
			got = got || b.Name == "mass or count channel" && math.Abs(b.U-30*0.5/math.Sqrt(3)) < 1.5
		}
		if got != c.want {
			t.Errorf("%s: channel in the budget %v, want %v", c.unit, got, c.want)
		}
	}
}
