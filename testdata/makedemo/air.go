package main

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// run is one decay run as it truly went: particles are lit, mixed, and then decay by C(t) = Cb + A exp(-k t).
type run struct {
	name    string
	state   string // "on" or "off"
	setting string
	file    string // path of the log inside the case
	format  logFormat
	start   string  // local time of the first reading, 2026-05-12 09:30:00
	step    int     // s between readings
	length  int     // s of log
	lit     int     // s at which the particles are lit
	peak    int     // s at which mixing ends, and with it the rise; in an on run the unit is started here
	excess  float64 // A at the peak, ug/m3
	base    float64 // Cb: what the sensor shows in clean air, ug/m3
	k       float64 // decay of the excess, 1/h: the unit's share and the natural decay
	digits  int     // decimals that the sensor shows: 0 or 1
	sensor  string  // instrument id
	from    bool    // the lab book gives the window itself
	to      bool
	blanks  []int // readings that the logger lost: indices of blank cells
}

// Noise of the optical sensors of this bench: a share of the excess, and a small additive part, both AR(1) with a
// correlation time of 10 s, as the averaging inside such sensors makes it.
const (
	noiseShare   = 0.02
	noiseAdd     = 0.3  // ug/m3
	noiseCorrel  = 10.0 // s
	mixShare     = 0.04 // unmixed air left when the rise ends, share of the excess
	mixTime      = 25.0 // s in which it fades: gone before the two minutes are over
	riseTimePart = 0.35 // time constant of the rise, as a part of its length
)

// reading is one line of a log: seconds since its start, and what the sensor showed.
type reading struct {
	t     int
	value float64
	blank bool
}

// stream is the random stream of a named log; streams of different names do not touch each other.
func stream(name string) *rand.Rand {
	h := fnv.New64a()
	_, _ = h.Write([]byte(name))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// noise is an AR(1) series with mean 0 and standard deviation 1 in its steady state.
type noise struct {
	rng  *rand.Rand
	rho  float64
	last float64
}

func newNoise(rng *rand.Rand, step, correl float64) *noise {
	return &noise{rng, math.Exp(-step / correl), rng.NormFloat64()}
}

func (n *noise) next() float64 {
	out := n.last
	n.last = n.rho*n.last + math.Sqrt(1-n.rho*n.rho)*n.rng.NormFloat64()
	return out
}

// trueExcess is the excess over the background at t seconds, before noise.
func (r run) trueExcess(t float64) float64 {
	lit, peak := float64(r.lit), float64(r.peak)
	switch {
	case t < lit:
		return 0
	case t < peak:
		tau := riseTimePart * (peak - lit)
		return r.excess * (1 - math.Exp(-(t-lit)/tau)) / (1 - math.Exp(-(peak-lit)/tau))
	}
	s := t - peak
	return r.excess * math.Exp(-r.k*s/3600) * (1 + mixShare*math.Exp(-s/mixTime))
}

// readings is the log as the sensor showed it.
func (r run) readings() []reading {
	rng := stream(r.file)
	share := newNoise(rng, float64(r.step), noiseCorrel)
	add := newNoise(rng, float64(r.step), noiseCorrel)
	lost := map[int]bool{}
	for _, i := range r.blanks {
		lost[i] = true
	}
	var out []reading
	for i := 0; i*r.step <= r.length; i++ {
		t := i * r.step
		v := r.base + r.trueExcess(float64(t))*(1+noiseShare*share.next()) + noiseAdd*add.next()
		out = append(out, reading{t, round(math.Max(v, 0), r.digits), lost[i]})
	}
	return out
}

// background is what the tester wrote down: the mean of the readings before the particles were lit, to one decimal.
func (r run) background(log []reading) float64 {
	sum, n := 0.0, 0
	for _, x := range log {
		if x.t < r.lit && !x.blank {
			sum += x.value
			n++
		}
	}
	return round(sum/float64(n), 1)
}

// window is where a tester who gives the window by hand puts it: from 150 s after the peak to where the excess has
// fallen to an eighth, on the log's own grid.
func (r run) window() (from, to int) {
	from = r.peak + 150
	to = from + int(math.Log(8)/r.k*3600)
	return from - from%r.step, to - to%r.step
}

func round(x float64, digits int) float64 {
	p := math.Pow(10, float64(digits))
	return math.Round(x*p) / p
}
