package main

import (
	"fmt"
	"math"
	"strings"
)

// The sound case that every broken one differs from in one thing.

const product = "field,value\nmaker,Ostrel Works\nmodel,Lumb 12\n"

const claimHead = "id,attribute,value,unit,bound,setting,particle,basis,wording,source,captured,evidence\n"

// claims is a spec book of CSV files with these rows of its claims table, under claimHead.
func claims(rows ...string) files {
	return files{"spec/product.csv": product, "spec/claims.csv": claimHead + strings.Join(rows, "\n") + "\n"}
}

// spec is a sound spec book.
func spec() files {
	return claims("C1,noise,52,dB(A),,max,,1 m,,box,2026-04-20,", "C2,power,45,W,,max,,,,rating plate,,", "C3,delivery rate,300,m3/h,,max,smoke,,,box,,")
}

const (
	room  = "item,value,unit,±\nlength,5.01,m,0.02\nwidth,3.59,m,0.02\nheight,2.51,m,0.02\n"
	meter = "id,measures,accuracy\nPM,particle mass,10 %\nSLM,sound level,1.4 dB\nPWR,power,2 % + 0.5 W\n"
	decay = "run,state,setting,particle,log,value,background,background ±,instrument\n" +
		"off,off,,smoke,logs/off.csv,pm1,2,0.5,PM\n" +
		"on,on,max,smoke,logs/on.csv,pm1,2,0.5,PM\n"
)

// bench is a sound case with a decay.
func bench() files {
	return spec().with("lab/room.csv", room).with("lab/instruments.csv", meter).with("lab/decay.csv", decay).
		with("logs/off.csv", curve(0.2)).with("logs/on.csv", curve(6))
}

// oneLog is bench with another log of the run with the unit on.
func oneLog(log string) files { return bench().with("logs/on.csv", log) }

// curve is a log of a decay of k per hour from 400 ug/m3 over a reading in clean air of 2 ug/m3, one line a minute.
func curve(k float64) string {
	var b strings.Builder
	b.WriteString("time [s],pm1 (ug/m3)\n")
	for s := 0; s <= 2400; s += 60 {
		fmt.Fprintf(&b, "%d,%.1f\n", s, 2+400*math.Exp(-k*float64(s)/3600))
	}
	return b.String()
}

// stamped is such a log with another first column.
func stamped(k float64, header string, at func(s int) string) string {
	lines := strings.Split(strings.TrimSuffix(curve(k), "\n"), "\n")
	lines[0] = header + ",pm1 (ug/m3)"
	for i := range lines[1:] {
		_, value, _ := strings.Cut(lines[i+1], ",")
		lines[i+1] = at(60*i) + "," + value
	}
	return strings.Join(lines, "\n") + "\n"
}

func clock(s int) string { return fmt.Sprintf("%02d:%02d:%02d", 10+s/3600, s/60%60, s%60) }

// wide writes ASCII text as UTF-16, little end first, without a byte order mark.
func wide(s string) string {
	var b strings.Builder
	for i := range len(s) {
		b.WriteByte(s[i])
		b.WriteByte(0)
	}
	return b.String()
}
