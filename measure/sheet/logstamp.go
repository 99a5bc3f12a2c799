package sheet

import (
	"bytes"
	"fmt"
)

// stamp reads a date and time. The date of the row before, and its zone, are not read again.
func (c *clock) stamp(b []byte) (float64, error) {
	n := len(c.lastDate)
	if n > 0 && len(b) > n && bytes.Equal(b[:n], c.lastDate) && (b[n] == ' ' || b[n] == 'T') {
		if sec, rest, ok := fastClock(b[n+1:]); ok && bytes.Equal(rest, c.lastZone) {
			return float64(c.lastDays) + sec - float64(c.lastOff), nil
		}
	}
	text := string(b)
	if t, ok := spelled(clean(text)); ok {
		text = t
	}
	st, parts, form, err := c.open(text)
	if err != nil {
		return 0, err
	}
	if c.utc && !st.zoned {
		st.zoned = true
	}
	if !st.dated || st.zoned != c.zoned {
		return 0, fmt.Errorf("found %s among times that are written otherwise (%s)", quote(text), c.describe())
	}
	days := float64(st.days*86400 - c.origin)
	if form != (dateForm{}) {
		if len(c.slash) > 0 && form != c.form {
			return 0, fmt.Errorf("found %s in a column of dates such as %s", quote(text), quote(c.form.write(c.slash[0])))
		}
		c.form = form
		i, ok := c.slashes[parts]
		if !ok {
			if c.slashes == nil {
				c.slashes = map[[3]int]int{}
			}
			i = len(c.slash)
			c.slashes[parts] = i
			c.slash = append(c.slash, parts)
		}
		days = float64(i*slashStride + slashBias)
	} else if len(c.slash) > 0 {
		return 0, fmt.Errorf("found %s in a column of dates such as %s", quote(text), quote(c.form.write(c.slash[0])))
	}
	c.remember(b, days, st)
	return days + st.second - float64(st.offset), nil
}

// remember keeps the date and the zone of a row for the next one.
func (c *clock) remember(b []byte, days float64, st stamp) {
	c.lastDate = c.lastDate[:0]
	n := bytes.IndexAny(b, " T")
	if n < 0 {
		return
	}
	_, rest, ok := fastClock(b[n+1:])
	if !ok || len(rest) > 0 && (rest[0] == ' ' || rest[0] == 'a' || rest[0] == 'A' || rest[0] == 'p' || rest[0] == 'P') {
		return // the slow way reads what stands behind the clock
	}
	c.lastDate = append(c.lastDate, b[:n]...)
	c.lastZone = append(c.lastZone[:0], rest...)
	c.lastDays, c.lastOff = int64(days), st.offset
}

// fastClock reads HH:MM:SS and a fraction of at most nine digits at the head of b.
func fastClock(b []byte) (second float64, rest []byte, ok bool) {
	if len(b) < 8 || b[2] != ':' || b[5] != ':' {
		return 0, nil, false
	}
	two := func(i int) int {
		x, y := b[i]-'0', b[i+1]-'0'
		if x > 9 || y > 9 {
			return 99
		}
		return int(x)*10 + int(y)
	}
	h, m, s := two(0), two(3), two(6)
	if h > 23 || m > 59 || s > 59 {
		return 0, nil, false
	}
	second = float64(h*3600 + m*60 + s)
	b = b[8:]
	if len(b) > 0 && b[0] == '.' {
		n, i := 0, 1
		for ; i < len(b) && i <= 9 && b[i]-'0' <= 9; i++ {
			n = n*10 + int(b[i]-'0')
		}
		if i == 1 || i < len(b) && b[i]-'0' <= 9 {
			return 0, nil, false
		}
		second += float64(n) / pow10[i-1]
		b = b[i:]
	}
	return second, b, true
}
