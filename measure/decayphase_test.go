package measure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// plainRoom is a room without anything odd: clean air, a fill of three minutes, twenty minutes of natural decay, the unit.
func plainRoom() room {
	return room{kOn: 6, kOff: 0.3, lead: 5, fill: 3, natural: 20, on: 50, top: 250, base: 3, mixing: 30, mixed: 0.3, step: 5, hold: 2, average: 5, delta: 1, noise: 0.015}
}

func (q room) decayRun(state string, seed uint64) (d DecayRun, knee float64) {
	t, c, knee := q.log(rand.New(rand.NewPCG(seed, 3)))
	return DecayRun{Name: "r", State: state, Particle: "smoke", T: t, C: c, From: none, To: none, Background: none, BackgroundU: none, Day: none}, knee
}

func fitOf(t *testing.T, d DecayRun) DecayFit {
	t.Helper()
	f, err := ReduceRun(d)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// One log of both states gives the run and the natural decay that it holds, each with its own window.
func TestBothStates(t *testing.T) {
	for seed := range uint64(10) {
		d, knee := plainRoom().decayRun("both", seed)
		parts := d.Parts()
		if len(parts) != 2 {
			t.Fatalf("%d parts", len(parts))
		}
		on, off := fitOf(t, parts[0]), fitOf(t, parts[1])
		close2(t, "rate with the unit on", on.K, 6, 0.05, 0)
		close2(t, "natural decay", off.K, 0.3, 0, 0.15)
		if at := d.T[on.First]; at < knee || at > knee+180 {
			t.Errorf("the run begins at %g s, the unit at %g", at, knee)
		}
		if at := d.T[off.Last-1]; at > knee+40 {
			t.Errorf("the natural decay goes on to %g s, past the knee at %g", at, knee)
		}
		ms, problems := DeliveryRates([]DecayRun{parts[0], parts[1]}, DecayOptions{Volume: 30, MethodU: none})
		if len(ms) != 1 || len(problems) != 0 {
			t.Fatal(ms, problems)
		}
		close2(t, "delivery rate", ms[0].Value, 30*5.7, 0.06, 0)
	}
	// without a knee there are no two states
	q := plainRoom()
	q.natural, q.lead, q.fill, q.startsAtOn = 3, 0, 1, true
	d, _ := q.decayRun("both", 1)
	for _, p := range d.Parts() {
		if _, err := ReduceRun(p); err == nil || !strings.Contains(err.Error(), "no knee") {
			t.Errorf("state both of a log without a knee, part %s: %v", p.State, err)
		}
	}
}

// A log of state off that holds a run, too, gives the natural decay before the knee.
func TestOffEndsAtTheKnee(t *testing.T) {
	d, knee := plainRoom().decayRun("off", 5)
	f := fitOf(t, d)
	close2(t, "natural decay", f.K, 0.3, 0, 0.15)
	if d.T[f.Last-1] > knee+40 {
		t.Errorf("the window ends at %g s, past the knee at %g", d.T[f.Last-1], knee)
	}
}

// What holds several runs is refused, and each is listed with its rate, its times and what to write.
func TestSeveralRuns(t *testing.T) {
	for name, after := range map[string][]leg{
		"two settings":  {{minutes: 40, k: 2.8}},
		"the next burn": {{minutes: 40, k: 6, rise: 250}},
		"a door":        {{minutes: 1.5, k: 25}, {minutes: 15, k: 6}},
	} {
		q := plainRoom()
		q.on = 12
		q.after = after
		if name == "the next burn" {
			q.on = 40
		}
		d, knee := q.decayRun("on", 2)
		_, err := ReduceRun(d)
		if err == nil || !strings.Contains(err.Error(), "per hour, from ") || !strings.Contains(err.Error(), "write from and to") {
			t.Errorf("%s: %v", name, err)
			continue
		}
		// what is asked for is enough
		d.From, d.To = knee+60, knee+q.on*60
		close2(t, name+": rate with from and to", fitOf(t, d).K, 6, 0.08, 0)
	}
}

// A window that is typed is held to the limits of one that is found: "unit on to unit off" gives the rate, not one through
// the floor, and says where it was cut; a start before the knee is said.
func TestTypedWindows(t *testing.T) {
	q := plainRoom()
	q.on = 90
	d, knee := q.decayRun("on", 4)
	d.From, d.To = knee, d.T[len(d.T)-1]
	f := fitOf(t, d)
	close2(t, "rate, from on to off", f.K, 6, 0.05, 0)
	if !hasFlag(f.Flags, WindowCut) {
		t.Errorf("a window that was cut carries no note: %v", f.Flags)
	}
	d.From, d.To = knee-15*60, none
	if f = fitOf(t, d); !hasFlag(f.Flags, BeforeKnee) || !f.low {
		t.Errorf("a start long before the knee is not said, or may contradict: %v", f.Flags)
	}
}

// The background is what the air runs down to with the unit on. The air before the smoke holds what the unit takes; a slow
// rise after the run is no clean air; a value given against the tail is said.
func TestBackgroundFromTail(t *testing.T) {
	q := plainRoom()
	q.before, q.on, q.lead = 9, 80, 8
	d, _ := q.decayRun("on", 6)
	f := fitOf(t, d)
	close2(t, "background from the tail", f.Background, 3, 0, 0.6)
	close2(t, "rate", f.K, 6, 0.03, 0)
	q.after = []leg{{minutes: 15, k: 0.1, rise: 6}, {minutes: 15, k: 0.1, rise: 6}}
	d, _ = q.decayRun("on", 6)
	f = fitOf(t, d)
	close2(t, "background with a slow rise after it", f.Background, 3, 0, 0.8)
	d.Background, d.BackgroundU = 12, 0.3
	if f = fitOf(t, d); !hasFlag(f.Flags, OffsetMismatch) {
		t.Errorf("a given background of 12 against a tail of 3 is not said: %v", f.Flags)
	}
}

// Codes of full registers and rows of nines are no readings: counted, left out and said; a top to which a log climbs is
// the sensor's own.
func TestRangeCodes(t *testing.T) {
	d, knee := plainRoom().decayRun("on", 8)
	want := fitOf(t, d).K
	for _, code := range []float64{65535, 9999, 6553.5, 32767} {
		e := d
		e.C = append([]float64(nil), d.C...)
		i := searchTime(d.T, knee+400, false)
		e.C[i], e.C[i+40] = code, code
		for j := i + 80; j < i+90; j++ {
			e.C[j] = code
		}
		f := fitOf(t, e)
		close2(t, "rate beside codes", f.K, want, 0.02, 0)
		if !hasFlag(f.Flags, Dropouts) {
			t.Errorf("code %g is not said: %v", code, f.Flags)
		}
	}
	q := plainRoom()
	q.top, q.clip = 1800, 999.9
	q.delta = 0.1
	q.natural, q.kOff = 45, 1
	d, _ = q.decayRun("on", 8)
	close2(t, "rate after a plateau at 999.9", fitOf(t, d).K, 6, 0.06, 0)
	if e := cleaned(&d); len(e.C) < len(d.C)-3 {
		t.Errorf("%d of %d readings at the sensor's top were taken for codes", len(d.C)-len(e.C), len(d.C))
	}
}

// A clock that jumps ahead within a run splits it; the smoke shows that no time passed.
func TestClockJump(t *testing.T) {
	d, knee := plainRoom().decayRun("on", 9)
	d.T = append([]float64(nil), d.T...)
	i := searchTime(d.T, knee+9*60, false)
	for j := i; j < len(d.T); j++ {
		d.T[j] += 1800
	}
	f, err := ReduceRun(d)
	if err != nil {
		if !strings.Contains(err.Error(), "write from and to") {
			t.Error(err)
		}
		return
	}
	close2(t, "rate of the longer part", f.K, 6, 0.08, 0)
	if !hasFlag(f.Flags, ClockStep) && !hasFlag(f.Flags, LogGap) {
		t.Errorf("a jump of half an hour is not said: %v", f.Flags)
	}
	if math.IsNaN(f.K) {
		t.Error("no rate")
	}
}
