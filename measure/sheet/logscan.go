package sheet

import (
	"errors"
	"fmt"
	"slices"
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
	at      int      // its line; 0 where the log has none
	likely  []string // the line that is most like a header, for the error
	clocks  []*clock
	stopped bool     // nothing more can come of this log
	damaged bool     // it could not be read to its end
	notes   []string // of the log as a whole
	again   int      // how often the header came again
}

// bind takes a frame: it finds the columns of every ask in it; what is missing or not clear is a problem of the row that asks.
func (s *logScan) bind(rows []headRow, f frame) {
	s.header = []string{}
	for i := range f.columns {
		s.header = append(s.header, nameOf(f.columns, i))
	}
	if f.header >= 0 {
		s.at = rows[f.header].line
	}
	var data []headRow
	for i := f.data; i < len(rows) && len(data) < 200; i++ {
		if !rows[i].mark && !rows[i].blank() {
			data = append(data, rows[i])
		}
	}
	for _, a := range s.task.asks {
		if err := s.bindAsk(a, rows, f, data); err != nil {
			s.task.ps.Add(a.place, "", "log %s: %v; the columns %s are %s", quote(s.task.name), err, s.where(), list(s.header))
			a.failed = true
		}
	}
}

func (s *logScan) where() string {
	if s.at == 0 {
		return "by place"
	}
	return fmt.Sprintf("in line %d", s.at)
}

func (s *logScan) bindAsk(a *ask, rows []headRow, f frame, data []headRow) error {
	b, _, err := a.bindTo(f.columns, false)
	if errors.Is(err, errNoColumn) {
		b, _, err = a.bindTo(f.columns, true)
	}
	if err != nil {
		return err
	}
	if len(b.times) == 0 {
		cols, err := s.findTime(f.columns, data, b)
		if err != nil {
			return err
		}
		for _, i := range cols {
			b.times = append(b.times, match{col: i})
		}
	}
	if b.value.col < 0 {
		var times []int
		for _, m := range b.times {
			times = append(times, m.col)
		}
		can := guessValue(f.columns, data[:min(len(data), 20)], times, s.rule)
		if len(can) != 1 {
			var names []string
			for _, i := range can {
				names = append(names, nameOf(f.columns, i))
			}
			if len(can) == 0 {
				return fmt.Errorf("no column holds numbers that can be the readings")
			}
			return fmt.Errorf("several columns can hold the readings: %s; name one", list(names))
		}
		b.value.col = can[0]
	}
	under := ""
	if f.header >= 0 {
		under = s.unitAround(rows, f, b.times[len(b.times)-1].col)
	}
	a.clock = s.newClock(f.columns, b.times, under)
	for _, c := range s.clocks {
		if slices.Equal(c.cols, a.clock.cols) && c.unit == a.clock.unit {
			a.clock = c
		}
	}
	if !slices.Contains(s.clocks, a.clock) {
		s.clocks = append(s.clocks, a.clock)
	}
	a.col, a.header = b.value.col, f.columns[b.value.col]
	a.header.Header = nameOf(f.columns, a.col)
	a.header.Unit = headerValueUnit(a.header.Header)
	if f.header >= 0 {
		if under := s.unitAround(rows, f, a.col); valueUnit(under) || levelUnit(under) || under != "" && !knownUnit(a.header.Unit) {
			if knownUnit(a.header.Unit) && !sameUnit(under, a.header.Unit) {
				return fmt.Errorf("the header %s says %s and a row beside it %s, accepted is one unit", quote(a.header.Header), a.header.Unit, quote(under))
			}
			a.header.Unit = under
		}
	}
	if b.value.unit != "" {
		a.header.Unit = b.value.unit
	}
	for i, m := range b.where {
		a.where = append(a.where, whereColumn{col: m.col, want: FoldName(a.want.where[i].want), written: a.want.where[i].want, seen: map[string]int{}})
	}
	a.rule = s.rule
	a.series = &Series{Path: s.task.name, Time: a.clock.header, Value: a.header.Header, ValueUnit: a.header.Unit}
	if len(a.where) > 0 {
		_, choice, _ := strings.Cut(a.want.text, a.want.parts[0].raw)
		a.series.Value += choice
		a.series.Notes = append(a.series.Notes, "the rows taken are those"+choice)
	}
	if b.value.begun {
		a.series.Notes = append(a.series.Notes, fmt.Sprintf("%s was taken for the column %s, the only one that begins so", quote(a.want.parts[0].name), quote(a.header.Header)))
	}
	if f.header < 0 {
		a.series.Notes = append(a.series.Notes, "the log has no header; its columns were taken by their places")
	}
	a.decideComma(data)
	s.watch(a, f, b, data)
	return nil
}

