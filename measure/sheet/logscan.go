package sheet

import (
	"errors"
	"fmt"
	"strings"
)

// logScan takes the rows of one log, finds the header among them and hands the readings to what is asked.
type logScan struct {
	task    *logTask
	left    *counter
	rule    numberRule
	size    int64    // bytes of the log, 0 where not known; with rowBytes an estimate of its rows
	rows    int      // rows of data seen
	header  []string // as written; nil until it is found
	at      int      // its line
	likely  []string // the line with the most fields, for the error
	clocks  []*clock
	stopped bool // nothing more can come of this log
	damaged bool // it could not be read to its end

	before     []string // the line before, where columns are guessed
	beforeLine int
}

// headerLine tries a line as the header: it is the first line that holds the columns of at least one request.
func (s *logScan) headerLine(line int, fields []string) bool {
	for n := len(fields); n > 0 && clean(fields[n-1]) == ""; n-- { // a trailing separator is no column
		fields = fields[:n-1]
	}
	if len(fields) == 0 {
		return false
	}
	columns := make([]Column, len(fields))
	for i, h := range fields {
		name, unit := splitHeader(h)
		p := s.task.place
		p.Row, p.Col, p.Column = line, i+1, clean(h)
		columns[i] = Column{Name: name, Header: clean(h), Unit: unit, Place: p}
	}
	found := false
	for _, a := range s.task.asks {
		_, err := s.clockColumns(columns, a.time)
		_, err2 := findColumn(columns, a.value)
		if !errors.Is(err, errNoColumn) && !errors.Is(err2, errNoColumn) { // a name that two columns have is here, too
			found = true
		}
	}
	if !found {
		if len(fields) > len(s.likely) {
			s.likely, s.at = append([]string(nil), fields...), line
		}
		return false
	}
	s.header, s.at = append([]string(nil), fields...), line
	for _, a := range s.task.asks {
		s.bind(a, columns)
	}
	return true
}

// bind finds the columns of one ask; what is missing or not clear is a problem of the row that asks.
func (s *logScan) bind(a *ask, columns []Column) {
	clockCols, err := s.clockColumns(columns, a.time)
	col, err2 := findColumn(columns, a.value)
	if err == nil {
		err = err2
	}
	if err != nil {
		s.task.ps.Add(a.place, "", "log %s: %v; the columns in line %d are %s", quote(s.task.name), err, s.at, list(s.header))
		a.failed = true
		return
	}
	a.col, a.header = col, columns[col]
	for _, c := range s.clocks {
		if c.cols == clockCols {
			a.clock = c
		}
	}
	if a.clock == nil {
		last := columns[clockCols[0]]
		name := last.Header
		if clockCols[1] >= 0 {
			last = columns[clockCols[1]]
			name += " + " + last.Header
		}
		a.clock = &clock{cols: clockCols, header: name, unit: last.Unit, rule: s.rule}
		if clockCols[1] >= 0 && headerOrder(columns[clockCols[0]].Unit) != unknownOrder {
			a.clock.unit = columns[clockCols[0]].Unit
		}
		s.clocks = append(s.clocks, a.clock)
	}
	a.series = &Series{Path: s.task.name, Time: a.clock.header, Value: a.header.Header, ValueUnit: a.header.Unit}
}

// clockColumns finds the time column, or the two that "date + time" names.
func (s *logScan) clockColumns(columns []Column, want string) ([2]int, error) {
	i, err := findColumn(columns, want)
	if !errors.Is(err, errNoColumn) {
		return [2]int{i, -1}, err
	}
	first, second, two := strings.Cut(want, "+")
	if !two {
		return [2]int{}, err
	}
	i, err = findColumn(columns, first)
	if err != nil {
		return [2]int{}, err
	}
	j, err := findColumn(columns, second)
	if err == nil && i == j {
		err = fmt.Errorf("the date and the clock column are one, %s", quote(want))
	}
	return [2]int{i, j}, err
}

