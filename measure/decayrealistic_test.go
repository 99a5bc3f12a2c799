package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// room is a log as rooms and testers make it: clean air, a fill with pauses that mixes in, natural decay, the knee where
// the unit is switched on, its decay, the floor; and a sensor that averages, is polled faster than it renews its reading,
// rounds, clips and drifts in its noise.
type room struct {
	kOn, kOff  float64 // 1/h: all that the unit takes with the room's own, and that alone
	lead       float64 // min of air before the smoke
	before     float64 // reading of that air above base
	fill       float64 // min, 0: the log begins in full smoke
	pauses     int
	natural    float64 // min from the end of the fill to the knee
	on         float64 // min
	top        float64 // excess at the end of the fill
	base       float64
	mixing     float64 // s, in which unmixed smoke fades
	mixed      float64 // share of unmixed smoke where the fill ends
	step       float64 // s
	hold       int     // polls a reading is shown for
	average    float64 // s
	delta      float64
	noise      float64 // relative, AR(1) with a correlation time of 20 s
	clip       float64
	after      []leg // what follows the run
	spikes     int
	startsAtOn bool
}

// leg is a stretch of a room's log with its own rate and source.
type leg struct {
	minutes, k float64
	rise       float64 // excess that is lit at its beginning, over a minute
}

func (q room) log(r *rand.Rand) (t, c []float64, knee float64) {
	const dt = 1.0
	var e []float64
	x, unmixed := 0.0, 0.0
	add := func(minutes, k float64, source func(i int) float64) {
		for i := 0; i < int(minutes*60/dt); i++ {
			x *= math.Exp(-k * dt / 3600)
			if source != nil {
				s := source(i)
				x += s
				unmixed += 0.5 * s
			}
			if q.mixing > 0 {
				unmixed *= math.Exp(-dt / q.mixing)
			}
			e = append(e, x+unmixed*q.mixed)
		}
	}
	add(q.lead, 0, nil)
	if q.fill > 0 {
		n := int(q.fill * 60)
		paused := func(i int) bool { return q.pauses > 0 && (i*(2*q.pauses+1)/n)%2 == 1 }
		live := 0
		for i := range n {
			if !paused(i) {
				live++
			}
		}
		add(q.fill, q.kOff, func(i int) float64 {
			if paused(i) {
				return 0
			}
			return q.top / float64(live)
		})
	} else {
		x = q.top
	}
	add(q.natural, q.kOff, nil)
	knee = float64(len(e)) * dt
	add(q.on, q.kOn, nil)
	for _, l := range q.after {
		add(l.minutes, l.k, func(i int) float64 {
			if l.rise > 0 && i < 60 {
				return l.rise / 60
			}
			return 0
		})
	}
	// the sensor
	if q.average > 0 {
		y := e[0]
		for i := range e {
			y += (e[i] - y) * dt / q.average
			e[i] = y
		}
	}
	ar := r.NormFloat64()
	rho := math.Exp(-q.step / 20)
	last := 0.0
	jitter := r.Float64()
	for i := 0; ; i++ {
		at := float64(i)*q.step + jitter
		j := int(at)
		if j >= len(e) {
			break
		}
		ar = rho*ar + math.Sqrt(1-rho*rho)*r.NormFloat64()
		if q.hold < 2 || i%q.hold == 0 {
			b := q.base
			if at < q.lead*60 {
				b += q.before
			}
			last = b + e[j]*(1+q.noise*ar) + 0.3*q.delta*r.NormFloat64()
			last = math.Max(0, math.Round(last/q.delta)*q.delta)
			if q.clip > 0 {
				last = math.Min(last, q.clip)
			}
		}
		t, c = append(t, at), append(c, last)
	}
	for range q.spikes {
		i := r.IntN(len(c))
		c[i] *= 1.5 + 2*r.Float64()
	}
	if q.startsAtOn {
		i := searchTime(t, knee, false)
		t, c = t[i:], c[i:]
	}
	return t, c, knee
}

