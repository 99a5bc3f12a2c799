package listing

import (
	"slices"
	"strings"
	"unicode"

	"weighhouse/measure/unit"
)

// endRow writes a finished row as lines "label: value".
func (p *pageReader) endRow(t *table) {
	t.inCell = false
	own, all := t.cells, t.cells
	if !t.list && len(own) > 0 {
		all = t.grid(own)
	}
	cells := filled(all)
	if t.list { // the term stays for a further description
		if len(all) > 0 && all[0].head {
			t.cells = all[:1]
		} else {
			t.cells = nil
		}
	} else {
		t.cells = nil
	}
	if len(own) == 0 || len(cells) == 0 || t.layout || len(cells) == 1 && cells[0].used {
		return
	}
	cells[0].used = true
	t.rows++
	p.breakLine()
	head := false
	if len(cells) == 1 && len(own) == 1 && own[0].cols > 1 && !hasDigit(cells[0].text()) {
		t.section = cells[0]
	}
	switch {
	case len(t.header) == len(all) && len(all) > 1 && !t.heading && t.section != nil && allFigures(all):
		for i, c := range all {
			p.breakLine()
			p.inline(t.section, true)
			for _, h := range t.header[i] {
				p.sep(", ")
				p.inline(h, true)
			}
			p.sep(": ")
			p.inline(c, false)
		}
	case len(cells) == 1 || long(cells):
		for _, c := range filled(own) {
			p.plain(c)
		}
	case isHeader(cells, all, t):
		head = true
		t.heads(all)
		p.joined(filled(own), " | ")
	case t.heading && len(t.header) == len(all) && areUnits(cells):
		head = true
		t.heads(all)
		p.joined(filled(own), " | ")
	case len(t.header) == len(all) && t.allMeasured(all):
		p.measured(t, all)
	case len(cells) == 2 && !t.unitAbove(len(all)):
		p.pair(cells[0], cells[1])
	case len(t.header) == len(all):
		for i, c := range all[1:] {
			if len(c.trimmed()) > 0 && c != all[i] {
				p.row(t, all[0], i+1, c)
			}
		}
	case len(cells)%2 == 0 && alternate(cells):
		for i := 0; i < len(cells); i += 2 {
			p.pair(cells[i], cells[i+1])
		}
	default:
		p.inline(cells[0], false)
		p.sep(": ")
		p.joined(cells[1:], " | ")
	}
	t.heading = head
	p.breakLine()
}

// allFigures reports whether every cell begins with a digit, so that none of them names the row.
func allFigures(all []*cell) bool {
	for _, c := range all {
		if s := c.text(); s == "" || !isDigit(s[0]) {
			return false
		}
	}
	return true
}

// areUnits reports whether every cell is a unit or blank: the second row of "Floor area | Ceiling", "m² | m".
func areUnits(cells []*cell) bool {
	for _, c := range cells {
		if !isUnit(c.text()) {
			return false
		}
	}
	return true
}

// isUnit reports whether a cell holds a unit alone. There "m" and "/h", which are no units in prose, are some.
func isUnit(s string) bool {
	if _, ok := vocabulary().lookup(strings.TrimSpace(s)); ok {
		return true // "dB(A)"
	}
	s = strings.Trim(s, "()[] ")
	if _, ok := vocabulary().lookup(s); ok {
		return true
	}
	_, ok := unit.Lookup(s)
	return ok || strings.EqualFold(s, "per hour")
}

// allMeasured reports whether a row holds numbers alone, each under a head that names its unit, so that no cell names the
// row.
func (t *table) allMeasured(all []*cell) bool {
	for i, c := range all {
		if s := c.text(); s == "" || !isDigit(s[0]) || strings.ContainsFunc(s, unicode.IsLetter) || t.unitOf(i) == "" {
			return false
		}
	}
	return true
}

// unitOf is the unit that stands above a column; "" where none does.
func (t *table) unitOf(column int) string {
	for i := len(t.header[column]) - 1; i >= 0; i-- {
		text := t.header[column][i].text()
		if i > 0 && isUnit(text) {
			return strings.Trim(text, "()[] ")
		}
		if _, spelled, ok := unitInLabel(text); ok {
			return spelled
		}
	}
	return ""
}

// measured writes such a row as one line, each number with its head and its unit.
func (p *pageReader) measured(t *table, all []*cell) {
	at := all[0].trimmed()[0]
	for i, c := range all {
		if i > 0 {
			p.sep(", ")
		}
		head := ""
		if len(t.header[i]) > 0 {
			head = strings.TrimSpace(bracketed().ReplaceAllString(t.header[i][0].text(), ""))
		}
		p.write(piece{text: strings.Join(strings.Fields(head), " ") + ": ", line: at.line, col: at.col, flat: true})
		p.inline(c, false)
		p.write(piece{text: " " + t.unitOf(i), line: at.line, col: at.col, flat: true})
	}
}

// heads takes a row of heads: below another one it adds to what stands above each column.
func (t *table) heads(all []*cell) {
	if !t.heading || len(t.header) != len(all) {
		t.header = make([][]*cell, len(all))
	}
	for i, c := range all {
		if n := len(t.header[i]); len(c.trimmed()) > 0 && (n == 0 || t.header[i][n-1] != c) {
			t.header[i] = append(t.header[i], c)
		}
	}
}

