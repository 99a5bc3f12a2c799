package sheet

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestLogSheets: a sheet gives the same series as the CSV log, by each way in which a sheet can hold a time.
func TestLogSheets(t *testing.T) {
	style := func(x *excelize.File, sheet string, code string, cells ...string) {
		id, err := x.NewStyle(&excelize.Style{CustomNumFmt: &code})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range cells {
			x.SetCellStyle(sheet, c, c, id)
		}
	}
	base := 46146 + 50730.0/86400 // 2026-05-04 14:05:30
	book := xlsx(t, map[string][][]any{
		"decay":    {{"run", "log"}, {"a", "run 1"}},
		"run 1":    {{"Model", "X"}, {}, {"time", "pm2.5 (ug/m3)"}, {base, 3.5}, {base + 2.0/86400, nil}, {base + 4.0/86400, 4.25}},
		"texts":    {{"time", "v"}, {"2026-05-04 14:05:30", 3.5}, {"2026-05-04 14:05:34", "4.25"}},
		"two":      {{"date", "clock", "v"}, {46146, 50730.0 / 86400, 3.5}, {46146, 50734.0 / 86400, 4.25}},
		"elapsed":  {{"time", "v"}, {0, 3.5}, {4.0 / 86400, 4.25}},
		"seconds":  {{"# note"}, {"time [s]", "v"}, {0, 3.5}, {4, 4.25}},
		"unmarked": {{"time", "v"}, {0, 3.5}},
		"broken":   {{"time [s]", "v"}, {0, 3.5}, {1, "ERR"}},
	}, func(x *excelize.File) {
		style(x, "run 1", "yyyy-mm-dd hh:mm:ss", "A4", "A5", "A6")
		style(x, "two", "yyyy-mm-dd", "A2", "A3")
		style(x, "two", "hh:mm:ss", "B2", "B3")
		style(x, "elapsed", "[h]:mm:ss", "A2", "A3")
	})
	f := open(t, map[string]string{"lab.xlsx": book})
	lab, err := f.Book("lab")
	if err != nil {
		t.Fatal(err)
	}
	got, ps := f.Logs(lab, []LogRequest{{Path: "Run_1", Value: "PM2.5"}, {Path: "texts", Value: "v"}, {Path: "two", Time: "date + clock", Value: "v"}, {Path: "elapsed", Value: "v"}, {Path: "seconds", Value: "v"}})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	for i, s := range got {
		if !equal(s.T, []float64{0, 4}) || !equal(s.V, []float64{3.5, 4.25}) {
			t.Errorf("%d: %v %v", i, s.T, s.V)
		}
		if i < 3 && s.At(0) != "14:05:30" {
			t.Errorf("%d: starts at %s", i, s.At(0))
		}
	}
	if got[0].Blank != 1 || got[0].ValueUnit != "ug/m3" {
		t.Errorf("%+v", got[0])
	}
	_, ps = f.Logs(lab, []LogRequest{{Path: "unmarked", Value: "v"}, {Path: "broken", Value: "v"}, {Path: "none", Value: "v", Place: Place{Book: "lab.xlsx", Sheet: "decay", Row: 2, Col: 2}}})
	for _, want := range []string{`sheet unmarked, cell A2: found the number 0 under the header "time", which names no unit`, `sheet broken, cell B3: found "ERR"`, `sheet decay, cell B2: log: found "none", which is not there`} {
		if !strings.Contains(ps.Error(), want) {
			t.Errorf("missing %s in\n%s", want, ps.Error())
		}
	}
	for _, n := range lab.Notes() {
		t.Errorf("note %s", n)
	}
}

func TestLogRequestsShareOneReading(t *testing.T) {
	f := open(t, map[string]string{"log.csv": "time [s],a,b\n0,1,\n1,2,5\n2,x,6\n"})
	got, ps := f.Logs(nil, []LogRequest{{Path: "log.csv", Value: "a", SkipText: true}, {Path: `.\log.csv`, Value: "b"}, {Path: "log.csv", Value: "A", SkipText: true}})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	if got[0] != got[2] || !equal(got[0].V, []float64{1, 2}) || got[0].TextSkipped != 1 || !equal(got[1].T, []float64{1, 2}) || got[1].Blank != 1 {
		t.Errorf("%+v %+v", got[0], got[1])
	}
	if in := f.Inputs(); len(in) != 1 || in[0].Bytes != 30 {
		t.Errorf("%+v", in)
	}
}

func TestLogFileGuesses(t *testing.T) {
	dir := t.TempDir()
	for i, c := range []struct{ text, time, value, want string }{
		{"Device X\n# c\nNo,Date,Time,PM2.5 (ug/m3),Hum\n1,2026-05-04,14:05:30,3.5,40\n2,2026-05-04,14:05:32,4,40\n", "Date + Time", "PM2.5 (ug/m3)", ""},
		{"time;a;b\n2026-05-04 14:05:30;3,5;1\n", "", "", `several columns can hold the readings: "a" and "b"; name one`},
		{"time;pm2.5 (ug/m3);temp (°C)\n2026-05-04 14:05:30;3,5;1\n", "time", "pm2.5 (ug/m3)", ""},
		{"t (s),watts\n0,1\n", "t (s)", "watts", ""},
		{"\"time\",\"v\"\n\"2026-05-04 14:05:30\",\"3\"\n", "time", "v", ""},
		{"a,b\n1,2\n", "", "", "the columns found in line 1 are"},
	} {
		p := filepath.Join(dir, string(rune('a'+i))+".csv")
		if err := os.WriteFile(p, []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		s, err := LogFile(p, "", "")
		if c.want != "" {
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%d: %v %v", i, s, err)
			}
			continue
		}
		if err != nil || s.Time != c.time || s.Value != c.value || s.T[0] != 0 {
			t.Errorf("%d: %+v %v", i, s, err)
		}
	}
}

// TestLogFileErrors: a log that stands in no case is spoken of by itself, and a column that was asked for is named.
func TestLogFileErrors(t *testing.T) {
	dir := t.TempDir()
	p := filepath.Join(dir, "run.csv")
	if err := os.WriteFile(p, []byte("time [s],pm1,pm2.5\n0,1,2\n1,2,3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ file, time, value, want string }{
		{p, "", "pm10", `no line holds the column "pm10" above a row of readings, the columns found in line 1 are "time [s]", "pm1" and "pm2.5"`},
		{p, "stamp", "", `no line holds the column "stamp" above a row of readings`},
		{p, "stamp", "pm10", `no line holds the columns "stamp" and "pm10", the columns found in line 1`},
		{filepath.Join(dir, "none.csv"), "", "", "none.csv: there is no such file"},
		{filepath.Join(dir, "none", "none.csv"), "", "", "none.csv: there is no such file"},
		{dir, "", "", "found a folder, accepted is a file"},
	} {
		_, err := LogFile(c.file, c.time, c.value)
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "case folder") {
			t.Errorf("%s %s %s: %v\nwant %s", filepath.Base(c.file), c.time, c.value, err, c.want)
		}
	}
	link := filepath.Join(t.TempDir(), "link.csv")
	if err := os.Symlink(p, link); err != nil {
		t.Skip("no links here")
	}
	if s, err := LogFile(link, "", "pm1"); err != nil || len(s.T) != 2 {
		t.Errorf("a link that the user names: %v", err)
	}
}
