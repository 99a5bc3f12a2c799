package form

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"weighhouse/measure/unit"
)

// contract lists the tables and columns that the contract fixes; a form that lacks one cannot be filled in.
var contract = map[string]map[string]string{
	"spec": {
		"product": "field,value",
		"claims":  "id,attribute,value,unit,bound,setting,particle,basis,wording,source,captured,evidence",
		"reply":   "sent,channel,deadline,received,text",
	},
	"lab": {
		"test":        "field,value",
		"room":        "item,value,unit,±",
		"instruments": "id,measures,serial,calibrated,accuracy,note",
		"decay":       "run,state,setting,particle,log,time,value,from,to,background,background ±,instrument",
		"sound":       "setting,distance,level,log,value,background,instrument",
		"power":       "setting,watts,log,value,instrument",
		"counts":      "size,upstream,downstream,upstream volume,downstream volume,setting",
		"loading":     "hours,delivery rate,unit,±,run,dose",
		"weights":     "item,grams,±",
		"costs":       "item,value,currency,option",
		"tolerances":  "attribute,tolerance,unit,source",
	},
}

// bare takes the unit in brackets off a head.
func bare(head string) string {
	name, _, _ := strings.Cut(head, "[")
	return strings.TrimSpace(name)
}

func TestFormsCarryTheWholeContract(t *testing.T) {
	files, err := Files(Case, false)
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		book := strings.TrimSuffix(file.Path, ".xlsx")
		f, err := excelize.OpenReader(bytes.NewReader(file.Data))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if got := f.GetSheetList()[0]; got != ReadMe {
			t.Errorf("%s: first sheet is %q, want %q", file.Path, got, ReadMe)
		}
		for name, want := range contract[book] {
			rows, err := f.GetRows(name)
			if err != nil {
				t.Errorf("%s: %v", file.Path, err)
				continue
			}
			have := map[string]bool{}
			for _, h := range rows[0] {
				have[bare(h)] = true
				if _, in, ok := strings.Cut(h, "["); ok {
					if u := strings.TrimSuffix(in, "]"); !known(u) {
						t.Errorf("%s: sheet %s: head %q: %q is no unit", file.Path, name, h, u)
					}
				}
			}
			for _, h := range strings.Split(want, ",") {
				if !have[h] {
					t.Errorf("%s: sheet %s has no column %q", file.Path, name, h)
				}
			}
			for i, r := range rows[1:] {
				example := strings.HasPrefix(r[0], Marker)
				if field := name == "product" || name == "test"; !example && (!field || len(r) > 1) {
					t.Errorf("%s: sheet %s, row %d: %q would be read as data", file.Path, name, i+2, r)
				}
			}
			if len(rows) < 2 || !strings.HasPrefix(rows[1][0], Marker) {
				t.Errorf("%s: sheet %s has no example", file.Path, name)
			}
			notes, err := f.GetComments(name)
			if err != nil || len(notes) < len(rows[0]) {
				t.Errorf("%s: sheet %s has %d remarks for %d columns (%v)", file.Path, name, len(notes), len(rows[0]), err)
			}
		}
	}
}

func known(u string) bool { _, ok := unit.Lookup(u); return ok }

func TestUnitsOfListsAreUnits(t *testing.T) {
	for _, tb := range tables() {
		for _, c := range tb.Columns {
			if c.Head != "unit" {
				continue
			}
			for _, w := range c.Words {
				if !known(w) {
					t.Errorf("table %s: the list of units offers %q", tb.Name, w)
				}
			}
		}
	}
}

func TestFixedWordsAreLists(t *testing.T) {
	files, err := Files(Case, false)
	if err != nil {
		t.Fatal(err)
	}
	lists := map[string]int{} // by book and sheet
	for _, file := range files {
		f, err := excelize.OpenReader(bytes.NewReader(file.Data))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		for _, s := range f.GetSheetList() {
			dvs, err := f.GetDataValidations(s)
			if err != nil {
				t.Fatal(err)
			}
			lists[file.Path+" "+s] = len(dvs)
		}
	}
	for sheet, least := range map[string]int{
		"spec.xlsx claims": 5, "lab.xlsx decay": 3, "lab.xlsx test": 1, "lab.xlsx room": 2, "lab.xlsx costs": 2,
		"lab.xlsx tolerances": 2, "lab.xlsx weights": 1, "lab.xlsx sound": 1, "lab.xlsx power": 1,
	} {
		if lists[sheet] < least {
			t.Errorf("%s has %d drop-down lists, want at least %d", sheet, lists[sheet], least)
		}
	}
}

func TestCSVFormsHaveHeadsAndNoExamples(t *testing.T) {
	files, err := Files(Case, true)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, f := range files {
		got[f.Path] = string(f.Data)
		if f.Path != "README.txt" && strings.Contains(string(f.Data), Marker) {
			t.Errorf("%s carries an example", f.Path)
		}
	}
	for book, tables := range contract {
		for name, want := range tables {
			text, ok := got[book+"/"+name+".csv"]
			if !ok {
				t.Errorf("no %s/%s.csv", book, name)
				continue
			}
			rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\uFEFF"))).ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			have := map[string]bool{}
			for _, h := range rows[0] {
				have[bare(h)] = true
			}
			for _, h := range strings.Split(want, ",") {
				if !have[h] {
					t.Errorf("%s/%s.csv has no column %q", book, name, h)
				}
			}
		}
	}
	for _, must := range []string{"qualified", "not legal advice", "example", "k = 2"} {
		if !strings.Contains(got["README.txt"], must) {
			t.Errorf("README.txt does not say %q", must)
		}
	}
}

func TestSameBytesTwice(t *testing.T) {
	for _, csv := range []bool{false, true} {
		a, err := Files(Case, csv)
		if err != nil {
			t.Fatal(err)
		}
		for range 5 { // the library's order of sheets varies from one build to the next
			b, err := Files(Case, csv)
			if err != nil {
				t.Fatal(err)
			}
			for i := range a {
				if !bytes.Equal(a[i].Data, b[i].Data) {
					t.Errorf("%s differs from one call to the next", a[i].Path)
				}
			}
		}
	}
}

func TestWriteNeverOverwrites(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "case")
	if err := Write(dir, Case, false); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(filepath.Join(dir, "spec.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	err = Write(dir, Case, false)
	if err == nil {
		t.Fatal("a second call wrote over the first one's forms")
	}
	for _, name := range []string{"spec.xlsx", "lab.xlsx"} {
		if !strings.Contains(err.Error(), name) {
			t.Errorf("the error does not name %s: %v", name, err)
		}
	}
	if err := Write(dir, Case, true); err == nil {
		t.Error("CSV forms were written beside a workbook: a book in both forms is an input error")
	}
	after, err := os.ReadFile(filepath.Join(dir, "spec.xlsx"))
	if err != nil || !bytes.Equal(before, after) {
		t.Errorf("spec.xlsx changed (%v)", err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 2 {
		t.Errorf("the refused calls left %d entries, want 2 (%v)", len(entries), err)
	}
}

func TestWriteTakesBackWhatItBegan(t *testing.T) {
	dir := t.TempDir()
	blocked := filepath.Join(dir, "file")
	if err := os.WriteFile(blocked, []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := Write(filepath.Join(blocked, "case"), Case, false); err == nil {
		t.Fatal("forms were written below a file")
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 {
		t.Errorf("%d entries are left, want the one file (%v)", len(entries), err)
	}
}