// unitAbove reports whether the head over the second of two columns names a unit in brackets, which its values then lack.
func (t *table) unitAbove(columns int) bool {
	if columns != 2 || len(t.header) != 2 {
		return false
	}
	for _, c := range t.header[1] {
		if strings.ContainsAny(c.text(), "([") {
			return true
		}
	}
	return false
}

// row writes one value of a row with what stands before and above it. A row that is named by a number alone, or
// stands under a head for settings, takes the head of its column too: "Speed 1", "Setting Quiet".
func (p *pageReader) row(t *table, label *cell, column int, value *cell) {
	p.breakLine()
	if named := strings.ContainsFunc(label.text(), unicode.IsLetter); len(t.header[0]) > 0 && (!named || t.ofSettings(label)) {
		head := strings.TrimRight(t.header[0][len(t.header[0])-1].text(), ": ")
		at := value.trimmed()[0] // the line's place is the row's, not that of the heads
		if l := label.trimmed(); len(l) > 0 {
			at = l[0]
		}
		if name := strings.TrimSpace(label.text()); named && len(p.t.settings) < maxColumns && !slices.Contains(p.t.settings, name) {
			p.t.settings = append(p.t.settings, name)
		}
		p.write(piece{text: strings.ReplaceAll(head, "\n", "; ") + " ", line: at.line, col: at.col, flat: true})
	}
	p.inline(label, true)
	for _, c := range t.header[column] {
		if last := column + value.cols - 1; value.cols > 1 && last < len(t.header) && !slices.Contains(t.header[last], c) {
			continue // a value over several columns is that of none of them
		}
		p.sep(", ")
		p.inline(c, true)
	}
	p.sep(": ")
	p.inline(value, false)
	p.breakLine()
}

// ofSettings reports whether the first column names the fan settings, and so this row: where the row is named by what is
// measured, its head is that of the columns beside it.
func (t *table) ofSettings(label *cell) bool {
	text := strings.TrimSpace(label.text())
	setting := slices.ContainsFunc(vocabulary().find(foldText(text), "bare"), func(h hit) bool { return h.start == 0 && h.end == len(text) })
	if !setting && len(vocabulary().find(foldText(text), "topic")) > 0 {
		return false
	}
	head := strings.TrimSpace(t.header[0][len(t.header[0])-1].text())
	return slices.ContainsFunc(vocabulary().find(foldText(head), "ordinal"), func(h hit) bool { return h.start == 0 && h.end == len(head) })
}

// long reports whether a row holds running text rather than values.
func long(cells []*cell) bool {
	for _, c := range cells {
		if c.size > 400 || c.breaks > 6 {
			return true
		}
	}
	return false
}

func hasDigit(s string) bool { return strings.ContainsFunc(s, unicode.IsDigit) }

// isHeader reports whether a row names the columns: all head cells, or a first row of three or more without numbers.
func isHeader(cells, all []*cell, t *table) bool {
	heads, digits := 0, 0
	for _, c := range cells {
		if c.head {
			heads++
		}
		if s := bracketed().ReplaceAllString(c.text(), ""); hasDigit(s) && !numbered().MatchString(s) {
			digits++
		}
	}
	if t.list {
		return false
	}
	return heads == len(cells) || t.rows == 1 && len(all) >= 3 && len(cells) >= 2 && digits == 0
}

// bracketed matches what a head adds in brackets: "Sound (dB(A) at 1 m)".
var bracketed = lazily(`\((?:[^()]|\([^()]*\))*\)|\[[^\]]*\]`)

// numbered matches the name of a column such as "Speed 2".
var numbered = lazily(`^\pL+ ?\d$`)

// alternate reports whether a row is label, value, label, value.
func alternate(cells []*cell) bool {
	for i, c := range cells {
		if label := i%2 == 0; label && hasDigit(c.text()) && !c.head || !label && c.head {
			return false
		}
	}
	return true
}

// pair writes "label: value" on a line of its own.
func (p *pageReader) pair(label, value *cell) {
	p.breakLine()
	p.inline(label, true)
	p.sep(": ")
	p.inline(value, false)
	p.breakLine()
}

func (p *pageReader) joined(cells []*cell, sep string) {
	for i, c := range cells {
		if i > 0 {
			p.sep(sep)
		}
		p.inline(c, false)
	}
}

// sep writes punctuation that the page shows as a cell border.
func (p *pageReader) sep(s string) { p.write(piece{text: s, line: p.line, col: p.col, flat: true}) }

// inline writes a cell on one line, its breaks as semicolons; a label loses the colon at its end.
func (p *pageReader) inline(c *cell, label bool) {
	pieces := c.trimmed()
	for i, q := range pieces {
		if q.text == "\n" {
			q.text = "; "
		}
		if label && i == len(pieces)-1 {
			q.text = strings.TrimRight(q.text, ": ")
		}
		if q.text != "" {
			p.write(q)
		}
	}
}

// plain writes a cell as lines.
func (p *pageReader) plain(c *cell) {
	p.breakLine()
	for _, q := range c.trimmed() {
		if q.text == "\n" {
			p.breakLine()
			continue
		}
		p.write(q)
	}
	p.breakLine()
}
