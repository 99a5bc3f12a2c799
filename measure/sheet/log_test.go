package sheet

import (
	"strings"
	"testing"
)

// one reads a log through a case and gives its series.
func one(t testing.TB, text, timeCol, valueCol string) (*Series, Problems) {
	t.Helper()
	f := open(t, map[string]string{"log.csv": text})
	got, ps := f.Logs(nil, []LogRequest{{Path: "log.csv", Time: timeCol, Value: valueCol}})
	return got[0], ps
}

func TestLogsAsPeopleHaveThem(t *testing.T) {
	for _, c := range []struct {
		name, text, time, value string
		T, V                    []float64
		kind                    TimeKind
		start                   string
	}{
		{"ISO with zone", "time,v\n2026-05-12T10:25:00+01:00,3.9\n2026-05-12T10:25:02+01:00,4\n", "time", "v", []float64{0, 2}, []float64{3.9, 4}, Absolute, "2026-05-12T10:25:00+01:00"},
		{"zone changes", "time,v\n2026-10-25T01:59:50+01:00,1\n2026-10-25T01:00:10+00:00,2\n", "time", "v", []float64{0, 20}, []float64{1, 2}, Absolute, "2026-10-25T01:59:50+01:00"},
		{"ISO without zone", "time,v\n2026-05-12 10:25:00,3.9\n2026-05-12 10:25:02.5,4\n", "time", "v", []float64{0, 2.5}, []float64{3.9, 4}, Wall, "2026-05-12T10:25:00Z"},
		{"date + time", "Date;Clock;PM2.5 (ug/m3)\n04.05.2026;14:05:30;3,5\n04.05.2026;14:05:40;1482\n", "date + clock", "pm2.5", []float64{0, 10}, []float64{3.5, 1482}, Wall, "2026-05-04T14:05:30Z"},
		{"elapsed seconds", "# device\ntime (s),watts (W),\n0,47,\n4,,\n8,46.5,\n", "time", "watts", []float64{0, 8}, []float64{47, 46.5}, Elapsed, ""},
		{"elapsed milliseconds", "t_ms,v\n0,1\n1500,2\n", "t_ms", "v", []float64{0, 1.5}, []float64{1, 2}, Elapsed, ""},
		{"elapsed minutes", "elapsed [min]\tv\n0.5\t1\n1\t2\n", "elapsed", "v", []float64{30, 60}, []float64{1, 2}, Elapsed, ""},
		{"elapsed hours", "time [h],v\n0.5,1\n1,2\n", "time", "v", []float64{1800, 3600}, []float64{1, 2}, Elapsed, ""},
		{"elapsed clock", "time,v\n00:00:00,1\n00:12:00,2\n", "time", "v", []float64{0, 720}, []float64{1, 2}, Elapsed, ""},
		{"Unix seconds", "ts,v\n1778580000,1\n1778580001.5,2\n", "ts", "v", []float64{0, 1.5}, []float64{1, 2}, Absolute, "2026-05-12T10:00:00Z"},
		{"Unix milliseconds", "ts,v\n1778580000000,1\n1778580001500,2\n", "ts", "v", []float64{0, 1.5}, []float64{1, 2}, Absolute, "2026-05-12T10:00:00Z"},
		{"day first by the column", "time,v\n12/05/2026 23:59:59,1\n13/05/2026 00:00:01,2\n", "time", "v", []float64{0, 2}, []float64{1, 2}, Wall, "2026-05-12T23:59:59Z"},
		{"month first by the column", "time,v\n05/12/2026 11:59:59 PM,1\n05/13/2026 12:00:01 AM,2\n", "time", "v", []float64{0, 2}, []float64{1, 2}, Wall, "2026-05-12T23:59:59Z"},
		{"order in the header", "time [DD/MM/YYYY],v\n04/05/2026 10:00,1\n04/05/2026 10:01,2\n", "time", "v", []float64{0, 60}, []float64{1, 2}, Wall, "2026-05-04T10:00:00Z"},
		{"thousands by points", "time [s];n;t\n0;1.482;21,5\n1;1.479;21,5\n2;987;21,6\n", "time", "n [thousands point]", []float64{0, 1, 2}, []float64{1482, 1479, 987}, Elapsed, ""},
		{"decimals by points", "time [s];n;t\n0;1.482;21,5\n1;1.479;21,5\n", "time", "n [decimal point]", []float64{0, 1}, []float64{1.482, 1.479}, Elapsed, ""},
		{"clock over midnight", "time,v\n23:59:50,1\n00:00:10,2\n", "time", "v", []float64{0, 20}, []float64{1, 2}, Wall, "0000-01-01T23:59:50Z"},
		{"unsorted", "time [s],v\n0,1\n10,3\n5,2\n10,3\n10,4\n", "time", "v", []float64{0, 5, 10}, []float64{1, 2, 3}, Elapsed, ""},
		{"newest first", "time [s],v\n10,3\n5,2\n0,1\n", "time", "v", []float64{0, 5, 10}, []float64{1, 2, 3}, Elapsed, ""},
		{"quotes from the second row", "time,v,note\n2026-05-12 10:00:00,1,a\n\"2026-05-12 10:00:05\",\"1,482\",\"two\nlines\"\n2026-05-12 10:00:10,2,\n", "time", "v", []float64{0, 5, 10}, []float64{1, 1482, 2}, Wall, "2026-05-12T10:00:00Z"},
		{"preamble", "Model;X-1\nSerial;7\n\nChannel;unit;a\nTime;PM;x\n2026-05-12 10:00:00;1,5;0\n", "time", "pm", []float64{0}, []float64{1.5}, Wall, "2026-05-12T10:00:00Z"},
		{"old Mac", "time [s],v\r0,1\r5,2\r", "time", "v", []float64{0, 5}, []float64{1, 2}, Elapsed, ""},
		{"UTC by the header", "time (UTC),v\n2026-05-12 10:00:00,1\n", "time", "v", []float64{0}, []float64{1}, Absolute, "2026-05-12T10:00:00Z"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, ps := one(t, c.text, c.time, c.value)
			if s == nil {
				t.Fatal(ps)
			}
			if !equal(s.T, c.T) || !equal(s.V, c.V) || s.TimeKind != c.kind {
				t.Errorf("T %v V %v %v, want %v %v %v", s.T, s.V, s.TimeKind, c.T, c.V, c.kind)
			}
			if got := s.Start.Format("2006-01-02T15:04:05Z07:00"); c.start != "" && got != c.start {
				t.Errorf("start %s, want %s", got, c.start)
			}
		})
	}
}

