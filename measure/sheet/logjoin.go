package sheet

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// join makes one time of a date and a clock, or of the parts of either.
func (c *clock) join(fields []logField) (*logField, error) {
	if c.roles != nil {
		return c.joinParts(fields)
	}
	date, tod := &fields[c.cols[0]], &fields[c.cols[1]]
	if date.kind == fieldStamp && tod.kind == fieldClock {
		return &logField{kind: fieldStamp, num: 86400*math.Floor(date.num/86400) + tod.num}, nil
	}
	c.joined = c.joined[:0]
	for i, f := range []*logField{date, tod} {
		if f.blank() {
			return nil, fmt.Errorf("found %s without %s, accepted is both", [2]string{"a clock", "a date"}[i], [2]string{"a date", "a clock"}[i])
		}
		if i == 1 {
			c.joined = append(c.joined, ' ')
		}
		switch f.kind {
		case fieldText:
			c.joined = append(c.joined, bytes.TrimSpace(f.text)...)
		case fieldStamp:
			c.joined = append(c.joined, clockText(f.num, i == 0, i == 1)...)
		case fieldClock:
			c.joined = append(c.joined, clockText(f.num, false, true)...)
		default:
			return nil, fmt.Errorf("found the number %s in the %s column", general(f.num), [2]string{"date", "clock"}[i])
		}
	}
	return &logField{text: c.joined}, nil
}

// partNames are the parts of a date and a clock in order.
var partNames = []string{"year", "month", "day", "hour", "minute", "second"}

// rolesOf finds which part of a time each of several columns holds: by its header, else in the order year to second; nil for a date
// and a clock.
func rolesOf(columns []Column, times []match) []string {
	if len(times) < 2 {
		return nil
	}
	roles, known := make([]string, len(times)), 0
	for i, m := range times {
		c := columns[m.col]
		role, ok := logWord("part", plainName(c.Name))
		if u, ok2 := logWord("part", FoldName(m.unit)); !ok && ok2 {
			role, ok = u, true
		}
		if ok {
			roles[i] = role
			known++
		}
	}
	switch {
	case len(times) == 2 && known < 2:
		return nil
	case known == 0:
		copy(roles, partNames)
	}
	return roles
}

func (c *clock) joinParts(fields []logField) (*logField, error) {
	part := map[string]string{}
	rest := ""
	for i, col := range c.cols {
		f := &fields[col]
		text := clean(string(f.text))
		if f.kind == fieldNumber {
			text = general(f.num)
		} else if f.kind != fieldText {
			text = clockText(f.num, f.kind == fieldStamp, f.kind == fieldClock)
		}
		if text == "" {
			return nil, fmt.Errorf("a part of the time is blank, accepted is all of them")
		}
		role := c.roles[i]
		if role == "month" && !digits(text) {
			if m, ok := logWord("month", strings.TrimSuffix(strings.ToLower(text), ".")); ok {
				text = m
			}
		}
		switch {
		case role == "":
			rest = strings.TrimSpace(rest + " " + text)
			continue
		case part[role] != "":
			return nil, fmt.Errorf("two columns hold the %s, accepted is one", role)
		case role == "second":
			if v, err := parseNumber(text, c.rule); err != nil || v < 0 || v >= 61 {
				return nil, fmt.Errorf("found %s for the second", quote(text))
			}
		default:
			text = strings.TrimSuffix(text, ".0")
			if !digits(text) || len(text) > 4 {
				return nil, fmt.Errorf("found %s for the %s, accepted is a whole number", quote(text), role)
			}
		}
		if len(text) == 1 || role == "second" && strings.IndexAny(text+".", ".,") == 1 {
			text = "0" + text
		}
		part[role] = text
	}
	out := ""
	if part["year"] != "" || part["month"] != "" || part["day"] != "" {
		y := part["year"]
		if len(y) == 2 {
			y = "20" + y
		}
		if y == "" || part["month"] == "" || part["day"] == "" {
			return nil, fmt.Errorf("a date is of a year, a month and a day")
		}
		out = y + "-" + part["month"] + "-" + part["day"]
	}
	if rest != "" {
		out = strings.TrimSpace(out + " " + rest)
	}
	if part["hour"] == "" && part["minute"] != "" && out == "" { // minutes and seconds since a start
		m, _ := strconv.Atoi(part["minute"])
		part["hour"], part["minute"] = fmt.Sprintf("%02d", m/60), fmt.Sprintf("%02d", m%60)
		if part["second"] == "" {
			part["second"] = "00"
		}
	}
	if part["hour"] != "" {
		if part["minute"] == "" {
			part["minute"] = "00"
		}
		out = strings.TrimSpace(out + " " + part["hour"] + ":" + part["minute"])
		if part["second"] != "" {
			out += ":" + part["second"]
		}
	}
	return &logField{text: []byte(out)}, nil
}
