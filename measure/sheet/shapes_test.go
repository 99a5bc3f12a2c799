package sheet

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// shape is an export as a logger or its program writes it, invented numbers in a structure that is in use; what a person means by it.
type shape struct {
	file, time, value string
	skip              bool
	n                 int
	first, last       string // as Series.At writes the moments, the date before them where the log has one
	mean              float64
	blank             int
	note              string // in the notes, "" for none that is looked for
	refused           string // what the refusal says, "" where it is read
}

// shapes are those of testdata/shapes (an account of 56 devices and programs gave the structures; the numbers that must come out were
// taken from the files by hand).
var shapes = []shape{
	{file: "01", value: "state where entity_id = sensor.cleaner_power", n: 3, first: "2026-03-25 14:00", last: "14:00:30", mean: 36.2, blank: 1, note: `the rows taken are those where entity_id = sensor.cleaner_power`},
	{file: "01", value: "state", refused: `the column "entity_id" holds several series, sensor.oven_power (3 rows), sensor.cleaner_power (4), and none is chosen`},
	{file: "01", value: "state", skip: true, refused: `"state where entity_id = sensor.oven_power"`},
	{file: "01", value: "state where entity_id = sensor.cleaner", refused: `no row holds "sensor.cleaner" in the column "entity_id", which holds "sensor.cleaner_power" and "sensor.oven_power"`},
	{file: "02", value: "avg where sensor_id = sensor.cleaner_power", n: 2, first: "2026-03-25 14:00", last: "15:00", mean: 36.3},
	{file: "02", time: "start_time", value: "avg", refused: `sensor.outside_temp (2)`},
	{file: "03", value: "Value where Series = Probe-1", n: 2, first: "2026-03-25 14:00:10", last: "14:00:20", mean: 48.21875, blank: 1},
	{file: "03", value: "Value", refused: `the column "Series" holds several series, Probe-1 (3 rows), Probe-2 (3)`},
	{file: "04", time: "Date (LST) + Time (LST)", value: "Value where Param = PM2.5", n: 3, first: "2026-03-25 14:00", last: "16:00", mean: 9},
	{file: "04", time: "Date (LST) + Time (LST)", value: "Value", refused: `holds several series`},
	{file: "04", value: "Value where Param = PM2.5", refused: `several columns can be the time`},
	{file: "05", value: "value where location = AA01", n: 3, first: "2026-03-25 14:00", last: "16:00", mean: 14, note: "the newest reading stands first"},
	{file: "05", value: "value", refused: `holds several series, Aville (3 rows), Btown (2)`},
	{file: "06", time: "_time", value: "_value where _field = power", n: 2, first: "2026-03-25 14:00", last: "14:00:10", mean: 36.3},
	{file: "06", time: "_time", value: "_value", refused: `holds several series`},
	{file: "07", value: "Power(3)", n: 3, first: "2026-03-25 14:00", last: "14:03", mean: 36.2, blank: 1},
	{file: "08", value: "NOISE_A", n: 3, first: "2026-03-25 14:00", last: "14:01", mean: 44.793333},
	{file: "08", value: "PM_25", n: 2, first: "2026-03-25 14:00:30", last: "14:01", mean: 13, blank: 1},
	{file: "09", time: "DateTimeLocal", value: "PM2_5MC", n: 2, first: "2026-03-25 15:00:30", last: "15:01:30", mean: 45, blank: 1},
	{file: "09", time: "SampleTime", value: "PM2_5MC", n: 2, first: "00:00:31", last: "00:01:31", mean: 45, blank: 1},
	{file: "09", time: "UnixTime", value: "PM2_5MC", n: 2, first: "2026-03-25 14:00:30", last: "14:01:30", mean: 45, blank: 1},
	{file: "10", time: "Date Time", value: "Temp", n: 3, first: "2026-03-25 11:59", last: "12:01", mean: 21.925, blank: 2},
	{file: "11", time: "Date Time", value: "Temp", n: 3, first: "2026-03-25 23:45", last: "2026-03-26 00:15", mean: 18.628, blank: 1, note: "YY.MM.DD"},
	{file: "12", time: "Date + Time", value: "Temp", n: 3, first: "2026-03-25 23:45", last: "2026-03-26 00:15", mean: 18.628},
	{file: "13", time: "Date Time", value: "column 2", n: 3, first: "2026-03-25 08:00", last: "12:00", mean: 4.310667},
	{file: "13", value: "Temp", refused: `its place: "column 2" or "column 3"`},
	{file: "14", time: "Date-Time", value: "Ch:1", refused: `decimal commas between commas cannot be told apart`},
	{file: "15", time: "column 2", value: "column 4", n: 4, first: "2026-03-25 14:00", last: "14:45", mean: 16.46875},
	{file: "15", time: "column 2", value: "4", refused: `no line holds`},
	{file: "16", time: "column 1", value: "column 5", skip: true, n: 3, first: "2026-03-25 14:00", last: "14:00:40", mean: 3.210667, blank: 1, note: "1 row of text left out"},
	{file: "16", time: "column 1", value: "column 5", refused: `16.csv:4: found a NUL byte`},
	{file: "17", time: "column 1", value: "column 6", skip: true, n: 3, first: "2026-03-25 14:00:18", last: "14:00:37", mean: 67.333333, note: "1 row of text left out"},
	{file: "17", time: "column 1", value: "column 6", refused: `17.csv:4: column column 1: found "Sensor 1: Timeout error"`},
	{file: "18", time: "Date/Time", value: "Small", n: 3, first: "2026-03-25 20:33", last: "20:35", mean: 226866.666667, note: "after the last reading without a time passed over"},
	{file: "19", time: "Date + Start Time", value: "Total Conc.", n: 3, first: "2026-03-25 19:38:56", last: "19:43:59", mean: 34.5, note: "read as Windows-1252"},
	{file: "20", time: "Date + Time", value: "Conc1", n: 3, first: "2026-03-25 00:00", last: "00:02", mean: 213},
	{file: "21", value: "sensor_b", n: 3, first: "2026-03-25 19:00", last: "19:00:20", mean: 437.666667},
	{file: "22", time: "Time", value: "Sound pressure level", n: 2, first: "0.208 s", last: "0.314 s", mean: 47.705169, blank: 2},
	{file: "23", time: "datetime", value: "LAeq", n: 6, first: "2025-10-20 00:00", last: "00:02:30", mean: 51.066667, note: "30 s apart"},
	{file: "24", time: "Time [MM/DD/YYYY]", value: "PM2.5", n: 3, first: "2026-03-04 07:11", last: "07:13", mean: 5.4},
	{file: "24", value: "PM2.5", refused: `"Time [DD/MM/YYYY]" or "Time [MM/DD/YYYY]"`},
	{file: "25", time: "year + mo + day + hr + min", value: "db", n: 3, first: "2026-03-25 11:36", last: "11:38", mean: 51.1, blank: 1},
}

