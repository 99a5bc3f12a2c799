package main

import (
	"fmt"
	"math"
)

// unit is one of the three invented units that were compared in the demo's room.
type unit struct {
	folder, maker, model, serial string
	price                        float64
	top                          string    // what its highest setting is called
	rate                         float64   // m3/h, smoke, true
	spread                       []float64 // of its own rate, by day, %
	levels                       []float64 // dB(A) at 1 m, four positions, without background
	watts, standby               float64
	claimRate, claimLevel        float64
	claimWatts                   float64
	filter                       float64 // EUR
	filters                      int     // a year
	verdicts                     [3]claimTruth
}

// What the days do to every unit alike (furniture of the day, humidity, the sticks), in %, and the natural decay of each.
var (
	dayEffect  = []float64{2.4, -1.8, 0.9, -1.6}
	dayNatural = []float64{0.225, 0.262, 0.241, 0.230}
)

// The order in which the units ran, by day: rotated, so that no unit always has the morning.
var dayOrder = [][]int{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}, {0, 2, 1}}

func units() []unit {
	return []unit{
		{folder: "fennow-40", maker: "Brindlecote Air Works", model: "Fennow 40", serial: "BAW-F40-010377", price: 189, top: "max",
			rate: trueMax, spread: []float64{0.6, -1.1, 1.3, -0.7}, levels: maxLevels, watts: trueWatts, standby: trueStandby,
			claimRate: 340, claimLevel: 52, claimWatts: 45, filter: 45, filters: 2,
			verdicts: [3]claimTruth{
				judged(contradicted, trueMax, 305.5, "m3/h", "23 % below the claim"),
				judged(inconclusive, *number(energyMean(maxLevels...)), 55.5, "dB(A)", "within the uncertainty of the limit"),
				judged(supported, trueWatts, 54.5, "W", "20 % tolerance"),
			}},
		{folder: "tavvik-35", maker: "Quillmarsh Ventilation", model: "Tavvik 35", serial: "QV-T35-2208", price: 229, top: "turbo",
			rate: 258, spread: []float64{-0.9, 1.2, -0.2, 0.5}, levels: []float64{48.3, 47.5, 47.9, 48.1}, watts: 38, standby: 0.42,
			claimRate: 288, claimLevel: 50, claimWatts: 40, filter: 52, filters: 1,
			verdicts: [3]claimTruth{
				judged(inconclusive, 258, 258.7, "m3/h", "the limit is within the uncertainty of the true rate"),
				judged(supported, *number(energyMean(48.3, 47.5, 47.9, 48.1)), 53.5, "dB(A)", "2 dB below the claim"),
				judged(supported, 38, 48.5, "W", "below the claim"),
			}},
		{folder: "osk-3", maker: "Drummelow Home Air", model: "Osk 3", serial: "DHA-O3-00914", price: 149, top: "speed 3",
			rate: 203, spread: []float64{0.8, 0.3, -1.2, -0.4}, levels: []float64{46.6, 45.9, 46.2, 46.8}, watts: 31, standby: 0.35,
			claimRate: 205, claimLevel: 45, claimWatts: 30, filter: 29, filters: 2,
			verdicts: [3]claimTruth{
				judged(supported, 203, 184, "m3/h", "1 % below the claim, which is within its tolerance"),
				judged(inconclusive, *number(energyMean(46.6, 45.9, 46.2, 46.8)), 48.5, "dB(A)", "2.1 dB below the limit: with a class 2 meter in a room not enough for 95 %"),
				judged(supported, 31, 36.5, "W", "20 % tolerance"),
			}},
	}
}

// rankCases are the three cases of one comparison: same room, same four days, same natural runs.
func rankCases() []testCase {
	var out []testCase
	for i, u := range units() {
		out = append(out, u.testCase(i))
	}
	return out
}

func (u unit) testCase(index int) testCase {
	attach := files{}
	decay, runs := decayTable(u.runs(index), attach)
	source := source{"listing, product page", "2026-05-04", "captures/listing.txt"}
	rate := fmt.Sprintf("Smoke clean air delivery rate %v m³/h at the highest setting", u.claimRate)
	level := fmt.Sprintf("Sound pressure level %v dB(A) at 1 m at the highest setting", u.claimLevel)
	watts := fmt.Sprintf("Input %v W at the highest setting", u.claimWatts)
	attach[source.file] = fmt.Appendf(nil, "%s %s, product page: words as shown, typed out\ncaptured 2026-05-04T13:05:00Z; invented for the demo case\n\n%s\n%s\n%s\n",
		u.maker, u.model, rate, level, watts)
	claims, truths := claimsTable([]claim{
		{"delivery rate", u.claimRate, "m3/h", "", "", "smoke", "", rate, source, u.verdicts[0]},
		{"noise", u.claimLevel, "dB(A)", "", "", "", "1 m; sound pressure", level, source, u.verdicts[1]},
		{"power", u.claimWatts, "W", "", "", "", "", watts, source, u.verdicts[2]},
	})
	c := testCase{folder: u.folder, attach: attach, spec: book{u.product(), claims},
		lab: book{u.test(), roomTable(), demoInstruments(), decay, u.sound(), u.power(), u.costs()}}
	c.truth = caseTruth{RoomVolume: trueVolume, Runs: runs, Claims: truths, Costs: u.costTruth(), Quantities: []quantityTruth{
		{"delivery rate", u.top, "smoke", u.rate, "m3/h", "before the effect of the day, which all three units share"},
		{"noise", u.top, "", *number(energyMean(u.levels...)), "dB(A)", "energy mean of four positions at 1 m"},
		{"power", u.top, "", u.watts, "W", ""},
		{"standby power", "standby", "", u.standby, "W", ""},
	}}
	return c
}

