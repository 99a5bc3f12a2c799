package sheet

import (
	"fmt"
	"sort"
	"strings"

	"weighhouse/measure/unit"
)

// Table is one table of a book: its columns, and its rows that are not blank.
type Table struct {
	Name    string // the sheet's or the file's own name
	Place   Place  // of the whole table
	Columns []Column
	Rows    []Row

	faulty bool     // it could not be read to its end, or not at all
	passed [][2]int // row and column of cells that were passed over with a note: titles, units, sums, footnotes
}

// Faulty reports whether the table could not be read to its end; problems of the book say why. What it lacks may be
// there, so that nobody should be told to add it.
func (t *Table) Faulty() bool { return t != nil && t.faulty }

// Column is one column of a table.
type Column struct {
	Name   string // folded: lower case, single spaces, without the unit; see FoldName
	Header string // as written
	Unit   string // from the brackets of the header, as written
	Place  Place  // of the header cell
}

// Row is one row that is not blank; it has one cell for each column of its table.
type Row struct {
	Place Place
	Cells []Cell

	fields, columns int // of a CSV row that has more fields than the header has, both numbers
}

// Cell gives the row's cell in the column of that name, and whether the table has such a column.
func (t *Table) Cell(r Row, name string) (Cell, bool) {
	name = FoldName(name)
	for i, c := range t.Columns {
		if c.Name == name && i < len(r.Cells) {
			return r.Cells[i], true
		}
	}
	return Cell{}, false
}

// rawRow is a row as a reader finds it: the cells that hold something, in order of column.
type rawRow struct {
	row    int // 1-based: the sheet row, or the line
	cells  []rawCell
	fields int // of CSV, blank ones at the end included; 0 of a sheet
}

type rawCell struct {
	col   int // 1-based
	text  string
	kind  kind
	value float64
	bad   bool   // it holds no value that can be read; a problem says why
	rich  string // see Cell
}

// build makes a table of raw rows. Titles above the header, a row of units under it, sums and footnotes below the rows are
// passed over with a note; see findHeader. A value under no header is a problem, for it would be lost otherwise.
func build(name string, at Place, raw []rawRow, rule numberRule) (*Table, []Note, Problems) {
	t := &Table{Name: name, Place: at}
	var ps Problems
	var notes []Note
	pass := func(r rawRow, lost, format string, args ...any) {
		p := at
		p.Row = r.row
		for _, c := range r.cells {
			if c.bad || clean(c.text) != "" {
				t.passed = append(t.passed, [2]int{r.row, c.col})
			}
		}
		if r.filled() == 1 {
			p.Col = t.passed[len(t.passed)-1][1]
		}
		notes = append(notes, Note{Place: p, Text: fmt.Sprintf(format, args...), Lost: lost})
	}
	head := findHeader(raw, rule)
	if head < 0 {
		notes = append(notes, Note{Place: at, Text: "the table is empty"})
		return t, notes, nil
	}
	for _, r := range raw[:head] {
		if !r.blank() {
			alone := ""
			if r.filled() == 1 {
				alone = "alone "
			}
			pass(r, "", "%s stands %sabove the header and was taken for a title", quote(r.words()), alone)
		}
	}
	index := map[int]int{} // column number → position in Columns
	for _, c := range raw[head].cells {
		header := clean(c.text)
		if c.bad {
			t.faulty = true
		}
		if header == "" {
			continue
		}
		name, unit := columnHeader(header)
		p := at
		p.Row, p.Col, p.Column = raw[head].row, c.col, header
		index[c.col] = len(t.Columns)
		t.Columns = append(t.Columns, Column{Name: name, Header: header, Unit: unit, Place: p})
	}
	data := raw[head+1:]
	if i := nextRow(data, 0); i >= 0 && data[i].ruler() {
		pass(data[i], "", "the row only draws a line; it was passed over")
		data = data[i+1:]
	}
	if i := nextRow(data, 0); i >= 0 {
		if units := unitRow(data[i], t.Columns, rule); units != nil {
			pass(data[i], "", "the row was taken for the units of the columns")
			ps = append(ps, t.takeUnits(units, data[i].row)...)
			data = data[i+1:]
		}
	}
	for end := len(data); end > 0; end-- {
		why := data[end-1].foot()
		if data[end-1].blank() {
			continue
		}
		if why == "" || nextRow(data[:end-1], 0) < 0 {
			break
		}
		pass(data[end-1], LostRow, "%s; it was not read", why)
		data = data[:end-1]
	}
	ps = append(ps, t.fill(data, index, rule, raw[head], pass)...)
	return t, notes, ps
}

