package sheet

import (
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// open makes a case of the files and opens it.
func open(t testing.TB, files map[string]string) *Folder {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		p := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	f, err := OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// xlsx makes a workbook of sheets; each is a list of rows.
func xlsx(t testing.TB, sheets map[string][][]any, change func(x *excelize.File)) string {
	t.Helper()
	x := excelize.NewFile()
	defer x.Close()
	for _, name := range slices.Sorted(maps.Keys(sheets)) {
		rows := sheets[name]
		if _, err := x.NewSheet(name); err != nil {
			t.Fatal(err)
		}
		for i, row := range rows {
			cell, _ := excelize.CoordinatesToCellName(1, i+1)
			if err := x.SetSheetRow(name, cell, &row); err != nil {
				t.Fatal(err)
			}
		}
	}
	if _, ok := sheets["Sheet1"]; !ok {
		x.DeleteSheet("Sheet1")
	}
	if change != nil {
		change(x)
	}
	buf, err := x.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	return buf.String()
}

type claimRow struct {
	At        RowPlace `csv:"@row"`
	Attribute Text     `csv:"attribute"`
	Value     Span     `csv:"value"`
	Unit      Text     `csv:"unit"`
	Captured  Date     `csv:"captured"`
	Wording   Text     `csv:"wording"`
}

func TestBothFormsGiveTheSameTable(t *testing.T) {
	csvText := "Attribute;Value;UNIT;captured;wording\r\n" +
		"delivery rate;1 482,5;m3/h;2026-05-04;\"cleans\nfast\"\r\n" +
		";;;;\r\n" +
		"noise;6-8;dB;04.05.2026;\r\n"
	f1 := open(t, map[string]string{"spec/claims.csv": csvText})
	b1, err := f1.Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	book := xlsx(t, map[string][][]any{"Claims": {
		{"Attribute", "Value", "UNIT", "captured", "wording"},
		{"delivery rate", 1482.5, "m3/h", "2026-05-04", "cleans\nfast"},
		{},
		{"noise", "6-8", "dB", 46146},
	}}, func(x *excelize.File) {
		style, err := x.NewStyle(&excelize.Style{NumFmt: 14})
		if err != nil {
			t.Fatal(err)
		}
		x.SetCellStyle("Claims", "D4", "D4", style)
	})
	f2 := open(t, map[string]string{"spec.xlsx": book})
	b2, err := f2.Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range []*Book{b1, b2} {
		rows, notes, ps := Decode[claimRow](b.Table("claims"), "attribute")
		if len(ps) > 0 || len(notes) > 0 {
			t.Fatalf("%s: %v %v", b.Name(), ps, notes)
		}
		if len(rows) != 2 {
			t.Fatalf("%s: %d rows", b.Name(), len(rows))
		}
		a, c := rows[0], rows[1]
		if a.Value.Low != 1482.5 || a.Value.High != 1482.5 || a.Unit.Value != "m3/h" || a.Captured.ISO != "2026-05-04" || a.Wording.Value != "cleans\nfast" {
			t.Errorf("%s: first row %+v", b.Name(), a)
		}
		if c.Value.Low != 6 || c.Value.High != 8 || c.Captured.ISO != "2026-05-04" || c.Wording.Value != "" {
			t.Errorf("%s: second row %+v", b.Name(), c)
		}
	}
	rows, _, _ := Decode[claimRow](b1.Table("claims"))
	if got := rows[1].Captured.Place.String(); got != "spec/claims.csv:5: column captured" {
		t.Errorf("place %s", got)
	}
	rows, _, _ = Decode[claimRow](b2.Table("CLAIMS"))
	if got := rows[1].Captured.Place.String(); got != "spec.xlsx: sheet Claims, cell D4" {
		t.Errorf("place %s", got)
	}
	if got := rows[1].At.Place.String(); got != "spec.xlsx: sheet Claims, row 4" {
		t.Errorf("place %s", got)
	}
}

func TestDecodeCollectsAllProblems(t *testing.T) {
	f := open(t, map[string]string{"spec/claims.csv": "value,captured,Value [x],colour\nmany,2026-13-40,1,red\n5,soon,1,blue\n"})
	b, err := f.Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	rows, notes, ps := Decode[claimRow](b.Table("claims"), "attribute", "value")
	want := []string{
		`spec/claims.csv:1: column Value [x]: the column name "Value [x]" stands twice (also as "value"), accepted is each name once`,
		`spec/claims.csv: the column "attribute" is missing, the columns found are "value", "captured", "Value [x]" and "colour"`,
		`spec/claims.csv:2: column value: found "many"`,
		`spec/claims.csv:2: column captured: found "2026-13-40", which is no day of the calendar`,
		`spec/claims.csv:3: column captured: found "soon"`,
	}
	text := ps.Error()
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("missing in the problems: %s\ngot\n%s", w, text)
		}
	}
	if len(rows) != 0 {
		t.Errorf("rows without a column that is required: %+v", rows)
	}
	rows, _, _ = Decode[claimRow](b.Table("claims"), "value")
	if len(rows) != 2 || rows[1].Value.Low != 5 || !rows[0].Value.Bad || rows[1].Value.Bad || !rows[1].Captured.Bad {
		t.Errorf("rows %+v", rows)
	}
	if len(notes) != 1 || notes[0].String() != `spec/claims.csv:1: column colour: the column "colour" is not known and was not read` {
		t.Errorf("notes %v", notes)
	}
}

// A name that has the folded form already is not worked on; that must be seen right of any text of ASCII. An invisible
// character at the end, which folding drops, takes the long way.
func TestFoldNameShort(t *testing.T) {
	const seed = 20261125
	rng := rand.New(rand.NewPCG(seed, 2))
	for range 200_000 {
		b := make([]byte, rng.IntN(6))
		for i := range b {
			b[i] = " a-b_C+/1\t\x7f."[rng.IntN(12)]
		}
		s := string(b)
		if got, want := FoldName(s), FoldName(s+"\u200b"); got != want {
			t.Fatalf("seed %d: FoldName(%q) is %q, the long way %q", seed, s, got, want)
		}
	}
}