var errNoColumn = errors.New("there is no column")

// findColumn finds a column by its whole header, or by its name without the unit.
func findColumn(columns []Column, want string) (int, error) {
	folded := FoldName(want)
	wantName, wantUnit := splitHeader(want)
	for _, same := range []func(c Column) bool{
		func(c Column) bool { return FoldName(c.Header) == folded },
		func(c Column) bool { return c.Name == folded },
		func(c Column) bool {
			return wantUnit != "" && c.Name == wantName && FoldName(c.Unit) == FoldName(wantUnit)
		},
	} {
		found := -1
		for i, c := range columns {
			if folded == "" || !same(c) {
				continue
			}
			if found >= 0 {
				return 0, fmt.Errorf("two columns are named %s, %s and %s, accepted is a name that stands for one (the whole header)", quote(want), quote(columns[found].Header), quote(c.Header))
			}
			found = i
		}
		if found >= 0 {
			return found, nil
		}
	}
	return 0, fmt.Errorf("%w %s", errNoColumn, quote(want))
}

// reserve makes room for the readings of a log with about n rows, and takes it from what may be kept.
func (s *logScan) reserve(n int) {
	for _, a := range s.task.asks {
		if a.failed || a.series.T != nil {
			continue
		}
		n := min(n, MaxReadings)
		a.series.T, a.series.V = make([]float64, 0, n), make([]float64, 0, n)
	}
}

// row takes one row of data. fields has at least as many entries as the header.
func (s *logScan) row(line int, fields []logField) {
	s.rows++
	for _, a := range s.task.asks {
		if !a.failed {
			s.take(a, line, fields)
		}
	}
}

func (s *logScan) take(a *ask, line int, fields []logField) {
	v := &fields[a.col]
	t, noTime, err := a.clock.read(line, fields)
	if err != nil && a.clock.mode == undecided && !a.skip {
		if a.blind++; a.blind == 1 {
			s.text(a, line, a.clock.cols[0], err)
		} else {
			a.failed = true // the column holds no kind of time that is known, which is said once
		}
		return
	}
	if err != nil {
		s.text(a, line, a.clock.cols[0], err)
		return
	}
	if v.blank() {
		if !noTime {
			a.series.Blank++
		}
		return
	}
	if noTime {
		s.text(a, line, a.clock.cols[0], fmt.Errorf("a reading has no time"))
		return
	}
	x, err := s.value(a, v)
	if err != nil {
		s.text(a, line, a.col, err)
		return
	}
	if len(a.series.T) >= a.reserved {
		if !s.left.take(1 << 16) {
			s.task.ps.Add(s.task.place, "", "%s", tooLarge("readings of all logs together", MaxReadings+1, MaxReadings))
			s.stop()
			return
		}
		a.reserved += 1 << 16
	}
	a.series.T = append(a.series.T, t)
	a.series.V = append(a.series.V, x)
}

// stop gives up on all that is asked.
func (s *logScan) stop() {
	s.stopped = true
	for _, a := range s.task.asks {
		a.failed = true
	}
}

func (s *logScan) value(a *ask, f *logField) (float64, error) {
	switch {
	case f.bad != nil:
		return 0, f.bad
	case f.kind == fieldNumber:
		return f.num, nil
	case f.kind != fieldText:
		return 0, fmt.Errorf("found a date or time, accepted is a number")
	}
	x, err := readNumber(f.text, s.rule)
	if err == nil && !s.rule.comma {
		s.commas(a, f.text)
	}
	return x, err
}

// commas keeps an eye on commas in numbers: a logger writes a column in one habit, so a column that holds both 12,345
// (by the rule 12345) and 0,912 is not understood.
func (s *logScan) commas(a *ask, text []byte) {
	for _, c := range text {
		if c != ',' {
			continue
		}
		t := clean(string(text))
		if digits, _ := strings.CutPrefix(t, "-"); grouped(digits, ',') {
			a.thousands = t
		} else if !strings.Contains(t, ".") {
			a.decimal = t
		}
		return
	}
}

