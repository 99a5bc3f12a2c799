package main

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/net/html"
	"golang.org/x/text/unicode/norm"
)

// plainPage reads a page: no element or attribute acts, every link leads to a page or within this one.
func plainPage(t *testing.T, path string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Error(err)
		return
	}
	doc, err := html.Parse(bytes.NewReader(data))
	if err != nil {
		t.Error(err)
		return
	}
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode {
			if n.Type == html.CommentNode && strings.Contains(n.Data, "alert") {
				t.Errorf("%s: a comment %.80q", filepath.Base(path), n.Data)
			}
			continue
		}
		switch n.Data {
		case "script", "style":
			if c := n.FirstChild; c != nil && (strings.Contains(c.Data, "alert(") || strings.Contains(c.Data, "203.0.113")) {
				t.Errorf("%s: <%s> holds %.80q", filepath.Base(path), n.Data, c.Data)
			}
		case "img", "iframe", "object", "embed", "base", "form":
			t.Errorf("%s: an element <%s>", filepath.Base(path), n.Data)
		}
		for _, a := range n.Attr {
			value := strings.ToLower(strings.TrimSpace(a.Val))
			switch {
			case strings.HasPrefix(a.Key, "on"):
				t.Errorf("%s: <%s %s=%.80q>", filepath.Base(path), n.Data, a.Key, a.Val)
			case (a.Key == "href" || a.Key == "src" || a.Key == "action") && !strings.HasPrefix(value, "#") && !strings.HasPrefix(value, "http://") && !strings.HasPrefix(value, "https://") && (strings.Contains(value, ":") && !strings.HasPrefix(value, "data:")):
				t.Errorf("%s: <%s %s=%.80q>", filepath.Base(path), n.Data, a.Key, a.Val)
			}
		}
	}
}

// plainJSON checks that a JSON file may be shown on a terminal as it is.
func plainJSON(t *testing.T, path string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil || !json.Valid(data) {
		t.Errorf("%s is no JSON: %v", filepath.Base(path), err)
	}
	if i := steers(string(data)); i >= 0 {
		t.Errorf("%s holds %q", filepath.Base(path), data[max(0, i-40):min(len(data), i+40)])
	}
}

// plainManifest looks at the manifests of a bundle.
func plainManifest(t *testing.T, path string) {
	t.Helper()
	z, err := zip.OpenReader(path)
	if err != nil {
		t.Error(err)
		return
	}
	defer z.Close()
	for _, name := range []string{"manifest.json", "manifest.txt"} {
		data, err := fs.ReadFile(z, name)
		if i := steers(string(data)); err != nil || i >= 0 || strings.HasSuffix(name, ".json") && !json.Valid(data) {
			t.Errorf("%s: %v, %q", name, err, data[:min(len(data), max(0, i)+40)])
		}
	}
}

// plainTable checks a page or a CSV file: of that no field, and no part of one, begins as a formula does.
func plainTable(t *testing.T, path string) {
	t.Helper()
	if strings.HasSuffix(path, ".html") {
		plainPage(t, path)
		return
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Error(err)
		return
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1 // several tables may stand in one file
	rows, err := r.ReadAll()
	if err != nil {
		t.Errorf("%s: %v", path, err)
	}
	for i, r := range rows {
		for j, f := range r {
			if _, err := strconv.ParseFloat(f, 64); err == nil {
				continue
			}
			for _, part := range strings.FieldsFunc(f, func(r rune) bool { return strings.ContainsRune(";\t\r\n", r) }) { // where other spreadsheets begin a cell
				g := strings.TrimLeftFunc(norm.NFKC.String(part), func(r rune) bool {
					return unicode.IsSpace(r) || unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '"'
				})
				if g != "" && strings.ContainsAny(g[:1], "=+-@") {
					t.Errorf("%s: row %d, field %d opens a formula: %.40q", filepath.Base(path), i+1, j+1, f)
				}
			}
		}
	}
}

// plainWorkbook reads the parts of a workbook: no formula, link or external part comes of the text.
func plainWorkbook(t *testing.T, path string) {
	t.Helper()
	z, err := zip.OpenReader(path)
	if err != nil {
		t.Error(err)
		return
	}
	defer z.Close()
	for _, f := range z.File {
		if strings.Contains(f.Name, "externalLink") || strings.Contains(f.Name, "vbaProject") || strings.Contains(f.Name, "connections") {
			t.Errorf("a part %s", f.Name)
		}
		r, err := f.Open()
		if err != nil {
			t.Error(err)
			continue
		}
		var b bytes.Buffer
		if _, err := b.ReadFrom(r); err != nil {
			t.Error(err)
		}
		r.Close()
		for _, part := range strings.Split(b.String(), "<f")[1:] {
			formula, _, _ := strings.Cut(part, "</f>")
			if (formula[0] == '>' || formula[0] == ' ') && (strings.Contains(formula, "cmd") || strings.Contains(formula, "HYPERLINK") || strings.Contains(formula, "203.0.113")) {
				t.Errorf("%s: a formula %.80q", f.Name, formula)
			}
		}
		if text := b.String(); strings.Contains(text, `TargetMode="External"`) && (strings.Contains(text, "javascript:") || strings.Contains(text, "203.0.113")) {
			t.Errorf("%s: a link that the text has made", f.Name)
		}
	}
}

// plainPDF looks for actions in the objects of a PDF that stand uncompressed.
func plainPDF(t *testing.T, path string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Error(err)
		return
	}
	for _, word := range []string{"/JavaScript", "/OpenAction", "/Launch", "/URI (javascript", "/AA ", "/SubmitForm", "/ImportData"} {
		if i := bytes.Index(data, []byte(word)); i >= 0 && !bytes.Contains(data[max(0, i-200):i], []byte("Tj ET")) {
			t.Errorf("%s holds %s: %.120q", filepath.Base(path), word, data[max(0, i-60):min(len(data), i+60)])
		}
	}
}
