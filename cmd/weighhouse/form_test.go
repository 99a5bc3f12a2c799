package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"weighhouse/measure/sheet"
	"weighhouse/templates/form"
	"weighhouse/verdict"
)

// TestFilledForm fills the blank forms with the demo's values, as a tester would type them, and gets the demo's audit.
func TestFilledForm(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "case")
	if err := form.Write(dir, form.Case, false); err != nil {
		t.Fatal(err)
	}
	demo := "../../testdata/demo-csv"
	for _, sub := range []string{"logs", "captures"} {
		if err := os.CopyFS(filepath.Join(dir, sub), os.DirFS(filepath.Join(demo, sub))); err != nil {
			t.Fatal(err)
		}
	}
	for _, book := range []string{"spec", "lab"} {
		path := filepath.Join(dir, book+".xlsx")
		f, err := excelize.OpenFile(path)
		if err != nil {
			t.Fatal(err)
		}
		tables, err := filepath.Glob(filepath.Join(demo, book, "*.csv"))
		if err != nil || len(tables) == 0 {
			t.Fatal(err, tables)
		}
		for _, p := range tables {
			fill(t, f, strings.TrimSuffix(filepath.Base(p), ".csv"), p)
		}
		if err := f.Save(); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	got, err := load(dir, "2026-08-03")
	if err != nil {
		t.Fatal(err)
	}
	want, err := load(demo, "2026-08-03")
	if err != nil {
		t.Fatal(err)
	}
	a, b := want.audit.Report(), got.audit.Report()
	b.Inputs, b.ID, b.Case = a.Inputs, a.ID, a.Case
	was, _ := json.Marshal(a)
	now, _ := json.Marshal(b)
	check, err := verdict.Verify(was, now)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range check.Differences {
		if d.Kind != "text" && !strings.Contains(d.What, "place of ") {
			t.Errorf("%s %s: the demo has %q, the filled form %q", d.Kind, d.What, d.Was, d.Is)
		}
	}
	if len(b.Claims) != len(a.Claims) || len(b.Measurements) != len(a.Measurements) {
		t.Errorf("%d claims and %d measurements, the demo has %d and %d", len(b.Claims), len(b.Measurements), len(a.Claims), len(a.Measurements))
	}
}

// fill types a CSV table into a form's sheet: below its head, in its columns, over its example row.
func fill(t *testing.T, f *excelize.File, name, path string) {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	place := ""
	for _, s := range f.GetSheetList() {
		if sheet.FoldName(s) == sheet.FoldName(name) {
			place = s
		}
	}
	if place == "" { // a log kept as a table of the lab book
		if _, err := f.NewSheet(name); err != nil {
			t.Fatal(err)
		}
		for i, row := range rows {
			for j, v := range row {
				enter(t, f, name, j+1, i+1, v)
			}
		}
		return
	}
	old, err := f.GetRows(place)
	if err != nil {
		t.Fatal(err)
	}
	head := map[string]int{}
	for j, h := range old[0] {
		head[bare(h)] = j + 1
	}
	for i := len(old); i > 1; i-- {
		if err := f.RemoveRow(place, i); err != nil {
			t.Fatal(err)
		}
	}
	for i, row := range rows[1:] {
		for j, v := range row {
			col, ok := head[bare(rows[0][j])]
			if !ok {
				t.Errorf("the form's %s has no column for %q; it has %v", name, rows[0][j], old[0])
				continue
			}
			enter(t, f, place, col, i+2, v)
		}
	}
}

// bare is a head without its unit.
func bare(h string) string {
	h = strings.TrimPrefix(h, "\ufeff")
	if i := strings.IndexAny(h, "(["); i > 0 {
		h = h[:i]
	}
	return sheet.FoldName(h)
}

// enter types a value: a number as a number, all else as text.
func enter(t *testing.T, f *excelize.File, place string, col, row int, v string) {
	t.Helper()
	if v == "" {
		return
	}
	cell, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		t.Fatal(err)
	}
	if x, e := strconv.ParseFloat(v, 64); e == nil {
		err = f.SetCellValue(place, cell, x)
	} else {
		err = f.SetCellStr(place, cell, v)
	}
	if err != nil {
		t.Fatal(err)
	}
}
