package page

import (
	"strings"

	"weighhouse/templates/numeral"
)

// table is a table that scrolls sideways within itself where the screen is narrow. Its first column heads the rows.
type table struct {
	ID      string // of the caption
	Caption string
	Columns []column
	Rows    [][]cell
}

// column is a column's head and how it is set: numbers to the right and on one line, long text with room, a hash in
// letters of one width.
type column struct {
	Head            string
	Num, Wide, Code bool
}

// cell is what stands in a column; Share is a part of a whole in percent, as a bar, where it is not empty.
type cell struct {
	column
	Text  []span
	Share string
}

func (n *anchors) table(id, caption string, cols ...column) *table {
	return &table{ID: n.take("table-" + id), Caption: caption, Columns: cols}
}

// add appends a row; cells beyond the columns are set as plain text. A row whose first cell is empty is headed by a dash,
// since a head must say something.
func (t *table) add(cells ...[]span) {
	var row []cell
	if len(cells) > 0 && blank(cells[0]) {
		cells[0] = plain(numeral.Dash)
	}
	for i, c := range cells {
		var col column
		if i < len(t.Columns) {
			col = t.Columns[i]
		}
		row = append(row, cell{column: col, Text: c})
	}
	t.Rows = append(t.Rows, row)
}

func blank(ss []span) bool {
	for _, s := range ss {
		if strings.TrimSpace(s.Text) != "" {
			return false
		}
	}
	return true
}
