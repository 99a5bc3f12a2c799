package listing

import (
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/net/html/atom"
)

// piece is a stretch of visible text with its place in the source.
type piece struct {
	text         string
	line, col    int
	flat, struck bool
}

// cell is one cell of a table, or one term or description of a list, while it is being read.
type cell struct {
	head   bool // th or dt
	used   bool // a term whose description has been written
	pieces []piece
	breaks int
	size   int
}

func (c *cell) empty() bool { return len(c.pieces) == 0 || c.pieces[len(c.pieces)-1].text == "\n" }

func (c *cell) add(q piece) {
	c.size += len(q.text)
	if n := len(c.pieces); n > 0 {
		l := &c.pieces[n-1]
		if l.text != "\n" && l.flat == q.flat && l.struck == q.struck && l.line == q.line &&
			(q.flat && l.col == q.col || !q.flat && l.col+len([]rune(l.text)) == q.col) && len(l.text) < 256 {
			l.text += q.text
			return
		}
	}
	c.pieces = append(c.pieces, q)
}

func (c *cell) lineBreak() {
	if !c.empty() {
		last := c.pieces[len(c.pieces)-1]
		c.pieces = append(c.pieces, piece{text: "\n", line: last.line, col: last.col, flat: true})
		c.breaks++
	}
}

// trimmed is the cell's pieces without a break at the end.
func (c *cell) trimmed() []piece {
	q := c.pieces
	for len(q) > 0 && strings.TrimSpace(q[len(q)-1].text) == "" {
		q = q[:len(q)-1]
	}
	return q
}

func (c *cell) text() string {
	var b strings.Builder
	for _, q := range c.trimmed() {
		b.WriteString(q.text)
	}
	return b.String()
}

// table is an open table or definition list.
type table struct {
	list   bool
	layout bool // it holds tables or running text: its cells are plain blocks
	cells  []*cell
	inCell bool
	header []*cell
	rows   int
}

func (t *table) open(tag atom.Atom) {
	if t.layout {
		return
	}
	if t.list && tag == atom.Dt {
		t.cells = nil
	}
	t.cells = append(t.cells, &cell{head: tag == atom.Th || tag == atom.Dt})
	t.inCell = true
}

func (p *pageReader) table() *table {
	if n := len(p.tables); n > 0 {
		return p.tables[n-1]
	}
	return nil
}

// cell is the innermost open cell that text goes into; nil where text goes straight to the body.
func (p *pageReader) cell() *cell {
	for i := len(p.tables) - 1; i >= 0; i-- {
		t := p.tables[i]
		if t.layout {
			continue
		}
		if t.inCell && len(t.cells) > 0 {
			return t.cells[len(t.cells)-1]
		}
		return nil
	}
	return nil
}

// flushAsLines writes what the open tables hold as plain lines and treats them as layout from here on.
func (p *pageReader) flushAsLines() {
	for _, t := range p.tables {
		cells := t.cells
		t.cells, t.layout, t.inCell = nil, true, false
		for _, c := range cells {
			p.plain(c)
		}
	}
	p.breakLine()
}

// endRow writes a finished row as lines "label: value".
func (p *pageReader) endRow(t *table) {
	t.inCell = false
	all := t.cells
	var cells []*cell
	for _, c := range all {
		if len(c.trimmed()) > 0 {
			cells = append(cells, c)
		}
	}
	if t.list { // the term stays for a further description
		if len(all) > 0 && all[0].head {
			t.cells = all[:1]
		} else {
			t.cells = nil
		}
	} else {
		t.cells = nil
	}
	if len(cells) == 0 || t.layout || len(cells) == 1 && cells[0].used {
		return
	}
	cells[0].used = true
	t.rows++
	p.breakLine()
	switch {
	case len(cells) == 1 || long(cells):
		for _, c := range cells {
			p.plain(c)
		}
	case isHeader(cells, all, t):
		t.header = all
		p.joined(cells, " | ")
	case len(cells) == 2:
		p.pair(cells[0], nil, cells[1])
	case len(t.header) == len(all):
		for i, c := range all[1:] {
			if len(c.trimmed()) > 0 {
				p.pair(all[0], t.header[i+1], c)
			}
		}
	case len(cells)%2 == 0 && alternate(cells):
		for i := 0; i < len(cells); i += 2 {
			p.pair(cells[i], nil, cells[i+1])
		}
	default:
		p.inline(cells[0], false)
		p.sep(": ")
		p.joined(cells[1:], " | ")
	}
	p.breakLine()
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
		if s := c.text(); hasDigit(s) && !numbered.MatchString(s) {
			digits++
		}
	}
	if t.list {
		return false
	}
	return heads == len(cells) || t.rows == 1 && len(all) >= 3 && len(cells) >= 2 && digits == 0
}

// numbered matches the name of a column such as "Speed 2".
var numbered = regexp.MustCompile(`^\pL+ ?\d$`)

// alternate reports whether a row is label, value, label, value.
func alternate(cells []*cell) bool {
	for i, c := range cells {
		if label := i%2 == 0; label && hasDigit(c.text()) && !c.head || !label && c.head {
			return false
		}
	}
	return true
}

// pair writes "label, column: value" on a line of its own.
func (p *pageReader) pair(label, column, value *cell) {
	p.breakLine()
	p.inline(label, true)
	if column != nil && len(column.trimmed()) > 0 {
		p.sep(", ")
		p.inline(column, true)
	}
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
