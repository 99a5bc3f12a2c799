package main

import (
	"fmt"
	"strings"
)

const soundHead = "setting,distance,log,value,instrument\n"

// mixups are sound cases in which one log counts twice, or a log or a column is not what its row says; and logs in which
// codes for no reading stand among the readings.
func mixups() map[string]files {
	change := func(old, fresh string) files { return bench().edit("lab/decay.csv", old, fresh) }
	on := "on,on,max,smoke,logs/on.csv,pm1,2,0.5,PM\n"
	again := func(row string) files { return change(on, on+row) }
	second := func(header string, value func(i int) string) files {
		lines := strings.Split(strings.TrimSuffix(curve(6), "\n"), "\n")
		lines[0] += "," + header
		for i := range lines[1:] {
			lines[i+1] += "," + value(i)
		}
		return oneLog(strings.Join(lines, "\n") + "\n")
	}
	power := func(row func(i int) string) files {
		return spec().with("lab/instruments.csv", meter).with("lab/power.csv", "setting,log,value,instrument\nmax,logs/p.csv,watts,PWR\n").
			with("logs/p.csv", "time [s],watts [W]\n"+rows(600, row))
	}
	level := func(row func(i int) string) files {
		return spec().with("lab/instruments.csv", meter).with("lab/sound.csv", soundHead+"max,1,logs/s.csv,level,SLM\n").
			with("logs/s.csv", "time [s],level [dB(A)]\n"+rows(300, row))
	}
	dated := func(k float64) string {
		return stamped(k, "time", func(s int) string { return "2026-05-04 " + clock(s) })
	}
	return map[string]files{
		"twice-same-log":         again("on-2,on,max,smoke,logs/on.csv,pm1,2,0.5,PM\n"),
		"twice-same-log-name":    again("on-2,on,max,smoke,logs/../LOGS/../logs/on.csv,PM1,2,0.5,PM\n"),
		"twice-two-settings":     again("low-1,on,low,smoke,logs/on.csv,pm1,2,0.5,PM\n"),
		"twice-same-bytes":       again("on-2,on,max,smoke,logs/on2.csv,pm1,2,0.5,PM\n").with("logs/on2.csv", curve(6)),
		"twice-other-form":       again("on-2,on,max,smoke,logs/on2.csv,pm1,2,0.5,PM\n").with("logs/on2.csv", strings.ReplaceAll(curve(6), ",", ";")),
		"twice-off-and-on-bytes": bench().with("logs/off.csv", curve(6)),
		"twice-windows-overlap": bench().with("lab/decay.csv", "run,state,setting,particle,log,value,from,to,instrument\noff,off,,smoke,logs/off.csv,pm1,,,PM\n"+
			"a,on,max,smoke,logs/on.csv,pm1,2 min,20 min,PM\nb,on,max,smoke,logs/on.csv,pm1,10 min,30 min,PM\n"),
		"twice-two-sensors":     second("pm1 b (ug/m3)", func(i int) string { return fmt.Sprint(400 - 9*i) }).edit("lab/decay.csv", on, on+"on-2,on,max,smoke,logs/on.csv,pm1 b,2,0.5,PM\n"),
		"twice-one-clock":       again("on-2,on,max,smoke,logs/on2.csv,pm1,2,0.5,PM\n").with("logs/on.csv", dated(6)).with("logs/on2.csv", dated(5.9)),
		"twice-power-log":       power(func(i int) string { return fmt.Sprintf("%.1f", 44+float64(i%7)/10) }).edit("lab/power.csv", "PWR\n", "PWR\nmax,logs/p.csv,watts,PWR\n"),
		"twice-sound-log":       level(func(i int) string { return fmt.Sprintf("%.1f", 51+float64(i%7)/10) }).edit("lab/sound.csv", "SLM\n", "SLM\nlow,1,logs/s.csv,level,SLM\n"),
		"mixed-on-and-off":      change("logs/on.csv", "logs/x.csv").edit("lab/decay.csv", "logs/off.csv", "logs/on.csv").edit("lab/decay.csv", "logs/x.csv", "logs/off.csv"),
		"mixed-off-names-on":    change("logs/off.csv", "logs/on.csv"),
		"mixed-temperature":     second("Temp (°C)", func(i int) string { return fmt.Sprintf("%.1f", 21+float64(i%4)/10) }).edit("lab/decay.csv", "logs/on.csv,pm1", "logs/on.csv,Temp"),
		"mixed-flat-channel":    second("ch 3", func(i int) string { return fmt.Sprintf("%.1f", 41+float64(i%4)/10) }).edit("lab/decay.csv", "logs/on.csv,pm1", "logs/on.csv,ch 3"),
		"mixed-no-unit-ran":     bench().with("logs/on.csv", curve(0.18)),
		"mixed-counts-swapped":  spec().with("lab/counts.csv", "size [um],upstream,downstream,upstream volume [L],downstream volume [L],setting\n0.3,4,8420,2,2,max\n"),
		"mixed-concentration":   spec().with("lab/counts.csv", "size [um],upstream [1/L],downstream [1/L],setting\n0.3,8420,4,max\n"),
		"dropout-power-zeros":   power(func(i int) string { return pick(i%20 == 3, "0", fmt.Sprintf("%.1f", 60+float64(i%7)/10)) }),
		"dropout-power-quarter": power(func(i int) string { return pick(i%4 == 3, "0", fmt.Sprintf("%.1f", 60+float64(i%7)/10)) }),
		"dropout-power-stopped": power(func(i int) string { return pick(i > 200 && i < 300, "0", fmt.Sprintf("%.1f", 60+float64(i%7)/10)) }),
		"dropout-power-codes": power(func(i int) string {
			return pick(i%50 == 3, []string{"-1", "9999", "65535"}[i/50%3], fmt.Sprintf("%.1f", 60+float64(i%7)/10))
		}),
		"dropout-power-before": power(func(i int) string { return pick(i < 90, "0", fmt.Sprintf("%.1f", 60+float64(i%7)/10)) }),
		"dropout-sound-codes": level(func(i int) string {
			return pick(i%50 == 3, []string{"0", "130", "-99", "999"}[i/50%4], fmt.Sprintf("%.1f", 51+float64(i%7)/10))
		}),
		"dropout-sound-a-third": level(func(i int) string { return pick(i%3 == 0, "0", fmt.Sprintf("%.1f", 51+float64(i%7)/10)) }),
		"dropout-standby-zeros": power(func(i int) string { return pick(i%4 == 3, "0", "1.5") }).edit("lab/power.csv", "max,", "standby,"),
	}
}

// rows are n lines of a log, one a second.
func rows(n int, value func(i int) string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "%d,%s\n", i, value(i))
	}
	return b.String()
}

func pick(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}
