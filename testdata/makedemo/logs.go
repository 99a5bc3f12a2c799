package main

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// logFormat is how a logger of the bench writes: the contract's kinds of time, separators and headers, one each.
type logFormat int

const (
	isoZone    logFormat = iota // ISO 8601 with zone, two value columns, comma
	dateClock                   // day.month.year and clock in two columns, semicolon, decimal comma, CRLF
	elapsedSec                  // device lines and comments, elapsed seconds, a humidity column
	elapsedMin                  // elapsed minutes, with a byte order mark
	tabbed                      // year/month/day and clock in two columns, tab, a trailing separator
	unixSec                     // Unix seconds
	isoLocal                    // ISO 8601 without zone
)

// zone is the local time of the invented town: one hour ahead of UTC all May.
var zone = time.FixedZone("", 3600)

// names gives what the lab book says of such a log: the cells of its columns time and value.
func (f logFormat) names() (timeName, valueName string) {
	switch f {
	case isoZone:
		return "time", "pm1"
	case dateClock:
		return "date + clock", "pm1"
	case elapsedSec:
		return "elapsed", "pm1"
	case elapsedMin:
		return "elapsed", "pm1"
	case tabbed:
		return "date + time", "pm1"
	case unixSec:
		return "unix", "pm1"
	}
	return "time", "pm1"
}

func (r run) begin() time.Time {
	t, err := time.ParseInLocation("2006-01-02 15:04:05", r.start, zone)
	if err != nil {
		panic(err) // the starts stand in this program
	}
	return t
}

// clock is a moment of the run as its log writes it: clock time, or elapsed seconds or minutes.
func (r run) clock(t int) string {
	switch r.format {
	case elapsedSec:
		return strconv.Itoa(t)
	case elapsedMin:
		return strconv.FormatFloat(float64(t)/60, 'f', -1, 64)
	}
	return r.begin().Add(time.Duration(t) * time.Second).Format("15:04:05")
}

// text is the log file.
func (r run) text(log []reading) []byte {
	var b strings.Builder
	begin := r.begin()
	side := newNoise(stream(r.file+" side"), float64(r.step), 60)
	nl := "\n"
	switch r.format {
	case isoZone:
		b.WriteString("time,pm1 (ug/m3),pm2.5 (ug/m3)\n")
	case dateClock:
		nl = "\r\n"
		b.WriteString("date;clock;pm1 [ug/m3]\r\n")
	case elapsedSec:
		fmt.Fprintf(&b, "bench logger,%s\ninterval,%d s\n# room closed, mixing fan on\nelapsed (s),pm1 (ug/m3),humidity (%%)\n", r.sensor, r.step)
	case elapsedMin:
		nl = "\r\n"
		b.WriteString("\ufeffelapsed (min),pm1 (ug/m3)\r\n")
	case tabbed:
		b.WriteString("date\ttime\tpm1 (ug/m3)\t\n")
	case unixSec:
		b.WriteString("unix (s),pm1 (ug/m3)\n")
	case isoLocal:
		b.WriteString("time,pm1 (ug/m3)\n")
	}
	for _, x := range log {
		at := begin.Add(time.Duration(x.t) * time.Second)
		v := strconv.FormatFloat(x.value, 'f', r.digits, 64)
		if x.blank {
			v = ""
		}
		switch r.format {
		case isoZone:
			// the second channel of such a sensor runs a little higher and follows the first
			second := strconv.FormatFloat(round(x.value*1.18*(1+0.004*side.next()), r.digits), 'f', r.digits, 64)
			fmt.Fprintf(&b, "%s,%s,%s", at.Format(time.RFC3339), v, second)
		case dateClock:
			fmt.Fprintf(&b, "%s;%s;%s", at.Format("02.01.2006"), at.Format("15:04:05"), strings.Replace(v, ".", ",", 1))
		case elapsedSec:
			if x.t == r.peak {
				fmt.Fprintf(&b, "# %d s: stick out, mixing fan left on, unit started%s", x.t, nl)
			}
			fmt.Fprintf(&b, "%d,%s,%.1f", x.t, v, 46+0.4*side.next())
		case elapsedMin:
			fmt.Fprintf(&b, "%.4f,%s", float64(x.t)/60, v)
		case tabbed:
			fmt.Fprintf(&b, "%s\t%s\t%s\t", at.Format("2006/01/02"), at.Format("15:04:05"), v)
		case unixSec:
			fmt.Fprintf(&b, "%d,%s", at.Unix(), v)
		case isoLocal:
			fmt.Fprintf(&b, "%s,%s", at.Format("2006-01-02T15:04:05"), v)
		}
		b.WriteString(nl)
	}
	return []byte(b.String())
}

// decayHead is the header of the decay table.
var decayHead = []string{"run", "state", "setting", "particle", "log", "time", "value", "from", "to", "background", "background ±", "instrument"}

// decayTable makes the decay table of a lab book, adds its logs to attach, and says what was true.
func decayTable(runs []run, attach files) (table, []runTruth) {
	t := table{name: "decay", head: decayHead}
	var truth []runTruth
	for _, r := range runs {
		log := r.readings()
		attach[r.file] = r.text(log)
		timeName, valueName := r.format.names()
		from, to := "", ""
		a, b := r.window()
		if r.from {
			from = r.clock(a)
		}
		if r.to {
			to = r.clock(b)
		}
		t.rows = append(t.rows, []any{r.name, r.state, r.setting, "smoke", r.file, timeName, valueName, from, to,
			r.background(log), 0.5, r.sensor})
		truth = append(truth, runTruth{Run: r.name, State: r.state, Setting: r.setting, Log: r.file, K: r.k, Background: r.base,
			Excess: r.excess, PeakSeconds: r.peak})
	}
	return t, truth
}
