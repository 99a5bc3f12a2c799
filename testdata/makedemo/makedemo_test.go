package main

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

func made(t *testing.T) files {
	t.Helper()
	t.Logf("seed %d", seed)
	f, err := makeAll()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestSameBytesTwice(t *testing.T) {
	a, b := made(t), made(t)
	for _, n := range a.names() {
		if !bytes.Equal(a[n], b[n]) {
			t.Errorf("%s differs between two runs", n)
		}
	}
}

// What is committed is what the program makes. Workbooks are compared part by part, since the bytes of a zip may change
// with a Go release while what is in it does not.
func TestCommittedFilesAreWhatIsMade(t *testing.T) {
	want := made(t)
	total := 0
	for _, n := range want.names() {
		got, err := os.ReadFile(filepath.Join("..", filepath.FromSlash(n)))
		if err != nil {
			t.Errorf("%v; run: go run ./testdata/makedemo", err)
			continue
		}
		total += len(got)
		if !strings.HasSuffix(n, ".xlsx") {
			if !bytes.Equal(got, want[n]) {
				t.Errorf("%s is not what makedemo makes; run: go run ./testdata/makedemo", n)
			}
			continue
		}
		if d := cmp.Diff(parts(t, want[n]), parts(t, got)); d != "" {
			t.Errorf("%s is not what makedemo makes (-made +committed):\n%s", n, d)
		}
	}
	if total > 1_500_000 {
		t.Errorf("the demo cases are %d bytes, more than 1.5 MB", total)
	}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		n, err := filepath.Rel("..", path)
		if err != nil {
			return err
		}
		n = filepath.ToSlash(n)
		if _, ok := want[n]; !ok && demoFile(n) && !strings.HasPrefix(filepath.Base(n), "audit.") {
			t.Errorf("%s is in a demo case and makedemo does not make it", n)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func parts(t *testing.T, b []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name] = string(text)
	}
	return out
}

// The workbook and the folder of the demo hold the same cells, dates as day numbers apart.
func TestWorkbookAndFolderAgree(t *testing.T) {
	f := made(t)
	for _, name := range []string{"spec", "lab"} {
		x, err := excelize.OpenReader(bytes.NewReader(f["demo/"+name+".xlsx"]))
		if err != nil {
			t.Fatal(err)
		}
		for _, sheet := range x.GetSheetList() {
			got, err := x.GetRows(sheet, excelize.Options{RawCellValue: true})
			if err != nil {
				t.Fatal(err)
			}
			path := "demo-csv/" + name + "/" + strings.ReplaceAll(sheet, " ", "-") + ".csv"
			want, err := csv.NewReader(bytes.NewReader(f[path])).ReadAll()
			if err != nil {
				t.Fatalf("%s: %v", path, err)
			}
			if len(got) != len(want) {
				t.Errorf("sheet %s has %d rows, %s has %d", sheet, len(got), path, len(want))
				continue
			}
			for r := range want {
				for c := range want[r] {
					cell := ""
					if c < len(got[r]) {
						cell = got[r][c]
					}
					if dated.MatchString(want[r][c]) {
						cell = fromSerial(t, cell)
					}
					if cell != want[r][c] {
						t.Errorf("%s row %d, column %s: %q in the workbook, %q in the folder", sheet, r+1, want[0][c], cell, want[r][c])
					}
				}
			}
		}
		if err := x.Close(); err != nil {
			t.Error(err)
		}
	}
}

var dated = regexp.MustCompile(`^\d{4}-\d\d-\d\d$`)

func fromSerial(t *testing.T, cell string) string {
	t.Helper()
	n, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Errorf("%q is not a date cell", cell)
		return cell
	}
	d, err := excelize.ExcelDateToTime(n, false)
	if err != nil {
		t.Error(err)
	}
	return d.Format("2006-01-02")
}

// Each claim's exact words stand in the capture that the claim points at.
func TestCapturesHoldTheWords(t *testing.T) {
	for _, c := range append(rankCases(), demoCase()) {
		for _, tab := range c.spec {
			if tab.name != "claims" {
				continue
			}
			for _, r := range tab.rows {
				words, file := cellText(r[8]), cellText(r[11])
				if !bytes.Contains(c.attach[file], []byte(words)) {
					t.Errorf("%s, claim %s: %q does not stand in %s", c.folder, r[0], words, file)
				}
			}
		}
	}
}

// Words that no output of the project may hold must not come in through the demo either; nor a path of a machine.
func TestNoAccusingWords(t *testing.T) {
	never := regexp.MustCompile(`(?i)\b(false|fake|fraud\w*|lie|lies|illegal\w*)\b|/home/|/work/|/tmp/`)
	f := made(t)
	for _, n := range f.names() {
		text := string(f[n])
		if strings.HasSuffix(n, ".xlsx") {
			text = parts(t, f[n])["xl/sharedStrings.xml"]
		}
		if m := never.FindString(text); m != "" {
			t.Errorf("%s holds %q", n, m)
		}
	}
}
