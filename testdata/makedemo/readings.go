package main

import (
	"fmt"
	"math"
	"strings"
)

// The tables of the demo's lab book beside decay.

// demoSound has four positions at maximum; two positions and one logged position at sleep.
func demoSound() table {
	t := table{name: "sound", head: []string{"setting", "distance", "position", "level", "log", "value", "background", "instrument"}}
	for i, l := range maxLevels {
		t.rows = append(t.rows, []any{"max", 1.0, [...]string{"front", "left", "back", "right"}[i%4], shown(l, maxBackground), "", "", maxBackground, "SLM-2"})
	}
	for _, l := range sleepLevels[:2] {
		t.rows = append(t.rows, []any{"sleep", 1.0, nil, shown(l, sleepBackground), "", "", sleepBackground, "SLM-2"})
	}
	t.rows = append(t.rows, []any{"sleep", 1.0, nil, nil, "sleep sound log", "level", sleepBackground, "SLM-2"})
	return t
}

// sleepSoundLog is a log kept as a table of the lab book: four minutes at the third position.
func sleepSoundLog() table {
	t := table{name: "sleep sound log", head: []string{"time (s)", "level [dB(A)]"}}
	total := math.Pow(10, sleepLevels[2]/10) + math.Pow(10, sleepBackground/10)
	n := newNoise(stream("sleep sound log"), 2, 4)
	for i := range 121 {
		t.rows = append(t.rows, []any{float64(2 * i), round(10*math.Log10(total)+0.3*n.next(), 1)})
	}
	return t
}

func demoPower() table {
	return table{"power", []string{"setting", "watts", "log", "value", "instrument"}, [][]any{
		{"max", 46.8, "", "", "PWR-1"},
		{"max", 47.2, "", "", "PWR-1"},
		{"max", nil, "logs/power-max.csv", "watts", "PWR-1"},
		{"sleep", 6.18, "", "", "PWR-1"},
		{"sleep", 6.22, "", "", "PWR-1"},
		{"standby", 0.91, "", "", "PWR-1"},
		{"standby", 0.89, "", "", "PWR-1"},
		{"standby", 0.90, "", "", "PWR-1"},
	}}
}

// powerLog is eight minutes of the meter at maximum, after warm-up.
func powerLog() []byte {
	var b strings.Builder
	b.WriteString("# PWR-1, mean of each interval\ntime (s),watts (W),volts (V)\n")
	n := newNoise(stream("logs/power-max.csv"), 4, 20)
	v := newNoise(stream("logs/power-max.csv volts"), 4, 60)
	for i := range 121 {
		fmt.Fprintf(&b, "%d,%.2f,%.1f\n", 4*i, trueWatts+0.15*n.next(), 230.2+0.6*v.next())
	}
	return []byte(b.String())
}

// demoCounts has too few counts at 0.3 um to settle 99.97 %, and plenty at 1 um to settle 99 %.
func demoCounts() table {
	return table{"counts", []string{"size", "upstream", "downstream", "upstream volume", "downstream volume", "setting"}, [][]any{
		{0.3, 8420, 4, 2.0, 2.0, "max"},
		{0.5, 5230, 2, 4.0, 4.0, "max"},
		{1.0, 3140, 3, 10.0, 10.0, "max"},
	}}
}

// demoLoading follows a straight line to half the rate at trueLife; the first row is a decay run. The differences from
// the line are written down: 3 to 5 m3/h, as the stated ± of 10 (k = 2) makes likely.
func demoLoading() table {
	t := table{name: "loading", head: []string{"hours", "delivery rate", "unit", "±", "run", "dose"}}
	t.rows = append(t.rows, []any{0.0, nil, "", nil, "max-1", 0.0})
	for i, diff := range []float64{-3.6, 4.1, 2.2, -4.7, 3.0} {
		h := float64(480 * (i + 1))
		t.rows = append(t.rows, []any{h, round(trueMax*(1-h/(2*trueLife))+diff, 0), "m3/h", 10.0, "", round(1.9*h, 0)})
	}
	return t
}

func demoWeights() table {
	return table{"weights", []string{"item", "grams", "±"}, [][]any{{"carbon", 311.4, 4.0}}}
}

func demoCosts() table {
	return table{"costs", []string{"item", "value", "currency", "option"}, [][]any{
		{"electricity", priceKWh, "EUR", ""},
		{"hours per day", hoursPerDay, "", ""},
		{"filter", 45.0, "EUR", "maker's filter"},
		{"filters per year", 2, "", "maker's filter"},
		{"filter", 27.5, "EUR", "third-party filter"},
		{"filters per year", 3, "", "third-party filter"},
	}}
}

func demoCostTruth() []costTruth {
	kwh := (trueWatts*hoursPerDay + trueStandby*(24-hoursPerDay)) * 365 / 1000
	var out []costTruth
	for _, o := range []struct {
		name          string
		price, number float64
	}{{"maker's filter", 45, 2}, {"third-party filter", 27.5, 3}} {
		out = append(out, costTruth{o.name, *number(kwh), *number(kwh * priceKWh), o.price * o.number,
			*number(kwh*priceKWh + o.price*o.number), "EUR"})
	}
	return out
}

// demoTolerances gives the maker the slack that packed goods have; without it the default for carbon is zero.
func demoTolerances() table {
	return table{"tolerances", []string{"attribute", "tolerance", "unit", "source"}, [][]any{
		{"carbon mass", 3.0, "%", "OIML R 61 class X(1), deviation of one fill up to 500 g, as in UK SI 2006/1258 Schedule 5 Table 2; made for packed goods, used here to the maker's side"},
	}}
}
