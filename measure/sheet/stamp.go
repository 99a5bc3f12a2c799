package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

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
	if t, ok := spelled(s); ok {
		s = t
	}
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
		if err != errClock {
			return t, fmt.Errorf("found %s, in which %w", quote(text), err)
		}
		return t, fmt.Errorf("found %s, accepted is a time such as 2026-05-04 14:05:30, 2026-05-04T14:05:30Z or 14:05", quote(text))
	}
	return t, nil
}

var errClock = fmt.Errorf("no time of day")

// clock reads HH:MM[:SS[.fff]] with an optional AM or PM, in the words of the table, and an optional zone.
func (t *stamp) clock(s string) error {
	half := byte(0)
	if s != "" && s[0] > '9' {
		s, half = halfOf(strings.ToLower(s))
	}
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
	if half == 0 && low != "" {
		low, half = halfOf(low)
	}
	if half != 0 {
		if h < 1 || h > 12 {
			return errClock
		}
		h %= 12
		if half == 'p' {
			h += 12
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
	if m, ok := logWord("zone", s); ok {
		minutes, _ := strconv.Atoi(m)
		t.zoned, t.offset = true, minutes*60
		return nil
	}
	if r := []rune(s); len(r) > 1 && unicode.IsLetter(r[0]) && !strings.ContainsAny(s, "0123456789") {
		return fmt.Errorf("%s is neither a zone nor a word for AM or PM that is known (%s)", quote(s), knownHalves())
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
