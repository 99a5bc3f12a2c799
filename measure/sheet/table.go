package sheet

import (
	"fmt"
	"sort"
	"strings"
)

// Table is one table of a book: its columns, and its rows that are not blank.
type Table struct {
	Name    string // the sheet's or the file's own name
	Place   Place  // of the whole table
	Columns []Column
	Rows    []Row

	faulty bool     // it could not be read to its end, or not at all
	titles [][2]int // row and column of cells above the header that were passed over
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
	bad   bool // it holds no value that can be read; a problem says why
}

// build makes a table of raw rows: the first row that is not blank is the header, but for a title, which is one cell
// alone above a row of several texts without a number. A value under no header is a problem, for it would be lost otherwise.
func build(name string, at Place, raw []rawRow, rule numberRule) (*Table, []Note, Problems) {
	t := &Table{Name: name, Place: at}
	var ps Problems
	var notes []Note
	head := nextRow(raw, 0)
	for head >= 0 && raw[head].filled() == 1 {
		next := nextRow(raw, head+1)
		if next < 0 || raw[next].filled() < 2 || raw[next].numbers(rule) {
			break
		}
		for _, c := range raw[head].cells {
			if clean(c.text) != "" {
				p := at
				p.Row, p.Col = raw[head].row, c.col
				notes = append(notes, Note{p, fmt.Sprintf("%s stands alone above the header and was taken for a title", quote(clean(c.text)))})
				t.titles = append(t.titles, [2]int{p.Row, p.Col})
			}
		}
		head = next
	}
	if head < 0 {
		notes = append(notes, Note{at, "the table is empty"})
		return t, notes, nil
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
		name, unit := splitHeader(header)
		p := at
		p.Row, p.Col, p.Column = raw[head].row, c.col, header
		index[c.col] = len(t.Columns)
		t.Columns = append(t.Columns, Column{Name: name, Header: header, Unit: unit, Place: p})
	}
	orders := make([]dateOrder, len(t.Columns))
	for i, c := range t.Columns {
		orders[i] = headerOrder(c.Unit)
	}
	stray := map[int]int{} // column without a header → first row with a value
	for _, r := range raw[head+1:] {
		if r.blank() {
			continue
		}
		row := Row{Place: at, Cells: make([]Cell, len(t.Columns))}
		row.Place.Row = r.row
		if n := raw[head].fields; r.fields > n {
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
			cell.Text, cell.kind, cell.value, cell.bad = c.text, c.kind, c.value, c.bad
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
		p := at
		p.Row, p.Col = stray[col], col
		ps.Add(p, "", "a value stands under no header, accepted is a table whose every column has its name in row %d", raw[head].row)
	}
	return t, notes, ps
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
