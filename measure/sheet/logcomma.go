package sheet

import (
	"fmt"
	"math"
	"strings"
)

// commaTally counts how the numbers of a column are written, where a comma may be the decimal sign or separate thousands.
type commaTally struct {
	open      int    // 1,482: 1482 or 1.482
	thousands string // one that a comma can only have made a thousand: 1,482.5 or 1,234,567
	decimal   string // one in which a comma can only be the decimal sign: 3,5 or 0,912
	point     string // one with a point and no comma: 21.4
	small     string // one below 1000 with neither
	large     string // one of 1000 or more with neither: a program that separates thousands would have done it there
	first     string // the first open one
	pointed   string // 1.482 where it can be 1482 as well
	fraction  string // one with a point that can only be the decimal sign: 21.4 or 0.912
}

func (t *commaTally) see(text string) {
	text = clean(text)
	text = strings.TrimLeft(text, "+-\u2212")
	commas, points := strings.Count(text, ","), strings.Count(text, ".")
	switch {
	case commas == 0 && points == 1:
		t.point = text
		if !grouped(text, '.') {
			t.fraction = text
		} else if t.pointed == "" {
			t.pointed = text
		}
	case commas == 0 && points == 0:
		if len(text) <= 3 && digits(text) && text != "0" {
			t.small = text
		} else if len(text) >= 4 && digits(text) && text[0] != '0' {
			t.large = text
		}
	case commas == 1 && points == 0 && grouped(text, ','):
		if t.open++; t.open == 1 {
			t.first = text
		}
	case commas == 1 && points == 0:
		t.decimal = text
	case strings.LastIndexByte(text, ',') < strings.LastIndexByte(text, '.') || commas > 1:
		t.thousands = text
	}
}

// decideComma finds from the first rows whether a comma in the column is the decimal sign: as the cell says, by the column itself, or by its
// neighbours.
func (a *ask) decideComma(data []headRow) {
	switch {
	case a.want.comma == ',':
		a.rule.comma, a.commaSaid, a.groups = true, true, strings.Contains(strings.ToLower(a.want.text), "thousands point")
		return
	case a.want.comma == '.':
		a.commaSaid = true
		return
	}
	var column, others commaTally
	for _, r := range data {
		for i, text := range r.cells {
			if len(text) > 40 || !strings.ContainsAny(text, "0123456789") {
				continue
			}
			if _, err := parseNumber(text, numberRule{log: true, comma: a.rule.comma && strings.Contains(text, ",")}); err != nil {
				continue
			}
			if i == a.col {
				column.see(text)
			} else {
				others.see(text)
			}
		}
	}
	if column.pointed != "" && column.fraction == "" && others.fraction == "" && (a.rule.comma || column.decimal != "") && (column.small != "" || column.decimal != "" || others.decimal != "") {
		a.unclear = column.pointed
	}
	if a.rule.comma {
		return
	}
	switch {
	case column.open == 0 || column.thousands != "" || column.point != "":
	case column.decimal != "" || column.large != "":
		if column.decimal == "" {
			column.decimal = column.large
		}
		a.rule.comma, a.commaNote = true, fmt.Sprintf("the comma is the decimal sign, as %s in the same column shows: %s is %s", quote(column.decimal), quote(column.first), strings.Replace(column.first, ",", ".", 1))
	case column.small != "": // thousands are grouped where they are reached, and decimals of three places would be there throughout
	case others.decimal != "" && others.point == "":
		a.rule.comma, a.commaNote = true, fmt.Sprintf("the comma is the decimal sign, as %s in another column shows: %s is %s", quote(others.decimal), quote(column.first), strings.Replace(column.first, ",", ".", 1))
	}
	a.neighbour = others.point
}

// commas keeps an eye on how numbers are written: a logger writes a column in one habit.
func (s *logScan) commas(a *ask, text []byte) {
	comma, point := false, false
	for _, c := range text {
		comma = comma || c == ','
		point = point || c == '.'
	}
	switch {
	case comma:
		a.tally.see(string(text))
	case point:
		a.points++
	default:
		if a.tally.small == "" || len(text) > 3 && a.tally.large == "" {
			a.tally.see(string(text))
		}
	}
}

// settleComma decides a column in which 1,482 can be 1482 or 1.482, now that all of it is read, or refuses it.
func (s *logScan) settleComma(a *ask) bool {
	if a.commaNote != "" {
		a.series.Notes = append(a.series.Notes, a.commaNote)
	}
	t := &a.tally
	if a.unclear != "" {
		s.task.ps.Add(columnPlace(a), "", "found %s, which can be %s or %s, in a log in which a comma is the decimal sign; where the column is named, write %s or %s", quote(a.unclear),
			strings.ReplaceAll(a.unclear, ".", ""), strings.ReplaceAll(a.unclear, ".", ","), quote(bracketWith(a, "thousands point")), quote(bracketWith(a, "decimal point")))
		return false
	}
	if a.rule.comma || t.open == 0 || a.commaSaid {
		return true
	}
	p := columnPlace(a)
	const hint = `save the log with ";" between its columns, or with decimal points`
	switch {
	case t.thousands != "" && t.decimal != "":
		s.task.ps.Add(p, hint, "found %s and %s in one column: the comma cannot separate thousands and decimals both", quote(t.thousands), quote(t.decimal))
		return false
	case (t.decimal != "" || t.large != "") && (a.points > 0 || t.small != "" || t.large != ""):
		if t.decimal == "" {
			t.decimal = t.large
		}
		s.task.ps.Add(p, hint, "found %s and %s in one column: the comma cannot separate thousands and decimals both", quote(t.first), quote(t.decimal))
		return false
	case t.decimal != "": // none of the first rows told: every open one is a decimal
		for i, x := range a.series.V {
			if math.Abs(x) >= 1000 && x == math.Trunc(x) {
				a.series.V[i] = x / 1000
			}
		}
		a.series.Notes = append(a.series.Notes, fmt.Sprintf("the comma is the decimal sign, as %s in the same column shows", quote(t.decimal)))
	case t.thousands != "", a.points > 0, t.small != "":
	case a.neighbour != "":
		a.series.Notes = append(a.series.Notes, fmt.Sprintf("the comma separates thousands, as the decimal point of %s in another column shows: %s is %s", quote(a.neighbour), quote(t.first), strings.ReplaceAll(t.first, ",", "")))
	default:
		plain, decimal := strings.ReplaceAll(t.first, ",", ""), strings.Replace(t.first, ",", ".", 1)
		s.task.ps.Add(p, "", "found %s, which can be %s or %s, and nothing in the column or its neighbours tells; where the column is named, write %s or %s", quote(t.first), plain, decimal, quote(bracketWith(a, "decimal comma")), quote(bracketWith(a, "thousands comma")))
		return false
	}
	return true
}

func columnPlace(a *ask) Place {
	p := a.header.Place
	p.Row = 0
	return p
}

// bracketWith is the name by which the column was asked for, with a word more in its brackets.
func bracketWith(a *ask, word string) string {
	name := a.want.text
	if name == "" {
		name = a.header.Header
	}
	rows := ""
	if i := whereWord.FindStringIndex(name); i != nil && len(a.where) > 0 {
		name, rows = name[:i[0]], name[i[0]:]
	}
	if i := strings.LastIndexByte(name, ']'); i == len(name)-1 && i > 0 {
		return name[:i] + ", " + word + "]" + rows
	}
	return name + " [" + word + "]" + rows
}
