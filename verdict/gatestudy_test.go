package verdict

import (
	"fmt"
	"math"
	"testing"
)

// brokenTrials are the failures that the gate was chosen on.
func brokenTrials() []trial {
	var out []trial
	add := func(name string, c trial, edit func(*trial)) {
		c.name = name
		edit(&c)
		out = append(out, c)
	}
	onOnly := func(f func(h float64) float64) func(string, float64) float64 {
		return func(state string, h float64) float64 {
			if state == "on" {
				return f(h)
			}
			return 0
		}
	}
	for _, q := range []float64{6, 12} {
		at := map[float64]string{6: ", 6 per hour", 12: ", 12 per hour"}[q]
		add("two zones, 10 an hour, fan not stated"+at, clean(q, ""), func(c *trial) { c.exchange = 10 })
		add("two zones, 20 an hour, fan not stated"+at, clean(q, ""), func(c *trial) { c.exchange = 20 })
		add("two zones, 20 an hour, fan on"+at, clean(q, "on"), func(c *trial) { c.exchange = 20 })
		for _, level := range []float64{5, 15, 40} {
			name := map[float64]string{5: "weak", 15: "clear", 40: "strong"}[level]
			add("a "+name+" source goes on with the unit on"+at, clean(q, "on"), func(c *trial) { c.source = onOnly(func(float64) float64 { return level * q }) })
			add("a "+name+" source goes on throughout"+at, clean(q, "on"), func(c *trial) { c.source = func(string, float64) float64 { return level * q } })
		}
		add("a clear source that dies away in a quarter of an hour"+at, clean(q, "on"), func(c *trial) {
			c.source = onOnly(func(h float64) float64 { return 15 * q * math.Exp(-h/0.25) })
		})
		for _, minutes := range []float64{2, 5} {
			name := map[float64]string{2: "2", 5: "5"}[minutes]
			step := func(all bool) func(*trial) {
				return func(c *trial) {
					c.clock = func(run int, state string, h float64) float64 {
						if state == "on" && h > 0.12 && (all || run == 0) {
							return h + minutes/60
						}
						return h
					}
				}
			}
			add("clock set forward by "+name+" minutes, one run"+at, clean(q, "on"), step(false))
			add("clock set forward by "+name+" minutes, all runs"+at, clean(q, "on"), step(true))
		}
		add("background stated 0, is 15"+at, clean(q, "on"), func(c *trial) { c.baseline, c.stated = 15, 0 })
		add("background stated 4, is 10"+at, clean(q, "on"), func(c *trial) { c.baseline, c.stated = 10, 4 })
		add("background stated 15, is 3"+at, clean(q, "on"), func(c *trial) { c.baseline, c.stated = 3, 15 })
		fall := func(state string) func(*trial) {
			return func(c *trial) {
				c.gain = func(_ int, s string, h float64) float64 {
					if s != state {
						return 1
					}
					return 1 - 0.3*math.Min(1, h/(math.Max(20, 192/c.q)/60))
				}
			}
		}
		add("gain falls by 30 % while the unit is on"+at, clean(q, "on"), fall("on"))
		add("gain falls by 30 % while it is off"+at, clean(q, "on"), fall("off"))
		add("gain rises by 20 % while the unit is on"+at, clean(q, "on"), func(c *trial) {
			c.gain = func(_ int, s string, h float64) float64 { return 1 + 0.2*math.Min(1, h/0.35) }
		})
		add("humidity: gain up by 25 % and down again"+at, clean(q, "on"), func(c *trial) {
			c.gain = func(_ int, s string, h float64) float64 { return 1 + 0.25*math.Exp(-(h-0.25)*(h-0.25)/0.01) }
		})
		add("no off run, tight room"+at, clean(q, "on"), func(c *trial) { c.off, c.natural = 0, 0.02 })
		add("no off run, usual room"+at, clean(q, "on"), func(c *trial) { c.off, c.natural = 0, 0.3 })
		add("no off run, leaky room"+at, clean(q, "on"), func(c *trial) { c.off, c.natural = 0, 1.2 })
		add("no off run, fan not stated, leaky room"+at, clean(q, ""), func(c *trial) { c.off, c.natural = 0, 1.2 })
		add("windows round everything"+at, clean(q, "on"), func(c *trial) { c.whole = true })
	}
	return out
}

