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
	if l.header == nil && !l.stopped {
		l.begin(true)
	}
	if 2*l.beyond > l.rows {
		p := s.task.place
		p.Col = len(l.header) + 1
		s.task.ps.Add(p, "give the column a name, or clear it where it is no part of the log", "%s hold a number beside the last column that has a name: decimal commas may have parted the readings", countRows(l.beyond))
		s.stop()
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
	beyond int       // rows with a number beside the last column that has a name
	head   []headRow // the first rows, until the header is found among them
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
			rows := rows
			if a.thin != nil {
				rows = min(rows, MaxKept)
			}
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
		l.keep(row, cells)
		if n := len(l.head); n == 40 || n == 300 || row > MaxPreamble+60 {
			l.begin(row > MaxPreamble+60)
		}
		return nil
	}
	for i := range l.fields {
		l.fields[i] = logField{}
	}
	if n := len(cells); n > 0 && cells[n-1].col > len(l.fields) {
		l.besides(cells)
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

// besides counts the rows that hold a number right beside the last column that has a name: readings that were parted at their decimal commas look so.
func (l *sheetLog) besides(cells []sheetCell) {
	for _, c := range cells {
		if c.col == len(l.fields)+1 && c.kind == 'n' && c.valued {
			l.beyond++
		}
	}
}

// keep holds one of the first rows back, until the header is found among them.
func (l *sheetLog) keep(row int, cells []sheetCell) {
	n := min(cells[len(cells)-1].col, MaxColumns)
	h := headRow{line: row, first: row, cells: make([]string, n), fields: make([]logField, n)}
	for _, c := range cells {
		f := l.w.logField(c)
		f.text = append([]byte(nil), f.text...)
		h.fields[c.col-1] = f
		if cell, err := l.w.rawCell(c); err == nil {
			h.cells[c.col-1] = cell.text
		}
	}
	h.mark = len(h.cells[0]) > 0 && h.cells[0][0] == '#'
	l.head = append(l.head, h)
}

// begin looks for the header in the rows held back, and takes the readings among them. last says that no more rows come before it must be found.
func (l *sheetLog) begin(last bool) {
	var best frame
	found := false
	for level := 0; level < 4 && !best.sound; level++ {
		for i := range l.head {
			if l.head[i].line > MaxPreamble || l.head[i].mark != (level >= 2) {
				continue
			}
			if f, ok := l.frameAt(l.head, i, level&1 == 1); ok && (!found || f.sound) {
				best, found = f, true
				if f.sound {
					break
				}
			}
		}
	}
	if !best.sound {
		if f, ok := l.framePlaced(l.head); ok {
			best, found = f, true
		}
	}
	if !best.sound && !last {
		return
	}
	head := l.head
	l.head = nil
	if !found {
		l.likelyOf(head)
		if n := len(head); n > 0 && head[n-1].line > MaxPreamble {
			l.headless()
			l.stop()
		}
		return
	}
	l.bind(head, best)
	l.fields = make([]logField, len(l.header))
	l.needed = make([]bool, len(l.header))
	for _, a := range l.task.asks {
		if a.failed {
			continue
		}
		l.needed[a.col] = true
		for _, c := range a.clock.cols {
			l.needed[c] = true
		}
		for _, w := range a.where {
			l.needed[w.col] = true
		}
		for _, k := range a.keys {
			l.needed[k.col] = true
		}
	}
	for i := best.data; i < len(head) && !l.stopped; i++ {
		if head[i].mark {
			continue
		}
		if n := len(l.header); len(head[i].fields) > n && head[i].fields[n].kind == fieldNumber {
			l.beyond++
		}
		fields := head[i].asFields(len(l.header))
		l.row(head[i].line, fields[:len(l.header)])
	}
}

func (l *sheetLog) likelyOf(head []headRow) {
	for _, h := range head {
		words := 0
		for _, c := range h.cells {
			if clean(c) != "" && !timeLike(c) {
				words++
			}
		}
		if !h.mark && (l.likely == nil || len(h.cells) > len(l.likely)) && (words > 0 || l.likely == nil) {
			l.likely, l.at = trimmed(h.cells), h.line
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
