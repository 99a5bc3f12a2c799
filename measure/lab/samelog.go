package lab

import (
	"fmt"
	"math"

	"weighhouse/measure/sheet"
)

// use is one row that takes readings of a log.
type use struct {
	row    string // for people: "run on-1", "max"
	group  string // rows of one group are repeats of one result
	part   string // "off", "on", "" where a log has no parts
	kind   string // the particle; "" where none
	at     sheet.Place
	log    string // as the row names it
	series *sheet.Series
	from   float64 // s; NaN: as the reduction finds it
	to     float64
}

// sameLogs finds readings that would count twice: one column of a log that two rows take over the same time, one log under
// two names, two logs of one time in one room. Two such rows are one run, and their agreement shows no repeat.
func (r *reader) sameLogs(uses []use) {
	for j, b := range uses {
		for _, a := range uses[:j] {
			if why := countedTwice(a, b); why != "" {
				r.ps.Add(b.at, "one log is one run: leave one of the rows out, or give each the log, or the from and to, that is its own", "log %q: %s", b.log, why)
				break
			}
		}
	}
}

// countedTwice says why two rows take the same readings, "" where they do not.
func countedTwice(a, b use) string {
	if a.series == nil || b.series == nil {
		return ""
	}
	if a.kind != b.kind && (a.series.Value != b.series.Value || a.series.Path != b.series.Path) {
		return "" // another size of particle from another channel
	}
	one := a.series.Path == b.series.Path && sheet.FoldName(a.series.Value) == sheet.FoldName(b.series.Value) && len(a.series.T) == len(b.series.T) && sameValues(a.series, b.series)
	shared := overlap(a, b)
	switch {
	case one && a.kind != b.kind:
		return "" // one channel that stands for two kinds of particle
	case one && a.part != b.part && !(typed(a) && typed(b)):
		return "" // the natural decay and the run of one log, each found in it
	case one && shared > 0:
		return fmt.Sprintf("its column %q stands for %s too (%s), over the same time", b.series.Value, a.row, a.at)
	case one:
		return ""
	case sameValues(a.series, b.series) && shared != 0:
		return fmt.Sprintf("it holds the same readings as the log %q of %s (%s)", a.log, a.row, a.at)
	case a.series.Path == b.series.Path && a.group == b.group && a.part == b.part && shared > 0:
		return fmt.Sprintf("another column of it, %q, stands for %s (%s) over the same time: two sensors in one run are one run", a.series.Value, a.row, a.at)
	case a.group == b.group && a.part == b.part && clockShare(a, b) > 0.5:
		return fmt.Sprintf("its clock runs over the same time as the log %q of %s (%s): two sensors in one run are one run", a.log, a.row, a.at)
	}
	return ""
}

// usesOf are the rows of a table without windows that point at logs.
func usesOf(logs []*sheet.Series, asks []sheet.LogRequest, setting func(i int) string) []use {
	var out []use
	for i, s := range logs {
		if s != nil {
			name := setting(i)
			out = append(out, use{row: fmt.Sprintf("setting %q", name), group: sheet.FoldName(name), at: asks[i].Place, log: asks[i].Path, series: s, from: math.NaN(), to: math.NaN()})
		}
	}
	return out
}

func typed(u use) bool { return !math.IsNaN(u.from) && !math.IsNaN(u.to) }

// window is the time in s of its log that a row takes, the whole log where the row does not say.
func (u use) window() (from, to float64) {
	from, to = u.from, u.to
	if math.IsNaN(from) {
		from = u.series.T[0]
	}
	if math.IsNaN(to) {
		to = u.series.T[len(u.series.T)-1]
	}
	return from, to
}

// overlap is the time in s that two rows share by the clock of the log; windows that only touch share none.
func overlap(a, b use) float64 {
	a0, a1 := a.window()
	b0, b1 := b.window()
	return math.Max(0, math.Min(a1, b1)-math.Max(a0, b0))
}

// clockShare is the share of the shorter of two windows that both cover by the day and the clock of their logs; 0 where a
// log does not say its day.
func clockShare(a, b use) float64 {
	if a.series.TimeKind == sheet.Elapsed || b.series.TimeKind == sheet.Elapsed || a.series.TimeKind != b.series.TimeKind || !a.series.Dated || !b.series.Dated {
		return 0
	}
	shift := b.series.Start.Sub(a.series.Start).Seconds()
	a0, a1 := a.window()
	b0, b1 := b.window()
	shared := math.Min(a1, b1+shift) - math.Max(a0, b0+shift)
	if shorter := math.Min(a1-a0, b1-b0); shorter > 0 {
		return shared / shorter
	}
	return 0
}

// fewestSame is the number of readings from which two equal logs are one: fewer, or fewer than three values, may be chance.
const fewestSame = 10

// sameValues reports whether two logs hold the same readings at the same distance in time, over the length of the shorter.
func sameValues(a, b *sheet.Series) bool {
	n := min(len(a.V), len(b.V))
	if n < fewestSame || n < max(len(a.V), len(b.V))/2 {
		return false
	}
	seen := map[float64]bool{}
	for i := range n {
		if a.V[i] != b.V[i] || math.Abs((a.T[i]-a.T[0])-(b.T[i]-b.T[0])) > 1e-6 {
			return false
		}
		if len(seen) < 3 {
			seen[a.V[i]] = true
		}
	}
	return len(seen) >= 3
}