// takeUnits gives the columns the units of a row under the header; one that is not that of the header is a problem.
func (t *Table) takeUnits(units map[int]string, row int) (ps Problems) {
	for i, c := range t.Columns {
		text := units[c.Place.Col]
		switch {
		case text == "":
		case c.Unit == "":
			t.Columns[i].Unit = text
		case !unit.Same(text, c.Unit):
			p := c.Place
			p.Row = row
			ps.Add(p, "", "the row of units says %s and the header %s, accepted is one unit for a column", quote(text), quote(c.Unit))
		}
	}
	return ps
}

// fill puts the rows of data under the columns of the table.
func (t *Table) fill(data []rawRow, index map[int]int, rule numberRule, head rawRow, pass func(r rawRow, lost, format string, args ...any)) (ps Problems) {
	orders := make([]dateOrder, len(t.Columns))
	for i, c := range t.Columns {
		orders[i] = headerOrder(c.Unit)
	}
	stray := map[int]int{} // column without a header → first row with a value
	for _, r := range data {
		if r.blank() {
			continue
		}
		if r.repeats(t.Columns) {
			pass(r, "", "the row repeats the header; it was passed over")
			continue
		}
		row := Row{Place: t.Place, Cells: make([]Cell, len(t.Columns))}
		row.Place.Row = r.row
		if n := head.fields; r.fields > n {
			row.fields, row.columns = r.fields, n
		}
		for i, c := range t.Columns {
			p := c.Place
			p.Row = r.row
			row.Cells[i] = Cell{Place: p, Unit: c.Unit, rule: rule}
		}
		for _, c := range r.cells {
			i, ok := index[c.col]
			if !ok {
				if (c.bad || clean(c.text) != "") && stray[c.col] == 0 {
					stray[c.col] = r.row
				}
				continue
			}
			cell := &row.Cells[i]
			cell.Text, cell.kind, cell.value, cell.bad, cell.rich = c.text, c.kind, c.value, c.bad, c.rich
			if c.kind == textCell {
				orders[i] = orders[i].see(c.text)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	for _, r := range t.Rows {
		for i := range r.Cells {
			r.Cells[i].order = orders[i]
		}
	}
	cols := make([]int, 0, len(stray))
	for col := range stray {
		cols = append(cols, col)
	}
	sort.Ints(cols)
	for _, col := range cols {
		p := t.Place
		p.Row, p.Col = stray[col], col
		ps.Add(p, "", "a value stands under no header, accepted is a table whose every column has its name in row %d", head.row)
	}
	return ps
}

// words joins the texts of a row.
func (r rawRow) words() string {
	var out []string
	for _, c := range r.cells {
		if s := clean(c.text); s != "" {
			out = append(out, s)
		}
	}
	return strings.Join(out, " ")
}

func (r rawRow) blank() bool { return r.filled() == 0 }

// filled counts the cells that hold something.
func (r rawRow) filled() (n int) {
	for _, c := range r.cells {
		if c.bad || clean(c.text) != "" {
			n++
		}
	}
	return n
}

// numbers reports whether a cell of the row holds a number, a date or a truth value, so that it is no header.
func (r rawRow) numbers(rule numberRule) bool {
	for _, c := range r.cells {
		if _, err := parseNumber(c.text, rule); c.kind != textCell || err == nil {
			return true
		}
	}
	return false
}

// nextRow is the index of the first row from i on that is not blank, -1 where there is none.
func nextRow(raw []rawRow, i int) int {
	for ; i < len(raw); i++ {
		if !raw[i].blank() {
			return i
		}
	}
	return -1
}

// list writes names for an error: "a", "b" and "c".
func list(names []string) string {
	const most = 25
	q := make([]string, 0, len(names))
	for i, n := range names {
		if i == most {
			q = append(q, fmt.Sprintf("%d more", len(names)-most))
			break
		}
		q = append(q, quote(n))
	}
	switch len(q) {
	case 0:
		return "none"
	case 1:
		return q[0]
	}
	return strings.Join(q[:len(q)-1], ", ") + " and " + q[len(q)-1]
}

// headers lists the columns of a table as written.
func (t *Table) headers() []string {
	out := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		out[i] = c.Header
	}
	return out
}
