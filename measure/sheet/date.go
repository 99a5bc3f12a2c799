package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// dateOrder is the order of day and month in dates with slashes, as the whole column shows it.
type dateOrder byte

const (
	unknownOrder dateOrder = iota
	dayFirst
	monthFirst
	mixedOrder // both orders stand in one column
)

const acceptedDate = `YYYY-MM-DD, YYYY/MM/DD, DD.MM.YYYY, DD-MM-YYYY, or DD/MM/YYYY or MM/DD/YYYY where the column shows the order`

// ymd is a calendar date.
type ymd struct{ year, month, day int }

func (d ymd) valid() bool {
	if d.year < 1900 || d.year > 2199 || d.month < 1 || d.month > 12 || d.day < 1 {
		return false
	}
	return d.day <= time.Date(d.year, time.Month(d.month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

func (d ymd) iso() string { return fmt.Sprintf("%04d-%02d-%02d", d.year, d.month, d.day) }

// days is the number of days since 1970-01-01.
func (d ymd) days() int64 {
	return time.Date(d.year, time.Month(d.month), d.day, 0, 0, 0, 0, time.UTC).Unix() / 86400
}

// threeParts splits the date at the head of s: three numbers with one and the same separator.
func threeParts(s string) (a, b, c string, sep byte, rest string, ok bool) {
	i := 0
	num := func() string {
		j := i
		for i < len(s) && s[i] >= '0' && s[i] <= '9' {
			i++
		}
		return s[j:i]
	}
	a = num()
	if a == "" || i >= len(s) || !strings.ContainsRune("-/.", rune(s[i])) {
		return
	}
	sep = s[i]
	i++
	b = num()
	if b == "" || i >= len(s) || s[i] != sep {
		return
	}
	i++
	c = num()
	if c == "" {
		return
	}
	return a, b, c, sep, s[i:], true
}

// slashParts gives the two leading parts of a slash date whose order the form does not tell.
func slashParts(s string) (first, second, year int, rest string, ok bool) {
	a, b, c, sep, rest, ok := threeParts(clean(s))
	if !ok || sep != '/' || len(a) > 2 || len(b) > 2 || len(c) != 4 {
		return 0, 0, 0, "", false
	}
	first, _ = strconv.Atoi(a)
	second, _ = strconv.Atoi(b)
	year, _ = strconv.Atoi(c)
	return first, second, year, rest, true
}

// see takes one text of a column into the column's order.
func (o dateOrder) see(s string) dateOrder {
	a, b, _, _, ok := slashParts(s)
	if !ok {
		return o
	}
	return o.seeParts(a, b)
}

func (o dateOrder) seeParts(first, second int) dateOrder {
	n := o
	switch {
	case first > 12 && second <= 12:
		n = dayFirst
	case second > 12 && first <= 12:
		n = monthFirst
	default:
		return o
	}
	if o != unknownOrder && o != n {
		return mixedOrder
	}
	return n
}

// headerOrder reads the order from a header's unit such as "DD/MM/YYYY".
func headerOrder(unit string) dateOrder {
	u := strings.ToLower(strings.ReplaceAll(unit, " ", ""))
	switch {
	case strings.HasPrefix(u, "dd/mm/yyyy"), strings.HasPrefix(u, "d/m/yyyy"):
		return dayFirst
	case strings.HasPrefix(u, "mm/dd/yyyy"), strings.HasPrefix(u, "m/d/yyyy"):
		return monthFirst
	}
	return unknownOrder
}

// readDate reads the date at the head of s and gives what follows it.
func readDate(s string, order dateOrder) (d ymd, rest string, err error) {
	a, b, c, sep, rest, ok := threeParts(s)
	bad := fmt.Errorf("found %s, accepted is a date: %s", quote(s), acceptedDate)
	if !ok {
		return ymd{}, "", bad
	}
	x, _ := strconv.Atoi(a)
	y, _ := strconv.Atoi(b)
	z, _ := strconv.Atoi(c)
	switch {
	case len(a) == 4 && len(b) <= 2 && len(c) <= 2:
		d = ymd{x, y, z}
	case len(a) <= 2 && len(b) <= 2 && len(c) == 4 && sep != '/':
		d = ymd{z, y, x}
	case len(a) <= 2 && len(b) <= 2 && len(c) == 4:
		if x > 12 && order == unknownOrder {
			order = dayFirst
		} else if y > 12 && order == unknownOrder {
			order = monthFirst
		}
		switch {
		case order == mixedOrder:
			return ymd{}, "", fmt.Errorf("found %s in a column that holds dates with the day first and dates with the month first, accepted is one order, best YYYY-MM-DD", quote(s))
		case order == monthFirst:
			d = ymd{z, x, y}
		case order == dayFirst || x == y:
			d = ymd{z, y, x}
		default:
			return ymd{}, "", fmt.Errorf("found %s, and nothing in the column tells day from month; write YYYY-MM-DD, or name the order in the header: [DD/MM/YYYY] or [MM/DD/YYYY]", quote(s))
		}
	default:
		return ymd{}, "", bad
	}
	if !d.valid() {
		return ymd{}, "", fmt.Errorf("found %s, which is no day of the calendar, accepted is a date: %s", quote(s), acceptedDate)
	}
	return d, rest, nil
}

// parseDate reads a whole cell as a date, with or without a time of day behind it.
func parseDate(text string, order dateOrder) (iso string, err error) {
	s := clean(text)
	if s == "" {
		return "", fmt.Errorf("found nothing, accepted is a date: %s", acceptedDate)
	}
	d, rest, err := readDate(s, order)
	if err != nil {
		return "", err
	}
	if rest != "" {
		if _, err := parseStamp(s, order); err != nil {
			return "", fmt.Errorf("found %s, accepted is a date: %s", quote(text), acceptedDate)
		}
	}
	return d.iso(), nil
}

// stamp is a date and time as written: the clock's own reading, and its zone where one is written.
type stamp struct {
	days   int64   // since 1970-01-01, by the clock's own calendar
	second float64 // of the day, 0…86400
	zoned  bool
	offset int // seconds east of UTC
	dated  bool
}

// seconds is the clock's own reading in seconds since 1970-01-01 00:00 of its calendar, the zone not applied.
func (t stamp) seconds() float64 { return float64(t.days)*86400 + t.second }

// utc is the instant in seconds since 1970-01-01 00:00 UTC, for a stamp with a zone.
func (t stamp) utc() float64 { return t.seconds() - float64(t.offset) }

// parseStamp reads a date with a time of day, a date alone (midnight), or a time of day alone.
func parseStamp(text string, order dateOrder) (stamp, error) {
	s := clean(text)
	var t stamp
	rest := s
	if _, _, _, _, _, ok := threeParts(s); ok {
		d, r, err := readDate(s, order)
		if err != nil {
			return t, err
		}
		t.dated, t.days = true, d.days()
		if r == "" {
			return t, nil
		}
		if r[0] != 'T' && r[0] != 't' && r[0] != ' ' && !strings.HasPrefix(r, "\u00a0") {
			return t, fmt.Errorf("found %s, accepted is a date, a space or T, and a time of day", quote(text))
		}
		rest = clean(strings.TrimLeft(r, "Tt"))
	}
	if err := t.clock(rest); err != nil {
		return t, fmt.Errorf("found %s, accepted is a time such as 2026-05-04 14:05:30, 2026-05-04T14:05:30Z or 14:05", quote(text))
	}
	return t, nil
}

var errClock = fmt.Errorf("no time of day")

// clock reads HH:MM[:SS[.fff]] with an optional AM or PM and an optional zone.
func (t *stamp) clock(s string) error {
	num := func(max int) (int, bool) {
		i := 0
		for i < len(s) && i < 2 && s[i] >= '0' && s[i] <= '9' {
			i++
		}
		if i == 0 {
			return 0, false
		}
		n, _ := strconv.Atoi(s[:i])
		s = s[i:]
		return n, n <= max
	}
	h, ok := num(24)
	if !ok || !strings.HasPrefix(s, ":") {
		return errClock
	}
	s = s[1:]
	m, ok := num(59)
	if !ok {
		return errClock
	}
	sec := 0.0
	if strings.HasPrefix(s, ":") {
		s = s[1:]
		n, ok := num(60) // 60 is a leap second
		if !ok {
			return errClock
		}
		sec = float64(n)
		if s != "" && (s[0] == '.' || s[0] == ',') {
			i := 1
			for i < len(s) && s[i] >= '0' && s[i] <= '9' {
				i++
			}
			if i == 1 || i > 20 {
				return errClock
			}
			f, err := strconv.ParseFloat("0."+s[1:i], 64)
			if err != nil {
				return errClock
			}
			sec += f
			s = s[i:]
		}
	}
	low := strings.ToLower(strings.TrimSpace(s))
	for _, half := range []string{"am", "pm", "a.m.", "p.m."} {
		if strings.HasPrefix(low, half) {
			if h < 1 || h > 12 {
				return errClock
			}
			h %= 12
			if half[0] == 'p' {
				h += 12
			}
			low = strings.TrimSpace(low[len(half):])
			break
		}
	}
	if h == 24 && (m > 0 || sec > 0) {
		return errClock
	}
	t.second = float64(h*3600+m*60) + sec
	return t.zone(low)
}

// zone reads Z, UTC, GMT, +HH, +HHMM or +HH:MM; nothing means a clock without a zone.
func (t *stamp) zone(s string) error {
	switch s {
	case "":
		return nil
	case "z", "utc", "gmt":
		t.zoned = true
		return nil
	}
	s = strings.ReplaceAll(s, "\u2212", "-")
	for _, p := range []string{"utc", "gmt"} {
		s = strings.TrimPrefix(s, p)
	}
	if len(s) < 3 || s[0] != '+' && s[0] != '-' {
		return errClock
	}
	hh, mm := s[1:3], strings.TrimPrefix(s[3:], ":")
	if mm == "" {
		mm = "00"
	}
	if !digits(hh) || !digits(mm) || len(mm) != 2 {
		return errClock
	}
	h, _ := strconv.Atoi(hh)
	m, _ := strconv.Atoi(mm)
	if h > 14 || m > 59 {
		return errClock
	}
	t.zoned, t.offset = true, h*3600+m*60
	if s[0] == '-' {
		t.offset = -t.offset
	}
	return nil
}

// serialSeconds turns a spreadsheet date (days) into seconds since 1970-01-01 of the clock's own calendar, rounded to a
// millisecond. The 1900 system counts a 29 February 1900 that never was: serials below 60 are one day later there.
func serialSeconds(serial float64, date1904 bool) float64 {
	switch {
	case date1904:
		serial -= 24107 // 1970-01-01 in the 1904 system
	case serial < 60:
		serial -= 25568
	default:
		serial -= 25569 // 1970-01-01 in the 1900 system
	}
	return math.Round(serial*86400*1000) / 1000
}

// clockText writes seconds since 1970-01-01 as a date, a time, or both.
func clockText(seconds float64, date, clock bool) string {
	ms := int64(math.Round(seconds * 1000))
	t := time.UnixMilli(ms).UTC()
	layout := "15:04"
	if ms%60000 != 0 {
		layout = "15:04:05"
	}
	if ms%1000 != 0 {
		layout = "15:04:05.000"
	}
	switch {
	case date && clock:
		layout = "2006-01-02 " + layout
	case date:
		layout = "2006-01-02"
	}
	return t.Format(layout)
}