// otherTrials are failures that were thought of after the gate stood as it is, and nothing was changed for.
func otherTrials() []trial {
	var out []trial
	add := func(name string, c trial, edit func(*trial)) {
		c.name = name
		edit(&c)
		out = append(out, c)
	}
	on := func(state string, x float64) float64 {
		if state != "on" {
			return 0
		}
		return x
	}
	for _, q := range []float64{6, 12} {
		at := map[float64]string{6: ", 6 per hour", 12: ", 12 per hour"}[q]
		add("a sensor that lags by a minute and a half"+at, clean(q, "on"), func(c *trial) { c.lag = 90 })
		add("a sensor that compresses: x/(1 + x/800)"+at, clean(q, "on"), func(c *trial) { c.curve = func(x float64) float64 { return x / (1 + math.Max(x, 0)/800) } })
		add("steps of 5"+at, clean(q, "on"), func(c *trial) { c.round = 5 })
		add("a door opened for two minutes"+at, clean(q, "on"), func(c *trial) {
			c.change = func(run int, s string, h float64) float64 {
				if h > 0.1 && h < 0.1+2.0/60 {
					return on(s, 8)
				}
				return 0
			}
		})
		add("the unit slows to half after eight minutes"+at, clean(q, "on"), func(c *trial) {
			c.change = func(run int, s string, h float64) float64 {
				if h > 8.0/60 {
					return on(s, -q/2)
				}
				return 0
			}
		})
		add("one run of three with a strong source"+at, clean(q, "on"), func(c *trial) {
			c.change = func(run int, s string, h float64) float64 {
				if run == 0 {
					return on(s, -0.4*q)
				}
				return 0
			}
		})
		add("deposition 0.15 per hour higher with the unit on, fan not stated"+at, clean(q, ""), func(c *trial) {
			c.change = func(run int, s string, h float64) float64 { return on(s, 0.15) }
		})
		add("smoke that coagulates in the off runs"+at, clean(q, "on"), func(c *trial) {
			c.change = func(run int, s string, h float64) float64 { return 0.5*math.Exp(-h/0.2) - on(s, 0.5*math.Exp(-h/0.2)) }
		})
		add("damp air: gain rises by 15 % an hour in all runs"+at, clean(q, "on"), func(c *trial) {
			c.gain = func(_ int, s string, h float64) float64 { return 1 + 0.15*h }
		})
		add("the sensor's zero drifts up by 8 while the unit is on"+at, clean(q, "on"), func(c *trial) {
			c.offset = func(s string, h float64) float64 { return on(s, 8*math.Min(1, math.Max(0, h)/0.4)) }
		})
		add("a fifth of the readings lost in one stretch"+at, clean(q, "on"), func(c *trial) {
			c.drop = func(run int, s string, h float64) bool { return s == "on" && h > 0.09 && h < 0.15 }
		})
		add("two zones, 30 an hour, fan on, one run of each"+at, clean(q, "on"), func(c *trial) { c.exchange, c.on, c.off = 30, 1, 1 })
		add("a source that goes on, two runs of each"+at, clean(q, "on"), func(c *trial) {
			c.on, c.off = 2, 2
			c.source = func(s string, h float64) float64 { return on(s, 15*q) }
		})
	}
	return out
}

// beyondTrials break what the gate takes for granted, and nothing in the readings can show it: they are printed, and not
// bounded.
func beyondTrials() []trial {
	var out []trial
	for _, q := range []float64{6, 12} {
		at := map[float64]string{6: ", 6 per hour", 12: ", 12 per hour"}[q]
		c := clean(q, "on")
		c.name, c.exchange = "two zones, 10 an hour, though a mixing fan is stated"+at, 10
		out = append(out, c)
		c = clean(q, "on")
		c.name = "a source half as strong as the smoke that dies away in a quarter of an hour" + at
		c.source = func(s string, h float64) float64 {
			if s != "on" {
				return 0
			}
			return 40 * q * math.Exp(-h/0.25)
		}
		out = append(out, c)
	}
	return out
}

