package sheet

import (
	"errors"
	"fmt"
	"path"
	"sort"
	"strings"
	"sync"
)

// RoomBook is the kind of a book that is neither spec nor lab: a room's, whose file may have any name.
const RoomBook = "room"

// Known lists the tables of the contract by book. Other sheets and files of a book are not read as tables: they are
// logs, where a row names them, or a note says that they were passed over. A book of any other name is a room book.
var Known = map[string][]string{
	"spec":   {"product", "claims", "reply"},
	"lab":    {"test", "room", "instruments", "decay", "sound", "power", "counts", "loading", "weights", "costs", "tolerances", "results"},
	RoomBook: {"room", "qualification", "checks", "noise", "survey"},
}

// Book is a set of named tables, read from a workbook or from a folder of CSV files.
type Book struct {
	name   string // "lab.xlsx" or "lab"
	tables []*Table
	notes  []Note
	sheets map[string]source // every sheet or CSV file, by folded name
	wb     *workbook         // nil for a folder of CSV files

	mu   sync.Mutex
	used map[string]bool // folded names of the sheets that were read as logs
}

// source is a sheet or CSV file of a book.
type source struct {
	name  string // as written
	path  string // in the case, for CSV; the part's name inside the workbook otherwise
	known bool   // read as a table
	place Place
}

// Name is the name of the book as people know it: "lab.xlsx", or "lab" for a folder.
func (b *Book) Name() string {
	if b == nil {
		return ""
	}
	return b.name
}

// Tables lists the names of the tables that were read, in the order of the workbook or of the file names.
func (b *Book) Tables() []string {
	if b == nil {
		return nil
	}
	out := make([]string, len(b.tables))
	for i, t := range b.tables {
		out[i] = t.Name
	}
	return out
}

// Table gives the table of that name, nil where the book has none. Names are compared folded; see FoldName.
func (b *Book) Table(name string) *Table {
	if b == nil {
		return nil
	}
	name = FoldName(name)
	for _, t := range b.tables {
		if FoldName(t.Name) == name {
			return t
		}
	}
	return nil
}

// Notes lists what a reader should know of the book: hidden and merged cells that were read, and sheets that were
// passed over because they are no table of the contract and no row names them as a log. Call it after Logs.
func (b *Book) Notes() []Note {
	if b == nil {
		return nil
	}
	notes := append([]Note(nil), b.notes...)
	b.mu.Lock()
	defer b.mu.Unlock()
	var names []string
	for name, s := range b.sheets {
		if !s.known && !b.used[name] && name != "read me" && name != "readme" {
			names = append(names, name)
		}
	}
	sort.Strings(names)
	for _, name := range names {
		s := b.sheets[name]
		notes = append(notes, Note{Place: s.place, Text: fmt.Sprintf("%s is no table of this book and no row names it as a log; it was not read", quote(s.name)), Lost: LostTable})
	}
	return notes
}

// markUsed records that a sheet was read as a log.
func (b *Book) markUsed(folded string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.used[folded] = true
}

// tooLong empties a table of the contract that has more rows than is accepted of it, and says so.
func (t *Table) tooLong() (ps Problems) {
	limit := MaxKnownRows
	switch FoldName(t.Name) {
	case "claims":
		limit = MaxClaims
	case "decay":
		limit = MaxRuns
	}
	if len(t.Rows) > limit {
		ps.Add(t.Place, "", "%s", tooLarge("rows of the table", int64(len(t.Rows)), int64(limit)))
		t.Rows, t.faulty = nil, true
	}
	return ps
}

func known(book, table string) bool {
	names, ok := Known[book]
	if !ok {
		names = Known[RoomBook]
	}
	for _, n := range names {
		if n == table {
			return true
		}
	}
	return false
}

// Book reads the book of that name, "spec" or "lab": NAME.xlsx, or the CSV files of the folder NAME. Both together are
// an error; a book that is absent is nil without an error.
//
// Where the content is at fault the error is of type Problems and holds everything that was found; the book that comes
// with it, unless it is nil, holds the tables as far as they could be read, so that the caller can go on to collect
// what else is wrong. It is not to be reported from.
func (f *Folder) Book(name string) (*Book, error) {
	file, folder, err := f.find(name)
	if err != nil {
		return nil, err
	}
	switch {
	case file != "" && folder != "":
		return nil, Problems{{Place: Place{Book: file}, Text: fmt.Sprintf("the book stands in two forms, %s and the folder %s, accepted is one of them", quote(file), quote(folder)),
			Hint: "move one of them out of the case folder"}}
	case file != "":
		b, ps := f.openWorkbook(name, file)
		return b, ps.Err()
	case folder != "":
		b, ps := f.openCSVFolder(name, folder)
		return b, ps.Err()
	}
	return nil, nil
}

