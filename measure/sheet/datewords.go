package sheet

import (
	"fmt"
	"strconv"
	"strings"
)

// spelled brings a date that is written in another way to the form of numbers that readDate takes, with what follows it: a
// month by its name (04-May-2026, May 4, 2026, Mon May 4 14:05:30 2026), the clock before the date (14:05:30 04.05.2026),
// digits without separators (20260504 140530, 20260504T140530, 20260504140530), an underscore between date and clock. ok is
// false where s is none of these; it may be a date all the same.
func spelled(s string) (out string, ok bool) {
	if _, _, _, _, rest, numeric := threeParts(s); numeric {
		if len(rest) > 1 && (rest[0] == '_' || rest[0] == ',' || rest[0] == '-') {
			clock := strings.TrimLeft(rest, "_,- ")
			if n := strings.Count(clock, "-"); n == 2 && !strings.Contains(clock, ":") {
				clock = strings.ReplaceAll(clock, "-", ":")
			}
			return s[:len(s)-len(rest)] + " " + clock, strings.Contains(clock, ":")
		}
		return "", false
	}
	if len(s) > 60 {
		return "", false
	}
	if t, ok := compact(s); ok {
		return t, true
	}
	tokens := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == ',' || r == '_' || r == '\u00a0' || r == '\u202f' })
	if len(tokens) > 0 {
		if parts := strings.FieldsFunc(tokens[0], func(r rune) bool { return r == '-' || r == '/' || r == '.' }); len(parts) == 3 && !digits(parts[1]) {
			tokens = append(parts, tokens[1:]...)
		}
	}
	month := 0
	var numbers, clock []string
	date := ""
	for _, t := range tokens {
		low := strings.ToLower(strings.TrimSuffix(t, "."))
		_, _, _, _, rest, numeric := threeParts(t)
		switch {
		case numeric && rest == "" && date == "":
			date = t
		case len(clock) > 0 && len(numbers) >= 1 && month > 0 && len(t) == 4 && digits(t): // the year behind the clock
			numbers = append(numbers, t)
		case strings.Contains(t, ":") || len(clock) > 0:
			clock = append(clock, t)
		case digits(t) && len(t) <= 4:
			numbers = append(numbers, t)
		case month == 0:
			m, known := logWord("month", low)
			if !known {
				if _, known := logWord("weekday", low); known && len(numbers) == 0 {
					continue
				}
				return "", false
			}
			month, _ = strconv.Atoi(m)
		default:
			return "", false
		}
	}
	tail := strings.Join(clock, " ")
	if tail != "" {
		tail = " " + tail
	}
	switch {
	case date != "" && month == 0 && len(numbers) == 0 && len(clock) > 0:
		return date + tail, true
	case date == "" && month > 0 && len(numbers) == 2:
		day, year := numbers[0], numbers[1]
		if len(day) == 4 {
			day, year = year, day
		}
		if len(day) > 2 || len(year) != 4 && len(year) != 2 {
			return "", false
		}
		if len(year) == 2 {
			year = "20" + year
		}
		return fmt.Sprintf("%s-%02d-%s%s", year, month, day, tail), true
	}
	return "", false
}

// compact reads YYYYMMDD with HHMM or HHMMSS behind it, with T, a space or nothing between.
func compact(s string) (string, bool) {
	if len(s) < 8 || !digits(s[:8]) {
		return "", false
	}
	d, clock := s[:8], strings.TrimLeft(s[8:], "T _-")
	year, _ := strconv.Atoi(d[:4])
	month, _ := strconv.Atoi(d[4:6])
	day, _ := strconv.Atoi(d[6:8])
	if !(ymd{year, month, day}).valid() || year < 1990 || year > 2099 {
		return "", false
	}
	date := d[:4] + "-" + d[4:6] + "-" + d[6:8]
	switch {
	case strings.Contains(clock, ":"):
		return date + " " + clock, true
	case len(clock) != 4 && len(clock) < 6 || !digits(clock[:4]):
		return "", false
	}
	rest := ""
	if len(clock) >= 6 {
		if !digits(clock[4:6]) {
			return "", false
		}
		rest = ":" + clock[4:]
	}
	if clock[:2] > "23" || clock[2:4] > "59" {
		return "", false
	}
	return date + " " + clock[:2] + ":" + clock[2:4] + rest, true
}