func equal(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

func TestLogProblems(t *testing.T) {
	for _, c := range []struct{ name, text, time, value, want string }{
		{"no column", "time [s],v\n0,1\n", "time", "pm", `log "log.csv": no line holds the columns "time" and "pm", the columns found in line 1 are "time [s]" and "v"`},
		{"text in the middle", "time [s],v\n0,1\n5,ERR\n", "time", "v", `log.csv:3: column v: found "ERR"`},
		{"NaN alone", "time [s],v\n0,NaN\n", "time", "v", `column "v" holds no reading, of 1 rows`},
		{"no unit", "time,v\n0,1\n", "time", "v", `log.csv:2: column time: found the number 0 under the header "time", which names no unit`},
		{"undecided slashes", "time,v\n04/05/2026 10:00,1\n", "time", "v", `nothing in the column tells day from month`},
		{"mixed slashes", "time,v\n13/05/2026 10:00,1\n05/14/2026 10:00,1\n", "time", "v", `day first and dates with the month first`},
		{"decimal comma between commas", "time [s],v\n0,1\n5,3,5\n", "time", "v", `log.csv:3: found "5,3,5", which has more fields than the 2 columns of line 1: decimal commas between commas cannot be told apart`},
		{"two habits", "time [s],v\n0,\"1,234,567\"\n5,\"2,345\"\n6,\"0,912\"\n", "time", "v", `found "1,234,567" and "0,912" in one column`},
		{"thousands or decimals", "time [s],v\n0,\"1,482\"\n5,\"1,479\"\n", "time", "v", `found "1,482", which can be 1482 or 1.482, and nothing in the column or its neighbours tells; where the column is named, write "v [decimal comma]" or "v [thousands comma]"`},
		{"not UTF-8", "time [s],v\n0,1\n5,\xb5\n", "time", "v", `log.csv:3: column v: found the byte 0xB5, which is no UTF-8`},
		{"NUL", "time [s],v\n0,1\n5,\x00\n", "time", "v", `log.csv:3: found a NUL byte`},
		{"empty", "", "time", "v", `it is empty`},
		{"no reading", "time [s],v\n0,\n", "time", "v", `column "v" holds no reading, of 1 rows`},
		{"a beginning of another quantity", "time [s],power_factor\n0,0.6\n", "time", "power", `no line holds`},
		{"a beginning of another size", "time [s],pm10\n0,6\n", "time", "pm1", `no line holds`},
		{"the cell and the header name two units", "time [s],v\n0,6\n1,5\n", "time [ms]", "v", `the cell says [ms] and the header "time [s]" says s`},
		{"too much text", "time [s],v\n0,ERR\n1,ERR\n2,5\n3,ERR\n4,ERR\n", "time", "v", `log.csv:2: column v: found "ERR"`},
		{"points for thousands or decimals", "time [s];n;t\n0;1.482;21,5\n1;1.479;21,5\n2;987;21,6\n", "time", "n", `found "1.482", which can be 1482 or 1,482, in a log in which a comma is the decimal sign; where the column is named, write "n [thousands point]" or "n [decimal point]"`},
		{"ambiguous column", "time [s],pm [a],pm [b]\n0,1,2\n", "time", "pm", `two columns are named "pm"`},
		{"open quote", "time [s],v\n0,1\n5,\"2\n6,3\n", "time", "v", `a double quote that opens and is not closed`},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, ps := one(t, c.text, c.time, c.value)
			if s != nil {
				t.Fatalf("read as %+v", s)
			}
			if !strings.Contains(ps.Error(), c.want) {
				t.Errorf("got\n%s\nwant %s", ps.Error(), c.want)
			}
		})
	}
}

