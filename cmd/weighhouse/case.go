package main

import (
	"fmt"
	"path"
	"strings"
	"time"

	"weighhouse/claims"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
	"weighhouse/verdict"
)

// loaded is a case that has been read and judged.
type loaded struct {
	dir   string
	audit *verdict.Audit
	bench *lab.Results // nil for a case with claims alone
	spec  *claims.Spec
	books []book // the case's books as read, for attachment
}

// book is one file of the case's books.
type book struct {
	path string
	data []byte
}

// load reads a case folder and builds its audit. All problems of both books come back as one error.
func load(dir, issued string) (*loaded, error) {
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
	l := &loaded{dir: dir}
	switch {
	case specBook != nil:
		spec, more := claims.Read(specBook)
		l.spec, ps = spec, append(ps, more...)
		ps = append(ps, captures(f, spec)...)
	case len(ps) == 0:
		ps.Add(sheet.Place{Book: f.Name()}, "weighhouse new CASE writes blank forms", "there is no spec.xlsx and no folder spec with .csv files in the case")
	}
	if labBook != nil {
		bench, more := lab.Read(f, labBook)
		l.bench, ps = bench, append(ps, more...)
	}
	if err := ps.Err(); err != nil {
		return nil, err
	}
	for _, in := range f.Inputs() {
		if isBook(in.Path) {
			data, err := f.ReadFile(in.Path)
			if err != nil {
				return nil, err
			}
			l.books = append(l.books, book{in.Path, data})
		}
	}
	l.audit = verdict.Build(verdict.Evidence{Version: version, Issued: issued, Case: f.Name(), Spec: l.spec, Bench: l.bench, Inputs: f.Inputs()})
	return l, nil
}

// isBook reports whether an input is the spec or lab book or one of their tables.
func isBook(p string) bool {
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

// captures hashes the evidence files that the claims point at; one that is not there is a problem of its cell.
func captures(f *sheet.Folder, spec *claims.Spec) (ps sheet.Problems) {
	done := map[string]bool{}
	for _, c := range spec.Claims {
		if c.Evidence == "" || done[c.Evidence] {
			continue
		}
		done[c.Evidence] = true
		if err := f.Hash(c.Evidence); err != nil {
			ps.Add(spec.CaptureAt[c.Evidence], "", "%v", err)
		}
	}
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
