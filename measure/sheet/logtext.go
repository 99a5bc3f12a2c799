package sheet

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"
)

// maxTextProblems is how many rows of text are named before the rest is counted.
const maxTextProblems = 5

// maxFooter is how many lines after the last reading may hold no time.
const maxFooter = 50

// badRow is a row that holds text where a time or a reading is due.
type badRow struct {
	line, col int // col is -1 for the whole row
	err       error
}

// timeless meets a row whose time cannot be read. Rows before the first reading that do not look like a time are units and the like; rows after
// the last one totals and remarks: both are passed over and said. Between readings they are text.
func (s *logScan) timeless(a *ask, line int, fields []logField, noTime bool, err error) {
	v := &fields[a.col]
	if noTime && v.blank() {
		if len(a.where) == 0 || len(fields) == 0 {
			return
		}
		return
	}
	if s.repeats(fields) {
		s.again++
		return
	}
	if noTime {
		err = errors.New("a reading has no time")
	}
	col := a.clock.cols[0]
	if len(a.clock.cols) > 1 && !noTime && fields[col].blank() {
		col = a.clock.cols[len(a.clock.cols)-1]
	}
	like := false
	if _, why := badBytes(fields[col].text); why != "" {
		err = errors.New(why)
	}
	for _, c := range a.clock.cols {
		like = like || timeStart(&fields[c])
	}
	if !like && (!noTime || labelled(fields)) {
		if len(a.series.T)+a.series.Blank == 0 && a.heads < maxUnder {
			a.heads++
			return
		}
		a.late = append(a.late, badRow{line, col, err})
		if len(a.late) > maxFooter {
			s.flush(a)
		}
		return
	}
	if !noTime && a.clock.mode == undecided {
		if a.blind++; a.blind > 1 {
			return // the column holds no kind of time that is known, which is said once
		}
	}
	s.text(a, line, col, err)
}

// timeStart reports whether a field begins as a time or a number does.
func timeStart(f *logField) bool {
	if f.kind != fieldText || f.bad != nil {
		return true
	}
	for _, c := range f.text {
		switch {
		case c >= '0' && c <= '9' || c == 0 || c >= 0x80 && !utf8.Valid(f.text):
			return true
		case c == ' ' || c == '+' || c == '-' || c == '\t' || c == '"':
		case c >= 0x80:
			return timeLike(string(f.text))
		default:
			return false
		}
	}
	return false
}

// labelled reports whether a row without a time holds words, as a row of totals does.
func labelled(fields []logField) bool {
	for i := range fields {
		f := &fields[i]
		if f.kind == fieldText && !f.blank() && !timeStart(f) && strings.ContainsFunc(string(f.text), func(r rune) bool { return r >= 'A' }) && !noValue(string(f.text)) {
			return true
		}
	}
	return false
}

// repeats reports whether a row is the header once more.
func (s *logScan) repeats(fields []logField) bool {
	if s.at == 0 {
		return false
	}
	same := 0
	for i := range fields {
		if f := &fields[i]; f.kind != fieldText || clean(string(f.text)) != clean(s.header[i]) {
			if f.blank() && strings.HasPrefix(s.header[i], "column ") {
				continue
			}
			return false
		} else if len(f.text) > 0 {
			same++
		}
	}
	return same > 0
}

// flush takes rows without a time that turned out to stand between readings for text.
func (s *logScan) flush(a *ask) {
	late := a.late
	a.late = nil
	for _, r := range late {
		s.text(a, r.line, r.col, r.err)
	}
}

// text meets a row that holds text where a reading is due: left out and counted where the case says so, a problem otherwise.
func (s *logScan) text(a *ask, line, col int, err error) {
	if a.bad++; len(a.named) < maxTextProblems {
		a.named = append(a.named, badRow{line, col, err})
	}
}

// mayHide is how many rows of text a case may have left out: one in a hundred, and three of a short log.
func mayHide(rows int) int { return max(3, rows/100) }

const skipHint = "leave the log as it is and let the case skip rows of text: yes in the field skip text rows of the table test"