const (
	trueClaim   = 1.0       // of the truth: a claim that is true
	beyondClaim = 1.2 / 0.9 // its limit, at 10 % of tolerance, is 1.2 times the truth
)

// TestBrokenModels: where the model behind a delivery rate does not hold, at most 1 in 100 true claims is contradicted, and
// at most 1 in 100 claims whose limit is 1.2 times the truth supported. The simulation and the 1 % are this project's.
func TestBrokenModels(t *testing.T) {
	studyBroken(t, brokenTrials(), 20261201, true)
}

// TestOtherBrokenModels is the same for failures that the gate was not chosen on, and prints those that it cannot see.
func TestOtherBrokenModels(t *testing.T) {
	studyBroken(t, otherTrials(), 20261202, true)
	if *long {
		studyBroken(t, beyondTrials(), 20261203, false)
	}
}

func studyBroken(t *testing.T, trials []trial, seed uint64, bounded bool) {
	n := 12
	if *long {
		n = 300
	}
	t.Logf("seed %d, %d tests of a kind\n| failure | true claim: contradicted | held open | limit 1.2 × the truth: supported | no result |\n| --- | --- | --- | --- | --- |", seed, n)
	wrong, cases := 0.0, 0.0
	for _, c := range trials {
		got := c.judge(n, seed, trueClaim, beyondClaim)
		t.Logf("| %s | %.1f %% | %.1f %% | %.1f %% | %.1f %% |", c.name, got[0].contradicted, got[0].held, got[1].supported, got[0].none)
		wrong, cases = wrong+got[0].contradicted+got[1].supported, cases+1
		if *long && bounded {
			bound := 1 + 100*3.3*math.Sqrt(0.01*0.99/float64(n))
			if got[0].contradicted > bound || got[1].supported > bound {
				t.Errorf("%s: %.1f %% of true claims contradicted, %.1f %% of claims beyond supported", c.name, got[0].contradicted, got[1].supported)
			}
		}
	}
	if bounded && wrong/cases > 2*2 {
		t.Errorf("%.2f %% wrong over all", wrong/cases)
	}
}

// TestPower: where the model holds the tool decides. Three runs and three in an ordinary room with the mixing fan on, 6
// an hour: a claim 1.3 times the truth is contradicted, and a truth 1.2 times the limit supported, in 80 of 100 tests.
func TestPower(t *testing.T) {
	n := 60
	if *long {
		n = 400
	}
	const seed = 20261201
	shares := []float64{1.1, 1.2, 1.3, 1.4, 1.5, 1.7, 2, 1 / 1.2 / 0.9, 1 / 1.1 / 0.9, 1}
	t.Logf("seed %d, %d tests of a kind\n| runs, fan, rate | contradicted at 1.1 | 1.2 | 1.3 | 1.4 | 1.5 | 1.7 | 2 × the truth | supported: truth 1.2 | 1.1 × the limit | true claim contradicted |", seed, n)
	for _, c := range []trial{clean(6, "on"), clean(6, "off"), clean(3, "on"), clean(3, ""), clean(12, "on"), clean(12, "")} {
		for _, runs := range []int{3, 5, 2, 1} {
			if !*long && (runs != 3 || c.fan != "on" || c.q != 6) {
				continue
			}
			c.on, c.off = runs, runs
			got := c.judge(n, seed, shares...)
			line := ""
			for i := range 7 {
				line += fmt.Sprintf(" %.1f %% |", got[i].contradicted)
			}
			t.Logf("| %d+%d, %q, %g per hour |%s %.0f %% | %.0f %% | %.1f %% |", runs, runs, c.fan, c.q, line, got[7].supported, got[8].supported, got[9].contradicted)
			if runs == 3 && c.fan == "on" && c.q == 6 {
				slack := 100 * 2 * math.Sqrt(0.8*0.2/float64(n))
				if *long {
					slack = 0
				}
				if got[2].contradicted < 80-slack || got[7].supported < 80-slack {
					t.Errorf("a claim 1.3 times the truth is contradicted in %.0f %%, a truth 1.2 times the limit supported in %.0f %%; 80 %% of each is wanted", got[2].contradicted, got[7].supported)
				}
			}
		}
	}
}
