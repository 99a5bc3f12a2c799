package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// shortForm is what a header's bracket says of times with one colon.
type shortForm byte

const (
	minuteSecond shortForm = 1 + iota
	hourMinute
)

// earlyHours is the part of a day, in seconds, in which a clock of two parts is taken for a count from a start as well: 00:00 to 05:59 can be
// minutes and seconds since the logger was started (this project's choice; a test in the small hours says so in brackets).
const earlyHours = 6 * 3600

// shortClock reads a bracket such as [mm:ss], [m:ss.0] or [hh:mm]; 0 for any other.
func shortClock(unit string) shortForm {
	letters := ""
	for _, r := range strings.ToLower(unit) {
		switch {
		case r == 'h' || r == 'm' || r == 's' || r == ':':
			if letters == "" || rune(letters[len(letters)-1]) != r {
				letters += string(r)
			}
		case r == '.' || r == '0' || r == '[' || r == ']' || r == ' ':
		default:
			if w := strings.ToLower(unit); w != "min:sec" && w != "min:s" {
				return 0
			}
			return minuteSecond
		}
	}
	switch letters {
	case "m:s":
		return minuteSecond
	case "h:m":
		return hourMinute
	}
	return 0
}

// twoParts reads M:SS or H:MM: the first part, and whether a fraction shows that the second part is seconds.
func twoParts(text string) (first float64, fraction, ok bool) {
	a, b, two := strings.Cut(text, ":")
	if !two || a == "" || len(a) > 6 || !digits(a) {
		return 0, false, false
	}
	whole, frac, dot := strings.Cut(strings.Replace(b, ",", ".", 1), ".")
	if len(whole) != 2 || !digits(whole) || whole > "59" || dot && (frac == "" || !digits(frac) || len(frac) > 12) {
		return 0, false, false
	}
	first, _ = strconv.ParseFloat(a, 64)
	return first, dot, true
}

// twoReadings refuses a time of two parts that can be either.
func (c *clock) twoReadings(text string) error {
	return fmt.Errorf("found %s, which can be hours and minutes or minutes and seconds (01:30 is 90 minutes or 90 seconds), accepted is H:MM:SS, or the form in brackets where the column is named: %s or %s",
		quote(text), quote(c.header+" [mm:ss]"), quote(c.header+" [hh:mm]"))
}

// minutes reads minutes and seconds since a start. Where the minutes begin anew after 59, the hours are counted on. A sheet's cell that was
// typed as minutes and seconds is stored as hours and minutes; the whole column tells in the end whether it was.
func (c *clock) minutes(f *logField) (float64, error) {
	switch f.kind {
	case fieldClock, fieldElapsed:
		c.whole = c.whole && math.Mod(f.num, 60) == 0
		return f.num, nil
	case fieldText:
		text := clean(string(f.text))
		if t, ok := parseElapsed(text, false); ok {
			c.prev = t
			return t, nil
		}
		m, _, ok := twoParts(text)
		if !ok {
			return 0, fmt.Errorf("found %s, accepted is a time in minutes and seconds such as 12:30", quote(text))
		}
		sec, err := strconv.ParseFloat(strings.Replace(text[strings.IndexByte(text, ':')+1:], ",", ".", 1), 64)
		if err != nil {
			return 0, err
		}
		t := m*60 + sec + 3600*float64(c.hours)
		if m < 60 && t < c.prev-1800 && t+3600 > c.prev {
			c.hours++
			t += 3600
		}
		c.prev = t
		return t, nil
	}
	return 0, fmt.Errorf("found no time in minutes and seconds")
}
