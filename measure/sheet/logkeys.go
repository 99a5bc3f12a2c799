package sheet

import (
	"bytes"
	"fmt"
	"math"
	"sort"
	"strings"
)

// keyColumn watches a column that may tell several series of a long table apart: texts, or small whole numbers without a unit.
type keyColumn struct {
	col     int
	name    string // folded
	header  string
	word    bool // a name for series: entity, sensor, channel
	number  bool // it holds whole numbers
	blanks  int  // rows that leave it blank
	free    bool // it holds too many texts to be one
	last    []byte
	at      *keySeries
	series  map[string]*keySeries
	order   []string
	changes [3]int // rows of another series than the row before whose time is: later, the same, earlier
	between float64
	steps   int // of between: the change of the reading from one series to another, summed
}

// keySeries is one series of such a column.
type keySeries struct {
	n      int
	value  float64
	valued bool
	within float64 // change of the reading since the last row of this series, summed
	steps  int
}

// maxKeys is how many series a column can tell apart; more are remarks.
const maxKeys = 2000

// watch finds the columns to be watched, by the first rows of data.
func (s *logScan) watch(a *ask, f frame, b binding, data []headRow) {
	skip := map[int]bool{a.col: true}
	for _, m := range append(append([]match(nil), b.times...), b.where...) {
		skip[m.col] = true
	}
	for i, c := range f.columns {
		name := plainName(c.Name)
		if _, remark := logWord("remark", name); skip[i] || remark {
			continue
		}
		_, word := logWord("key", name)
		texts, whole, other, n := 0, 0, 0, 0
		for _, r := range data {
			if i >= len(r.cells) || clean(r.cells[i]) == "" || noValue(r.cells[i]) {
				continue
			}
			text := clean(r.cells[i])
			n++
			switch {
			case len(text) <= 4 && digits(text):
				whole++
			case timeLike(text) || readable(text, s.rule):
				other++
			default:
				texts++
			}
		}
		if texts > 0 && !word {
			for _, w := range strings.FieldsFunc(name, func(r rune) bool { return r == ' ' || r == '/' || r == '.' || r == '#' }) {
				_, key := logWord("keyword", w)
				word = word || key
			}
		}
		switch {
		case n == 0 || other > 0 && !word, texts == 0 && headerValueUnit(c.Header) != "":
			continue
		case texts == 0 && whole == 0 && !word:
			continue
		}
		a.keys = append(a.keys, &keyColumn{col: i, name: name, header: nameOf(f.columns, i), word: word, number: texts == 0, series: map[string]*keySeries{}})
	}
}

// watch takes one row into account.
func (a *ask) watch(t float64, v *logField, fields []logField) {
	step := 0
	switch {
	case t == a.lastT:
		step = 1
	case t < a.lastT:
		step = 2
	}
	first := a.rows == 1
	if !first {
		a.steps[step]++
	}
	x, valued := 0.0, false
	if v.kind == fieldNumber {
		x, valued = v.num, true
	} else if y, err := readNumber(v.text, a.rule); err == nil {
		x, valued = y, true
	}
	for _, k := range a.keys {
		if !k.free {
			k.see(&fields[k.col], step, first, x, valued, a.lastX, a.hasX)
		}
	}
	a.lastT = t
	if valued {
		a.lastX, a.hasX = x, true
	}
}

func (k *keyColumn) see(f *logField, step int, first bool, x float64, valued bool, lastX float64, hasX bool) {
	text := f.text
	if f.kind == fieldNumber {
		text = []byte(general(f.num))
	}
	changed := k.at == nil || !bytes.Equal(text, k.last)
	if changed {
		key := clean(string(text))
		if key == "" || noValue(key) {
			k.blanks++
			return
		}
		at := k.series[key]
		if at == nil {
			if len(k.series) >= maxKeys {
				k.free, k.series = true, nil
				return
			}
			at = &keySeries{}
			k.series[key] = at
			k.order = append(k.order, key)
		}
		if k.at != nil && at != k.at && !first {
			k.changes[step]++
			if valued && hasX {
				k.between += math.Abs(x - lastX)
				k.steps++
			}
		}
		k.at, k.last = at, append(k.last[:0], text...)
	}
	k.at.n++
	if valued {
		if k.at.valued {
			k.at.within += math.Abs(x - k.at.value)
			k.at.steps++
		}
		k.at.value, k.at.valued = x, true
	}
}

