package sheet

import (
	"fmt"
	"io"
	"reflect"
	"strings"
	"sync"

	"github.com/gocarina/gocsv"
)

// rowTag is the tag of the field that receives the place of its row.
const rowTag = "@row"

// Decode reads the rows of a table into structs of type T, whose fields are Text, Number, Span, Date and RowPlace with
// tags `csv:"name"`, name being a folded column name. gocsv decodes, over a reader that hands it our own cells.
//
// A required column that is missing is a problem that names the columns found; a column that no field takes is a note;
// two columns of one name are a problem; so is every cell that its field cannot read, each with its place. All problems
// are collected; the rows that come with them hold what could be read, and a field that could not is Bad, so that nobody
// asks for it a second time. Where a required column is missing, there are no rows. A nil table gives nothing.
//
// A row whose first cell that is not blank begins with ExamplePrefix is an example of a form: it is left out before any
// cell of it is read, with a note.
func Decode[T any](t *Table, required ...string) (rows []T, notes []Note, ps Problems) {
	if t == nil {
		return nil, nil, nil
	}
	fields := fieldsOf(reflect.TypeFor[T]())
	seen := map[string]Column{}
	for i, c := range t.Columns {
		if first, twice := seen[c.Name]; twice {
			ps.Add(c.Place, "", "the column name %s stands twice (also as %s), accepted is each name once", quote(c.Header), quote(first.Header))
			continue
		}
		seen[c.Name] = c
		if fields[c.Name] == nil {
			notes = append(notes, Note{Place: c.Place, Text: fmt.Sprintf("the column %s is not known and was not read", quote(c.Header)), Lost: t.lost(i)})
		}
	}
	var missing []string
	for _, name := range required {
		if _, ok := seen[FoldName(name)]; !ok {
			missing = append(missing, name)
		}
	}
	if len(missing) > 0 && !t.faulty {
		what, found := "the column %s is missing, %s", "the table is empty"
		if len(missing) > 1 {
			what = "the columns %s are missing, %s"
		}
		if len(t.Columns) > 0 {
			found = "the columns found are " + list(t.headers())
		}
		ps.Add(t.Place, "", what, list(missing), found)
	}
	t, notes = t.withoutExamples(notes)
	if len(t.Rows) == 0 {
		return nil, notes, ps
	}
	if err := gocsv.UnmarshalCSV(&records{t: t, fields: fields, ps: &ps, notes: &notes}, &rows); err != nil {
		ps.Add(t.Place, "", "%v", err)
		return nil, notes, ps
	}
	if len(missing) > 0 { // each row would be found wanting for the same reason
		return nil, notes, ps
	}
	return rows, notes, ps
}

// lost is LostColumn where the i-th column holds anything, else "".
func (t *Table) lost(i int) string {
	for _, r := range t.Rows {
		if i < len(r.Cells) && !r.Cells[i].Blank() && !r.example() {
			return LostColumn
		}
	}
	return ""
}

// ExamplePrefix begins the first cell of a row that a blank form gives as an example; such rows are not read.
const ExamplePrefix = "example:"

// withoutExamples is the table without the examples of its form, each named by a note.
func (t *Table) withoutExamples(notes []Note) (*Table, []Note) {
	kept := *t
	kept.Rows = nil
	for _, r := range t.Rows {
		if r.example() {
			notes = append(notes, Note{Place: r.Place, Text: "this row is the form's example; it was not read"})
			continue
		}
		kept.Rows = append(kept.Rows, r)
	}
	return &kept, notes
}

func (r Row) example() bool {
	for _, c := range r.Cells {
		if !c.Blank() {
			return strings.HasPrefix(strings.ToLower(clean(c.Text)), ExamplePrefix)
		}
	}
	return false
}

// fieldsOf lists the tagged fields of a struct type by tag. It is looked up once for a type and not to be written to.
func fieldsOf(t reflect.Type) map[string]reflect.Type {
	if known, ok := fieldTypes.Load(t); ok {
		return known.(map[string]reflect.Type)
	}
	fields := map[string]reflect.Type{}
	collectFields(t, fields)
	fieldTypes.Store(t, fields)
	return fields
}

