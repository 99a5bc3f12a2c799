// Package xlsx lays tables out in memory and writes them as one .xlsx workbook, the same bytes for the same content.
//
// A formula always travels with its result, so that a reader that does not calculate (a preview, a script) sees
// numbers too; a program that does calculate is told to do so when it opens the book.
package xlsx

import (
	"fmt"
	"strings"

	"weighhouse/measure/sheet"
)

// Look is how a cell looks. The zero Look is plain text or a plain number.
type Look struct {
	Format string // number format code, "" for General, "@" for text
	Bold   bool
	Italic bool
	Title  bool // larger
	Head   bool // column heads: bold on grey, ruled below, wrapped
	Grey   bool // grey text, for examples and asides
	Given  bool // blue text: a number that was put in, not calculated here
	Wrap   bool
	Right  bool
}

// Cell is one cell. Value is nil, a string, a bool, an int or a finite float64; with a Formula it is the formula's result.
type Cell struct {
	Value   any
	Formula string // without the leading "="
	Look    Look
}

// Text is a plain text cell. Text is never taken for a formula, whatever it begins with.
func Text(s string) Cell { return Cell{Value: s} }

// Wrapped is a text cell that breaks into lines.
func Wrapped(s string) Cell { return Cell{Value: s, Look: Look{Wrap: true}} }

// Column is the width of a column, in characters, and the look of its empty cells.
type Column struct {
	Width float64
	Look  Look
}

// List is a drop-down list on the cells from First to Last of a column. An entry that is not in the list is refused
// with a question if Fixed, else taken. Long lists (over 255 characters) cannot be written.
type List struct {
	Col, First, Last int // 1-based
	Words            []string
	Fixed            bool
	Title, Prompt    string // shown when the cell is chosen
}

// Note is a remark on a cell.
type Note struct {
	Col, Row int // 1-based
	Text     string
}

// Sheet is one sheet of a book, filled from the top.
type Sheet struct {
	Name       string
	Columns    []Column
	Rows       [][]Cell
	FreezeRows int // heads that stay in view, repeated on each printed page
	FreezeCols int
	Portrait   bool
	PagesWide  int  // how many pages side by side a print takes; 0 is 1
	Filter     bool // filter buttons on the last frozen row
	Lists      []List
	Notes      []Note
	Emphasis   []Emphasis

	wide map[int]wideRow // by row
}

// wideRow is a row of a given height, in points, whose first cell runs over cols columns: programs do not find the
// height of a merged cell by themselves.
type wideRow struct {
	cols   int
	height float64
}

// Emphasis sets cells of a range that hold exactly Word in bold, or in italics.
type Emphasis struct {
	Range  string
	Word   string
	Italic bool
}

// Add appends a row and returns its 1-based number.
func (s *Sheet) Add(cells ...Cell) int {
	s.Rows = append(s.Rows, cells)
	return len(s.Rows)
}

// AddWide appends a row whose one text runs over the first columns and breaks into lines.
func (s *Sheet) AddWide(text string, cols int, look Look) int {
	look.Wrap = true
	width := 0.0
	for i := 0; i < cols && i < len(s.Columns); i++ {
		width += s.Columns[i].Width
	}
	row := s.Add(Cell{Value: text, Look: look})
	s.tall(row, wideRow{cols, points(lines(text, width))})
	return row
}

// lines estimates how many lines a text takes in a column, breaking between words: a character of running text is about
// as wide as the digit by which widths are measured, in the widest of the fonts that may stand in for ours.
func lines(text string, width float64) int {
	room := max(int(width-1), 3)
	n := 0
	for _, line := range strings.Split(text, "\n") {
		n++
		used := 0
		for _, word := range strings.Fields(line) {
			size := len([]rune(word))
			if used > 0 && used+1+size > room {
				n++
				used = 0
			} else if used > 0 {
				used++
			}
			used += size
			for ; used > room; used -= room { // a word longer than the line is cut
				n++
			}
		}
	}
	return n
}

// points is the height of a row of so many lines; 409 points is the tallest row there is.
func points(lines int) float64 { return min(15*float64(lines), 409) }

// height is the height that a row needs for its wrapped cells, 0 where one line will do. Programs find heights by
// themselves at different times, and some not at all.
func (s *Sheet) height(row []Cell) float64 {
	most := 1
	for j, c := range row {
		text, ok := c.Value.(string)
		if !ok || j >= len(s.Columns) || !c.Look.Wrap && !c.Look.Head {
			continue
		}
		width := s.Columns[j].Width
		if c.Look.Head {
			width = 0.95*width - 1 // bold, and set in from the right over numbers
		}
		most = max(most, lines(text, width))
	}
	if most == 1 {
		return 0
	}
	return points(most)
}

// overNumbers reports whether the column below a head holds numbers: such a head stands on the right, as they do.
func (s *Sheet) overNumbers(row, col int) bool {
	for _, r := range s.Rows[row+1:] {
		if len(r) == 0 || r[0].Look.Head {
			break
		}
		if col < len(r) && r[col].Value != nil && r[col].Value != "" {
			switch r[col].Value.(type) {
			case int, float64:
				return true
			}
			return false
		}
	}
	return false
}

// Next is the number of the row that the next Add will fill.
func (s *Sheet) Next() int { return len(s.Rows) + 1 }

// Head appends a row of column heads.
func (s *Sheet) Head(names ...string) int {
	cells := make([]Cell, len(names))
	for i, n := range names {
		cells[i] = Cell{Value: n, Look: Look{Head: true}}
	}
	return s.Add(cells...)
}

// AddTitle appends the sheet's title.
func (s *Sheet) AddTitle(text string) int {
	row := s.Add(Cell{Value: text, Look: Look{Title: true}})
	s.tall(row, wideRow{height: 24})
	return row
}

func (s *Sheet) tall(row int, m wideRow) {
	if s.wide == nil {
		s.wide = map[int]wideRow{}
	}
	s.wide[row] = m
}

// Widths sets the widths of the first columns.
func (s *Sheet) Widths(w ...float64) {
	s.Columns = make([]Column, len(w))
	for i := range w {
		s.Columns[i].Width = w[i]
	}
}

// At is the address of a cell for formulas on its own sheet: At(2, 5) is B5.
func At(col, row int) string { return sheet.ColumnLetters(col) + fmt.Sprint(row) }

// Down is the address of the part of a column from one row to another: B5:B9.
func Down(col, from, to int) string { return At(col, from) + ":" + At(col, to) }

// On puts the sheet in front of an address: On("Read me", "B5") is 'Read me'!B5.
func On(name, address string) string {
	if strings.ContainsAny(name, " '-") {
		name = "'" + strings.ReplaceAll(name, "'", "''") + "'"
	}
	return name + "!" + address
}