// several reports whether the column holds several series whose readings must not be mixed. Its name says so; or the time stands still or turns
// back where the series changes, and there alone; or its texts take turns, and the reading changes far more from one to another than within each.
func (k *keyColumn) several(a *ask) bool {
	if k.free || len(k.series) < 2 {
		return false
	}
	rows, most, second := 0, 0, 0
	within, steps := 0.0, 0
	for _, s := range k.series {
		rows += s.n
		if s.n > most {
			most, second = s.n, most
		} else if s.n > second {
			second = s.n
		}
		within += s.within
		steps += s.steps
	}
	if second < 2 && !(k.word && !k.number) || len(k.series)*3 > rows*2 && !k.word {
		return false
	}
	changes := k.changes[0] + k.changes[1] + k.changes[2]
	still, back := a.steps[1], a.steps[2]
	kback := k.changes[2]
	if a.steps[2] > a.steps[0] { // the newest reading stands first
		back, kback = a.steps[0], k.changes[0]
	}
	// the time stands still or turns back at changes alone
	atChange := k.changes[1] + kback
	timely := atChange > 0 && atChange*10 >= 9*(still+back) && (k.changes[1]*4 >= changes || kback*10 >= 9*changes)
	apart := k.steps > 0 && steps > 0 && k.between/float64(k.steps) > 3*(within/float64(steps)) && k.between > 0
	switch {
	case k.number:
		return timely && (k.word || apart || kback*10 >= 9*changes) && len(k.series)*4 <= rows || k.word && timely || k.word && apart && changes > 2*len(k.series)
	case k.word, timely:
		return true
	}
	return apart && changes > 2*len(k.series) && second*10 >= rows
}

// settleChoice refuses a table of several series of which none was chosen, and a choice that no row meets.
func (s *logScan) settleChoice(a *ask) bool {
	if len(a.where) > 0 && a.rows == 0 {
		w := &a.where[0]
		var names []string
		for n := range w.seen {
			names = append(names, clean(n))
		}
		sort.Strings(names)
		more := ""
		if w.free {
			more = " and others"
		}
		s.task.ps.Add(a.place, "", "log %s: no row holds %s in the column %s, which holds %s%s", quote(s.task.name), quote(w.written), quote(s.header[w.col]), list(names), more)
		return false
	}
	for _, k := range a.keys {
		if !k.several(a) {
			if strings.HasPrefix(k.name, "unit") && len(k.order) == 1 && !knownUnit(a.header.Unit) && !k.free {
				if u := headerValueUnit("x " + k.order[0]); valueUnit(k.order[0]) || levelUnit(k.order[0]) {
					a.series.ValueUnit = k.order[0]
				} else if u != "" {
					a.series.ValueUnit = u
				}
			}
			continue
		}
		var names []string
		for i, n := range k.order {
			if i == 12 {
				names = append(names, fmt.Sprintf("%d more", len(k.order)-i))
				break
			}
			rows := countRows(k.series[n].n)
			if i > 0 {
				rows = count(int64(k.series[n].n))
			}
			names = append(names, n+" ("+rows+")")
		}
		p := s.task.place
		p.Col, p.Column = k.col+1, k.header
		value := a.want.text
		if value == "" {
			value = a.header.Header
		}
		word := " where "
		if len(a.where) > 0 {
			word = " and "
		}
		s.task.ps.Add(p, fmt.Sprintf("choose one where the value column is named: %s", quote(value+word+k.header+" = "+k.order[0])), "the column %s holds several series, %s, and none is chosen", quote(k.header), strings.Join(names, ", "))
		return false
	}
	return true
}