// anyRoom is a room by chance, of ordinary rates; shape picks what the log holds.
func anyRoom(r *rand.Rand, shape string) room {
	pick := func(x ...float64) float64 { return x[r.IntN(len(x))] }
	q := room{kOff: 0.1 + 0.5*r.Float64(), lead: pick(0, 2, 6), before: pick(0, 0, 3, 8), fill: pick(0.2, 1, 4, 9), pauses: r.IntN(3), natural: pick(0, 5, 15, 40),
		top: 80 + 220*r.Float64(), base: pick(0, 0, 2, 6), mixing: pick(10, 40, 70), mixed: pick(0, 0.3, 1), step: pick(1, 2, 10, 60), hold: 1, average: pick(0, 5, 10),
		delta: pick(1, 1, 0.1), noise: pick(0.01, 0.02, 0.04)}
	q.kOn = q.kOff + 2 + 8*r.Float64()
	q.on = math.Min(90, math.Max(30, pick(1.2, 2.5, 5)/q.kOn*60))
	if q.step < 5 {
		q.hold = 1 + r.IntN(4)
	}
	switch shape {
	case "simple": // a clean log that begins where the unit is switched on
		q.lead, q.natural, q.startsAtOn = 0, 3, true
	case "saturated":
		q.top, q.clip = 1500+1500*r.Float64(), 1000
		q.delta, q.natural = pick(1, 0.1), pick(20, 60)
		q.kOff = 0.3 + r.Float64()
		q.on = math.Max(q.on, 4/q.kOn*60)
	case "spikes":
		q.spikes = 1 + r.IntN(4)
	case "off after": // the unit is switched off before the log ends
		q.on = pick(1.3, 2, 3) / q.kOn * 60
		q.after = []leg{{minutes: 30, k: q.kOff}}
	case "source after": // a small source or a door after clearing
		q.on = 4 / q.kOn * 60
		q.after = []leg{{minutes: 20, k: 0.2, rise: 0.1 * q.top}}
	}
	return q
}

// tally is how runs of one kind were read.
type tally struct{ good, refused, wrong int }

func (a tally) String() string {
	return fmt.Sprintf("%d within a tenth, %d refused, %d wrong", a.good, a.refused, a.wrong)
}

// TestRooms reads rooms by chance with no window given: 95 % of the rates lie within a tenth of the truth, and at most one
// in thirty lies beyond without being refused. Real logs are in TestRealLogs; these are the shapes that those lack:
// rates of ordinary rooms, polls of a second to a minute, clean logs, a unit that is switched off again.
func TestRooms(t *testing.T) {
	n, seed := 60, uint64(11)
	if *long {
		n = 400
	}
	t.Logf("seed %d, %d rooms of each shape", seed, n)
	for _, shape := range []string{"simple", "usual", "saturated", "spikes", "off after", "source after"} {
		r := rand.New(rand.NewPCG(seed, uint64(len(shape))))
		var sum tally
		var bad []string
		for i := range n {
			q := anyRoom(r, shape)
			ts, c, knee := q.log(r)
			d := DecayRun{Name: "r", State: "on", T: ts, C: c, From: none, To: none, Background: none, BackgroundU: none, Day: none}
			f, err := ReduceRun(d)
			switch {
			case err != nil:
				sum.refused++
				bad = append(bad, fmt.Sprintf("room %d: refused: %v", i, err))
			case math.Abs(f.K/q.kOn-1) <= 0.1:
				sum.good++
			default:
				sum.wrong++
				bad = append(bad, fmt.Sprintf("room %d: %.2f per hour, true %.2f, from %.0f to %.0f s, knee %.0f, background %.2f (%s), true %.2f, %d readings: %+v", i, f.K, q.kOn, ts[f.First], ts[f.Last-1], knee, f.Background, f.source.how, q.base, len(ts), q))
			}
		}
		t.Logf("%s: %v", shape, sum)
		least, most := 0.95, 0.03
		if shape == "off after" { // such a log never shows what it runs down to, and a background of a twentieth is a tenth of the rate
			least, most = 0.85, 0.15
		}
		if float64(sum.good) < least*float64(n) || float64(sum.wrong) > most*float64(n) {
			t.Errorf("%s: %v, of %d (seed %d)", shape, sum, n, seed)
		}
		if testing.Verbose() {
			t.Log(strings.Join(bad, "\n"))
		}
	}
}
