// Package form makes the blank books that a tester fills in: every table of the contract, as two workbooks with
// drop-down lists and remarks, or as folders of CSV files.
//
// A workbook's tables carry a filled example. Its first cell begins with Marker, by which readers pass it over; a sheet
// with the name ReadMe is no table.
package form

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

// Marker begins the first cell of an example row. Readers leave out a row whose first filled cell begins with it,
// whatever its case.
const Marker = "example:"

// ReadMe is the name of the sheet that explains a form; it is not a table.
const ReadMe = "read me"

// table is one table of a form.
type table struct {
	Book, Name string
	Need       string // "needed", "optional", "for noise claims"
	Purpose    string
	Columns    []column
	Fields     []field // the rows of a table of fields and values, in order; nil for others
}

// column is one column: its head with the unit, what it holds, the words to choose from, its examples and its remark.
type column struct {
	Head     string
	Width    float64
	Kind     string // text, number or date
	Words    []string
	Fixed    bool     // no other word is taken
	Examples []string // one for each example row
	Note     string
}

// field is one row of a table of fields and values.
type field struct {
	Name  string
	Words []string
	Note  string
}

//go:embed tables.csv
var tablesCSV string

//go:embed columns.csv
var columnsCSV string

//go:embed fields.csv
var fieldsCSV string

// tables lists the tables of both books in the order of the contract. The files are part of the program, so what is
// wrong with them is a mistake of ours and panics.
var tables = sync.OnceValue(func() []*table {
	var all []*table
	byName := map[string]*table{}
	for _, r := range records(tablesCSV) {
		t := &table{Book: r[0], Name: r[1], Need: r[2], Purpose: r[3]}
		all, byName[r[0]+" "+r[1]] = append(all, t), t
	}
	for _, r := range records(columnsCSV) {
		t := byName[r[0]+" "+r[1]]
		w, err := strconv.ParseFloat(r[3], 64)
		if t == nil || err != nil {
			panic(fmt.Sprintf("columns.csv: %q: no such table, or no width", r))
		}
		t.Columns = append(t.Columns, column{
			Head: r[2], Width: w, Kind: r[4], Words: words(r[5]), Fixed: r[6] == "yes",
			Examples: strings.Split(r[7], "|"), Note: r[8],
		})
	}
	for _, r := range records(fieldsCSV) {
		t := byName[r[0]+" "+r[1]]
		if t == nil {
			panic(fmt.Sprintf("fields.csv: %q: no such table", r))
		}
		t.Fields = append(t.Fields, field{Name: r[2], Words: words(r[3]), Note: r[4]})
	}
	return all
})

func records(text string) [][]string {
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(err)
	}
	return all[1:] // the first row is the header
}

func words(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, ";")
}

// of lists the tables of one book.
func of(book string) []*table {
	var out []*table
	for _, t := range tables() {
		if t.Book == book {
			out = append(out, t)
		}
	}
	return out
}

// examples is the number of example rows.
func (t *table) examples() int { return len(t.Columns[0].Examples) }
