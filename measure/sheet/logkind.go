package sheet

import (
	"bytes"
	"fmt"
	"math"
	"strings"
)

const acceptedStamp = `a date and time such as 2026-05-04 14:05:30 (with or without a zone), a clock such as 14:05:30, Unix time, or a number with its unit in the header: time [s], [ms], [min] or [h]`

// decide finds from the first row what kind of time the column holds.
func (c *clock) decide(f *logField) error {
	u := FoldName(c.unit)
	c.utc = u == "utc" || u == "gmt" || u == "z"
	c.order = headerOrder(c.unit)
	switch f.kind {
	case fieldStamp:
		c.mode, c.zoned = stampMode, c.utc
		c.origin = int64(math.Floor(f.num/86400)) * 86400
		return nil
	case fieldClock:
		c.mode = clockOnly
		if c.saysElapsed() || f.num == 0 {
			c.mode, c.guessed = elapsedMode, !c.saysElapsed()
		}
		c.prev = f.num
		return nil
	case fieldElapsed:
		c.mode = elapsedMode
		return nil
	case fieldNumber:
		return c.decideNumber(f.num)
	}
	text := clean(string(f.text))
	if v, err := readNumber(bytes.TrimSpace(f.text), c.rule); err == nil {
		return c.decideNumber(v)
	}
	if _, _, _, _, _, ok := threeParts(text); ok {
		order := c.order
		if order == unknownOrder {
			order = dayFirst // the whole column tells in the end
			if _, second, _, _, ok := slashParts(text); ok && second > 12 {
				order = monthFirst
			}
		}
		st, err := parseStamp(text, order)
		if err != nil {
			return err
		}
		c.mode, c.zoned, c.offset, c.origin = stampMode, st.zoned || c.utc, st.offset, st.days*86400
		return nil
	}
	if t, ok := parseElapsed(text, false); ok && (c.saysElapsed() || t == 0) {
		c.mode, c.guessed = elapsedMode, !c.saysElapsed()
		return nil
	}
	if c.saysElapsed() && strings.Count(text, ":") == 1 {
		return fmt.Errorf("found %s, which can be hours and minutes or minutes and seconds, accepted is H:MM:SS", quote(text))
	}
	var st stamp
	if st.clock(text) == nil {
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
	h := FoldName(c.header)
	for _, w := range []string{"elapsed", "duration", "run time", "runtime", "since"} {
		if strings.Contains(h, w) {
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
	case v >= 1e11 && v < 1e14 && (unit == "" || unit == "ms"):
		c.mode, c.scale, c.zoned, c.origin = unixMode, 0.001, true, int64(v/86400e3)*86400
	case v >= 1e8 && v < 1e11 && (unit == "" || unit == "s"):
		c.mode, c.scale, c.zoned, c.origin = unixMode, 1, true, int64(v/86400)*86400
	case unix:
		return fmt.Errorf("found %s in a column of Unix times, accepted are seconds or milliseconds since 1970", general(v))
	case unit != "":
		c.mode, c.scale = unitMode, elapsedUnits[unit]
	case v >= 20000 && v < 80000 && v != math.Trunc(v):
		c.mode, c.origin = serialNumber, int64(math.Floor(serialSeconds(v, false)/86400))*86400
	default:
		return fmt.Errorf("found the number %s under the header %s, which names no unit, accepted is %s", general(v), quote(c.header), acceptedStamp)
	}
	return nil
}

// elapsedName is the unit in which an elapsed log counts, for people.
func (c *clock) elapsedName() string {
	if c.mode == elapsedMode {
		return "h:mm"
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
