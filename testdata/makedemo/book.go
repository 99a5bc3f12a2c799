package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"weighhouse/templates/xlsx"
)

// table is one table of a book. A cell is a string, a float64, an int or a day; "" and nil are blank.
type table struct {
	name string
	head []string
	rows [][]any
}

// book is a spec or a lab book.
type book []table

// day is a calendar day: a date cell in a workbook, an ISO date in CSV.
type day string

type form int

const (
	formXLSX form = iota
	formCSV
)

// testCase is a whole case before it is given a form.
type testCase struct {
	folder string
	spec   book
	lab    book
	attach files // logs and captures, by path inside the case
	truth  caseTruth
}

// write adds the case's files to out, below dir.
func (c testCase) write(out files, dir string, f form) error {
	for _, b := range []struct {
		name string
		book book
	}{{"spec", c.spec}, {"lab", c.lab}} {
		if f == formCSV {
			for _, t := range b.book {
				text, err := t.csv()
				if err != nil {
					return err
				}
				out[dir+"/"+b.name+"/"+strings.ReplaceAll(t.name, " ", "-")+".csv"] = text
			}
			continue
		}
		x, err := b.book.xlsx()
		if err != nil {
			return fmt.Errorf("%s/%s.xlsx: %w", dir, b.name, err)
		}
		out[dir+"/"+b.name+".xlsx"] = x
	}
	for n, text := range c.attach {
		out[dir+"/"+n] = text
	}
	return nil
}

func (t table) csv() ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.Write(t.head); err != nil {
		return nil, err
	}
	for _, r := range t.rows {
		rec := make([]string, len(t.head))
		for i, c := range r {
			rec[i] = cellText(c)
		}
		if err := w.Write(rec); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

func cellText(c any) string {
	switch v := c.(type) {
	case nil:
		return ""
	case string:
		return v
	case day:
		return string(v)
	case int:
		return strconv.Itoa(v)
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	panic(fmt.Sprintf("a cell of type %T", c))
}

// xlsx writes the book as a workbook that is pleasant to open: heads frozen, columns as wide as their contents. The
// document's dates are fixed, so that the same book gives the same bytes.
func (b book) xlsx() ([]byte, error) {
	out := xlsx.Book{Title: "Demo case, invented", About: "Invented data: no maker, model or person in it exists.", Date: "2026-07-08"}
	for _, t := range b {
		s := &xlsx.Sheet{Name: t.name, FreezeRows: 1}
		for c := range t.head {
			s.Columns = append(s.Columns, xlsx.Column{Width: t.width(c)})
		}
		s.Head(t.head...)
		for _, r := range t.rows {
			cells := make([]xlsx.Cell, len(r))
			for c, v := range r {
				var err error
				if cells[c], err = bookCell(v); err != nil {
					return nil, fmt.Errorf("sheet %s: %w", t.name, err)
				}
			}
			s.Add(cells...)
		}
		out.Sheets = append(out.Sheets, s)
	}
	var w bytes.Buffer
	err := out.Write(&w)
	return w.Bytes(), err
}

// bookCell returns a cell of a workbook; a day is a date cell, counted in days since 30 December 1899.
func bookCell(v any) (xlsx.Cell, error) {
	switch v := v.(type) {
	case string:
		if v == "" {
			return xlsx.Cell{}, nil
		}
		return xlsx.Wrapped(v), nil
	case day:
		d, err := time.Parse(time.DateOnly, string(v))
		return xlsx.Cell{Value: int(d.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24), Look: xlsx.Look{Format: "yyyy-mm-dd"}}, err
	}
	return xlsx.Cell{Value: v}, nil
}

// width is a column's width in characters: its longest cell, between 9 and 58.
func (t table) width(col int) float64 {
	w := utf8.RuneCountInString(t.head[col]) + 3
	for _, r := range t.rows {
		if col < len(r) {
			w = max(w, utf8.RuneCountInString(cellText(r[col]))+2)
		}
	}
	return float64(min(max(w, 9), 58))
}
