package sheet

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// The rules are those of the project's own contract for inputs; strconv.ParseFloat is the oracle for plain decimals.
func TestNumber(t *testing.T) {
	const bad = math.MaxFloat64
	for _, c := range []struct {
		text       string
		comma, dot float64 // in a file with ";" between columns, and elsewhere
	}{
		{"1482", 1482, 1482}, {"1,482", 1.482, 1482}, {"3,5", 3.5, 3.5}, {"0,125", 0.125, 0.125}, {"1,23", 1.23, 1.23}, {"1,2345", 1.2345, 1.2345},
		{"1234,567", 1234.567, 1234.567}, {"1,234,567", bad, 1234567}, {"1,234.5", bad, 1234.5}, {"1.234,5", 1234.5, 1234.5}, {"1.234.567", 1234567, bad},
		{"1.482", bad, 1.482}, {"0.125", 0.125, 0.125}, {"12.5", 12.5, 12.5}, {"1,23,456", bad, bad}, {"1,2,3", bad, bad},
		{"1 482", 1482, 1482}, {"1\u2009482", 1482, 1482}, {"1\u202f482,5", 1482.5, 1482.5}, {"1\u00a0482.5", 1482.5, 1482.5}, {"1'482", 1482, 1482}, {"1’482.25", 1482.25, 1482.25},
		{"10 95", bad, bad}, {"1 0955", bad, bad}, {"1 234,567", 1234.567, 1234.567}, {"1 234 567", 1234567, 1234567}, {"1'234,567 8", bad, bad},
		{" 5 ", 5, 5}, {"-5", -5, -5}, {"−5,5", -5.5, -5.5}, {"+5", 5, 5}, {".5", 0.5, 0.5}, {"5.", 5, 5}, {",5", 0.5, 0.5}, {"010", 10, 10},
		{"1e3", 1000, 1000}, {"1.5E-3", 0.0015, 0.0015}, {"1,5e3", 1500, 1500}, {"97 %", 97, 97}, {"97%", 97, 97},
		{"", bad, bad}, {"-", bad, bad}, {".", bad, bad}, {",", bad, bad}, {"NaN", bad, bad}, {"Inf", bad, bad}, {"-inf", bad, bad}, {"0x1F", bad, bad}, {"1_000", bad, bad},
		{"1e400", bad, bad}, {"1e-400", bad, bad}, {"0e-400", 0, 0}, {"1e", bad, bad}, {"e5", bad, bad}, {"--5", bad, bad}, {"5 m", bad, bad}, {"1.2.3", bad, bad}, {"٥", bad, bad},
		{strings.Repeat("9", 500), bad, bad},
	} {
		for _, rule := range []numberRule{{comma: true}, {}} {
			want := c.dot
			if rule.comma {
				want = c.comma
			}
			got, err := parseNumber(c.text, rule)
			switch {
			case want == bad && err == nil:
				t.Errorf("%q %+v: read as %v", c.text, rule, got)
			case want != bad && (err != nil || got != want):
				t.Errorf("%q %+v: %v %v, want %v", c.text, rule, got, err, want)
			case err != nil && (!strings.Contains(err.Error(), "found") || !strings.Contains(err.Error(), "accepted")):
				t.Errorf("%q: the error says too little: %v", c.text, err)
			}
		}
	}
	if v, err := parseNumber("1.482", numberRule{comma: true, log: true}); err != nil || v != 1.482 {
		t.Errorf("a log with points in a ; file: %v %v", v, err)
	}
}

func TestRange(t *testing.T) {
	for _, c := range []struct {
		text     string
		low, hig float64
		bad      string
	}{
		{"6-8", 6, 8, ""}, {"6 to 8", 6, 8, ""}, {"6 – 8", 6, 8, ""}, {"6—8", 6, 8, ""}, {"6 TO 8", 6, 8, ""}, {"1,482-1,600", 1482, 1600, ""}, {"-5 - -3", -5, -3, ""}, {"1e-3", 0.001, 0.001, ""},
		{"1e-3-2e-3", 0.001, 0.002, ""}, {"7", 7, 7, ""}, {"8-6", 0, 0, "from the lower"}, {"6-8-9", 0, 0, "accepted"}, {"2026-05-04", 0, 0, "accepted"}, {"a to b", 0, 0, "accepted"}, {"6-", 0, 0, "accepted"},
	} {
		lo, hi, err := Cell{Text: c.text}.Range()
		if c.bad != "" {
			if err == nil || !strings.Contains(err.Error(), c.bad) {
				t.Errorf("%q: %v %v %v", c.text, lo, hi, err)
			}
			continue
		}
		if err != nil || lo != c.low || hi != c.hig {
			t.Errorf("%q: %v %v %v", c.text, lo, hi, err)
		}
	}
	if _, _, err := (Cell{Text: "2026-08-06", kind: dateCell}).Range(); err == nil || !strings.Contains(err.Error(), "format the cell as text") {
		t.Errorf("a range that the spreadsheet took for a date: %v", err)
	}
}

