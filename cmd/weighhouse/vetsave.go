package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"weighhouse/claims/listing"
	"weighhouse/measure/sheet"
	"weighhouse/templates/form"
	"weighhouse/templates/vetting"
)

// savedCase makes the files of a case from a vetted listing: the spec book, and the listing as it was read, in captures,
// which every claim names as its evidence. A book or a capture that stands there already is an error; nothing is replaced.
func savedCase(v *vetting.Vetting, text *listing.Text, dir string, raw []byte, captured string, asCSV bool) ([]file, error) {
	if len(v.Claims) == 0 {
		return nil, fmt.Errorf("%s: no claim was understood in it, so there is no spec book to save\n  hint: weighhouse new %s writes blank forms to fill in by hand", v.Listing, dir)
	}
	evidence := "captures/" + captureName(v.Listing, text.HTML, text.PDF)
	t := v.Spec()
	col := map[string]int{}
	for i, name := range listing.ClaimColumns {
		col[name] = i
	}
	for _, r := range t.Claims[1:] {
		r[col["captured"]], r[col["evidence"]] = captured, evidence
	}
	book, err := form.Spec(t.Product, t.Claims, v.Issued, asCSV)
	if err != nil {
		return nil, err
	}
	out := []file{{filepath.Join(dir, filepath.FromSlash(evidence)), raw}}
	quotes, err := quotesOf(v, text, evidence, captured)
	if err != nil {
		return nil, err
	}
	out = append(out, file{filepath.Join(dir, filepath.FromSlash(evidence)) + ".quotes.csv", quotes})
	for _, f := range book {
		out = append(out, file{filepath.Join(dir, filepath.FromSlash(f.Path)), f.Data})
	}
	var found []error
	for _, p := range []string{filepath.Join(dir, "spec.xlsx"), filepath.Join(dir, "spec"), out[0].path} {
		if _, err := os.Lstat(p); err == nil {
			found = append(found, fmt.Errorf("%s: stands there already, and --save never writes over a file\n  hint: name a new folder, or move it away", p))
		} else if !errors.Is(err, fs.ErrNotExist) {
			found = append(found, fmt.Errorf("%s: %w", p, pathless(err)))
		}
	}
	return out, errors.Join(found...)
}

// quotesOf is a table of the words that the findings rest on: each quote with its whole sentence, its place in the capture and the
// claims that it is about.
func quotesOf(v *vetting.Vetting, text *listing.Text, capture, captured string) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"rule", "severity", "claims", "quote", "sentence", "place", "capture", "captured"}}
	for _, f := range v.Findings {
		rows = append(rows, []string{strings.Join(append([]string{f.Rule}, f.Also...), " "), f.Severity, strings.Join(f.Claims, " "), strings.Join(strings.Fields(f.Quote), " "),
			text.Sentence(f.Start, f.End), fmt.Sprintf("%d:%d", f.Line, f.Col), capture, captured})
	}
	for _, r := range rows {
		for i := range r {
			r[i] = sheet.Guarded(r[i])
		}
	}
	err := w.WriteAll(rows)
	return b.Bytes(), err
}

// captureName is a name for the listing's copy that a case may hold: no folders, no characters that a table or a system
// would stumble over, an ending that says what it is.
func captureName(name string, html, pdf bool) string {
	ending := ".txt"
	switch {
	case html:
		ending = ".html"
	case pdf:
		ending = ".pdf"
	}
	if name == "standard input" {
		return "listing" + ending
	}
	name = strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("-_.", r) {
			return r
		}
		return '-'
	}, name)
	name = strings.TrimLeft(name, ".-")
	switch {
	case name == "":
		return "listing" + ending
	case filepath.Ext(name) == "":
		return name + ending
	}
	return name
}

// writeMaking writes files as writeAll does and makes their folders first. Folders that it made are taken away again where
// nothing could be written.
func writeMaking(files []file) error {
	var made []string
	undo := func() {
		for i := len(made) - 1; i >= 0; i-- {
			os.Remove(made[i]) // goes only if it is empty
		}
	}
	for _, f := range files {
		folders, err := makeFolders(filepath.Dir(f.path))
		made = append(made, folders...)
		if err != nil {
			undo()
			return err
		}
	}
	if err := writeAll(files); err != nil {
		undo()
		return err
	}
	return nil
}

// makeFolders makes a folder and its parents and returns those that were new, the outermost first.
func makeFolders(path string) (made []string, err error) {
	var missing []string
	for p := path; ; p = filepath.Dir(p) {
		if _, err := os.Stat(p); err == nil || p == filepath.Dir(p) {
			break
		}
		missing = append([]string{p}, missing...)
	}
	for _, p := range missing {
		if err := os.Mkdir(p, 0o755); err != nil {
			return made, fmt.Errorf("%s: cannot be made: %w", p, pathless(err))
		}
		made = append(made, p)
	}
	return made, nil
}

// pathless takes the path off an error of the system, for the message says it already.
func pathless(err error) error {
	var e *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &e):
		return e.Err
	case errors.As(err, &l):
		return l.Err
	}
	return err
}
