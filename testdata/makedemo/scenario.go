package main

import (
	"fmt"
	"math"
	"strings"
)

// The truth of the demo case: the room and the one unit of the invented "Fennow 40" that the invented library bought.
const (
	trueVolume  = 45.0  // m3; the tape measure in the lab book gives 45.14
	trueMax     = 262.0 // m3/h, smoke, maximum speed
	trueSleep   = 96.0  // m3/h, smoke, sleep
	trueNatural = 0.24  // 1/h
	trueWatts   = 47.0  // W, maximum speed
	trueSleepW  = 6.2   // W
	trueStandby = 0.90  // W
	trueLife    = 4150  // h to half the rate
	trueCarbon  = 312.0 // g
	trueEff03   = 99.96 // %, through the filter at 0.3 um
	trueEff1    = 99.9  // %, at 1 um
	priceKWh    = 0.31
	hoursPerDay = 12.0
)

// Source levels at the four positions, dB(A) at 1 m, without the background.
var (
	maxLevels       = []float64{54.6, 53.5, 54.4, 53.9}
	sleepLevels     = []float64{30.2, 29.5, 29.7}
	maxBackground   = 24.5
	sleepBackground = 20.8
)

// demoRuns are nine runs on three days: each day natural decay, maximum and sleep, so that off and on runs share the
// day. The spread between runs is written down, not drawn: 1.5 to 2 % on the rate, 12 % on the natural decay.
func demoRuns() []run {
	natural := []float64{0.215, 0.270, 0.235}
	fast := []float64{1.014, 0.983, 1.005}
	slow := []float64{0.985, 1.017, 0.996}
	var out []run
	for i := range 3 {
		d := i + 12
		off := run{name: fmt.Sprintf("off-%d", i+1), state: "off", file: fmt.Sprintf("logs/off-%d.csv", i+1),
			format: []logFormat{tabbed, unixSec, isoLocal}[i], start: fmt.Sprintf("2026-05-%d 09:00:00", d), step: 5, length: 56 * 60,
			lit: 180, peak: 330, excess: []float64{246, 258, 239}[i], base: []float64{4.2, 3.7, 4.5}[i], k: natural[i],
			digits: 1, sensor: "PM-A"}
		on := run{name: fmt.Sprintf("max-%d", i+1), state: "on", setting: "max", file: fmt.Sprintf("logs/max-%d.csv", i+1),
			format: []logFormat{isoZone, dateClock, elapsedSec}[i], start: fmt.Sprintf("2026-05-%d 10:25:00", d), step: 2, length: 38 * 60,
			lit: 180, peak: 320, excess: []float64{268, 255, 281}[i], base: []float64{4.0, 3.9, 4.4}[i],
			k: trueMax*fast[i]/trueVolume + trueNatural, digits: 1, sensor: "PM-A"}
		sleep := run{name: fmt.Sprintf("sleep-%d", i+1), state: "on", setting: "sleep", file: fmt.Sprintf("logs/sleep-%d.csv", i+1),
			format: []logFormat{isoLocal, elapsedMin, unixSec}[i], start: fmt.Sprintf("2026-05-%d 11:40:00", d), step: 5, length: 76 * 60,
			lit: 180, peak: 330, excess: []float64{262, 372, 249}[i], base: []float64{4.1, 3.8, 4.3}[i],
			k: trueSleep*slow[i]/trueVolume + trueNatural, digits: 1, sensor: "PM-A"}
		switch i {
		case 1: // the tester gave this window by hand
			on.from, on.to = true, true
		case 2: // the second sensor shows whole numbers, and its logger lost four readings
			on.step, on.digits, on.sensor, on.blanks = 1, 0, "PM-B", []int{411, 412, 413, 977}
			sleep.digits, sleep.sensor = 0, "PM-B"
			off.from = true
		}
		out = append(out, off, on, sleep)
	}
	return out
}

func demoCase() testCase {
	attach := captures()
	decay, runs := decayTable(demoRuns(), attach)
	attach["logs/power-max.csv"] = powerLog()
	claims, claimTruths := demoClaims()
	c := testCase{
		folder: "demo",
		attach: attach,
		spec:   book{demoProduct(), claims, demoReply()},
		lab: book{demoTest(), roomTable(), demoInstruments(), decay, demoSound(), sleepSoundLog(), demoPower(), demoCounts(), demoLoading(),
			demoWeights(), demoCosts(), demoTolerances()},
	}
	c.truth = caseTruth{RoomVolume: trueVolume, Runs: runs, Claims: claimTruths, Quantities: demoQuantities(), Costs: demoCostTruth()}
	return c
}

// areaServed is the area that a rate serves at so many air changes an hour under a ceiling: rate/(changes*height), m2.
func areaServed(rate, changes, ceiling float64) float64 { return rate / (changes * ceiling) }

// minutesTo is the time to remove a part of what is in a volume by the unit alone: ln(1/(1-part))/(rate/volume), min.
func minutesTo(part, rate, volume float64) float64 { return 60 * math.Log(1/(1-part)) * volume / rate }

