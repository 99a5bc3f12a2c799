// Package sheet reads books: sets of named tables, kept as an .xlsx workbook or as a folder of .csv files, and logs.
// Both forms give the same tables. Every cell knows its place, and all errors of a book are reported together.
package sheet

import (
	"fmt"
	"sort"
	"strings"
)

// Place is where a cell, a row or a table stands in an input.
type Place struct {
	Book   string // "lab.xlsx", or for CSV the file's path in the case: "lab/decay.csv"
	Sheet  string // the sheet's own name; "" for CSV
	Row    int    // 1-based: the sheet row, or for CSV the line; 0 for the whole table
	Col    int    // 1-based; 0 for the whole row
	Column string // the header, as written; "" for the whole row
}

// String gives the place as the contract words it: `lab.xlsx: sheet decay, cell F7` or `lab/decay.csv:7: column from`.
func (p Place) String() string {
	var b strings.Builder
	b.WriteString(p.Book)
	if p.Sheet != "" {
		b.WriteString(": sheet " + p.Sheet)
		switch {
		case p.Row > 0 && p.Col > 0:
			fmt.Fprintf(&b, ", cell %s%d", ColumnLetters(p.Col), p.Row)
		case p.Row > 0:
			fmt.Fprintf(&b, ", row %d", p.Row)
		case p.Col > 0:
			fmt.Fprintf(&b, ", column %s", ColumnLetters(p.Col))
		}
		return b.String()
	}
	if p.Row > 0 {
		fmt.Fprintf(&b, ":%d", p.Row)
	}
	if p.Column != "" {
		b.WriteString(": column " + p.Column)
	} else if p.Col > 0 {
		fmt.Fprintf(&b, ": column %d", p.Col)
	}
	return b.String()
}

// ColumnLetters is the spreadsheet name of a 1-based column: 1 → A, 27 → AA.
func ColumnLetters(n int) string {
	s := ""
	for ; n > 0; n = (n - 1) / 26 {
		s = string(rune('A'+(n-1)%26)) + s
	}
	return s
}

// Problem is one thing wrong with an input: the place, what was found and would be accepted, and a next step.
type Problem struct {
	Place Place
	Text  string // lower case, no full stop
	Hint  string // one line, or ""
}

func (p Problem) Error() string {
	s := p.Text
	if at := p.Place.String(); at != "" {
		s = at + ": " + s
	}
	if p.Hint != "" {
		s += "\n  hint: " + p.Hint
	}
	return s
}

// Problems collects what is wrong; it is an error when it is not empty.
type Problems []Problem

// maxProblems is how many problems an error message lists before it says "and N more".
const maxProblems = 20

// Add appends a problem.
func (ps *Problems) Add(at Place, hint, format string, args ...any) {
	*ps = append(*ps, Problem{Place: at, Text: fmt.Sprintf(format, args...), Hint: hint})
}

// Err is ps as an error, nil when it is empty.
func (ps Problems) Err() error {
	if len(ps) == 0 {
		return nil
	}
	return ps
}

// Sorted gives the problems in order of book, sheet, row and column, each once.
func (ps Problems) Sorted() Problems {
	sorted := append(Problems(nil), ps...)
	sort.SliceStable(sorted, func(i, j int) bool {
		a, b := sorted[i].Place, sorted[j].Place
		switch {
		case a.Book != b.Book:
			return a.Book < b.Book
		case a.Sheet != b.Sheet:
			return a.Sheet < b.Sheet
		case a.Row != b.Row:
			return a.Row < b.Row
		default:
			return a.Col < b.Col
		}
	})
	seen := map[string]bool{}
	out := sorted[:0]
	for _, p := range sorted {
		if s := p.Error(); !seen[s] {
			seen[s] = true
			out = append(out, p)
		}
	}
	return out
}

// Error lists the problems in their order, at most twenty of them.
func (ps Problems) Error() string {
	var lines []string
	for _, p := range ps.Sorted() {
		lines = append(lines, p.Error())
	}
	if n := len(lines) - maxProblems; n > 0 {
		lines = append(lines[:maxProblems], fmt.Sprintf("and %d more", n))
	}
	return strings.Join(lines, "\n")
}

// Note is something the reader should know that is not an error: an unknown column, a hidden row.
type Note struct {
	Place Place
	Text  string
	Lost  string // what of the input was not read: LostRow …; "" where all was
	Count int    // how many of that; 0 stands for one
}

// What a note may say was not read.
const (
	LostCell    = "cell"
	LostRow     = "row"
	LostColumn  = "column"
	LostTable   = "table"
	LostReading = "reading"
)

func (n Note) String() string { return n.Place.String() + ": " + n.Text }

// Input is one file that was read: its path in the case (forward slashes), size and SHA-256 in hexadecimal.
type Input struct {
	Path   string `json:"path"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}
