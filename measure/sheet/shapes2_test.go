package sheet

import (
	"os"
	"path/filepath"
	"testing"
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
