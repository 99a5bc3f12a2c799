package sheet

import (
	"fmt"
	"os"
	"strings"
	"time"
)

// workbook is an opened .xlsx file: its parts, its sheets and what their cells need to be read.
type workbook struct {
	path     string // in the case
	parts    *parts
	sheets   []sheetEntry
	date1904 bool
	styles   []cellStyle
	strings  *sharedStrings
	size     int64
	mtime    time.Time
}

type sheetEntry struct {
	name   string
	part   string // "" for a sheet that holds no cells, such as a chart
	hidden bool
}

// readWorkbook reads the list of sheets, the styles and the shared strings.
func readWorkbook(p *parts) (*workbook, error) {
	top, err := p.relations("")
	if err != nil {
		return nil, err
	}
	main := ""
	for _, r := range top {
		if r.kind == "officeDocument" {
			main = r.target
		}
	}
	if main == "" {
		return nil, fmt.Errorf("found a zip file that is no .xlsx workbook")
	}
	rels, err := p.relations(main)
	if err != nil {
		return nil, err
	}
	w := &workbook{parts: p, strings: &sharedStrings{}}
	parts := map[string]string{}
	err = p.scan(main, func(x *xmlScanner) error {
		if x.tok != tokStart {
			return nil
		}
		switch name := string(x.name); {
		case len(x.stack) == 1 && name != "workbook":
			return fmt.Errorf("found a file that is no .xlsx workbook (its main part is <%s>)", name)
		case name == "workbookPr":
			w.date1904 = x.isTrue("date1904")
		case name == "sheet" && len(x.stack) == 3:
			s := sheetEntry{}
			s.name, _ = x.attr("name")
			state, _ := x.attr("state")
			s.hidden = state == "hidden" || state == "veryHidden"
			rel := rels[x.localAttr("id")]
			if rel.kind == "worksheet" {
				s.part = rel.target
				if p.files[s.part] == nil {
					return fmt.Errorf("the workbook is damaged: the sheet %s has no part", quote(s.name))
				}
				if other, twice := parts[s.part]; twice {
					return fmt.Errorf("the workbook is damaged: the sheets %s and %s are one part", quote(other), quote(s.name))
				}
				parts[s.part] = s.name
			} else if rel.kind == "" {
				return fmt.Errorf("the workbook is damaged: the sheet %s has no part", quote(s.name))
			}
			w.sheets = append(w.sheets, s)
			if len(w.sheets) > MaxSheets {
				return errorText(tooLarge("sheets of the workbook", int64(len(w.sheets)), MaxSheets))
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, r := range rels {
		switch r.kind {
		case "styles":
			w.styles, err = p.readStyles(r.target)
		case "sharedStrings":
			w.strings, err = p.readStrings(r.target)
		}
		if err != nil {
			return nil, err
		}
	}
	return w, nil
}

// openWorkbook opens an .xlsx book and reads its known sheets as tables.
func (f *Folder) openWorkbook(name, file string) (book *Book, ps Problems) {
	at := Place{Book: file}
	defer func() {
		if r := recover(); r != nil { // a stranger's file must not end the program
			ps.Add(at, "", "the workbook cannot be read: %v", r)
			book = nil
		}
	}()
	w, file2, err := f.workbook(file)
	if err != nil {
		return nil, problems(err, at)
	}
	defer file2.Close()
	b := &Book{name: file, sheets: map[string]source{}, used: map[string]bool{}, wb: w}
	var tables []sheetEntry
	for _, s := range w.sheets {
		p := Place{Book: file, Sheet: s.name}
		folded := FoldName(s.name)
		if old, twice := b.sheets[folded]; twice {
			ps.Add(p, "", "the sheet's name stands for the same table as the sheet %s, accepted is one sheet a table", quote(old.name))
			continue
		}
		if s.part == "" {
			b.notes = append(b.notes, Note{Place: p, Text: "the sheet holds no cells (a chart or a macro); it was not read"})
			b.sheets[folded] = source{name: s.name, known: true, place: p}
			continue
		}
		src := source{name: s.name, path: s.part, known: known(name, folded), place: p}
		b.sheets[folded] = src
		if !src.known {
			continue
		}
		if s.hidden {
			b.notes = append(b.notes, Note{Place: p, Text: "the sheet is hidden; it was read"})
		}
		raw, info, whole, bad := w.tableRows(s, p)
		ps = append(ps, bad...)
		b.notes = append(b.notes, info...)
		t, more, bad := build(s.name, p, raw, numberRule{})
		b.notes = append(b.notes, more...)
		ps = append(ps, bad...)
		t.faulty = t.faulty || !whole
		ps = append(ps, t.tooLong()...)
		b.tables = append(b.tables, t)
		tables = append(tables, s)
	}
	if len(ps) == 0 { // a second reader confirms what the first has found
		ps = w.confirm(tables, b)
	}
	return b, ps
}

// workbook opens the file, counts it among the inputs and reads what all sheets share. The caller closes the file.
func (f *Folder) workbook(file string) (w *workbook, open *os.File, err error) {
	in, err := f.open(file, MaxBookFile)
	if err != nil {
		return nil, nil, err
	}
	defer func() {
		if r := recover(); r != nil { // a stranger's file must not end the program
			err = in.problem("", "the workbook cannot be read: %v", r)
		}
		if err != nil {
			in.Close()
			w, open = nil, nil
		}
	}()
	if err := in.drain(); err != nil {
		return nil, nil, err
	}
	p, err := openParts(in.file, in.size)
	if err != nil {
		return nil, nil, in.problem("", "%v", err)
	}
	if w, err = readWorkbook(p); err != nil {
		return nil, nil, in.problem("open it in a spreadsheet, see that nothing is missing, and save it again", "%v", err)
	}
	w.path, w.size, w.mtime = in.path, in.size, in.mtime
	return w, in.file, nil
}

// tableRows reads a sheet as rows of a table. Cells in error, and formulas without a value, are problems; whole is false
// where the sheet could not be read to its end.
func (w *workbook) tableRows(s sheetEntry, at Place) (raw []rawRow, notes []Note, whole bool, ps Problems) {
	r, err := w.parts.files[s.part].Open()
	if err != nil {
		ps.Add(at, "", "the sheet is damaged: %v", zipReason(err))
		return nil, nil, false, ps
	}
	defer r.Close()
	cells := 0
	info, err := readRows(r, func(row int, in []sheetCell) error {
		out := rawRow{row: row}
		for _, c := range in {
			cell, err := w.rawCell(c)
			if err != nil {
				p := at
				p.Row, p.Col = row, c.col
				ps.Add(p, "", "%v", err)
				out.cells = append(out.cells, rawCell{col: c.col, bad: true})
				continue
			}
			if cell.text != "" {
				out.cells = append(out.cells, cell)
			}
		}
		if len(out.cells) == 0 {
			return nil
		}
		raw = append(raw, out)
		cells += len(out.cells)
		if why := tableLimit(len(raw), cells, 0); why != "" {
			return errorText(why)
		}
		return nil
	})
	if err != nil {
		ps.Add(at, "open it in a spreadsheet, see that nothing is missing, and save it again", "%v", err)
		return raw, nil, false, ps
	}
	return raw, info.notes(at), true, ps
}

// rawCell reads one cell: what it holds, and how its style shows it.
func (w *workbook) rawCell(c sheetCell) (rawCell, error) {
	out := rawCell{col: c.col}
	if !c.valued || len(c.value) == 0 {
		if c.formula && (!c.valued || c.kind != 't') {
			return out, fmt.Errorf("found a formula without a value, accepted is a cell whose value is stored; open the book in a spreadsheet and save it again")
		}
		return out, nil
	}
	if out.rich = c.rich; w.struck(c.style) {
		out.rich = struckText
	}
	switch c.kind {
	case 's':
		i, ok := atoi(c.value)
		if !ok || i >= w.strings.len() {
			return out, fmt.Errorf("the workbook is damaged: the cell refers to a text %s that is not there", quote(string(c.value)))
		}
		out.text = cellText(w.strings.at(i))
		if said := w.strings.rich[i]; said != "" {
			out.rich = said
		}
	case 't':
		out.text = cellText(c.value)
	case 'b':
		out.kind, out.text = boolCell, "FALSE"
		if v := string(c.value); v == "1" || v == "true" {
			out.text = "TRUE"
		}
	case 'e':
		return out, fmt.Errorf("found the error %s of a formula, accepted is a value", quote(string(c.value)))
	case 'd':
		st, err := parseStamp(string(c.value), unknownOrder)
		if err != nil {
			return out, err
		}
		out.kind, out.text = dateCell, clockText(st.seconds(), st.dated, st.second != 0 || !st.dated)
	default:
		v, err := parseXMLNumber(c.value)
		if err != nil {
			return out, err
		}
		w.showNumber(&out, v, c.style)
	}
	return out, nil
}

// cellText is a text with its line ends made LF and the escapes _xHHHH_ of control characters decoded.
func cellText(b []byte) string {
	s := string(b)
	if strings.Contains(s, "_x") {
		s = unescapeX(s)
	}
	if strings.IndexByte(s, '\r') >= 0 {
		s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	}
	return s
}
