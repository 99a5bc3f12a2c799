package sheet

import (
	"math"
	"slices"
)

// scanSheet reads a sheet of the lab workbook as a log.
func (f *Folder) scanSheet(s *logScan) {
	w := s.task.wb
	file, err := f.root.Open(w.path)
	if err != nil {
		s.fail(err)
		return
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil || info.Size() != w.size || !info.ModTime().Equal(w.mtime) {
		s.failAt(0, "close the program that writes to it and run again", "the workbook changed while it was read")
		return
	}
	p, err := openParts(file, w.size)
	if err != nil {
		s.fail(err)
		return
	}
	part := p.files[s.task.sheet.part]
	if part == nil {
		s.failAt(0, "", "the workbook changed while it was read")
		return
	}
	r, err := part.Open()
	if err != nil {
		s.fail(err)
		return
	}
	defer r.Close()
	s.rule = numberRule{log: true}
	s.size = int64(part.UncompressedSize64)
	l := &sheetLog{logScan: s, w: w, ahead: readAhead(r)}
	defer l.ahead.close()
	if _, err := readRows(l.ahead, l.take); err != nil {
		s.fail(err)
		return
	}
	if info, err = file.Stat(); err != nil || info.Size() != w.size || !info.ModTime().Equal(w.mtime) {
		s.failAt(0, "close the program that writes to it and run again", "the workbook changed while it was read")
	}
}

type sheetLog struct {
	*logScan
	w      *workbook
	fields []logField
	needed []bool
	ahead  *ahead
	grown  bool // room was made for the rows to come
}

// grow makes room for the rows to come, by the length of those read so far, so that the readings are not copied often.
func (l *sheetLog) grow() {
	const enough = 4 << 20
	if l.grown || l.ahead.n < enough {
		return
	}
	l.grown = true
	rows := int(min(float64(l.rows)*float64(l.size)/float64(l.ahead.n)*1.1, MaxSheetRows)) + 1
	for _, a := range l.task.asks {
		if !a.failed {
			a.series.T = slices.Grow(a.series.T, max(0, rows-len(a.series.T)))
			a.series.V = slices.Grow(a.series.V, max(0, rows-len(a.series.V)))
		}
	}
}

func (l *sheetLog) take(row int, cells []sheetCell) error {
	if l.stopped {
		return nil // on to the end: the sheet is checked whole
	}
	if l.header == nil {
		l.preamble(row, cells)
		return nil
	}
	for i := range l.fields {
		l.fields[i] = logField{}
	}
	for i, c := range cells {
		if c.col > len(l.fields) || !l.needed[c.col-1] && i > 0 {
			continue
		}
		l.fields[c.col-1] = l.w.logField(c)
		if i == 0 && c.col == 1 && len(l.fields[0].text) > 0 && l.fields[0].text[0] == '#' {
			return nil
		}
	}
	l.row(row, l.fields)
	l.grow()
	return nil
}

func (l *sheetLog) preamble(row int, cells []sheetCell) {
	texts := make([]string, cells[len(cells)-1].col)
	for _, c := range cells {
		if cell, err := l.w.rawCell(c); err == nil {
			texts[c.col-1] = cell.text
		}
	}
	if len(texts[0]) > 0 && texts[0][0] == '#' {
		return
	}
	found := false
	if l.task.guess {
		if found = l.guess(l.before, texts) && l.headerLine(l.beforeLine, l.before); !found {
			l.before, l.beforeLine = texts, row
			if len(texts) > len(l.likely) {
				l.likely, l.at = texts, row
			}
		}
	} else {
		found = l.headerLine(row, texts)
	}
	if !found {
		if row > MaxPreamble {
			l.headless()
			l.stop()
		}
		return
	}
	l.fields = make([]logField, len(l.header))
	l.needed = make([]bool, len(l.header))
	for _, a := range l.task.asks {
		if !a.failed {
			l.needed[a.col] = true
			l.needed[a.clock.cols[0]] = true
			if c := a.clock.cols[1]; c >= 0 {
				l.needed[c] = true
			}
		}
	}
	if l.task.guess {
		if err := l.take(row, cells); err != nil {
			return
		}
	}
}

// logField reads a cell of a log. A date is known by the style of its cell.
func (w *workbook) logField(c sheetCell) logField {
	if c.kind == 'n' && c.valued && len(c.value) > 0 {
		v, err := readNumber(c.value, numberRule{})
		if err != nil || len(c.value) > 1 && c.value[0] == '+' {
			if v, err = parseXMLNumber(c.value); err != nil {
				return logField{bad: err}
			}
		}
		switch l := w.look(c.style); {
		case l == plainLook:
			return logField{kind: fieldNumber, num: v}
		case l == percentLook:
			return logField{kind: fieldNumber, num: shift2(v)}
		case l == elapsedLook:
			return logField{kind: fieldElapsed, num: math.Round(v*86400e3) / 1000}
		case l == timeLook && v >= 0 && v < 1:
			return logField{kind: fieldClock, num: serialSecondsOfDay(v)}
		case v >= 0 && v < 2958466:
			return logField{kind: fieldStamp, num: serialSeconds(v, w.date1904)}
		}
		return logField{kind: fieldNumber, num: v}
	}
	if c.kind == 's' && c.valued {
		if i, ok := atoi(c.value); ok && i < w.strings.len() {
			return logField{text: w.strings.at(i)}
		}
	}
	cell, err := w.rawCell(c)
	if err != nil {
		return logField{bad: err}
	}
	if cell.kind == dateCell {
		st, err := parseStamp(cell.text, unknownOrder)
		if err != nil {
			return logField{bad: err}
		}
		if !st.dated {
			return logField{kind: fieldClock, num: st.second}
		}
		return logField{kind: fieldStamp, num: st.seconds()}
	}
	return logField{text: []byte(cell.text)}
}
