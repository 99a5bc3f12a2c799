package form

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"

	"weighhouse/templates/xlsx"
)

// titles say what each book is for.
var titles = map[string]string{
	"spec": "What is promised: the product, its claims and where they were seen",
	"lab":  "What was measured: the test, the room, the instruments and their readings",
	"room": "What is known of the test room: reference units with certificates, and a check unit",
}

// rules are what a person needs to know to fill in a table, whatever its form.
var rules = []string{
	"One claim, one reading or one run a row. Leave a cell blank where nothing is known; never write 0 for “not measured”.",
	"A unit may stand in a column's head in brackets, such as level [dB(A)]. Change it there if you measured in another one.",
	"± is the expanded uncertainty at about 95 % (k = 2). Where it was stated with another coverage factor, write that in the column k.",
	"Dates: as dates of the spreadsheet, or 2026-03-20.",
	"Logs and captures stay files of their own inside the case folder, as the logger or the browser wrote them; the tables name them.",
	"Fill in claims before you measure, and decide tolerances before you see results.",
}

// cautions are printed wherever work can hurt somebody.
var cautions = []string{
	"Mains voltage can kill: measure power with a plug-in meter and never open a unit or a cable. Electrical work is for qualified people.",
	"Smoke and ozone can hurt people: air the room between runs, stay outside while it is filled, keep a smoke alarm working, never leave burning material alone.",
	"A result is about the item tested. Before you publish or file anything, check local rules and take qualified advice; this is general information, not legal advice.",
}

// readMe is the sheet that explains a book.
func readMe(book string) *xlsx.Sheet {
	s := &xlsx.Sheet{Name: ReadMe, Portrait: true}
	s.Widths(20, 24, 60)
	title := func(text string) {
		s.Add()
		s.Add(xlsx.Cell{Value: text, Look: xlsx.Look{Bold: true}})
	}
	s.AddTitle(strings.ToUpper(book[:1]) + book[1:] + " form")
	s.Add(xlsx.Text(titles[book]))
	title("How to fill it in")
	steps := append([]string{
		"Each sheet is one table. Rest the pointer on a head, or on a field's value, to see what belongs there.",
		"Cells with a fixed set of words offer a list.",
		fmt.Sprintf("The rows in grey italics are examples. A row whose first cell begins with “%s” is never read; "+
			"leave it or delete it.", Marker),
	}, rules...)
	for i, text := range steps {
		s.AddWide(fmt.Sprintf("%d. %s", i+1, text), 3, xlsx.Look{})
	}
	title("The tables")
	s.Head("sheet", "needed?", "what it holds")
	for _, t := range of(book) {
		s.Add(xlsx.Cell{Value: t.Name, Look: xlsx.Look{Bold: true}}, xlsx.Text(t.Need), xlsx.Wrapped(t.Purpose))
	}
	title("Take care")
	for _, c := range cautions {
		s.AddWide(c, 3, xlsx.Look{})
	}
	title("Then")
	s.AddWide(setOf(book).Then, 3, xlsx.Look{})
	return s
}

// csvFiles makes the forms as CSV: the heads alone, the fields of field tables, and a text that explains them.
func csvFiles(set Set) ([]File, error) {
	out := []File{{"README.txt", []byte(readMeText(set))}}
	for _, t := range tables() {
		if !slices.Contains(set.Books, t.Book) {
			continue
		}
		var buf bytes.Buffer
		buf.WriteString("\uFEFF") // spreadsheets take a file without it for another encoding and spoil the ±
		w := csv.NewWriter(&buf)
		heads := make([]string, len(t.Columns))
		for i, c := range t.Columns {
			heads[i] = c.Head
		}
		if err := w.Write(heads); err != nil {
			return nil, err
		}
		for _, f := range t.Fields {
			if err := w.Write([]string{f.Name, ""}); err != nil {
				return nil, err
			}
		}
		w.Flush()
		if err := w.Error(); err != nil {
			return nil, err
		}
		out = append(out, File{t.Book + "/" + t.Name + ".csv", buf.Bytes()})
	}
	return out, nil
}

// readMeText explains the CSV forms: what the workbook says in remarks and lists.
func readMeText(set Set) string {
	var b strings.Builder
	b.WriteString(set.Title + "\n" + strings.Repeat("=", len(set.Title)) + "\n\n")
	b.WriteString("Each file is one table; the first line names its columns. A table that you have nothing for may stay as it is or be deleted.\n\n")
	for i, r := range rules {
		fmt.Fprintf(&b, "%d. %s\n", i+1, r)
	}
	for _, book := range set.Books {
		fmt.Fprintf(&b, "\n\n%s/  %s\n", book, titles[book])
		for _, t := range of(book) {
			fmt.Fprintf(&b, "\n%s/%s.csv (%s)\n  %s\n", book, t.Name, t.Need, t.Purpose)
			if t.Fields != nil {
				for _, f := range t.Fields {
					fmt.Fprintf(&b, "    %s: %s%s\n", f.Name, f.Note, choice(f.Words))
				}
				continue
			}
			for _, c := range t.Columns {
				fmt.Fprintf(&b, "    %s: %s%s\n", c.Head, c.Note, choice(c.Words))
				if e := c.shown(); e != "" {
					fmt.Fprintf(&b, "      for example: %s\n", e)
				}
			}
		}
	}
	b.WriteString("\n\nTake care\n")
	for _, c := range cautions {
		fmt.Fprintf(&b, "- %s\n", c)
	}
	b.WriteString("\nThen: " + set.Then + "\n")
	return b.String()
}

func choice(words []string) string {
	if words == nil {
		return ""
	}
	return " [" + strings.Join(words, " | ") + "]"
}

// shown is the column's first example without the marker.
func (c column) shown() string {
	for _, e := range c.Examples {
		if e = strings.TrimSpace(strings.TrimPrefix(e, Marker)); e != "" {
			return e
		}
	}
	return ""
}
