package rank

import (
	"fmt"
	"math"
	"time"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/uncertainty"
	"weighhouse/verdict"
)

// made describes an audit made for a test: a unit with runs of given rates in a room of 40 m3.
type made struct {
	name     string
	on       []float64 // k with the unit on, 1/h
	off      []float64 // natural decay, 1/h
	start    []string  // when the on runs began: "2026-05-18 10:00"; none: the logs name no day
	offName  string    // tells natural decays of different units apart
	offU     float64   // standard uncertainty of the mean natural decay, 1/h
	watts    float64
	level    float64
	distance float64
	price    string
	currency string
	particle string
}

func (u made) audit() *verdict.Audit {
	const volume = 40
	m := measure.Measurement{ID: "M1", Attribute: string(claims.DeliveryRate), Setting: "max", Particle: u.particle, Unit: "m3/h", Instrument: "PM-A"}
	if m.Particle == "" {
		m.Particle = "smoke"
	}
	for i, k := range u.on {
		r := measure.Run{Run: fmt.Sprintf("on-%d", i+1), State: "on", Value: k, Unit: "1/h", Std: 0.05, Points: 100, From: fmt.Sprint(i), To: "x"}
		if i < len(u.start) {
			t, err := time.Parse("2006-01-02 15:04", u.start[i])
			if err != nil {
				panic(err)
			}
			r.Start = t
		}
		m.Runs = append(m.Runs, r)
	}
	for i, k := range u.off {
		m.Runs = append(m.Runs, measure.Run{Run: fmt.Sprintf("off-%d", i+1), State: "off", Value: k, Unit: "1/h", Std: 0.01, Points: 300, From: u.offName, To: fmt.Sprint(i)})
	}
	m.Value = volume * (mean(u.on) - mean(u.off))
	m.Budget = uncertainty.Budget{{Name: "between runs", U: 0.02 * m.Value, DOF: float64(len(u.on) - 1), Kind: "A"},
		{Name: "natural decay, between runs", U: volume * u.offU, DOF: float64(len(u.off) - 1), Kind: "A"},
		{Name: "room volume", U: 0.01 * m.Value, DOF: math.Inf(1), Kind: "B"}}
	m.Expand()
	a := &verdict.Audit{Case: u.name, Product: claims.Product{Maker: "Made", Model: u.name, Price: u.price, Currency: u.currency},
		Room: &verdict.Room{Volume: volume, U: 0.4, Text: "4 x 4 x 2.5 m"}, Measurements: []measure.Measurement{m},
		Test: verdict.TestRecord{Fields: []verdict.Field{{Name: "tester", Value: "Bench"}, {Name: "method", Value: "room"}}}}
	add := func(attribute claims.Attribute, value, u float64, unit string, distance float64) {
		x := measure.Measurement{ID: fmt.Sprintf("M%d", len(a.Measurements)+1), Attribute: string(attribute), Setting: "max", Value: value, Unit: unit, Distance: distance,
			Budget: uncertainty.Budget{{Name: "meter accuracy", U: u, DOF: math.Inf(1), Kind: "B"}}}
		x.Expand()
		a.Measurements = append(a.Measurements, x)
	}
	if u.watts > 0 {
		add(claims.Power, u.watts, 0.005*u.watts, "W", 0)
	}
	if u.level > 0 {
		add(claims.Noise, u.level, 0.7, "dB(A)", u.distance)
	}
	return a
}

// days are starting times at an hour on successive days.
func days(n int, clock string) (out []string) {
	for d := range n {
		out = append(out, fmt.Sprintf("2026-05-%02d %s", 18+d, clock))
	}
	return out
}
