package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
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

// xlsx writes the book as a workbook that is pleasant to open: header in bold on a tint and frozen, columns as wide as
// their contents. The document's dates are fixed, so that the same book gives the same bytes.
func (b book) xlsx() ([]byte, error) {
	f := excelize.NewFile()
	defer func() { _ = f.Close() }()
	head, err := f.NewStyle(&excelize.Style{
		Font:      &excelize.Font{Family: "Calibri", Size: 11, Bold: true, Color: "1F2933"},
		Fill:      excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"E4E9E2"}},
		Border:    []excelize.Border{{Type: "bottom", Color: "6B7F66", Style: 1}},
		Alignment: &excelize.Alignment{Vertical: "center", Horizontal: "left"},
	})
	if err != nil {
		return nil, err
	}
	body, err := f.NewStyle(&excelize.Style{Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "left", WrapText: true}})
	if err != nil {
		return nil, err
	}
	iso := "yyyy-mm-dd"
	date, err := f.NewStyle(&excelize.Style{CustomNumFmt: &iso, Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "left"}})
	if err != nil {
		return nil, err
	}
	for i, t := range b {
		if i == 0 {
			err = f.SetSheetName("Sheet1", t.name)
		} else {
			_, err = f.NewSheet(t.name)
		}
		if err != nil {
			return nil, err
		}
		if err := t.sheet(f, head, body, date); err != nil {
			return nil, fmt.Errorf("sheet %s: %w", t.name, err)
		}
	}
	const made = "2026-07-08T09:00:00Z"
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "makedemo", LastModifiedBy: "makedemo", Created: made, Modified: made,
		Title: "Demo case, invented", Description: "Invented data: no maker, model or person in it exists."}); err != nil {
		return nil, err
	}
	out, err := f.WriteToBuffer()
	if err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func (t table) sheet(f *excelize.File, head, body, date int) error {
	for c, h := range t.head {
		if err := f.SetCellStr(t.name, cellName(c, 0), h); err != nil {
			return err
		}
	}
	for r, row := range t.rows {
		for c, v := range row {
			if err := setCell(f, t.name, cellName(c, r+1), v, date); err != nil {
				return err
			}
		}
	}
	last := cellName(len(t.head)-1, len(t.rows))
	if err := f.SetSheetDimension(t.name, "A1:"+last); err != nil {
		return err
	}
	for c := range t.head {
		col, err := excelize.ColumnNumberToName(c + 1)
		if err != nil {
			return err
		}
		if err := f.SetColWidth(t.name, col, col, t.width(c)); err != nil {
			return err
		}
	}
	if err := f.SetCellStyle(t.name, "A1", cellName(len(t.head)-1, 0), head); err != nil {
		return err
	}
	if err := f.SetRowHeight(t.name, 1, 20); err != nil {
		return err
	}
	for r, row := range t.rows {
		lines := 1
		for c, v := range row {
			if _, isDate := v.(day); !isDate {
				if err := f.SetCellStyle(t.name, cellName(c, r+1), cellName(c, r+1), body); err != nil {
					return err
				}
			}
			lines = max(lines, wrapped(cellText(v), int(t.width(c))-2))
		}
		if lines > 1 {
			if err := f.SetRowHeight(t.name, r+2, float64(15*lines)); err != nil {
				return err
			}
		}
	}
	landscape, wide, tall, fit := "landscape", 1, 0, true // printed, a table is one page wide
	if err := f.SetPageLayout(t.name, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &wide, FitToHeight: &tall}); err != nil {
		return err
	}
	if err := f.SetSheetProps(t.name, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return err
	}
	return f.SetPanes(t.name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft",
		Selection: []excelize.Selection{{SQRef: "A2", ActiveCell: "A2", Pane: "bottomLeft"}}})
}

func setCell(f *excelize.File, sheet, at string, v any, date int) error {
	switch v := v.(type) {
	case nil:
		return nil
	case string:
		if v == "" {
			return nil
		}
		return f.SetCellStr(sheet, at, v)
	case day:
		d, err := time.Parse("2006-01-02", string(v))
		if err != nil {
			return err
		}
		if err := f.SetCellValue(sheet, at, d); err != nil {
			return err
		}
		return f.SetCellStyle(sheet, at, at, date)
	default:
		return f.SetCellValue(sheet, at, v)
	}
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

// wrapped is how many lines a text takes in a column of so many characters.
func wrapped(text string, width int) int {
	lines := 0
	for para := range strings.SplitSeq(text, "\n") {
		lines++
		at := 0
		for word := range strings.FieldsSeq(para) {
			n := utf8.RuneCountInString(word)
			switch {
			case at == 0:
				at = n
			case at+1+n > width:
				lines, at = lines+1, n
			default:
				at += 1 + n
			}
		}
	}
	return lines
}

func cellName(col, row int) string {
	n, err := excelize.CoordinatesToCellName(col+1, row+1)
	if err != nil {
		panic(err) // columns and rows are counted from zero here and never out of range
	}
	return n
}
