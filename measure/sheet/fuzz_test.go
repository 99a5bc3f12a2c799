package sheet

import (
	"math"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

func FuzzNumber(f *testing.F) {
	for _, s := range []string{"1482", "1,482", "3,5", "1 482,5", "1'482", "6-8", "6 to 8", "1e3", "1e400", "NaN", "0x1p4", "−5", "97 %", "1.234.567", ",", "-", "e5"} {
		f.Add(s, true)
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, s string, comma bool) {
		rule := numberRule{comma: comma}
		v, err := parseNumber(s, rule)
		if err == nil {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%q is %v", s, v)
			}
			if !strings.ContainsAny(s, "0123456789") {
				t.Fatalf("%q holds no digit and is %v", s, v)
			}
			if w, err := parseNumber(general(v), numberRule{}); err != nil || math.Abs(w-v) > 1e-14*math.Abs(v) {
				t.Fatalf("%q is %v, written %q and read %v %v", s, v, general(v), w, err)
			}
		}
		if lo, hi, err := parseRange(s, rule); err == nil && !(lo <= hi) {
			t.Fatalf("%q runs from %v to %v", s, lo, hi)
		}
		if w, err2 := readNumber([]byte(s), rule); err == nil && (err2 != nil || w != v) {
			t.Fatalf("%q is %v and, as a reading, %v %v", s, v, w, err2)
		}
	})
}

func FuzzDate(f *testing.F) {
	for _, s := range []string{"2026-05-04", "2026/5/4", "04.05.2026", "04/05/2026", "2026-05-04T14:05:30.5+02:00", "2026-05-04 2:05 pm", "14:05", "24:00", "00:12:00", "12 min", "46146.5"} {
		f.Add(s, byte(0))
		f.Add(s, byte(1))
	}
	series, err := LogFile(writeTemp(f, "time,v\n2026-05-04 14:05:30,1\n2026-05-04 15:05:30,2\n"), "time", "v")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, s string, order byte) {
		o := dateOrder(order % 4)
		if iso, err := parseDate(s, o); err == nil {
			if again, err := parseDate(iso, unknownOrder); err != nil || again != iso {
				t.Fatalf("%q is %q, which is %q %v", s, iso, again, err)
			}
		}
		if st, err := parseStamp(s, o); err == nil && (st.second < 0 || st.second > 86401 || math.Abs(float64(st.offset)) > 15*3600) {
			t.Fatalf("%q is %+v", s, st)
		}
		if x, err := series.Seconds(Text{Value: s}); err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
			t.Fatalf("%q is %v", s, x)
		}
	})
}

func writeTemp(t testing.TB, text string) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), "log.csv")
	if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return p
}

func FuzzCSVTable(f *testing.F) {
	for _, s := range []string{"attribute,value\nnoise,5\n", "a;b\r\n1,5;\"x\ny\"\r\n", "\xef\xbb\xbfa\tb\n1\t2\n", "\xff\xfea\x00\n\x00", "sep=;\na;b\n", "a\rb\r", "\"", "a,b,\n1,2,3\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		at := Place{Book: "spec/claims.csv"}
		raw, rule, _, ps := readCSV(data, at)
		table, _, more := build("claims", at, raw, rule)
		checkTable(t, table)
		if len(ps)+len(more) == 0 {
			Decode[claimRow](table, "attribute")
		}
	})
}

func checkTable(t *testing.T, table *Table) {
	t.Helper()
	last := 0
	for _, r := range table.Rows {
		if len(r.Cells) != len(table.Columns) || r.Place.Row <= last {
			t.Fatalf("row %+v after row %d", r, last)
		}
		last = r.Place.Row
		for _, c := range r.Cells {
			if strings.Contains(c.Text, "\x00") {
				t.Fatalf("a NUL in %+v", c)
			}
			if back := unwire(c.wire()); back != c {
				t.Fatalf("%+v came back as %+v", c, back)
			}
		}
	}
}

