package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"weighhouse/measure/unit"
)

// mostTitles is how many lines may stand above a header.
const mostTitles = 6

// findHeader is the index of the header row, -1 where there is none: the first row that is not blank; but titles may stand
// above it, lines of one cell, or of two where the header has more, which is then the first row of several texts without a
// number.
func findHeader(raw []rawRow, rule numberRule) int {
	first := nextRow(raw, 0)
	if first < 0 || raw[first].filled() > 2 && !raw[first].numbers(rule) {
		return first
	}
	wide := -1 // the first row that can be a header and is wider than a title
	for h, n := first, 0; h >= 0 && n <= mostTitles; h, n = nextRow(raw, h+1), n+1 {
		width := raw[h].filled()
		if width > 2 {
			if !raw[h].numbers(rule) {
				wide = h
			}
			break
		}
		if wide < 0 && width == 2 && raw[first].filled() == 1 && !raw[h].numbers(rule) {
			if next := nextRow(raw, h+1); next < 0 || raw[next].filled() <= 2 {
				return h
			}
		}
	}
	if wide >= 0 {
		return wide
	}
	return first
}

// headerMarks may stand about a name in a header: value:, value*.
const headerMarks = "*:†‡ \u00a0"

// columnHeader parts a header of a table into its folded name and unit, without the marks that people put about it.
func columnHeader(header string) (name, unit string) {
	trimmed := strings.Trim(header, headerMarks)
	if trimmed == "" {
		return splitHeader(header)
	}
	name, unit = splitHeader(trimmed)
	if bare := strings.Trim(name, headerMarks); bare != "" {
		name = bare
	}
	return name, strings.Trim(unit, headerMarks)
}

// unitRow reads a row of units under a header: the unit of each column by its number, nil where the row is none. It is one
// where every cell is a unit, stands in brackets or holds a dash, and the first column holds no bare word.
func unitRow(r rawRow, columns []Column, rule numberRule) map[int]string {
	units := map[int]string{}
	found := false
	for _, c := range r.cells {
		text := clean(c.text)
		if text == "" && !c.bad {
			continue
		}
		if c.bad || c.kind != textCell {
			return nil
		}
		inner := strings.TrimSpace(text)
		bracketed := len(inner) > 2 && strings.ContainsRune("[(", rune(inner[0])) && strings.ContainsRune("])", rune(inner[len(inner)-1]))
		if bracketed {
			inner = strings.TrimSpace(inner[1 : len(inner)-1])
		}
		i := slices.IndexFunc(columns, func(col Column) bool { return col.Place.Col == c.col })
		if i < 0 || i == 0 && !bracketed && !dash(inner) {
			return nil
		}
		_, known := unit.Lookup(inner)
		switch {
		case dash(inner), slices.Contains([]string{"text", "name", "words", "date", "yyyy-mm-dd", "free text"}, FoldName(inner)):
			continue
		case !known && !bracketed:
			return nil
		}
		if columns[i].Name != "unit" && columns[i].Name != "currency" {
			found = true
			units[c.col] = inner
		}
	}
	if !found {
		return nil
	}
	return units
}

// dash reports whether a text is only dashes, or words that people write where there is nothing.
func dash(text string) bool {
	s := strings.ToLower(clean(text))
	switch s {
	case "n/a", "n.a.", "not applicable", "nil":
		return true
	}
	return s != "" && strings.Trim(s, "-\u2013\u2014\u2212\u2010\u2011\u2012") == ""
}

// ruler reports whether a row only draws a line: |---|:--:|.
func (r rawRow) ruler() bool {
	n := 0
	for _, c := range r.cells {
		if t := clean(c.text); t != "" {
			if c.bad || len(t) < 2 || strings.Trim(t, "-=:\u2014\u2500_") != "" {
				return false
			}
			n++
		}
	}
	return n > 0
}

// repeats reports whether a row repeats the header.
func (r rawRow) repeats(columns []Column) bool {
	n := 0
	for _, c := range r.cells {
		t := clean(c.text)
		if t == "" && !c.bad {
			continue
		}
		name, _ := columnHeader(t)
		i := slices.IndexFunc(columns, func(col Column) bool { return col.Place.Col == c.col })
		if c.bad || c.kind != textCell || i < 0 || columns[i].Name != name {
			return false
		}
		n++
	}
	return n > 1
}

// totals begin a row that sums up those above it.
var totals = []string{"total", "totals", "grand total", "subtotal", "sum", "mean", "mean value", "average", "average value", "avg", "median",
	"std", "std dev", "stdev", "sd", "standard deviation", "std deviation"}

// foot says why a row at the end of a table is no data: a total of the rows above, or a footnote; "" where it may be data.
func (r rawRow) foot() string {
	first, filled := "", 0
	for _, c := range r.cells {
		t := clean(c.text)
		if c.bad {
			return ""
		}
		if t == "" {
			continue
		}
		if filled == 0 {
			if c.kind != textCell {
				return ""
			}
			first = t
		}
		filled++
	}
	if filled == 0 {
		return ""
	}
	word := strings.Trim(FoldName(first), ": .")
	if slices.Contains(totals, word) {
		return fmt.Sprintf("the row begins with %s and was taken for a sum of the rows above", quote(first))
	}
	if filled > 1 {
		return ""
	}
	lower := strings.ToLower(first)
	for _, mark := range []string{"*", "†", "‡", "¹", "²", "³", "#", "note", "source", "remark", "legend", "n.b.", "nb:", "1)", "a)", "(1)", "(a)", "[1]", "end of"} {
		if strings.HasPrefix(lower, mark) {
			return fmt.Sprintf("%s stands alone below the rows and was taken for a footnote", quote(first))
		}
	}
	if utf8.RuneCountInString(first) > 60 && strings.Count(first, " ") > 6 {
		return fmt.Sprintf("%s stands alone below the rows and was taken for a footnote", quote(first))
	}
	return ""
}