// settleText says what the rows of text come to, now that all are counted; false where the log is not to be used.
func (s *logScan) settleText(a *ask) bool {
	footer := 0
	if len(a.series.T) > 0 {
		footer = len(a.late)
	} else {
		s.flush(a)
	}
	if footer > 0 {
		a.series.Notes = append(a.series.Notes, fmt.Sprintf("%s after the last reading without a time passed over (line %d: %s)", countRows(footer), a.late[0].line, strings.TrimSuffix(firstClause(a.late[0].err), ", accepted is")))
	}
	if a.bad == 0 {
		return true
	}
	few := a.bad <= mayHide(a.rows)
	if a.skip && few {
		a.series.TextSkipped = a.bad
		return true
	}
	hint := ""
	if few && !a.skip && !a.untimed() && !s.task.bare {
		hint = skipHint
	}
	for _, r := range a.named {
		p := s.task.place
		p.Row = r.line
		if r.col >= 0 && r.col < len(s.header) {
			p.Col, p.Column = r.col+1, s.header[r.col]
		}
		s.task.ps.Add(p, hint, "%v", r.err)
	}
	if n := a.bad - len(a.named); n > 0 {
		s.task.ps.Add(s.task.place, "", "column %s: %s more rows cannot be read", quote(a.header.Header), count(int64(n)))
	}
	if a.skip && !few {
		s.task.ps.Add(s.task.place, "", "column %s: %s rows of %s cannot be read, which is more than rows of text may be left out (1 in 100, or 3)", quote(a.header.Header), count(int64(a.bad)), count(int64(a.rows)))
	}
	return false
}

// untimed reports that no row had a time that could be read: the time column is at fault, not rows of text.
func (a *ask) untimed() bool { return a.clock.mode == undecided || len(a.series.T)+a.series.Blank == 0 }

func firstClause(err error) string {
	s, _, _ := strings.Cut(err.Error(), ", accepted is")
	return s
}

func countRows(n int) string {
	if n == 1 {
		return "1 row"
	}
	return count(int64(n)) + " rows"
}

// finish ends the log: what was never found is a problem; the rest is put in order.
func (s *logScan) finish() {
	if s.header == nil && !s.stopped && !s.damaged {
		s.noHeader()
		s.stop()
	}
	for _, a := range s.task.asks {
		if a.failed || a.series == nil {
			a.failed = true
			continue
		}
		if !s.settleText(a) || s.damaged {
			a.failed = true
		}
		if !a.failed && !s.settleChoice(a) {
			a.failed = true
		}
		if !a.failed && !s.settleComma(a) {
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
			if name != "" { // blank where it is to be found
				wanted = append(wanted, name)
			}
		}
	}
	at := s.task.place
	if len(s.task.asks) > 0 && s.task.asks[0].place != (Place{}) {
		at = s.task.asks[0].place
	}
	name := quote(s.task.name)
	switch {
	case s.likely != nil && s.task.guess && len(wanted) > 0:
		s.task.ps.Add(at, "", "log %s: no line holds %s above a row of readings, the columns found in line %d are %s", name, columnNames(unique(wanted)), s.at, list(s.likely))
	case s.likely != nil && s.task.guess:
		s.task.ps.Add(at, "name the columns; where the header of the time gives no unit, in brackets: "+quote(nameFirst(s.likely)+" [s]"), "log %s: the columns of time and value cannot be told, the columns found in line %d are %s", name, s.at, list(s.likely))
	case s.likely == nil && s.task.guess:
		s.task.ps.Add(at, "", "log %s: it holds no rows of readings", name)
	case s.likely == nil:
		s.task.ps.Add(at, "", "log %s: it holds no line with %s; it is empty", name, columnNames(unique(wanted)))
	default:
		s.task.ps.Add(at, "", "log %s: no line holds %s, the columns found in line %d are %s", name, columnNames(unique(wanted)), s.at, list(s.likely))
	}
}

// nameFirst is the first of some headers that speaks of time, else the first.
func nameFirst(headers []string) string {
	for _, h := range headers {
		if strings.Contains(FoldName(h), "time") {
			return clean(h)
		}
	}
	return clean(headers[0])
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
