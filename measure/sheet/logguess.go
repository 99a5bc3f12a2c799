package sheet

import (
	"strings"

	"weighhouse/measure/unit"
)

// guessTime finds the columns of times by a row of data: a date with a clock; a date and a clock; a clock; a number whose header says that it
// is a time, or has a unit of time. Where several of a kind can be it, they are named and none is chosen.
func guessTime(columns []Column, data []string, rule numberRule) (cols []int, several []string) {
	var stamps, dates, clocks, numbers, counted []int
	for i, c := range columns {
		if i >= len(data) {
			continue
		}
		text := clean(data[i])
		if v, err := parseNumber(text, rule); err == nil {
			if _, ok := compact(text); ok && len(text) >= 12 {
				stamps = append(stamps, i)
				continue
			}
			u := headerUnit(c.Header, c.Unit)
			timely := strings.Contains(c.Name, "time") || strings.Contains(c.Name, "elapsed") || strings.Contains(c.Name, "epoch") || strings.Contains(c.Name, "unix")
			if u != "" && (timely || elapsedUnit(c.Name) != "" || c.Name == "t") || (timely || c.Name == "ts" || c.Name == "t") && v >= 1e8 && v < unixEnd*1e9 {
				numbers = append(numbers, i)
			} else if elapsedUnit(c.Unit) != "" {
				counted = append(counted, i)
			}
			continue
		}
		t, named := spelled(text)
		if !named {
			t = text
		}
		_, form, open := openForm(t)
		st, err := parseStamp(t, dayFirst)
		if err != nil {
			st, err = parseStamp(t, monthFirst)
		}
		if err != nil && open && form.short {
			st, err = parseStamp(t, yearFirst)
		}
		_, elapsed := parseElapsed(text, false)
		_, _, two := twoParts(text)
		switch {
		case err == nil && st.dated && strings.Contains(t, ":"):
			stamps = append(stamps, i)
		case err == nil && st.dated:
			dates = append(dates, i)
		case err == nil && !st.dated || elapsed || two:
			clocks = append(clocks, i)
		}
	}
	pick := func(groups ...[]int) ([]int, []string) {
		var names []string
		for _, g := range groups {
			if len(g) > 1 {
				for _, i := range g {
					names = append(names, nameOf(columns, i))
				}
			}
		}
		if names != nil {
			return nil, names
		}
		for _, g := range groups {
			cols = append(cols, g...)
		}
		return cols, nil
	}
	switch {
	case len(stamps) > 0:
		return pick(stamps)
	case len(dates) > 0 && len(clocks) > 0:
		return pick(dates, clocks)
	case len(clocks) > 0:
		return pick(clocks)
	case len(numbers) > 0:
		return pick(numbers)
	case len(counted) > 0 && len(dates) == 0:
		return pick(counted)
	}
	return pick(dates)
}

// nameOf is a column's header, or its place where it has none.
func nameOf(columns []Column, i int) string {
	if columns[i].Header != "" {
		return columns[i].Header
	}
	return placeText(i)
}

// guessValue finds the columns that can hold the readings: numbers that are no time, no row number and, where another can be it, of no unit
// that a particle count or a mass does not have.
func guessValue(columns []Column, data []headRow, times []int, rule numberRule) []int {
	isTime := map[int]bool{}
	for _, i := range times {
		isTime[i] = true
	}
	var can, fit, named []int
	for i, c := range columns {
		if _, counter := logWord("counter", plainName(c.Name)); counter || isTime[i] {
			continue
		}
		if strings.Contains(c.Name, "time") && (headerUnit(c.Header, c.Unit) != "" || c.Unit == "") || elapsedUnit(c.Name) != "" {
			continue
		}
		n, texts := 0, 0
		for _, r := range data {
			if i < len(r.cells) && clean(r.cells[i]) != "" && !noValue(r.cells[i]) {
				if _, _, err := readingWithUnit([]byte(r.cells[i]), rule); err == nil {
					n++
				} else {
					texts++
				}
			}
		}
		if n == 0 || texts > n {
			continue
		}
		can = append(can, i)
		u, known := unit.Lookup(headerValueUnit(c.Header))
		switch {
		case known && u.Dimension == unit.Concentration:
			fit, named = append(fit, i), append(named, i)
		case known || logOther(c.Name):
		default:
			fit = append(fit, i)
			if strings.HasPrefix(c.Name, "pm") || strings.Contains(c.Name, "partic") || strings.Contains(c.Name, "conc") {
				named = append(named, i)
			}
		}
	}
	switch {
	case len(can) == 1:
		return can
	case len(fit) == 1:
		return fit
	case len(named) == 1:
		return named
	case len(fit) > 1:
		return fit
	}
	return can
}

// logOther reports whether a name is that of another quantity than particles.
func logOther(name string) bool {
	for _, w := range strings.FieldsFunc(name, func(r rune) bool { return r == ' ' || r == ',' || r == '(' }) {
		if _, ok := logWord("quantity", strings.Trim(w, ".:")); ok {
			return true
		}
	}
	return false
}
