package main

import (
	"math"
	"testing"
)

// fitted is k of a log by ordinary least squares of ln(C - background) on time, from two minutes after the peak to a
// tenth of the excess there (or the end of the log): the textbook fit, written for this test alone.
func fitted(t *testing.T, r run) float64 {
	t.Helper()
	log := r.readings()
	back := r.background(log)
	peak := 0
	for i, x := range log {
		if x.value > log[peak].value {
			peak = i
		}
	}
	first := log[peak].t + 120
	late := 40 // s; noise may put the highest reading of a slow natural decay somewhat later
	if r.state == "off" {
		late = 90
	}
	if d := log[peak].t - r.peak; d < -40 || d > late {
		t.Errorf("%s: the peak shows at %d s, mixing ended at %d s", r.name, log[peak].t, r.peak)
	}
	last := first + int(math.Log(10)/r.k*3600)
	var n, sx, sy, sxx, sxy float64
	for _, x := range log {
		if x.t < first || x.t > last || x.blank {
			continue
		}
		if x.value <= back {
			t.Fatalf("%s: %d s: %v is not above the background %v", r.name, x.t, x.value, back)
		}
		h, y := float64(x.t)/3600, math.Log(x.value-back)
		n, sx, sy, sxx, sxy = n+1, sx+h, sy+y, sxx+h*h, sxy+h*y
	}
	return -(n*sxy - sx*sy) / (n*sxx - sx*sx)
}

// The truth can be found again in the logs: on runs to 1.5 %, natural decay to 6 %, and the rate of the unit with the
// tape measure's volume to 3 %, the run-to-run spread included.
func TestTruthIsRecoverable(t *testing.T) {
	t.Logf("seed %d", seed)
	const tape = 5.01 * 3.59 * 2.51
	if math.Abs(tape/trueVolume-1) > 0.0053*2 {
		t.Errorf("the tape measure gives %.3f m3, too far from %v for its own ±", tape, trueVolume)
	}
	check := func(name string, runs []run, rate map[string]float64) {
		sum, count := map[string]float64{}, map[string]float64{}
		for _, r := range runs {
			k := fitted(t, r)
			limit := 0.015
			if r.state == "off" {
				limit = 0.06
			}
			if d := k/r.k - 1; math.Abs(d) > limit {
				t.Errorf("%s, %s: k %.4f found, %.4f true: %+.2f %%", name, r.name, k, r.k, 100*d)
			}
			sum[r.setting] += k
			count[r.setting]++
		}
		for setting, want := range rate {
			got := tape * (sum[setting]/count[setting] - sum[""]/count[""])
			t.Logf("%s, %s: %.1f m3/h found, %.1f true", name, setting, got, want)
			if math.Abs(got/want-1) > 0.03 {
				t.Errorf("%s, %s: %.1f m3/h found, %.1f true", name, setting, got, want)
			}
		}
	}
	check("demo", demoRuns(), map[string]float64{"max": trueMax, "sleep": trueSleep})
	for i, u := range units() {
		check("rank/"+u.folder, u.runs(i), map[string]float64{u.top: u.rate})
	}
}

// A background left in shows: the same fit without it is low by far more than the limits of the test above.
func TestBackgroundMatters(t *testing.T) {
	r := demoRuns()[1]
	with := fitted(t, r)
	r.base = 0
	clean := fitted(t, r)
	if math.Abs(with/clean-1) > 0.01 {
		t.Errorf("background taken off: k %.4f, sensor without background: %.4f", with, clean)
	}
	r = demoRuns()[1]
	var n, sx, sy, sxx, sxy float64
	for _, x := range r.readings() {
		if x.t < r.peak+120 || float64(x.t) > float64(r.peak)+120+math.Log(10)/r.k*3600 {
			continue
		}
		h, y := float64(x.t)/3600, math.Log(x.value)
		n, sx, sy, sxx, sxy = n+1, sx+h, sy+y, sxx+h*h, sxy+h*y
	}
	if naive := -(n*sxy - sx*sy) / (n*sxx - sx*sx); naive/r.k-1 > -0.03 {
		t.Errorf("with the background left in k is %.4f of %.4f: the demo does not show why it matters", naive, r.k)
	}
}

// The demo holds at least fourteen claims, all twelve attributes, every verdict, and findings of at least four rules; and
// each designed verdict lies on the right side of its limit.
func TestDemoSpansTheJob(t *testing.T) {
	tab, truths := demoClaims()
	attributes, verdicts, rules := map[string]bool{}, map[string]int{}, map[string]bool{}
	atMost := map[string]bool{"noise": true, "power": true, "standby power": true, "annual energy": true, "clean time": true, "ozone": true}
	for i, c := range truths {
		attribute := cellText(tab.rows[i][1])
		attributes[attribute] = true
		verdicts[c.Verdict]++
		for _, r := range c.Rules {
			rules[r] = true
		}
		if c.True == nil {
			continue
		}
		meets := *c.True >= *c.Limit
		if atMost[attribute] {
			meets = *c.True <= *c.Limit
		}
		if c.Verdict == supported && !meets || c.Verdict == contradicted && meets {
			t.Errorf("%s is designed %s, but the true value is %v and the limit %v", c.ID, c.Verdict, *c.True, *c.Limit)
		}
	}
	if len(truths) < 14 || len(attributes) != 12 || len(rules) < 4 {
		t.Errorf("%d claims, %d attributes, %d rules", len(truths), len(attributes), len(rules))
	}
	for _, v := range []string{supported, contradicted, inconclusive, untested, unclear} {
		if verdicts[v] == 0 {
			t.Errorf("no claim is designed %s", v)
		}
	}
	t.Logf("%d claims: %v", len(truths), verdicts)
}

// The natural runs of the comparison are the same files in its three cases.
func TestRankCasesShareNaturalRuns(t *testing.T) {
	cases := rankCases()
	shared := 0
	for name, text := range cases[0].attach {
		for _, other := range cases[1:] {
			if got, ok := other.attach[name]; ok && name != "captures/listing.txt" {
				shared++
				if string(got) != string(text) {
					t.Errorf("%s differs between %s and %s", name, cases[0].folder, other.folder)
				}
			}
		}
	}
	if shared != 8 {
		t.Errorf("%d shared natural logs, want 4 in each of the two other cases", shared)
	}
}
