package sheet

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

var shapes2 = []shape{
	{file: "a", time: "Datum + Uhrzeit", value: "PM2,5", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 11.833333},
	{file: "a", value: "PM2,5", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 11.833333},
	{file: "b", value: "Power", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 36.3},
	{file: "c", time: "Date/Time", value: "Level", n: 3, first: "2026-05-14 09:00", last: "09:02", mean: 48.2},
	{file: "d", time: "Date + Time", value: "PM2.5", n: 3, first: "2026-05-04 14:00", last: "14:00:10", mean: 12},
	{file: "e", value: "watts", n: 3, first: "2026-05-04 14:00", last: "14:01", mean: 36.3},
	{file: "f", value: "pm25", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 11},
	{file: "g", value: "Total Active Power", n: 3, first: "2026-05-04 14:00", last: "14:01", mean: 36.3},
	{file: "h", value: "value", refused: `"channel" holds several series, 1 (3 rows), 2 (3)`},
	{file: "h", value: "value where channel = 1", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 36.2},
	{file: "i", value: "reading", refused: `"what" holds several series`},
	{file: "i", value: "reading where what = cleaner", n: 8, first: "2026-05-04 14:00:04", last: "14:01:14", mean: 36.05},
	{file: "j", value: "dB(A)", n: 4, first: "3598 s", last: "3601 s", mean: 44.3, note: "hours were counted on"},
	{file: "k", time: "ts_us", value: "pm2_5", n: 3, first: "2026-05-04 14:00", last: "14:00:02", mean: 11},
	{file: "l", value: "level", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 44.2},
	{file: "m", value: "pm25", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 11},
	{file: "n", time: "Datum + Zeit", value: "Leistung", refused: `"Datum + Zeit [DD.MM.YY]" or "Datum + Zeit [YY.MM.DD]"`},
	{file: "n", time: "Datum + Zeit [DD.MM.YY]", value: "Leistung", n: 3, first: "2026-05-14 14:00", last: "14:00:20", mean: 36.3},
	{file: "n", time: "Datum [TT.MM.JJ] + Zeit", value: "Leistung", n: 3, first: "2026-05-14 14:00", last: "14:00:20", mean: 36.3},
	{file: "o", value: "Count", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 1191},
	{file: "p", value: "pm25", n: 30, first: "2026-05-04 14:00", last: "14:00:58", mean: 47.1},
	{file: "q", value: "pm25", n: 40, first: "2026-05-04 14:00", last: "14:39", mean: 12.2},
	{file: "r", value: "column 2", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 36.2},
	{file: "s", value: "LAeq", n: 3, first: "14:00", last: "14:00:02", mean: 44.2},
	{file: "t", value: "LAeq", n: 3, first: "00:00", last: "00:00:02", mean: 44.2},
	{file: "u", value: "field1", n: 3, first: "2026-05-04 14:00", last: "14:00:30", mean: 12.2},
	{file: "v", value: "watts", refused: `minutes and seconds`},
	{file: "v", time: "time [mm:ss]", value: "watts", n: 3, first: "0 s", last: "10 s", mean: 36.2},
	{file: "w", value: "pm25", refused: `holds several series`},
	{file: "w", value: "pm25 where mac = A4:CF:12:00:00:02", n: 5, first: "2026-05-04 14:00", last: "14:08", mean: 20.4},
	{file: "x", value: "power", refused: `which can be 1482 or 1.482`},
	{file: "x", value: "power [decimal comma]", n: 3, first: "0 s", last: "2 s", mean: 1.480667},
	{file: "x", value: "power [kW, decimal comma]", n: 3, first: "0 s", last: "2 s", mean: 1.480667},
	{file: "y", value: "PM2.5", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 12.2},
	{file: "z", time: "Date + Heure", value: "Particules", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 11402.666667},
	{file: "aa", value: "PM2.5", n: 4, first: "2026-05-04 14:00", last: "14:00:30", mean: 12.25, note: "the header comes again once"},
	{file: "ab", time: "meas_start", value: "value where component = PM2", n: 2, first: "2026-05-04 14:00", last: "15:00", mean: 8.2},
	{file: "ab", time: "meas_start", value: "value", refused: `PM2 (2 rows), O3 (2)`},
	{file: "ab", value: "value where component = PM2", refused: `several columns can be the time, "meas_start" and "meas_end"`},
	{file: "ac", value: "state where entity = a.plug", n: 2, first: "2026-05-04 14:00", last: "14:00:12", mean: 36.2, blank: 1},
	{file: "ac", value: "state", refused: `a.plug (3 rows), a.fridge (1)`},
	{file: "ad", value: "Value", n: 3, first: "2026-05-04 14:00", last: "14:00:02", mean: 44.2},
	{file: "ae", value: "P", n: 3, first: "2026-05-04 14:00:00.250", last: "14:00:00.750", mean: 36.2},
	{file: "af", value: "PM2.5", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 12.2},
	{file: "ag", value: "W", n: 4, first: "09:58", last: "10:01", mean: 36.25},
	{file: "ah", value: "value", refused: `LAeq (2 rows), LCeq (2)`},
	{file: "ah", value: "value where metric = LAeq", n: 2, first: "2026-05-04 14:00", last: "14:00:01", mean: 44.2},
	{file: "ai", value: "PM2.5", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 12.2},
	{file: "aj", time: "时间", value: "功率", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 36.2},
	{file: "ak", value: "pm25", n: 100, first: "2026-05-04 14:05", last: "14:06:39", mean: 12.5, blank: 300},
	{file: "al", value: "Level", refused: `no column is named as the time`},
	{file: "am", value: "PM2,5", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 12.2},
	{file: "an", value: "Leistung", refused: `found "1,1 kW" in a column of other units`},
	{file: "ao", value: "power", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 36.2, note: `"power" was taken for the column "power_w"`},
	{file: "ao", value: "power_w", n: 3, first: "2026-05-04 14:00", last: "14:00:20", mean: 36.2},
	{file: "ap", value: "pm1", refused: `no line holds the column "pm1"`},
	{file: "aq", value: "Wert", n: 3, first: "2026-05-04 14:00", last: "14:00:02", mean: 44.2},
	{file: "ar", value: "Leistung", n: 3, first: "0 s", last: "2 s", mean: 36.25, note: "the comma is the decimal sign"},
	{file: "as", value: "pm25", n: 10, first: "2026-05-04 14:00", last: "14:04:30", mean: 47.75, note: "30 s apart"},
	{file: "at", time: "column 1", value: "column 2", refused: `"column 1 [DD/MM/YYYY]" or "column 1 [MM/DD/YYYY]"`},
	{file: "at", time: "column 1 [DD/MM/YYYY]", value: "column 2", n: 3, first: "2026-02-01 14:00", last: "14:00:20", mean: 36.2},
	{file: "au", value: "PM", refused: `the column "Inlet" holds several series, Sample (48 rows), Zero (12)`},
	{file: "av", value: "PM2.5", refused: `"Elapsed Time [mm:ss]" or "Elapsed Time [hh:mm]"`},
	{file: "aw", value: "Level", refused: `aw.csv:3: column Level: found "OL"`},
	{file: "ba", value: "Messwert", refused: `P1 (2 rows), P2 (2)`},
	{file: "ba", value: "Messwert where Geräte-ID = P1", n: 2, first: "2026-03-25 14:00", last: "14:00:10", mean: 36.15},
	{file: "bb", value: "PM2.5", n: 3, first: "2026-03-25 14:00", last: "14:00:20", mean: 12.2},
	{file: "bc", value: "Count 0.3um", n: 3, first: "0 s", last: "120 s", mean: 11000},
	{file: "bc", value: "Count", refused: `two columns are named`},
	{file: "bd", value: "Lp", n: 3, first: "2026-03-25 14:00", last: "14:00:02", mean: 44.2},
	{file: "be", value: "Value", refused: `V (2 rows), A (2), W (2)`},
	{file: "be", value: "Value where Measurement = W", n: 2, first: "2026-03-25 14:00", last: "14:00:05", mean: 36.2},
	{file: "bf", value: "pm25", refused: `the column "node" holds several series, 9 (10 rows), 7 (10)`},
	{file: "bg", value: "watts", n: 3, first: "2026-03-25 14:00", last: "14:00:20", mean: 36.2},
	{file: "bh", value: "watts", n: 3, first: "2026-03-25 14:00", last: "14:00:20", mean: 36.2},
	{file: "bi", value: "pm25", n: 3, first: "2026-03-25 14:00", last: "14:00:20", mean: 12.2},
	{file: "bj", value: "Leq", n: 20, first: "14:00", last: "14:03:10", mean: 44.095},
	{file: "bk", value: "Watt", refused: `no line holds`},
	{file: "bl", value: "Effekt", n: 3, first: "2026-03-25 14:00", last: "14:00:20", mean: 36.2},
	{file: "bm", value: "pm25", n: 5, first: "2026-03-25 14:00", last: "14:04", mean: 12.3, note: "1 row of a time that another has already"},
	{file: "bn", value: "Sensor A", n: 3, first: "2026-03-25 14:00", last: "2026-03-27 14:00", mean: 12.2, note: "DD.MM.YY"},
	{file: "bo", time: "ts", value: "v", n: 3, first: "2026-03-25 14:00:00.500", last: "14:00:02.500", mean: 2},
	{file: "bp", value: "level", refused: `write "time [s]"`},
	{file: "bp", time: "time [min]", value: "level", n: 3, first: "0 min", last: "2 min", mean: 44.2},
	{file: "bq", value: "Value", refused: `found "<30"`},
	{file: "br", time: "min + sec", value: "pm25", n: 3, first: "00:00", last: "00:01", mean: 13},
}