// findTime finds the time column of an ask that names none, by the first row that holds a value: the one that can be it, else the one called
// "time".
func (s *logScan) findTime(columns []Column, data []headRow, b binding) ([]int, error) {
	called := -1
	if m, err := newPart("time").find(columns, false); err == nil {
		called = m.col
	}
	for _, r := range data {
		if b.value.col >= 0 && (b.value.col >= len(r.cells) || !readable(r.cells[b.value.col], s.rule)) {
			continue
		}
		cols, several := guessTime(columns, r.cells, s.rule)
		if b.value.col >= 0 && slices.Contains(cols, b.value.col) {
			continue
		}
		if len(several) > 1 {
			if called >= 0 {
				return []int{called}, nil
			}
			return nil, fmt.Errorf("several columns can be the time, %s, and none is named; write one where the time column is named, or a date and a clock as %s", list(several), quote("date + time"))
		}
		if len(cols) > 0 {
			return cols, nil
		}
	}
	if called >= 0 {
		return []int{called}, nil
	}
	such := "time [s]"
	for i, c := range columns {
		if len(data) > 0 && i != b.value.col && i < len(data[0].cells) {
			if _, err := parseNumber(data[0].cells[i], s.rule); err == nil && c.Header != "" {
				such = c.Header
				if c.Unit == "" {
					such += " [s]"
				}
				break
			}
		}
	}
	return nil, fmt.Errorf("no column is named as the time, and none alone can be told to be it; write its name where the time column is named, with the unit in brackets where its header gives none, such as %s", quote(such))
}

// newClock makes the clock that reads the columns of a time. under is what a row of units says of the last of them.
func (s *logScan) newClock(columns []Column, times []match, under string) *clock {
	c := &clock{rule: s.rule, roles: rolesOf(columns, times)}
	for i, m := range times {
		col := columns[m.col]
		if i > 0 {
			c.header += " + "
		}
		c.header += nameOf(columns, m.col)
		c.cols = append(c.cols, m.col)
		unit := col.Unit
		if m.unit != "" {
			unit = m.unit
		}
		switch {
		case i == 0:
			c.unit = unit
		case headerOrder(c.unit) == unknownOrder:
			c.unit = unit
		}
	}
	if c.unit == "" && headerUnit(c.header, "") == "" && under != "" || !knownTimeUnit(c.unit) && knownTimeUnit(under) {
		c.unit = under
	}
	return c
}

func knownTimeUnit(u string) bool {
	f := FoldName(u)
	return elapsedUnit(u) != "" || headerOrder(u) != unknownOrder || shortClock(u) != 0 || f == "utc" || f == "gmt" || f == "z"
}

// reserve makes room for the readings of a log with about n rows, and takes it from what may be kept.
func (s *logScan) reserve(n int) {
	for _, a := range s.task.asks {
		if a.failed || a.series == nil || a.series.T != nil {
			continue
		}
		n := min(n, MaxReadings)
		if a.thin != nil {
			n = min(n, MaxKept)
		}
		if len(a.where) > 0 {
			n = min(n, 1<<14)
		}
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
	if a.where != nil && !a.chosen(fields) {
		return
	}
	a.rows++
	v := &fields[a.col]
	t, noTime, err := a.clock.read(line, fields)
	if err != nil || noTime {
		s.timeless(a, line, fields, noTime, err)
		return
	}
	if a.keys != nil {
		a.watch(t, v, fields)
	}
	if v.blank() {
		a.series.Blank++
		return
	}
	x, err := s.value(a, v)
	if err != nil {
		if err == errNoValue {
			a.series.Blank++
		} else {
			s.text(a, line, a.col, err)
		}
		return
	}
	if a.late != nil {
		s.flush(a)
	}
	if len(a.series.T) >= a.reserved {
		if !s.left.take(1 << 16) {
			s.task.ps.Add(s.task.place, "", "%s", tooLarge("readings of all logs together", MaxReadings+1, MaxReadings))
			s.stop()
			return
		}
		a.reserved += 1 << 16
	}
	a.keep(t, x)
}

// stop gives up on all that is asked.
func (s *logScan) stop() {
	s.stopped = true
	for _, a := range s.task.asks {
		a.failed = true
	}
}