func demoQuantities() []quantityTruth {
	return []quantityTruth{
		{"delivery rate", "max", "smoke", trueMax, "m3/h", "run-to-run spread written into the runs"},
		{"delivery rate", "sleep", "smoke", trueSleep, "m3/h", ""},
		{"noise", "max", "", *number(energyMean(maxLevels...)), "dB(A)", "energy mean of four positions at 1 m, background taken off"},
		{"noise", "sleep", "", *number(energyMean(sleepLevels...)), "dB(A)", "energy mean of three positions at 1 m, background taken off"},
		{"power", "max", "", trueWatts, "W", ""},
		{"power", "sleep", "", trueSleepW, "W", ""},
		{"standby power", "standby", "", trueStandby, "W", ""},
		{"annual energy", "max", "", *number(trueWatts * 8.76), "kWh", "24 h/day"},
		{"filter efficiency", "max", "0.3 um", trueEff03, "%", "four particles downstream where 3.4 were to be expected"},
		{"filter efficiency", "max", "1 um", trueEff1, "%", ""},
		{"filter life", "", "", trueLife, "h", "to half the first rate, straight line"},
		{"room area", "max", "smoke", *number(areaServed(trueMax, 4.8, 2.4)), "m2", "4.8 air changes an hour, ceiling 2.4 m"},
		{"clean time", "max", "smoke", *number(minutesTo(0.9, trueMax, 40)), "min", "90 % of 40 m3 by the unit alone"},
		{"carbon mass", "", "", trueCarbon, "g", ""},
	}
}

func demoProduct() table {
	return table{"product", []string{"field", "value"}, [][]any{
		{"maker", "Brindlecote Air Works"},
		{"model", "Fennow 40"},
		{"variant", "F40-W, white, 230 V 50 Hz"},
		{"region", "EU"},
		{"price", 189.0},
		{"currency", "EUR"},
		{"listing", "https://shop.example/brindlecote/fennow-40"},
	}}
}

func demoReply() table {
	return table{"reply", []string{"sent", "channel", "deadline", "received", "text"}, [][]any{
		{day("2026-06-08"), "registered letter to the maker's customer desk", day("2026-06-22"), day("2026-06-19"), strings.Join([]string{
			"Thank you for sending us your results before you publish them.",
			"Our figure of 340 m³/h was taken in a 30 m³ chamber with a pre-production unit and a fresh filter. We have asked the laboratory for the full report and will send it to you.",
			"The standby figure on the rating plate was measured with the radio module switched off; we did not say so and should have.",
			"The carbon mass of 500 g counts the fleece and the frame. We will correct the box at the next print.",
		}, "\n")},
	}}
}

func demoTest() table {
	return table{"test", []string{"field", "value"}, [][]any{
		{"tester", "Plumbrigg Town Library, workshop bench"},
		{"date", day("2026-05-14")},
		{"sample", "serial BAW-F40-010377, one unit, bought at list price from a shop counter on 2026-04-20 by a member of staff who did not say what for; received sealed"},
		{"method", "room"},
		{"mixing fan", "on"},
		{"runs planned", "3"},
		{"temperature", "21 °C"},
		{"humidity", "46 %"},
		{"notes", "Reading room 3, Plumbrigg Town Library, empty but for a table; doors and vents taped. Runs on 12, 13 and 14 May 2026, each day one natural, one maximum and one sleep run. Incense sticks lit in the room, mixed by a fan that ran on low throughout, with the unit off and on. Unit on the floor in the middle of the room, its volume not taken off."},
	}}
}

// roomTable is the room of the demo and of the three rank cases.
func roomTable() table {
	return table{"room", []string{"item", "value", "unit", "±"}, [][]any{
		{"length", 5.01, "m", 0.02},
		{"width", 3.59, "m", 0.02},
		{"height", 2.51, "m", 0.02},
	}}
}

func demoInstruments() table {
	return table{"instruments", []string{"id", "measures", "serial", "calibrated", "accuracy", "note"}, [][]any{
		{"PM-A", "particle mass, PM1, smoke", "MTL-0031", day("2026-03-02"), "10 %", "light scattering, shows 0.1 ug/m3; a constant gain leaves the decay as it is"},
		{"PM-B", "particle mass, PM1, smoke", "MTL-0032", day("2026-03-02"), "10 %", "light scattering, shows whole ug/m3"},
		{"SLM-2", "sound level, A-weighted", "MTL-0107", day("2026-02-17"), "1.4 dB", "class 2 meter on a stand"},
		{"PWR-1", "electric power", "MTL-0212", day("2026-01-26"), "0.5 % + 0.05 W", "averaging bench meter"},
		{"CNT-1", "particle counts by size", "MTL-0044", day("2026-03-10"), "5 %", "samples before and behind the filter"},
		{"BAL-1", "mass", "MTL-0009", day("2026-03-10"), "0.5 g", "bench balance"},
	}}
}