func TestSummerTime(t *testing.T) {
	back := "time,v\n2026-10-25 01:59:40,1\n2026-10-25 01:59:50,2\n2026-10-25 01:00:00,3\n2026-10-25 01:00:10,4\n"
	s, ps := one(t, back, "time", "v")
	if s == nil {
		t.Fatal(ps)
	}
	if !equal(s.T, []float64{0, 10, 20, 30}) || s.Backwards != 0 || len(s.Notes) != 1 {
		t.Errorf("%+v", s)
	}
	if s.At(30) != "01:00:10" || s.At(10) != "01:59:50" {
		t.Errorf("clock %s %s", s.At(30), s.At(10))
	}
	ahead := "time,v\n2026-03-29 00:59:40,1\n2026-03-29 00:59:50,2\n2026-03-29 02:00:00,3\n2026-03-29 02:00:10,4\n"
	if s, ps = one(t, ahead, "time", "v"); s == nil {
		t.Fatal(ps)
	}
	if !equal(s.T, []float64{0, 10, 20, 30}) || s.At(20) != "02:00" {
		t.Errorf("%+v", s)
	}
	pause := strings.ReplaceAll(strings.ReplaceAll(ahead, " 02:", " 15:"), " 00:", " 13:")
	if s, ps = one(t, pause, "time", "v"); s == nil {
		t.Fatal(ps)
	}
	if s.T[2] != 3620 {
		t.Errorf("a pause of the logger was taken for summer time: %v", s.T)
	}
}

func TestSeconds(t *testing.T) {
	wall, _ := one(t, "time,v\n2026-05-04 14:05:30,1\n2026-05-04 15:05:30,2\n", "time", "v")
	elapsed, _ := one(t, "time [min],v\n0,1\n60,2\n", "time", "v")
	days, _ := one(t, "time,v\n2026-05-04 14:05:30,1\n2026-05-06 15:05:30,2\n", "time", "v")
	zoned, _ := one(t, "time,v\n2026-05-04T14:05:30+02:00,1\n2026-05-04T15:05:30+02:00,2\n", "time", "v")
	midnight, _ := one(t, "time,v\n23:50:00,1\n00:20:00,2\n", "time", "v")
	for _, c := range []struct {
		s    *Series
		text string
		want float64
		bad  string
	}{
		{wall, "14:05:30", 0, ""}, {wall, "14:15", 570, ""}, {wall, "2026-05-04 14:15", 570, ""}, {wall, "12 min", 720, ""}, {wall, "0.5 h", 1800, ""},
		{wall, "04.05.2026 14:15", 570, ""}, {wall, "2:15 pm", 570, ""}, {wall, "46146.59375", 570, ""}, {wall, "0.59375", 570, ""},
		{wall, "12", 0, "without a unit"}, {wall, "18:00", 0, "outside the log"}, {wall, "noon", 0, `found "noon"`}, {wall, "2026-05-05 14:15", 0, "outside the log"},
		{wall, "2026-05-04T14:15Z", 0, "with a zone"}, {wall, "14:05", -30, ""},
		{elapsed, "12", 720, ""}, {elapsed, "12 min", 720, ""}, {elapsed, "00:12:00", 720, ""}, {elapsed, "0:12", 720, ""}, {elapsed, "90 s", 90, ""},
		{elapsed, "2026-05-04 14:15", 0, "accepted is"}, {elapsed, "120", 0, "outside"},
		{days, "14:15", 0, "more than one day"}, {days, "2026-05-05 14:15", 86970, ""},
		{zoned, "14:15", 570, ""}, {zoned, "2026-05-04T12:15:00Z", 570, ""}, {zoned, "2026-05-04 14:15", 570, ""},
		{midnight, "00:10", 1200, ""}, {midnight, "23:55", 300, ""}, {midnight, "2026-05-04 00:10", 0, "without a date"},
	} {
		got, err := c.s.Seconds(Text{Value: c.text})
		switch {
		case c.bad != "":
			if err == nil || !strings.Contains(err.Error(), c.bad) {
				t.Errorf("%s %q: %v, %v; want an error with %q", c.s.TimeKind, c.text, got, err, c.bad)
			}
		case err != nil || got != c.want:
			t.Errorf("%s %q: %v, %v; want %v", c.s.TimeKind, c.text, got, err, c.want)
		}
	}
	if got := days.At(570); got != "2026-05-04 14:15" {
		t.Error(got)
	}
	if got := elapsed.At(750); got != "12.5 min" {
		t.Error(got)
	}
}
