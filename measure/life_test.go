package measure

import (
	"math"
	"testing"
)

// The timer arithmetic with months of 365/12 days: computed.
func TestLifeMonths(t *testing.T) {
	for _, r := range [][4]float64{{2200, 9.0411, 6.0274, 3.0137}, {3000, 12.3288, 8.2192, 4.1096}, {4380, 18, 12, 6}, {8760, 36, 24, 12}} {
		for i, h := range []float64{8, 12, 24} {
			wantAbs(t, "months", LifeMonths(r[0], h), r[i+1], 1e-4)
			wantRel(t, "and back", LifeHours(LifeMonths(r[0], h), h), r[0], 1e-12)
		}
	}
	wantRel(t, "a month at 24 h a day", LifeHours(1, 24), 730, 1e-12)
	wantRel(t, "6 months and 4380 h", ImpliedHoursPerDay(4380, 6), 24, 1e-12)
	wantRel(t, "filters a year", FiltersPerYear(4380, 24), 2, 1e-12)
	for _, zero := range []float64{LifeMonths(2200, 0), LifeMonths(2200, math.NaN()), ImpliedHoursPerDay(4380, 0), FiltersPerYear(0, 24)} {
		wantAbs(t, "no hours, months or life", zero, 0, 0)
	}
}

// Steady state with two sources and three sinks as GB/T 18801 uses it (second-hand): 300 m³/h, 20 m² at 2.4 m, P 0.8,
// kv 0.6, k0 0.2, 100 µg/m³ outdoors, 12 h a day, 12 000 mg. All computed; the integral also by quadrature here.
func TestFilterLifeInDays(t *testing.T) {
	p := Pollution{Rate: 300, Volume: 48, Penetration: 0.8, Ventilation: 0.6, Deposition: 0.2, Outdoor: 100, HoursPerDay: 12, Capacity: 12000}
	wantRel(t, "C_in", p.Indoor(300), 6.8085106383, 1e-9)
	wantRel(t, "mg an hour", p.Daily(300)/12, 2.0425531915, 1e-9)
	wantRel(t, "mg a day", p.Daily(300), 24.5106382979, 1e-9)
	wantRel(t, "rate held", p.DaysHeld(1), 489.5833333, 1e-9)
	wantRel(t, "C_in at 0.75 of the rate", p.Indoor(225), 8.7471526196, 1e-9)
	wantRel(t, "mg a day at 0.75", p.Daily(225), 23.6173120729, 1e-9)
	wantRel(t, "0.75 of the rate in both terms", p.DaysHeld(0.75), 508.1018519, 1e-9)
	wantRel(t, "decline linear in mass", p.Days(), 511.0441311733, 1e-9)
	const n = 20000 // Simpson's rule over the mass
	var days float64
	for i := 0; i <= n; i++ {
		w := 2.0
		switch {
		case i == 0 || i == n:
			w = 1
		case i%2 == 1:
			w = 4
		}
		m := p.Capacity * float64(i) / n
		days += w / p.Daily(p.Rate*(1-0.5*m/p.Capacity))
	}
	wantRel(t, "by quadrature", days*p.Capacity/n/3, p.Days(), 1e-9)
	// With the indoor level held by other sources the decline stretches the life by 2·ln 2: a large room does it.
	p.Volume = 1e12
	wantRel(t, "constant concentration, linear in mass", p.Days()/p.DaysHeld(1), 1.3862943611, 1e-8)
	wantRel(t, "known room average", DaysAt(0.015, 300, 24, 12000), 111.1111, 1e-6)
	wantRel(t, "50 g of carbon at 5 %, 120 mg a day", DaysAt(0.1, 50, 24, 2500), 20.8333, 2e-6)
}
