package form

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"

	"weighhouse/templates/xlsx"
)

// rowsWithLists is how many rows of a table offer drop-down lists.
const rowsWithLists = 500

// workbook makes one book as .xlsx: the read-me sheet, then a sheet for each table.
func workbook(book string) ([]byte, error) {
	b := &xlsx.Book{
		Title: book + " form of an air cleaner audit", Subject: "blank form", Header: "weighhouse: " + book,
		Sheets: []*xlsx.Sheet{readMe(book)},
	}
	for _, t := range of(book) {
		s, err := t.sheet()
		if err != nil {
			return nil, err
		}
		b.Sheets = append(b.Sheets, s)
	}
	var buf bytes.Buffer
	err := b.Write(&buf)
	return buf.Bytes(), err
}

// sheet lays out one table: heads with remarks, example rows in grey, the fields of a field table.
func (t *table) sheet() (*xlsx.Sheet, error) {
	s := &xlsx.Sheet{Name: t.Name, FreezeRows: 1}
	heads := make([]xlsx.Cell, len(t.Columns))
	last := 1 + t.examples() + rowsWithLists
	for i, c := range t.Columns {
		heads[i] = xlsx.Cell{Value: c.Head, Look: xlsx.Look{Head: true, Right: i > 0 && c.Kind != "text"}}
		s.Columns = append(s.Columns, xlsx.Column{Width: c.Width, Look: c.look()})
		s.Notes = append(s.Notes, xlsx.Note{Col: i + 1, Row: 1, Text: c.Note})
		if c.Words != nil {
			s.Lists = append(s.Lists, xlsx.List{
				Col: i + 1, First: 2 + t.examples(), Last: last, Words: c.Words, Fixed: c.Fixed,
			})
		}
	}
	s.Add(heads...)
	for n := range t.examples() {
		var cells []xlsx.Cell
		for i, c := range t.Columns {
			cell, err := c.example(n, i == 0)
			if err != nil {
				return nil, fmt.Errorf("table %s, example of %s: %w", t.Name, c.Head, err)
			}
			cells = append(cells, cell)
		}
		s.Add(cells...)
	}
	for _, f := range t.Fields {
		row := s.Add(xlsx.Cell{Value: f.Name, Look: xlsx.Look{Bold: true}}, xlsx.Cell{Look: t.Columns[1].look()})
		s.Notes = append(s.Notes, xlsx.Note{Col: 2, Row: row, Text: f.Note})
		if f.Words != nil {
			s.Lists = append(s.Lists, xlsx.List{Col: 2, First: row, Last: row, Words: f.Words})
		}
	}
	return s, nil
}

// look is the look of a column's empty cells. Text columns are of the format text, so that a spreadsheet turns neither
// 6-8 nor 10:05 nor 1/2 into a date.
func (c column) look() xlsx.Look {
	switch c.Kind {
	case "date":
		return xlsx.Look{Format: "yyyy-mm-dd"}
	case "number":
		return xlsx.Look{}
	}
	return xlsx.Look{Format: "@", Wrap: c.Width > 35}
}

// example is the cell of a column in example row n. The first cell is text, for it carries the marker.
func (c column) example(n int, first bool) (xlsx.Cell, error) {
	cell := xlsx.Cell{Look: xlsx.Look{Grey: true, Italic: true, Wrap: c.Width > 35}}
	text := ""
	if n < len(c.Examples) {
		text = c.Examples[n]
	}
	switch {
	case text == "":
	case c.Kind == "number" && !first:
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return cell, err
		}
		cell.Value = v
		if _, dec, ok := strings.Cut(text, "."); ok {
			cell.Look.Format = "0." + strings.Repeat("0", len(dec))
		}
	case c.Kind == "date" && !first:
		day, err := time.Parse(time.DateOnly, text)
		if err != nil {
			return cell, err
		}
		// Days since 1899-12-30: the 1900 date system as it stands from March 1900 on.
		cell.Value = int(day.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)
		cell.Look.Format = "yyyy-mm-dd"
	default:
		cell.Value, cell.Look.Format = text, "@"
	}
	return cell, nil
}