func TestShapes(t *testing.T) {
	files := map[string]string{}
	paths, err := filepath.Glob("testdata/shapes/*.csv")
	if err != nil || len(paths) < 25 {
		t.Fatal(err, len(paths))
	}
	for _, p := range paths {
		b, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(p)] = string(b)
	}
	f := open(t, files)
	for _, c := range shapes {
		t.Run(c.file+" "+c.time+" "+c.value, func(t *testing.T) { c.check(t, f) })
	}
}

func (c shape) check(t *testing.T, f *Folder) {
	got, ps := f.Logs(nil, []LogRequest{{Path: c.file + ".csv", Time: c.time, Value: c.value, SkipText: c.skip}})
	s := got[0]
	if c.refused != "" {
		if s != nil {
			t.Fatalf("read: %v %v %v", s.T, s.V, s.Notes)
		}
		if !strings.Contains(ps.Error(), c.refused) {
			t.Errorf("refused with\n%s\nwant %s", ps.Error(), c.refused)
		}
		return
	}
	if s == nil {
		t.Fatal(ps)
	}
	mean := 0.0
	for _, x := range s.V {
		mean += x / float64(len(s.V))
	}
	at := func(t float64) string {
		if s.Dated && s.TimeKind != Elapsed {
			day := s.clock(t).Format("2006-01-02")
			return day + " " + strings.TrimPrefix(s.At(t), day+" ")
		}
		return s.At(t)
	}
	notes := strings.Join(s.Notes, "\n")
	if len(s.T) != c.n || at(s.T[0]) != c.first || !strings.HasSuffix(at(s.T[len(s.T)-1]), c.last) || math.Abs(mean-c.mean) > 1e-6 || s.Blank != c.blank || !strings.Contains(notes, c.note) {
		t.Errorf("%d readings from %s to %s, mean %.6f, %d blank, notes:\n%s\nwant %d from %s to %s, mean %.6f, %d blank, %q", len(s.T), at(s.T[0]), at(s.T[len(s.T)-1]), mean, s.Blank, notes, c.n, c.first, c.last, c.mean, c.blank, c.note)
	}
}
