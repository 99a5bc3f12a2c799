package sheet

import (
	"errors"
	"strings"
)

// headRow is one of the first rows of a log.
type headRow struct {
	line   int
	cells  []string   // as texts
	fields []logField // as a sheet holds them; nil for CSV
	mark   bool       // it begins with #
	offset int        // of its first byte, for CSV
	first  int        // its first line, where quotes hold line breaks
}

// frame is where the header of a log stands, and its readings.
type frame struct {
	header  int // index of the row, -1 for none
	data    int // index of the first row of readings
	columns []Column
	sound   bool // a row below has a time where the time is due
}

// maxUnder is how many rows of units, kinds and numbers of sensors may stand between the header and the readings.
const maxUnder = 8

// columnsOf reads the headers of a row; trailing separators are no columns.
func (s *logScan) columnsOf(row headRow) []Column {
	cells := row.cells
	for n := len(cells); n > 0 && clean(cells[n-1]) == ""; n-- {
		cells = cells[:n-1]
	}
	out := make([]Column, len(cells))
	for i, h := range cells {
		if row.mark && i == 0 && clean(h) != "#" {
			h = strings.TrimLeft(clean(h), "# ")
		}
		name, unit := splitHeader(h)
		p := s.task.place
		p.Row, p.Col, p.Column = row.line, i+1, clean(h)
		out[i] = Column{Name: name, Header: clean(h), Unit: unit, Place: p}
	}
	return out
}

// placeless are the columns of a log without a header.
func (s *logScan) placeless(n int) []Column {
	out := make([]Column, n)
	for i := range out {
		p := s.task.place
		p.Col, p.Column = i+1, placeText(i)
		out[i] = Column{Name: placeText(i), Header: placeText(i), Place: p}
	}
	return out
}

// binding is what one ask takes from the columns of a log.
type binding struct {
	times []match // none where the time is to be found
	value match
	where []match
}

// bindTo finds the columns of an ask by name and place. The value is -1 where it is to be guessed.
func (a *ask) bindTo(columns []Column, begun bool) (b binding, named bool, err error) {
	b.value.col = -1
	if a.value != "" {
		w := a.want
		whole := namePart{raw: w.text, name: FoldName(w.text)}
		if b.value, err = whole.find(columns, false); err != nil && len(w.parts) > 0 {
			b.value, err = w.parts[0].find(columns, begun)
			for _, c := range w.where {
				if err != nil {
					break
				}
				var m match
				m, err = c.part.find(columns, begun)
				b.where = append(b.where, m)
			}
			named = w.parts[0].place == 0
		} else {
			named = true
		}
		if err != nil {
			return b, false, err
		}
	}
	if a.time == "" {
		return b, named, nil
	}
	w := newWish(a.time, false)
	m, err := w.parts[0].find(columns, begun)
	if err == nil {
		b.times = []match{m}
		return b, named || w.parts[0].place == 0, nil
	}
	sum, several := w.sum()
	if !several {
		return b, false, err
	}
	for _, p := range sum.parts {
		m, err := p.find(columns, begun)
		if err != nil {
			return b, false, err
		}
		named = named || p.place == 0
		b.times = append(b.times, m)
	}
	return b, named, nil
}

// at tries a row as the header of the rows below it. ok is false where no ask finds its columns there by name.
func (s *logScan) frameAt(rows []headRow, i int, begun bool) (f frame, ok bool) {
	columns := s.columnsOf(rows[i])
	if len(columns) == 0 {
		return f, false
	}
	for _, a := range s.task.asks {
		b, named, err := a.bindTo(columns, begun)
		if err != nil && errors.Is(err, errNoColumn) || err == nil && !named {
			continue
		}
		if err == nil && headless(columns, b) || err != nil && mostlyNumbers(columns) {
			continue
		}
		g := frame{header: i, columns: columns, data: i + 1}
		if err == nil {
			g.data, g.sound = s.firstData(rows, i+1, columns, a, b)
		} else {
			g.sound = true // the name of two columns
		}
		if !ok || g.sound && !f.sound {
			f, ok = g, true
		}
	}
	return f, ok
}

// mostlyNumbers reports whether a row holds as many times and numbers as names.
func mostlyNumbers(columns []Column) bool {
	n, all := 0, 0
	for _, c := range columns {
		if c.Header != "" {
			all++
			if timeLike(c.Header) {
				n++
			}
		}
	}
	return 2*n >= all
}

// headless reports whether the cells that an ask found hold readings, so that the row is no header: a time, or a number where the time's
// cell is none either.
func headless(columns []Column, b binding) bool {
	for _, m := range b.times {
		if h := columns[m.col].Header; timeLike(h) {
			return true
		}
	}
	return false
}

// timeLike reports whether a text begins as a time or a number does.
func timeLike(text string) bool {
	t := strings.TrimLeft(clean(text), "+-\u2212")
	if t == "" {
		return false
	}
	if t[0] >= '0' && t[0] <= '9' {
		return true
	}
	if len(t) > 60 {
		return false
	}
	_, err := parseStamp(t, dayFirst)
	return err == nil
}

// firstData finds the first row of readings from row i on: rows of units, kinds and numbers before it hold no time. sound says that a
// row soon has a time that can be read.
func (s *logScan) firstData(rows []headRow, i int, columns []Column, a *ask, b binding) (data int, sound bool) {
	data = -1
	under := 0
	for j := i; j < len(rows) && j < i+maxUnder+40; j++ {
		if rows[j].mark || rows[j].blank() {
			continue
		}
		dated, like := s.hasTime(columns, a, b, rows[j])
		switch {
		case data < 0 && (dated || like):
			data, sound = j, dated
		case data < 0:
			if under++; under > maxUnder {
				return i, false
			}
		case dated:
			sound = true
		}
		if sound {
			return data, true
		}
	}
	if data < 0 {
		return i, false
	}
	return data, sound
}

func (r headRow) blank() bool {
	for _, c := range r.cells {
		if clean(c) != "" {
			return false
		}
	}
	return true
}

// hasTime reports whether a row has a time that can be read where the ask's time is, or one that cannot be read but looks like one.
func (s *logScan) hasTime(columns []Column, a *ask, b binding, row headRow) (dated, like bool) {
	if len(b.times) == 0 {
		cols, several := guessTime(columns, row.cells, s.rule)
		if b.value.col >= 0 && b.value.col < len(row.cells) && !readable(row.cells[b.value.col], s.rule) {
			return false, false
		}
		return len(cols) > 0 || len(several) > 1, false
	}
	fields := row.asFields(len(columns))
	c := s.newClock(columns, b.times, "")
	_, blank, err := c.readRow(fields)
	if err == nil && !blank {
		return true, true
	}
	for _, m := range b.times {
		if m.col < len(row.cells) && timeLike(row.cells[m.col]) {
			return false, true
		}
	}
	return false, false
}

// readable reports whether a text can stand where a reading is due.
func readable(text string, rule numberRule) bool {
	if clean(text) == "" || noValue(text) {
		return true
	}
	_, _, err := readingWithUnit([]byte(text), rule)
	return err == nil
}

// asFields gives the cells of a row as fields, at least n of them.
func (r headRow) asFields(n int) []logField {
	out := make([]logField, max(n, len(r.cells)))
	for i := range out {
		if r.fields != nil && i < len(r.fields) {
			out[i] = r.fields[i]
		} else if i < len(r.cells) {
			out[i].text = []byte(r.cells[i])
		}
	}
	return out
}
