package verdict

import (
	"fmt"
	"math"
	"math/rand/v2"

	"weighhouse/claims"
	"weighhouse/measure"
)

// trial is a test as a bench makes it, in a room of 30 m³ whose volume is known to 1 %: what the room and the sensor do,
// what the tester writes down, and how that differs from the model.
type trial struct {
	name    string
	q       float64 // rate of the unit, per hour
	on, off int     // runs
	fan     string  // as the book states it
	natural float64 // per hour; 0: 0.25

	exchange float64                                        // room volumes an hour between two halves; 0: well mixed
	source   func(state string, h float64) float64          // smoke released, in units of the sensor an hour
	change   func(run int, state string, h float64) float64 // of k, per hour
	gain     func(run int, state string, h float64) float64 // of the sensor
	clock    func(run int, state string, h float64) float64 // what the logger's clock shows, h
	baseline float64                                        // what the sensor shows in clean air
	stated   float64                                        // what the book says it shows
	whole    bool                                           // the log holds clean air, fill and plateau before and floor after, and the window is set round all of it
	offset   func(state string, h float64) float64          // added to what the sensor shows
	curve    func(x float64) float64                        // of the sensor
	lag      float64                                        // time constant of the sensor, s
	round    float64                                        // step of the readings; 0: 1
	drop     func(run int, state string, h float64) bool    // readings that the log lacks
}

func clean(q float64, fan string) trial {
	return trial{q: q, on: 3, off: 3, fan: fan, baseline: 4, stated: 4}
}

// truth is the unit's delivery rate, m³/h.
func (c trial) truth() float64 { return c.q * trueRoom }

// run simulates one run: smoke of 200 at its start, noise of 2.5 % as AR(1) with a memory of a minute and a half, 0.5 that
// does not fall with it, whole numbers, a reading every 10 s or, in every other test, 30 s; 2.5 % from run to run.
func (c trial) run(r *rand.Rand, i int, state string, background, step float64) measure.DecayRun {
	kn := c.natural
	if kn == 0 {
		kn = 0.25
	}
	kn *= 1 + 0.1*r.NormFloat64()
	q, minutes := 0.0, 60.0
	if state == "on" {
		q = c.q * (1 + 0.025*r.NormFloat64())
		minutes = math.Min(60, math.Max(20, 3.2/(c.q+kn)*60))
	}
	d := measure.DecayRun{Name: fmt.Sprint(state, i), State: state, Setting: "max", Particle: "smoke", From: math.NaN(), To: math.NaN(),
		Background: background, BackgroundU: 0.3, ValueUnit: "ug/m3", Day: math.NaN()}
	lead, tail := 0.0, 0.0
	if c.whole {
		lead, tail = 20, 20
		d.From, d.To = 9*60, (lead+minutes+tail)*60
		if state == "off" {
			tail, d.To = 0, (lead+minutes)*60
		}
	}
	a, b := 200.0, 200.0 // the half with the unit, the half with the sensor
	near := r.Float64() < 0.5
	shown, ar := a, r.NormFloat64()
	rho := math.Exp(-step / 95)
	const fine = 2.0 // s
	if c.whole {
		a, b, shown = 0, 0, 0
	}
	for s := 0.0; s <= (lead+minutes+tail)*60; s += fine {
		h := s/3600 - lead/60 // after the unit is switched on
		k, e := q, 0.0
		if c.whole && h < 0 {
			k = 0
			if m := s / 60; m > 8 && m < 10 {
				e = 205 * 30
			}
		}
		if c.change != nil {
			k += c.change(i, state, h)
		}
		if c.source != nil {
			e += c.source(state, h)
		}
		if math.Mod(s, step) < fine/2 {
			ar = rho*ar + math.Sqrt(1-rho*rho)*r.NormFloat64()
			x := shown
			if c.gain != nil {
				x *= c.gain(i, state, h)
			}
			x = x*(1+0.025*ar) + c.baseline + 0.5*r.NormFloat64()
			if c.offset != nil {
				x += c.offset(state, h)
			}
			if c.curve != nil {
				x = c.curve(x)
			}
			w := c.round
			if w == 0 {
				w = 1
			}
			t := s
			if c.clock != nil {
				t = (c.clock(i, state, h) + lead/60) * 3600
			}
			if c.drop == nil || !c.drop(i, state, h) {
				d.T, d.C = append(d.T, t), append(d.C, math.Max(0, math.Round(x/w)*w))
			}
		}
		dt := fine / 3600
		if c.exchange > 0 {
			x := 2 * c.exchange * (b - a)
			a, b = a+dt*(e-(2*k+kn)*a+x), b+dt*(e-kn*b-x)
		} else {
			a += dt * (e - (k+kn)*a)
			b = a
		}
		at := b
		if near {
			at = a
		}
		if c.lag > 0 {
			shown += (at - shown) * fine / c.lag
		} else {
			shown = at
		}
	}
	return d
}

// measured simulates the whole test and reduces it.
func (c trial) measured(r *rand.Rand) []measure.Measurement {
	volume := trueRoom * (1 + roomRel*r.NormFloat64())
	background := c.stated + 0.3*r.NormFloat64()
	step := 10.0
	if r.Float64() < 0.5 {
		step = 30
	}
	var runs []measure.DecayRun
	for i := range c.on {
		runs = append(runs, c.run(r, i, "on", background, step))
	}
	for i := range c.off {
		runs = append(runs, c.run(r, i, "off", background, step))
	}
	ms, _ := measure.DeliveryRates(runs, measure.DecayOptions{Volume: volume, VolumeU: trueRoom * roomRel, Method: "room", MethodU: math.NaN(), Fan: c.fan})
	return ms
}

// decided is how often, of n tests, a claim of share times the true rate is contradicted, held open though the probability
// alone would contradict it, and supported.
type decided struct{ contradicted, supported, held, none float64 }

// judge judges the same n tests against claims of several shares of the truth.
func (c trial) judge(n int, seed uint64, shares ...float64) []decided {
	out := make([]decided, len(shares))
	r := rand.New(rand.NewPCG(seed, uint64(len(c.name))*1000+uint64(c.q*10)))
	for range n {
		ms := c.measured(r)
		for i, share := range shares {
			v := share * c.truth()
			row := judge(claims.Claim{ID: "C1", Attribute: claims.DeliveryRate, Bound: claims.AtLeast, Setting: "max", Particle: "smoke",
				Claimed: &claims.Range{Low: v, High: v, Unit: "m3/h", Text: fmt.Sprint(v, " m3/h")}, UnitText: "m3/h"}, &Audit{Measurements: ms}, allowances{}, nil)
			part := 100 / float64(n)
			switch {
			case row.Verdict == Contradicted:
				out[i].contradicted += part
			case row.Verdict == Supported:
				out[i].supported += part
			case row.Probability == nil:
				out[i].none += part
			case *row.Probability <= Risk:
				out[i].held += part
			}
		}
	}
	return out
}
