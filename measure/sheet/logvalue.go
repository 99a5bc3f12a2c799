package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
)

var errNoValue = errors.New("no value")

func (s *logScan) value(a *ask, f *logField) (float64, error) {
	switch {
	case f.bad != nil:
		return 0, f.bad
	case f.kind == fieldNumber:
		return f.num, nil
	case f.kind != fieldText:
		return 0, fmt.Errorf("found a date or time, accepted is a number")
	}
	text := f.text
	if a.groups && grouped(strings.TrimLeft(clean(string(text)), "-"), '.') {
		text = bytes.ReplaceAll(text, []byte("."), nil)
	}
	x, err := readNumber(text, a.rule)
	if err == nil {
		if !a.rule.comma {
			s.commas(a, f.text)
		}
		return x, nil
	}
	if noValue(string(f.text)) {
		return 0, errNoValue
	}
	if _, why := badBytes(f.text); why != "" {
		return 0, errors.New(why)
	}
	if x, u, err2 := readingWithUnit(f.text, a.rule); err2 == nil && u != "" {
		switch {
		case a.cellUnit == "" && (len(a.series.T) == 0 || sameUnit(u, a.header.Unit)):
			a.cellUnit = u
		case a.cellUnit == "" || !sameUnit(u, a.cellUnit):
			return 0, fmt.Errorf("found %s in a column of other units, accepted is one unit", quote(string(f.text)))
		}
		if knownUnit(a.header.Unit) && !sameUnit(u, a.header.Unit) {
			return 0, fmt.Errorf("found %s under the header %s, which says %s, accepted is one unit", quote(string(f.text)), quote(a.header.Header), a.header.Unit)
		}
		return x, nil
	}
	return 0, err
}

// readingWithUnit reads a number with a unit behind it: 36.2 W, 45dB(A).
func readingWithUnit(text []byte, rule numberRule) (float64, string, error) {
	x, err := parseNumber(string(text), rule)
	if err == nil {
		return x, "", nil
	}
	t := bytes.TrimSpace(text)
	i := bytes.LastIndexAny(t, "0123456789")
	if i >= 0 && i+1 < len(t) && len(t) < 60 {
		for ; i > 0 && !strings.ContainsRune(" \u00a0", rune(t[i])) && (t[i] < '0' || t[i] > '9'); i-- {
		}
		u := clean(string(t[i+1:]))
		if n := unitStart(t); n > 0 {
			i, u = n-1, clean(string(t[n:]))
		}
		if valueUnit(u) || levelUnit(u) {
			if x, err2 := parseNumber(string(t[:i+1]), rule); err2 == nil {
				return x, u, nil
			}
		}
	}
	return 0, "", err
}

// unitStart is where the letters behind a leading number begin, 0 for nowhere.
func unitStart(t []byte) int {
	for i, c := range t {
		if c >= 0x80 || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c == '%' || c == '#' {
			return i
		}
	}
	return 0
}

// chosen reports whether a row is one that the ask chooses.
func (a *ask) chosen(fields []logField) bool {
	for i := range a.where {
		if !a.where[i].holds(&fields[a.where[i].col]) {
			return false
		}
	}
	return true
}

// whereColumn is a column by which rows are chosen.
type whereColumn struct {
	col     int
	want    string // folded
	written string
	last    []byte // the text of the row before
	is      bool   // what it came to
	seen    map[string]int
	free    bool // it holds more texts than are kept
}

func (w *whereColumn) holds(f *logField) bool {
	text := f.text
	if f.kind == fieldNumber {
		text = []byte(general(f.num))
	}
	if w.last != nil && bytes.Equal(w.last, text) {
		w.count(string(w.last))
		return w.is
	}
	w.last = append(w.last[:0], text...)
	if w.last == nil {
		w.last = []byte{}
	}
	t := clean(string(text))
	w.is = FoldName(t) == w.want
	w.count(string(w.last))
	return w.is
}

// maxSeen is how many texts of a column are kept, for the message that names them.
const maxSeen = 1000

func (w *whereColumn) count(text string) {
	if _, ok := w.seen[text]; ok || len(w.seen) < maxSeen {
		w.seen[text]++
	} else {
		w.free = true
	}
}
