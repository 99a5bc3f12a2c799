package sheet

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"unicode"
)

// unixEnd is the latest Unix time that is read, in seconds: the year 2128. Larger numbers are counts of finer units, or digits of a date.
const unixEnd = 5e9

const acceptedStamp = `a date and time such as 2026-05-04 14:05:30 (with or without a zone), a clock such as 14:05:30, Unix time, or a number with its unit in the header or in the cell that names the column: time [s], [ms], [min] or [h]`

// decide finds from the first row what kind of time the column holds.
func (c *clock) decide(f *logField) error {
	if c.never != nil {
		return c.never
	}
	u := FoldName(c.unit)
	c.utc = u == "utc" || u == "gmt" || u == "z"
	c.order = headerOrder(c.unit)
	switch f.kind {
	case fieldStamp:
		c.mode, c.zoned = stampMode, c.utc
		c.origin = int64(math.Floor(f.num/86400)) * 86400
		return nil
	case fieldClock:
		if shortClock(c.unit) == minuteSecond {
			c.mode, c.whole = minutesMode, true
			return nil
		}
		c.mode = clockOnly
		if c.saysElapsed() || f.num == 0 {
			c.mode, c.guessed = elapsedMode, !c.saysElapsed()
		}
		c.short = shortClock(c.unit) == 0 && f.num < earlyHours && math.Mod(f.num, 60) == 0
		c.prev, c.firstClock = f.num, f.num
		return nil
	case fieldElapsed:
		c.mode = elapsedMode
		if shortClock(c.unit) == minuteSecond {
			c.mode, c.whole = minutesMode, true
		}
		return nil
	case fieldNumber:
		return c.decideNumber(f.num)
	}
	text := clean(string(f.text))
	if st, ok, err := c.decideDate(text); ok {
		if err != nil {
			return err
		}
		c.mode, c.zoned, c.offset, c.origin = stampMode, st.zoned || c.utc, st.offset, st.days*86400
		return nil
	}
	if v, err := readNumber(bytes.TrimSpace(f.text), c.rule); err == nil {
		return c.decideNumber(v)
	}
	if m, whole, ok := twoParts(text); ok {
		short := shortClock(c.unit)
		switch {
		case short == minuteSecond || short == 0 && whole:
			c.mode = minutesMode
			return nil
		case short == hourMinute && (c.saysElapsed() || m > 23):
			c.mode = elapsedMode
			return nil
		case short == 0 && (c.saysElapsed() || m < earlyHours/3600 || m > 23):
			c.never = c.twoReadings(text)
			return c.never
		}
	}
	if t, ok := parseElapsed(text, false); ok && (c.saysElapsed() || t == 0) {
		c.mode, c.guessed = elapsedMode, !c.saysElapsed()
		return nil
	}
	var st stamp
	if err := st.clock(text); err != nil && err != errClock {
		return fmt.Errorf("found %s, in which %w", quote(text), err)
	} else if err == nil {
		if st.zoned {
			return fmt.Errorf("found %s, a clock with a zone and without a date, accepted is %s", quote(text), acceptedStamp)
		}
		c.mode, c.prev = clockOnly, st.second
		return nil
	}
	return fmt.Errorf("found %s, accepted is %s", quote(text), acceptedStamp)
}

// saysElapsed reports whether the header says that times count from a start.
func (c *clock) saysElapsed() bool {
	h := " " + FoldName(c.header) + " "
	for w := range logWords()["elapsed"] {
		if i := strings.Index(h, w); i > 0 && !unicode.IsLetter(rune(h[i-1])) {
			return true
		}
	}
	return false
}

// decideNumber finds what a column of numbers counts: Unix time by its size, otherwise by the unit in the header.
func (c *clock) decideNumber(v float64) error {
	unit := headerUnit(c.header, c.unit)
	h := FoldName(c.header)
	unix := strings.Contains(h, "unix") || strings.Contains(h, "epoch")
	switch {
	case v >= 1e8 && v < unixEnd && (unit == "" || unit == "s"):
		c.mode, c.scale, c.zoned, c.origin = unixMode, 1, true, int64(v/86400)*86400
	case v >= 1e11 && v < unixEnd*1e3 && (unit == "" || unit == "ms"):
		c.mode, c.scale, c.zoned, c.origin = unixMode, 1e-3, true, int64(v/86400e3)*86400
	case v >= 1e14 && v < unixEnd*1e6 && (unit == "" || unit == "us"):
		c.mode, c.scale, c.zoned, c.origin = unixMode, 1e-6, true, int64(v/86400e6)*86400
	case v >= 1e17 && v < unixEnd*1e9 && (unit == "" || unit == "ns"):
		c.mode, c.scale, c.zoned, c.origin = unixMode, 1e-9, true, int64(v/86400e9)*86400
	case unix:
		return fmt.Errorf("found %s in a column of Unix times, accepted are seconds, or thousandths, millionths or billionths of them, since 1970", general(v))
	case unit != "":
		c.mode, c.scale = unitMode, elapsedUnits[unit]
	case v >= 20000 && v < 80000 && v != math.Trunc(v):
		c.mode, c.origin = serialNumber, int64(math.Floor(serialSeconds(v, false)/86400))*86400
	default:
		return fmt.Errorf("found the number %s under the header %s, which names no unit, accepted is %s; where the column is named, write %s", general(v), quote(c.header), acceptedStamp, quote(c.header+" [s]"))
	}
	return nil
}

// elapsedName is the unit in which an elapsed log counts, for people.
func (c *clock) elapsedName() string {
	switch c.mode {
	case elapsedMode:
		return "h:mm"
	case minutesMode:
		return "m:ss"
	}
	for name, scale := range elapsedUnits {
		if scale == c.scale {
			return name
		}
	}
	return "s"
}

var pow10 = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// readNumber reads the number of a log's field. Plain decimals of up to fifteen digits are read in place: the digits and
// the power of ten are exact as doubles, so that their quotient is the nearest double (Clinger 1990, the fast path).
func readNumber(b []byte, rule numberRule) (float64, error) {
	i, neg := 0, false
	if len(b) > 0 && b[0] == '-' {
		neg, i = true, 1
	}
	var n uint64
	nd, frac, dot := 0, 0, false
	for ; i < len(b); i++ {
		d := b[i] - '0'
		if d <= 9 {
			n = n*10 + uint64(d)
			nd++
			if dot {
				frac++
			}
			continue
		}
		if b[i] != '.' || dot {
			break
		}
		dot = true
	}
	if i < len(b) || nd == 0 || nd > 15 {
		return parseNumber(string(b), rule)
	}
	v := float64(n) / pow10[frac]
	if neg {
		v = -v
	}
	return v, nil
}