// find looks for both forms of a book at the top of the case. The case of the letters does not matter.
func (f *Folder) find(name string) (file, folder string, err error) {
	names, err := f.names(".")
	if err != nil {
		return "", "", fmt.Errorf("case %s: %v", quote(f.name), reason(err))
	}
	other := "" // a workbook of a kind that is not read
	for _, e := range names {
		switch {
		case strings.EqualFold(e, name+".xlsx"): // what is no file says so when it is opened
			if file != "" {
				return "", "", Problems{{Place: Place{Book: file}, Text: fmt.Sprintf("there is also %s, accepted is one book of that name", quote(e))}}
			}
			file = e
		case strings.EqualFold(e, name):
			info, err := f.root.Stat(e)
			if err != nil {
				return "", "", (&input{path: e, f: f}).openProblem(err)
			}
			if !info.IsDir() {
				continue
			}
			if folder != "" {
				return "", "", Problems{{Place: Place{Book: folder}, Text: fmt.Sprintf("there is also %s, accepted is one book of that name", quote(e))}}
			}
			folder = e
		case strings.EqualFold(e, name+".xls") || strings.EqualFold(e, name+".ods") || strings.EqualFold(e, name+".xlsm"):
			if info, err := f.root.Stat(e); err != nil || !info.IsDir() {
				other = e
			}
		}
	}
	if file == "" && folder == "" && other != "" {
		return "", "", Problems{{Place: Place{Book: other}, Text: fmt.Sprintf("found a workbook of another kind, accepted is %s.xlsx", name),
			Hint: "open it in a spreadsheet and save it as .xlsx"}}
	}
	return file, folder, nil
}

// openCSVFolder reads the tables of a folder of CSV files.
func (f *Folder) openCSVFolder(name, folder string) (*Book, Problems) {
	b := &Book{name: folder, sheets: map[string]source{}, used: map[string]bool{}}
	var ps Problems
	at := Place{Book: folder}
	names, err := f.names(folder)
	if err != nil {
		ps.Add(at, "", "%v", reason(err))
		return nil, ps
	}
	for _, e := range names {
		if !strings.EqualFold(path.Ext(e), ".csv") || strings.HasPrefix(e, ".") {
			continue
		}
		table := e[:len(e)-len(".csv")]
		p := path.Join(folder, e)
		folded := FoldName(table)
		if old, twice := b.sheets[folded]; twice {
			ps.Add(Place{Book: p}, "", "the name %s stands for the same table as %s, accepted is one file a table", quote(e), quote(path.Base(old.path)))
			continue
		}
		b.sheets[folded] = source{name: table, path: p, known: known(name, folded), place: Place{Book: p}}
		if len(b.sheets) > MaxSheets {
			ps.Add(at, "", "%s", tooLarge("CSV files of the book", int64(len(b.sheets)), MaxSheets))
			return nil, ps
		}
		if !b.sheets[folded].known {
			continue
		}
		t, more := f.csvTable(table, p, &b.notes)
		ps = append(ps, more...)
		b.tables = append(b.tables, t)
	}
	return b, ps
}

func (f *Folder) csvTable(name, p string, notes *[]Note) (*Table, Problems) {
	data, err := f.ReadFile(p)
	if err != nil {
		return &Table{Name: name, Place: Place{Book: p}, faulty: true}, problems(err, Place{Book: p})
	}
	at := Place{Book: p}
	raw, rule, read, ps := readCSV(data, at)
	t, more, bad := build(name, at, raw, rule)
	*notes = append(append(*notes, read...), more...)
	t.faulty = t.faulty || len(ps) > 0
	return t, append(append(ps, bad...), t.tooLong()...)
}

// problems takes an error for a list of problems.
func problems(err error, at Place) Problems {
	var ps Problems
	if err == nil || errors.As(err, &ps) {
		return ps
	}
	ps.Add(at, "", "%v", err)
	return ps
}