var fieldTypes sync.Map // of fieldsOf

// collectFields lists the tagged fields of a struct type by tag. Another type under a tag is an error in the program.
func collectFields(t reflect.Type, into map[string]reflect.Type) {
	for i := range t.NumField() {
		f := t.Field(i)
		tag := f.Tag.Get("csv")
		switch {
		case f.Anonymous && f.Type.Kind() == reflect.Struct && tag == "":
			collectFields(f.Type, into)
		case tag == "" || tag == "-":
		default:
			if _, ok := reflect.New(f.Type).Interface().(field); !ok {
				panic(fmt.Sprintf("field %s of %s: %s is no field type of package sheet", f.Name, t, f.Type))
			}
			if tag != rowTag && tag != FoldName(tag) {
				panic(fmt.Sprintf("field %s of %s: tag %q is not folded, write %q", f.Name, t, tag, FoldName(tag)))
			}
			into[tag] = f.Type
		}
	}
}

// records gives gocsv a table as records. Cells that their field cannot read become problems here and blank there, so
// that gocsv, which stops at the first error, goes on to the last row.
type records struct {
	t      *Table
	fields map[string]reflect.Type
	ps     *Problems
	notes  *[]Note
	next   int // 0 is the header
}

// Read gives the header, then each row; then io.EOF.
func (r *records) Read() ([]string, error) {
	if r.next == 0 {
		out := []string{rowTag}
		taken := map[string]bool{}
		for _, c := range r.t.Columns {
			name := c.Name
			if taken[name] { // the second of two equal headers is a problem already; gocsv would let it win
				name = rowTag + " again"
			}
			taken[name] = true
			out = append(out, name)
		}
		r.next++
		return out, nil
	}
	for r.next <= len(r.t.Rows) {
		row := r.t.Rows[r.next-1]
		r.next++
		if out, ok := r.row(row); ok {
			return out, nil
		}
	}
	return nil, io.EOF
}

// row gives a row as a record. It is false for a row whose fields are not where the header has them.
func (r *records) row(row Row) ([]string, bool) {
	out := []string{Cell{Place: row.Place}.wire()}
	for i, c := range row.Cells {
		if ft := r.fields[r.t.Columns[i].Name]; ft != nil && !c.bad {
			c = r.odd(c, ft)
			if err := reflect.New(ft).Interface().(field).set(c); err != nil {
				if row.fields > 0 {
					r.ps.Add(row.Place, "put a field that holds the delimiter in double quotes, a decimal comma too", "the row has %d fields and the header %d, so that its fields stand under the wrong columns (%s: %v)", row.fields, row.columns, c.Place.Column, err)
					return nil, false
				}
				r.ps.Add(c.Place, "", "%v", err)
				c.Text, c.kind, c.value, c.bad = "", textCell, 0, true
			}
		}
		out = append(out, c.wire())
	}
	return out, true
}

// odd takes note of what stands in a cell beside its value: dashes for none in a column of numbers or dates, which make it
// blank, and a strike-through in a column of texts.
func (r *records) odd(c Cell, ft reflect.Type) Cell {
	switch {
	case ft == reflect.TypeFor[RowPlace]():
	case ft == reflect.TypeFor[Text]():
		if strings.Contains(c.rich, "struck through") {
			*r.notes = append(*r.notes, Note{Place: c.Place, Text: quote(clean(c.Text)) + " is struck through, or a part of it; it was read as it stands"})
		}
	case c.kind == textCell && dash(c.Text):
		*r.notes = append(*r.notes, Note{Place: c.Place, Text: quote(clean(c.Text)) + " was taken for no value"})
		c.Text = ""
	}
	return c
}

// ReadAll gives all records.
func (r *records) ReadAll() ([][]string, error) {
	var out [][]string
	for {
		rec, err := r.Read()
		if err == io.EOF {
			return out, nil
		}
		out = append(out, rec)
	}
}