// text meets a row that holds text where a reading is due (col is -1 for the whole row): left out and counted where the case says so, a problem
// otherwise.
func (s *logScan) text(a *ask, line, col int, err error) {
	if a.skip {
		a.series.TextSkipped++
		return
	}
	if a.named++; a.named > maxTextProblems {
		a.bad++
		return
	}
	p := s.task.place
	p.Row = line
	if col >= 0 {
		p.Col, p.Column = col+1, s.header[col]
	}
	s.task.ps.Add(p, "leave the log as it is and let the case skip rows of text: yes in the field skip text rows of the table test", "%v", err)
}

// finish ends the log: what was never found is a problem; the rest is put in order.
func (s *logScan) finish() {
	if s.header == nil && !s.stopped && !s.damaged {
		s.noHeader()
		s.stop()
	}
	for _, a := range s.task.asks {
		switch {
		case a.failed:
			continue
		case a.bad > 0:
			s.task.ps.Add(s.task.place, "", "column %s: %s more rows cannot be read", quote(a.header.Header), count(int64(a.bad)))
		case a.thousands != "" && a.decimal != "":
			p := a.header.Place
			p.Row = 0
			s.task.ps.Add(p, `save the log with ";" between its columns, or with decimal points`, "found %s and %s in one column: the comma cannot separate thousands and decimals both", quote(a.thousands), quote(a.decimal))
			a.failed = true
		}
		if a.named > 0 || s.damaged {
			a.failed = true
		}
		if !a.failed {
			s.complete(a)
		}
	}
}

// headless says that the header did not come within the lines that are looked at.
func (s *logScan) headless() {
	n := len(s.task.ps)
	s.noHeader()
	for i := range s.task.ps[n:] {
		s.task.ps[n+i].Text += fmt.Sprintf("; a header is looked for in the first %s lines (a limit of this program)", count(MaxPreamble))
	}
}

func (s *logScan) noHeader() {
	var wanted []string
	for _, a := range s.task.asks {
		for _, name := range []string{a.time, a.value} {
			if name != "" { // blank where it is to be guessed
				wanted = append(wanted, name)
			}
		}
	}
	at := s.task.place
	if len(s.task.asks) > 0 && s.task.asks[0].place != (Place{}) {
		at = s.task.asks[0].place
	}
	switch {
	case s.likely != nil && s.task.guess && len(wanted) > 0:
		s.task.ps.Add(at, "", "log %s: no line holds %s above a row of readings, the columns found in line %d are %s", quote(s.task.name), columnNames(unique(wanted)), s.at, list(s.likely))
		return
	case s.likely != nil && s.task.guess:
		s.task.ps.Add(at, "name the columns", "log %s: the columns of time and value cannot be told, the columns found in line %d are %s", quote(s.task.name), s.at, list(s.likely))
		return
	case s.likely == nil && s.task.guess:
		s.task.ps.Add(at, "", "log %s: it holds no rows of readings", quote(s.task.name))
		return
	case s.likely == nil:
		s.task.ps.Add(at, "", "log %s: it holds no line with the columns %s; it is empty", quote(s.task.name), list(unique(wanted)))
		return
	}
	s.task.ps.Add(at, "", "log %s: no line holds %s, the columns found in line %d are %s", quote(s.task.name), columnNames(unique(wanted)), s.at, list(s.likely))
}

func columnNames(names []string) string {
	if len(names) == 1 {
		return "the column " + quote(names[0])
	}
	return "the columns " + list(names)
}

func unique(names []string) []string {
	seen := map[string]bool{}
	var out []string
	for _, n := range names {
		if !seen[FoldName(n)] {
			seen[FoldName(n)] = true
			out = append(out, n)
		}
	}
	return out
}