func FuzzXLSX(f *testing.F) {
	book := xlsx(f, map[string][][]any{"Sheet1": rows(3)}, func(x *excelize.File) {
		x.SetSheetName("Sheet1", "claims")
		x.SetCellFormula("claims", "B3", "1+1")
		x.MergeCell("claims", "A2", "A3")
	})
	f.Add([]byte(book))
	f.Add([]byte(zipOf(f, "xl/workbook.xml", "<workbook/>")))
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte) {
		sub, err := os.MkdirTemp(dir, "")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(sub)
		if err := os.WriteFile(filepath.Join(sub, "spec.xlsx"), data, 0o644); err != nil {
			t.Fatal(err)
		}
		c, err := OpenFolder(sub)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		b, err := c.Book("spec")
		if b == nil && err == nil {
			t.Fatal("no book and no error")
		}
		for _, name := range b.Tables() {
			checkTable(t, b.Table(name))
		}
		b.Notes()
	})
}

// FuzzSheetXML mutates the part itself, which FuzzXLSX cannot do through the checksums of the zip.
func FuzzSheetXML(f *testing.F) {
	f.Add([]byte(`<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="x"><dimension ref="A1:B2"/><cols><col min="1" max="2" hidden="1"/></cols><sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="inlineStr"><is><t>v &amp; w</t></is></c></row><row r="2" hidden="1"><c r="A2" s="1"><f>1</f><v>46146.5</v></c><c r="B2" t="e"><v>#N/A</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B1"/></mergeCells></worksheet>`))
	f.Add([]byte(`<a><![CDATA[x]]><!-- c --></a>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		last := 0
		readRows(strings.NewReader(string(data)), func(row int, cells []sheetCell) error {
			if row <= last {
				t.Fatalf("row %d after %d", row, last)
			}
			last = row
			col := 0
			for _, c := range cells {
				if c.col <= col {
					t.Fatalf("column %d after %d", c.col, col)
				}
				col = c.col
			}
			return nil
		})
	})
}

func FuzzLog(f *testing.F) {
	for _, s := range []string{"time,v\n2026-05-04 14:05:30,1\n2026-05-04 14:05:31,2\n", "time [s];v\n0;1,5\n1;\n", "# c\ntime\tv\n00:00:00\t1\n", "time,v\n04/05/2026 10:00,1\n13/05/2026 10:00,2\n",
		"time,v\n1778580000000,1\n", "time,v\n\"2026-05-04T14:05:30Z\",\"1\n2\"\n", "\xff\xfet\x00", "time [s],v\r0,1\r", "time,v\n23:59:59,1\n00:00:01,2\n", "time,v\n2026-10-25 01:59:50,2\n2026-10-25 01:00:00,3\n"} {
		f.Add([]byte(s), true)
		f.Add([]byte(s), false)
	}
	paths, _ := filepath.Glob("testdata/shapes*/*.csv")
	for _, p := range paths {
		if b, err := os.ReadFile(p); err == nil && len(b) < 2000 {
			f.Add(b, true)
		}
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte, skip bool) {
		sub, err := os.MkdirTemp(dir, "")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(sub)
		p := filepath.Join(sub, "log.csv")
		if err := os.WriteFile(p, data, 0o644); err != nil {
			t.Fatal(err)
		}
		c, err := OpenFolder(sub)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		value, at := "v", ""
		switch { // by name, by place, rows of one series
		case len(data)%3 == 1:
			value, at = "column 2", "column 1"
		case len(data)%3 == 2:
			value = "column 3 where column 1 = a"
		}
		got, ps := c.Logs(nil, []LogRequest{{Path: "log.csv", Time: at, Value: value, SkipText: skip}})
		if got[0] == nil && len(ps) == 0 {
			t.Fatal("no series and no problem")
		}
		if got[0] != nil {
			if len(ps) > 0 {
				t.Fatalf("a series and problems: %v", ps)
			}
			checkSeries(t, got[0])
		}
		for _, p := range ps {
			if strings.Contains(p.Text, "cannot be read: ") && strings.Contains(p.Text, "runtime error") {
				t.Fatal(p.Text)
			}
		}
		if s, err := LogFile(p, "", ""); err == nil {
			checkSeries(t, s)
		} else if strings.Contains(err.Error(), "runtime error") {
			t.Fatal(err)
		}
	})
}

func checkSeries(t *testing.T, s *Series) {
	t.Helper()
	if len(s.T) == 0 || len(s.T) != len(s.V) || !sort.Float64sAreSorted(s.T) {
		t.Fatalf("%+v", s)
	}
	for i := range s.T {
		if math.IsNaN(s.T[i]+s.V[i]) || math.IsInf(s.T[i], 0) || math.IsInf(s.V[i], 0) {
			t.Fatalf("%+v", s)
		}
		s.At(s.T[i])
	}
}