// TestMoreShapes reads exports of the same kinds that were invented after the mechanisms stood.
func TestMoreShapes(t *testing.T) {
	files := map[string]string{}
	paths, err := filepath.Glob("testdata/shapes2/*.csv")
	if err != nil || len(paths) == 0 {
		t.Fatal(err)
	}
	for _, p := range paths {
		b, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(p)] = string(b)
	}
	f := open(t, files)
	for _, c := range shapes2 {
		t.Run(c.file+" "+c.time+" "+c.value, func(t *testing.T) { c.check(t, f) })
	}
}

// TestShapesAsSheets: an export that was pasted into a sheet of the lab workbook gives what the file gives, or is refused; never another number.
func TestShapesAsSheets(t *testing.T) {
	seps := map[string]rune{"03": ';', "11": ';', "13": ';', "15": ';', "16": ';', "a": '\t', "af": '\t', "ar": '\t', "x": '\t', "b": ';', "l": ';', "n": ';', "t": ';', "z": ';', "ab": ';', "ad": ';', "ae": ';', "an": ';', "at": ';', "e": '|'}
	read := 0
	for dir, list := range map[string][]shape{"shapes": shapes, "shapes2": shapes2} {
		for _, c := range list {
			data, err := os.ReadFile(filepath.Join("testdata", dir, c.file+".csv"))
			if err != nil {
				t.Fatal(err)
			}
			text := strings.TrimPrefix(string(data), "\ufeff")
			if strings.Contains(text, "\x00") || strings.Contains(text, "\xb3") || c.file == "20" || c.file == "d" || c.file == "am" || c.file == "aq" {
				continue
			}
			sep := seps[c.file]
			if sep == 0 {
				sep = ','
			}
			var rows [][]any
			for _, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
				r := csv.NewReader(strings.NewReader(line))
				r.Comma, r.LazyQuotes = sep, true
				rec, err := r.Read()
				row := []any{}
				for _, f := range rec {
					if x, err := strconv.ParseFloat(f, 64); err == nil && !math.IsNaN(x) && !math.IsInf(x, 0) && f != "" {
						row = append(row, x)
					} else {
						row = append(row, f)
					}
				}
				if err != nil {
					row = []any{""}
				}
				rows = append(rows, row)
			}
			f := open(t, map[string]string{"lab.xlsx": xlsx(t, map[string][][]any{"decay": {{"run", "log"}, {"a", "log"}}, "log": rows}, nil), "log.csv": text})
			lab, err := f.Book("lab")
			if err != nil {
				t.Fatal(err)
			}
			got, ps := f.Logs(lab, []LogRequest{{Path: "log", Time: c.time, Value: c.value, SkipText: c.skip}, {Path: "log.csv", Time: c.time, Value: c.value, SkipText: c.skip}})
			sheet, file := got[0], got[1]
			switch {
			case sheet == nil && file != nil:
				t.Logf("%s %q: refused as a sheet alone: %v", c.file, c.value, ps)
			case sheet == nil:
			case file == nil:
				t.Errorf("%s %q: read as a sheet alone: %v %v", c.file, c.value, sheet.T, sheet.V)
			case !equal(sheet.T, file.T) || !equal(sheet.V, file.V):
				t.Errorf("%s %q: %v %v as a sheet, %v %v as a file", c.file, c.value, sheet.T, sheet.V, file.T, file.V)
			default:
				read++
			}
		}
	}
	if read < 50 {
		t.Errorf("%d read alike, at least 50 wanted", read)
	}
}