// runs are four days of one natural run, which the three units share, and one run of the unit.
func (u unit) runs(index int) []run {
	var out []run
	for d := range 4 {
		date := fmt.Sprintf("2026-05-%d", 18+d)
		off := run{name: fmt.Sprintf("off-%d", d+1), state: "off", file: fmt.Sprintf("logs/natural-%s.csv", date), format: isoLocal,
			start: date + " 08:45:00", step: 10, length: 56 * 60, lit: 180, peak: 330, excess: 250 + 7*float64(d%3), base: 3.9 + 0.2*float64(d%2),
			k: dayNatural[d], digits: 1, sensor: "PM-A"}
		slot := 0
		for s, who := range dayOrder[d] {
			if who == index {
				slot = s
			}
		}
		factor := (1 + dayEffect[d]/100) * (1 + u.spread[d]/100)
		on := run{name: fmt.Sprintf("on-%d", d+1), state: "on", setting: u.top, file: fmt.Sprintf("logs/%s-%s.csv", u.folder, date), format: isoZone,
			start: fmt.Sprintf("%s %02d:10:00", date, 10+2*slot), step: 4, length: 44 * 60, lit: 180, peak: 328,
			excess: 262 + 5*math.Abs(float64(slot-1)), base: 4.0 + 0.1*float64(slot), k: u.rate*factor/trueVolume + dayNatural[d], digits: 1, sensor: "PM-A"}
		out = append(out, off, on)
	}
	return out
}

func (u unit) product() table {
	return table{"product", []string{"field", "value"}, [][]any{
		{"maker", u.maker}, {"model", u.model}, {"region", "EU"}, {"price", u.price}, {"currency", "EUR"},
		{"listing", "https://shop.example/compare/" + u.folder},
	}}
}

func (u unit) test() table {
	return table{"test", []string{"field", "value"}, [][]any{
		{"tester", "Plumbrigg Town Library, workshop bench"},
		{"date", day("2026-05-21")},
		{"sample", "serial " + u.serial + ", one unit, bought at list price from a shop"},
		{"method", "room"},
		{"mixing fan", "on"},
		{"runs planned", "4"},
		{"temperature", "21 °C"},
		{"humidity", "47 %"},
		{"notes", "Reading room 3, Plumbrigg Town Library. Three units compared on 18 to 21 May 2026, a mixing fan on throughout: each day one natural run with all three standing in the room switched off, then one run of each, in an order that was rotated from day to day."},
	}}
}

func (u unit) sound() table {
	t := table{name: "sound", head: []string{"setting", "distance", "level", "background", "instrument"}}
	for _, l := range u.levels {
		t.rows = append(t.rows, []any{u.top, 1.0, shown(l, maxBackground), maxBackground, "SLM-2"})
	}
	return t
}

func (u unit) power() table {
	return table{"power", []string{"setting", "watts", "instrument"}, [][]any{
		{u.top, round(u.watts*0.997, 2), "PWR-1"}, {u.top, round(u.watts*1.002, 2), "PWR-1"}, {u.top, round(u.watts*1.001, 2), "PWR-1"},
		{"standby", u.standby, "PWR-1"}, {"standby", round(u.standby+0.01, 2), "PWR-1"},
	}}
}

func (u unit) costs() table {
	return table{"costs", []string{"item", "value", "currency", "option"}, [][]any{
		{"electricity", priceKWh, "EUR", ""},
		{"hours per day", hoursPerDay, "", ""},
		{"filter", u.filter, "EUR", "maker's filter"},
		{"filters per year", u.filters, "", "maker's filter"},
	}}
}

func (u unit) costTruth() []costTruth {
	kwh := (u.watts*hoursPerDay + u.standby*(24-hoursPerDay)) * 365 / 1000
	f := u.filter * float64(u.filters)
	return []costTruth{{"maker's filter", *number(kwh), *number(kwh * priceKWh), f, *number(kwh*priceKWh + f), "EUR"}}
}