func TestDate(t *testing.T) {
	for _, c := range []struct {
		text  string
		order dateOrder
		want  string
		bad   string
	}{
		{"2026-05-04", 0, "2026-05-04", ""}, {"2026/5/4", 0, "2026-05-04", ""}, {"04.05.2026", 0, "2026-05-04", ""}, {"4-5-2026", 0, "2026-05-04", ""}, {"2026-05-04T14:05:30+02:00", 0, "2026-05-04", ""},
		{"2026-05-04 14:05", 0, "2026-05-04", ""}, {"04/05/2026", dayFirst, "2026-05-04", ""}, {"04/05/2026", monthFirst, "2026-04-05", ""}, {"13/05/2026", 0, "2026-05-13", ""}, {"05/13/2026", 0, "2026-05-13", ""},
		{"05/05/2026", 0, "2026-05-05", ""}, {"2024-02-29", 0, "2024-02-29", ""},
		{"04/05/2026", 0, "", "tells day from month"}, {"04/05/2026", mixedOrder, "", "one order"}, {"2025-02-29", 0, "", "no day of the calendar"}, {"2026-13-01", 0, "", "no day"}, {"04.05.26", 0, "", "accepted"},
		{"4 May 2026", 0, "2026-05-04", ""}, {"04-May-2026", 0, "2026-05-04", ""}, {"Maj 4 2026", 0, "2026-05-04", ""}, {"4 Mayo 26", 0, "2026-05-04", ""}, {"4 Foo 2026", 0, "", "accepted"}, {"20260504", 0, "", "accepted"}, {"2026-05", 0, "", "accepted"}, {"", 0, "", "found nothing"}, {"2026-05-04 soon", 0, "", "accepted"}, {"13/05/2026", monthFirst, "", "no day"},
	} {
		got, err := Cell{Text: c.text, order: c.order}.Date()
		if c.bad != "" {
			if err == nil || !strings.Contains(err.Error(), c.bad) {
				t.Errorf("%q: %q %v, want an error with %q", c.text, got, err, c.bad)
			}
			continue
		}
		if err != nil || got != c.want {
			t.Errorf("%q: %q %v, want %q", c.text, got, err, c.want)
		}
	}
}

// TestSerial checks spreadsheet dates against ECMA-376 part 1, 18.17.4: in the 1900 system 1 is 1900-01-01 and 61 is
// 1900-03-01, in the 1904 system 0 is 1904-01-01; 2026-05-04 is 46146 and 44684.
func TestSerial(t *testing.T) {
	for _, c := range []struct {
		serial float64
		d1904  bool
		want   string
	}{
		{1, false, "1900-01-01 00:00"}, {59, false, "1900-02-28 00:00"}, {61, false, "1900-03-01 00:00"}, {25569, false, "1970-01-01 00:00"},
		{46146, false, "2026-05-04 00:00"}, {46146.5, false, "2026-05-04 12:00"}, {0, true, "1904-01-01 00:00"}, {44684, true, "2026-05-04 00:00"}, {46146 + 50730.5/86400, false, "2026-05-04 14:05:30.500"},
	} {
		if got := clockText(serialSeconds(c.serial, c.d1904), true, true); got != c.want {
			t.Errorf("%v (1904 %v): %s, want %s", c.serial, c.d1904, got, c.want)
		}
	}
}

// TestFormatLook: the codes are those of ECMA-376 part 1, 18.8.31.
func TestFormatLook(t *testing.T) {
	for code, want := range map[string]look{
		"General": plainLook, "0.00": plainLook, "#,##0.00": plainLook, "0.00E+00": plainLook, "0%": percentLook, "0.0 %": percentLook, `0 "days"`: plainLook, `0.0" m3/h"`: plainLook,
		"yyyy-mm-dd": dateLook, "dd/mm/yyyy": dateLook, "mmm": dateLook, `d\.m\.yyyy`: dateLook, "h:mm": timeLook, "mm:ss.0": timeLook, "h:mm AM/PM": timeLook, "yyyy-mm-dd hh:mm:ss": dateTimeLook,
		"[h]:mm:ss": elapsedLook, "[mm]:ss": elapsedLook, "[Red]0.0": plainLook, "[$-409]d/m/yy h:mm": dateTimeLook, `0;"day"`: plainLook, `\d0`: plainLook, "@": plainLook,
	} {
		if got := formatLook(code); got != want {
			t.Errorf("%s: %d, want %d", code, got, want)
		}
	}
}

// TestReadNumberIsExact sets the fast path against strconv on random decimals.
func TestReadNumberIsExact(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 100_000 {
		s := strconv.FormatFloat(r.NormFloat64()*math.Pow(10, float64(r.IntN(12)-4)), 'f', r.IntN(14), 64)
		want, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		got, err := readNumber([]byte(s), numberRule{})
		if err != nil || got != want && want != 0 {
			if want == 0 && err != nil {
				continue
			}
			t.Fatalf("%s: %v %v, want %v", s, got, err, want)
		}
	}
}

// TestGroupingDoesNotChangeANumber: a whole number written with any separator between groups of three is the same number.
func TestGroupingDoesNotChangeANumber(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 2))
	for range 2000 {
		n := r.Int64N(1e12)
		for _, sep := range []string{",", " ", "\u2009", "'", "\u202f"} {
			s := strings.ReplaceAll(count(n), " ", sep)
			got, err := parseNumber(s, numberRule{})
			if err != nil || got != float64(n) {
				t.Fatalf("%q: %v %v, want %v", s, got, err, n)
			}
		}
	}
}
