package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// dateOrder is the order of day, month and year in dates whose form does not tell it, as the whole column shows it.
type dateOrder byte

const (
	unknownOrder dateOrder = iota
	dayFirst
	monthFirst
	mixedOrder // both orders stand in one column
	yearFirst  // of two digits
)

const acceptedDate = `YYYY-MM-DD, YYYY/MM/DD, DD.MM.YYYY, DD-MM-YYYY, DD-Mon-YYYY, or DD/MM/YYYY or MM/DD/YYYY where the column shows the order`

// name is the order as a header's bracket says it.
func (o dateOrder) name(sep byte, short bool) string {
	y := "YYYY"
	if short {
		y = "YY"
	}
	parts := map[dateOrder][]string{dayFirst: {"DD", "MM", y}, monthFirst: {"MM", "DD", y}, yearFirst: {y, "MM", "DD"}}[o]
	return strings.Join(parts, string(sep))
}

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

// headerOrder reads the order from a header's unit such as "DD/MM/YYYY", "MM.DD.YY", "yyyy-MM-dd" or "TT.MM.JJJJ".
func headerOrder(unit string) dateOrder {
	low := strings.ToLower(unit)
	if strings.Contains(low, "j") {
		low = strings.NewReplacer("t", "d", "j", map[bool]string{true: "d", false: "y"}[strings.Contains(low, "a")], "a", "y").Replace(low)
	}
	letters := ""
	for _, r := range low {
		switch {
		case r == 'd' || r == 'm' || r == 'y':
			if letters == "" || letters[len(letters)-1] != byte(r) {
				letters += string(r)
			}
		case r == 'h' || r == 't':
			return orderOf(letters)
		case unicode.IsLetter(r) && r != ' ':
			return unknownOrder
		}
	}
	return orderOf(letters)
}

func orderOf(letters string) dateOrder {
	switch {
	case strings.HasPrefix(letters, "dmy"):
		return dayFirst
	case strings.HasPrefix(letters, "mdy"):
		return monthFirst
	case strings.HasPrefix(letters, "ymd"):
		return yearFirst
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
	parts := [3]int{x, y, z}
	switch {
	case len(a) == 4 && len(b) <= 2 && len(c) <= 2:
		d = ymd{x, y, z}
	case len(a) <= 2 && len(b) <= 2 && len(c) == 4 && sep != '/':
		if order != monthFirst {
			order = dayFirst
		}
		d = arrange(parts, order)
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
	case len(a) <= 2 && len(b) <= 2 && len(c) == 2 && (order == dayFirst || order == monthFirst || order == yearFirst && len(a) == 2):
		d = arrange(parts, order)
	default:
		return ymd{}, "", bad
	}
	if !d.valid() {
		return ymd{}, "", fmt.Errorf("found %s, which is no day of the calendar, accepted is a date: %s", quote(s), acceptedDate)
	}
	return d, rest, nil
}

// arrange makes a date of three numbers in an order; a year below 100 is one of this century.
func arrange(n [3]int, order dateOrder) ymd {
	d := ymd{n[2], n[1], n[0]}
	switch order {
	case monthFirst:
		d = ymd{n[2], n[0], n[1]}
	case yearFirst:
		d = ymd{n[0], n[1], n[2]}
	}
	if d.year < 100 {
		d.year += 2000
	}
	return d
}

// Day is the day, YYYY-MM-DD, that a free text begins with; "" where it begins with none, or with one that reads two ways.
func Day(text string) string {
	d, _, err := readDate(clean(text), unknownOrder)
	if err != nil {
		return ""
	}
	return d.iso()
}

// parseDate reads a whole cell as a date, with or without a time of day behind it.
func parseDate(text string, order dateOrder) (iso string, err error) {
	s := clean(text)
	if s == "" {
		return "", fmt.Errorf("found nothing, accepted is a date: %s", acceptedDate)
	}
	if t, ok := spelled(s); ok {
		s = t
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
