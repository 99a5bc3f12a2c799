package main

import (
	"fmt"
	"path"
	"path/filepath"
	"strings"
	"time"

	"weighhouse/claims"
	"weighhouse/claims/quote"
	"weighhouse/measure"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
	"weighhouse/verdict"
	"weighhouse/verdict/room"
)

// loaded is a case that has been read and judged.
type loaded struct {
	dir   string
	name  string // of the folder
	audit *verdict.Audit
	bench *lab.Results // nil for a case with claims alone
	spec  *claims.Spec
	data  []byte // the audit as JSON, once it was asked for

	qualification []byte        // the report of the room book, nil for none
	roomInputs    []sheet.Input // what the room book was read from
}

// json is the audit as audit.json holds it.
func (l *loaded) json() ([]byte, error) {
	if l.data == nil {
		b, err := l.audit.JSON()
		if err != nil {
			return nil, err
		}
		l.data = b
	}
	return l.data, nil
}

// maxAttached is the largest book that is attached to a PDF; the SHA-256 of a larger one stands in it all the same.
const maxAttached = 16 << 20

// book is one file of the case's books.
type book struct {
	path string
	data []byte
}

// books reads the case's books again, for attachment: the same bytes that the audit was made of. notes name those that are
// too large.
func (l *loaded) books() (books []book, notes []string, err error) {
	f, err := sheet.OpenFolder(l.dir)
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	known := map[string]sheet.Input{}
	for _, in := range l.audit.Inputs {
		known[in.Path] = in
		if !isBook(in.Path) {
			continue
		}
		if in.Bytes > maxAttached {
			notes = append(notes, fmt.Sprintf("%s is larger than %d MB and is not attached to the PDF; its SHA-256 stands there", in.Path, maxAttached>>20))
			continue
		}
		data, err := f.ReadFile(in.Path)
		if err != nil {
			return nil, nil, err
		}
		books = append(books, book{in.Path, data})
	}
	for _, in := range f.Inputs() {
		if in != known[in.Path] {
			return nil, nil, sheet.Problems{{Place: sheet.Place{Book: in.Path}, Text: "the file changed between two readings", Hint: "close the program that writes to it and run again"}}
		}
	}
	return books, notes, nil
}

// identity is under which date, version and name an audit is made.
type identity struct {
	issued, version, name string // a blank name is that of the folder
	reference             bool   // the case is a reference unit of a room: a room book that it names is not used
}

// load reads a case folder and builds its audit of a day. All problems of both books come back as one error.
func load(dir, issued string) (*loaded, error) {
	return loadAs(dir, identity{issued: issued, version: version})
}

// loadAs is load under another version or name, to see whether an audit of those follows.
func loadAs(dir string, as identity) (l *loaded, err error) {
	defer asError(dir, &err)
	f, err := sheet.OpenFolder(dir)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var ps sheet.Problems
	specBook, err := f.Book("spec")
	if err := collect(&ps, err); err != nil {
		return nil, err
	}
	labBook, err := f.Book("lab")
	if err := collect(&ps, err); err != nil {
		return nil, err
	}
	l = &loaded{dir: dir, name: f.Name()}
	if as.name == "" {
		as.name = l.name
	}
	switch {
	case specBook != nil:
		spec, more := claims.Read(specBook)
		l.spec, ps = spec, append(ps, more...)
		ps = append(ps, captures(f, spec)...)
		ps = append(ps, spec.Days(as.issued)...)
	case len(ps) == 0:
		ps.Add(sheet.Place{Book: f.Name()}, "weighhouse new CASE writes blank forms", "there is no spec.xlsx and no folder spec with .csv files in the case")
	}
	if labBook != nil {
		var openers []lab.RoomOpener
		if !as.reference {
			openers = append(openers, func(path, day, sample string) (measure.Rooms, error) {
				r, err := openRoom(filepath.Join(dir, filepath.FromSlash(strings.ReplaceAll(path, `\`, "/"))))
				if err != nil {
					return nil, err
				}
				q := r.book.Qualify(r.open, day, sample, "")
				if l.qualification, err = q.JSON(); err != nil {
					return nil, err
				}
				l.roomInputs = r.read(path)
				return room.InForce{Qualification: q}, nil
			})
		}
		bench, more := lab.Read(f, labBook, openers...)
		l.bench, ps = bench, append(ps, more...)
		if bench.Day > as.issued {
			ps.Add(bench.DayAt, "mend the day, or give the date of issue with --date", "found the test's date %s; the date of issue, %s, is before it", bench.Day, as.issued)
		}
	}
	if err := ps.Err(); err != nil {
		return nil, err
	}
	l.audit = verdict.Build(verdict.Evidence{Version: as.version, Issued: as.issued, Case: as.name, Spec: l.spec, Bench: l.bench,
		Inputs: append(f.Inputs(), l.roomInputs...), Qualification: l.qualification})
	return l, nil
}

// asError turns a defect of the program that a case has brought to light into an error of that case, so that the others of
// a run go on and nothing is written of this one.
func asError(dir string, err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("%s: the program failed on this case (%v)\n  hint: this is a defect of the program; please report it with the case", dir, r)
	}
}

// write makes one output of a case.
func write(name string, l *loaded, o writerOptions) (data []byte, warnings []string, err error) {
	defer asError(l.dir, &err)
	return writers[name](l, o)
}

// isBook reports whether an input is the spec or lab book or one of their tables.
func isBook(p string) bool {
	p = strings.ToLower(p)
	p = strings.ToLower(p) // as books are found
	dir, _ := path.Split(p)
	return p == "spec.xlsx" || p == "lab.xlsx" || (dir == "spec/" || dir == "lab/") && strings.HasSuffix(p, ".csv")
}

// collect keeps problems and hands back any other error.
func collect(ps *sheet.Problems, err error) error {
	if err == nil {
		return nil
	}
	if more, ok := err.(sheet.Problems); ok {
		*ps = append(*ps, more...)
		return nil
	}
	return err
}

// captures reads or hashes the evidence files that the claims point at, and sets each claim against its words and them. One
// that is not there is a problem of its cell.
func captures(f *sheet.Folder, spec *claims.Spec) (ps sheet.Problems) {
	held := map[string][]byte{}
	why := map[string]string{}
	for _, c := range spec.Claims {
		p := c.Evidence
		if _, done := why[p]; p == "" || done {
			continue
		}
		why[p] = quote.OtherKind(p)
		if why[p] == "" {
			data, err := f.ReadFile(p)
			if err == nil && len(data) <= quote.MaxCapture {
				held[p] = data
				continue
			}
			why[p] = "the capture is larger than is searched"
			if err == nil {
				continue
			}
		}
		if err := f.Hash(p); err != nil {
			ps.Add(spec.CaptureAt[p], "", "%v", err)
		}
	}
	quote.Check(spec, func(p string) ([]byte, string) { return held[p], why[p] })
	return ps
}

// issueDate checks a --date flag; blank is today in UTC.
func issueDate(flag string) (string, error) {
	if flag == "" {
		return time.Now().UTC().Format("2006-01-02"), nil
	}
	t, err := time.Parse("2006-01-02", flag)
	if err != nil || t.Year() < 1980 || t.Year() > 9000 {
		return "", errUsage{fmt.Errorf("--date %q: expected YYYY-MM-DD", flag)}
	}
	return flag, nil
}
