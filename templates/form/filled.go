package form

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"time"

	"weighhouse/measure/sheet"
	"weighhouse/templates/xlsx"
)

// Spec makes a spec book that holds rows already, for a person to check and complete: spec.xlsx with the lists and remarks
// of the form, or with csv the folder spec. product and claims are tables as the contract names them, the first row of
// each its header; cells are text, and days are written YYYY-MM-DD. A text that a spreadsheet would take for a formula
// stays text: in a workbook by the kind of its cell, in a CSV file by an apostrophe before it, which is lost again where
// it is read. The same tables give the same bytes; date, YYYY-MM-DD, is that of the workbook.
func Spec(product, claims [][]string, date string, csv bool) ([]File, error) {
	given := map[string][][]string{"product": product, "claims": claims}
	if csv {
		return csvBook("spec", given)
	}
	b := &xlsx.Book{Title: "Spec book of an air cleaner audit", Subject: "claims of a listing", Header: "weighhouse: spec", Date: date,
		Sheets: []*xlsx.Sheet{readMe("spec")}}
	for _, t := range of("spec") {
		rows, err := t.arrange(given[t.Name])
		if err != nil {
			return nil, err
		}
		s, err := t.filled(rows)
		if err != nil {
			return nil, err
		}
		b.Sheets = append(b.Sheets, s)
	}
	var buf bytes.Buffer
	if err := b.Write(&buf); err != nil {
		return nil, fmt.Errorf("spec.xlsx: %w", err)
	}
	return []File{{"spec.xlsx", buf.Bytes()}}, nil
}

// arrange puts rows into the order of the form's columns. The first row names them; one that the form lacks is an error.
func (t *table) arrange(rows [][]string) ([][]string, error) {
	if len(rows) == 0 {
		return nil, nil
	}
	at := make([]int, len(rows[0]))
	for i, name := range rows[0] {
		at[i] = -1
		for k, c := range t.Columns {
			if c.Head == name {
				at[i] = k
			}
		}
		if at[i] < 0 {
			return nil, fmt.Errorf("table %s: the form has no column %q", t.Name, name)
		}
	}
	var out [][]string
	for _, r := range rows[1:] {
		row := make([]string, len(t.Columns))
		for i, cell := range r {
			if i < len(at) {
				row[at[i]] = cell
			}
		}
		out = append(out, row)
	}
	return out, nil
}

// filled lays out one table with rows in place of the form's examples.
func (t *table) filled(rows [][]string) (*xlsx.Sheet, error) {
	blank := *t
	blank.Columns = append([]column(nil), t.Columns...)
	for i := range blank.Columns {
		blank.Columns[i].Examples = nil
	}
	if rows != nil {
		blank.Fields = nil
	}
	s, err := blank.sheet()
	if err != nil {
		return nil, err
	}
	for _, r := range rows {
		var cells []xlsx.Cell
		for i, text := range r {
			c := xlsx.Cell{Look: blank.Columns[i].look()}
			if text != "" {
				c.Value = text
			}
			if day, err := time.Parse(time.DateOnly, text); err == nil && blank.Columns[i].Kind == "date" {
				c.Value = serial(day)
			}
			cells = append(cells, c)
		}
		row := s.Add(cells...)
		for _, f := range t.Fields {
			if len(r) > 1 && f.Name == r[0] {
				s.Notes = append(s.Notes, xlsx.Note{Col: 2, Row: row, Text: f.Note})
				if f.Words != nil {
					s.Lists = append(s.Lists, xlsx.List{Col: 2, First: row, Last: row, Words: f.Words})
				}
				s.Rows[row-1][0].Look.Bold = true
			}
		}
	}
	return s, nil
}

// serial is a day in the 1900 date system as it stands from March 1900 on: days since 1899-12-30.
func serial(day time.Time) int {
	return int(day.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)
}

// csvBook makes a book as CSV files, those of its tables that are given.
func csvBook(book string, given map[string][][]string) ([]File, error) {
	var out []File
	for _, t := range of(book) {
		if given[t.Name] == nil {
			continue
		}
		rows, err := t.arrange(given[t.Name])
		if err != nil {
			return nil, err
		}
		var buf bytes.Buffer
		buf.WriteString("\uFEFF") // spreadsheets take a file without it for another encoding
		w := csv.NewWriter(&buf)
		heads := make([]string, len(t.Columns))
		for i, c := range t.Columns {
			heads[i] = c.Head
		}
		if err := w.Write(heads); err != nil {
			return nil, err
		}
		for _, r := range rows {
			for i := range r {
				r[i] = sheet.Guarded(lineEnds.Replace(r[i]))
			}
			if err := w.Write(r); err != nil {
				return nil, err
			}
		}
		w.Flush()
		if err := w.Error(); err != nil {
			return nil, err
		}
		out = append(out, File{book + "/" + t.Name + ".csv", buf.Bytes()})
	}
	return out, nil
}

// lineEnds brings line ends within a cell to one kind, since no CSV table may hold a carriage return alone.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")
