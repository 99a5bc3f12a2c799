// Package variations makes books and logs that say the same as a sound case in another way, or that hold a mix-up, by a seed:
// what a test asks of each is that its audit equals that of the plain case, or is refused with a message that names the
// cell, or carries a note; never that it differs in silence, and never that a true claim is contradicted. The makers and
// models are invented.
package variations

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// Case is a case before it is written: its tables by book and name ("lab/room"), a header row first, and its logs.
type Case struct {
	Tables map[string][][]string
	Order  []string
	Logs   map[string]string
	Raw    map[string]func(text string) string // of a table: what is done to its text as CSV; only CSV forms
	Rich   map[string]string                   // of a cell "lab/power!B2": its raised characters; only workbooks
}

// Plain is the sound case: every claim of it is true.
func Plain() *Case {
	c := &Case{Tables: map[string][][]string{}, Logs: map[string]string{}, Raw: map[string]func(string) string{}, Rich: map[string]string{}}
	table := func(name, text string) {
		var rows [][]string
		for _, l := range strings.Split(strings.TrimSpace(text), "\n") {
			rows = append(rows, strings.Split(l, "|"))
		}
		c.Tables[name] = rows
		c.Order = append(c.Order, name)
	}
	table("spec/product", "field|value\nmaker|Ostrel Works\nmodel|Lumb 12")
	table("spec/claims", `id|attribute|value|unit|setting|particle|basis
C1|delivery rate|240|m3/h|max|smoke|
C2|power|46|W|max||
C3|noise|54|dB(A)|max||1 m
C4|filter efficiency|99|%|max|0.3 um|
C5|carbon mass|300|g|||
C6|standby power|1|W|||`)
	table("lab/test", "field|value\ntester|A bench\nmethod|room\nmixing fan|on\nruns planned|6\ndate|2026-05-04")
	table("lab/room", "item|value|unit|±\nlength|5.01|m|0.02\nwidth|3.59|m|0.02\nheight|2.51|m|0.02")
	table("lab/instruments", "id|measures|accuracy\nPM|particle mass|10 %\nSLM|sound level|1.4 dB\nPWR|power|2 % + 0.1 W")
	table("lab/decay", `run|state|setting|particle|log|time|value|background|background ±|instrument
off-1|off||smoke|logs/off1.csv|time|pm1|2|0.5|PM
off-2|off||smoke|logs/off2.csv|time|pm1|2|0.5|PM
off-3|off||smoke|logs/off3.csv|time|pm1|2|0.5|PM
on-1|on|max|smoke|logs/on1.csv|time|pm1|2|0.5|PM
on-2|on|max|smoke|logs/on2.csv|time|pm1|2|0.5|PM
on-3|on|max|smoke|logs/on3.csv|time|pm1|2|0.5|PM`)
	table("lab/sound", `setting|distance|level|background|instrument
max|1|52.4|28.1|SLM
max|1|52.9|28.1|SLM
max|1|52.2|28.1|SLM`)
	c.Tables["lab/sound"][0][2] = "level [dB(A)]"
	table("lab/power", `setting|watts|log|time|value|instrument
max|44.6||||PWR
max|44.9||||PWR
standby|0.42||||PWR
standby|0.44||||PWR
max||logs/power.csv|time|watts|PWR`)
	table("lab/counts", "size [um]|upstream|downstream|setting\n0.3|18420|41|max\n0.3|18112|38|max")
	table("lab/weights", "item|grams|±\ncarbon|311.4|2\ncarbon|310.9|2")
	table("lab/costs", "item|value|currency\nelectricity|0.31|EUR\nhours per day|12|")
	r := rand.New(rand.NewPCG(5, 14))
	for i, k := range []float64{0.18, 0.2, 0.21} {
		c.Logs[fmt.Sprintf("logs/off%d.csv", i+1)] = decay(r, k, 80)
	}
	for i, k := range []float64{6, 6.1, 5.9} {
		c.Logs[fmt.Sprintf("logs/on%d.csv", i+1)] = decay(r, k, 40)
	}
	var b strings.Builder
	b.WriteString("time [s],watts [W],volts [V]\n")
	for s := 0; s < 900; s += 2 {
		fmt.Fprintf(&b, "%d,%.1f,%.1f\n", s, 44.7+0.2*r.NormFloat64(), 230+r.NormFloat64())
	}
	c.Logs["logs/power.csv"] = b.String()
	return c
}

// decay is the log of a decay of k per hour for so many minutes, with the room's temperature beside it.
func decay(r *rand.Rand, k float64, minutes int) string {
	var b strings.Builder
	b.WriteString("time [s],pm1 (ug/m3),Temp (°C)\n")
	for s := 0; s <= 60*minutes; s += 20 {
		v := 2 + 260*math.Exp(-k*float64(s)/3600)*(1+0.01*r.NormFloat64())
		fmt.Fprintf(&b, "%d,%.2f,%.1f\n", s, v, 21.4+0.1*r.NormFloat64())
	}
	return b.String()
}

// cell finds the place of a column in a table.
func (c *Case) column(table, name string) int {
	for i, h := range c.Tables[table][0] {
		if strings.HasPrefix(h, name) {
			return i
		}
	}
	panic(table + " has no column " + name)
}

// numeric lists cells that hold plain numbers: table, row, column.
func (c *Case) numeric(tables ...string) (out [][3]any) {
	for _, t := range tables {
		for i, row := range c.Tables[t] {
			for j, s := range row {
				if i > 0 && s != "" && !strings.HasPrefix(c.Tables[t][0][j], "±") && strings.Trim(s, "0123456789.") == "" {
					out = append(out, [3]any{t, i, j})
				}
			}
		}
	}
	return out
}

// change replaces one numeric cell of some tables, picked by the seed; not an uncertainty, of which a per cent is a share.
func (c *Case) change(r *rand.Rand, fresh func(s string) string, tables ...string) {
	all := c.numeric(tables...)
	p := all[r.IntN(len(all))]
	t, i, j := p[0].(string), p[1].(int), p[2].(int)
	c.Tables[t][i][j] = fresh(c.Tables[t][i][j])
}

// columnOf changes all cells of a column.
func (c *Case) columnOf(table, name string, fresh func(s string) string) {
	j := c.column(table, name)
	for _, row := range c.Tables[table][1:] {
		row[j] = fresh(row[j])
	}
}

// some picks a table.
func some(r *rand.Rand, names ...string) string { return names[r.IntN(len(names))] }

var readings = []string{"lab/room", "lab/sound", "lab/power", "lab/weights", "lab/counts"}

var tables = append([]string{"spec/claims", "spec/product", "lab/decay", "lab/instruments"}, readings...)