// TestTypedMinutes: minutes and seconds that were typed into a sheet are stored as hours and minutes.
func TestTypedMinutes(t *testing.T) {
	cells := func(head string, at ...float64) [][]any {
		rows := [][]any{{head, "v"}}
		for i, x := range at {
			rows = append(rows, []any{x, 3 + i})
		}
		return rows
	}
	const minute = 1.0 / 1440
	book := xlsx(t, map[string][][]any{
		"decay": {{"run", "log"}, {"a", "bare"}},
		"bare":  cells("time", 0, 10*minute, 20*minute),
		"typed": cells("time [mm:ss]", 0, 10*minute, 20*minute),
		"hours": cells("time [hh:mm]", 0, 10*minute, 20*minute),
		"clock": cells("time", 840*minute, 850*minute, 860*minute),
		"exact": cells("time", 0, 10*minute/60, 20*minute/60),
	}, func(x *excelize.File) {
		code := "h:mm"
		id, err := x.NewStyle(&excelize.Style{CustomNumFmt: &code})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []string{"bare", "typed", "hours", "clock", "exact"} {
			x.SetCellStyle(s, "A2", "A4", id)
		}
	})
	f := open(t, map[string]string{"lab.xlsx": book})
	lab, err := f.Book("lab")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		sheet, time, refused string
		last                 float64
	}{
		{"bare", "", `can be hours and minutes or minutes and seconds`, 0}, {"bare", "time [mm:ss]", "", 20}, {"bare", "time [hh:mm]", "", 1200},
		{"typed", "", "", 20}, {"hours", "", "", 1200}, {"clock", "", "", 1200}, {"exact", "", "", 20},
	} {
		got, ps := f.Logs(lab, []LogRequest{{Path: c.sheet, Time: c.time, Value: "v"}})
		s := got[0]
		switch {
		case c.refused != "" && (s != nil || !strings.Contains(ps.Error(), c.refused)):
			t.Errorf("%s %q: %+v %v", c.sheet, c.time, s, ps)
		case c.refused == "" && s == nil:
			t.Errorf("%s %q: %v", c.sheet, c.time, ps)
		case s != nil && s.T[len(s.T)-1]-s.T[0] != c.last:
			t.Errorf("%s %q: %v, want %v", c.sheet, c.time, s.T, c.last)
		}
	}
}
