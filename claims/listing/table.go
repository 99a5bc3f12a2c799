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
	cols   int  // how many columns and rows it takes
	rows   int
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
	list    bool
	layout  bool // it holds tables or running text: its cells are plain blocks
	cells   []*cell
	inCell  bool
	header  [][]*cell // what stands above each column: one cell a row of heads
	heading bool      // the last row was one of heads
	down    map[int]spanned
	rows    int
}

// spanned is a cell that reaches into further rows.
type spanned struct {
	*cell
	left int
}

// maxColumns bounds the columns of a table.
const maxColumns = 100

func (t *table) open(tag atom.Atom, span [2]int) {
	if t.layout {
		return
	}
	if t.list && tag == atom.Dt {
		t.cells = nil
	}
	t.cells = append(t.cells, &cell{head: tag == atom.Th || tag == atom.Dt, cols: span[0], rows: span[1]})
	t.inCell = true
}

// grid is a row with one cell a column: a cell that takes several columns stands in each, one that reaches down from a
// row above stands in its columns too.
func (t *table) grid(cells []*cell) (out []*cell) {
	for len(out) < maxColumns {
		if s, ok := t.down[len(out)]; ok {
			if s.left--; s.left == 0 {
				delete(t.down, len(out))
			} else {
				t.down[len(out)] = s
			}
			out = append(out, s.cell)
			continue
		}
		if len(cells) == 0 {
			break
		}
		c := cells[0]
		cells = cells[1:]
		for range max(c.cols, 1) {
			if len(out) >= maxColumns {
				break
			}
			if c.rows > 1 {
				if t.down == nil {
					t.down = map[int]spanned{}
				}
				t.down[len(out)] = spanned{c, c.rows - 1}
			}
			out = append(out, c)
		}
	}
	return out
}

// filled lists the cells that hold text, each once.
func filled(all []*cell) (out []*cell) {
	for i, c := range all {
		if len(c.trimmed()) > 0 && (i == 0 || all[i-1] != c) {
			out = append(out, c)
		}
	}
	return out
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
	switch {
	case len(cells) == 1 || long(cells):
		for _, c := range filled(own) {
			p.plain(c)
		}
	case isHeader(cells, all, t):
		head = true
		t.heads(all)
		p.joined(filled(own), " | ")
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

// row writes one value of a row with what stands before and above it. A row that is named by a number alone takes the
// head of its column too: "Speed 1".
func (p *pageReader) row(t *table, label *cell, column int, value *cell) {
	p.breakLine()
	if named := strings.ContainsFunc(label.text(), unicode.IsLetter); !named && len(t.header[0]) > 0 {
		head := strings.TrimRight(t.header[0][len(t.header[0])-1].text(), ": ")
		at := value.trimmed()[0] // the line's place is the row's, not that of the heads
		if l := label.trimmed(); len(l) > 0 {
			at = l[0]
		}
		p.write(piece{text: strings.ReplaceAll(head, "\n", "; ") + " ", line: at.line, col: at.col, flat: true})
	}
	p.inline(label, true)
	for _, c := range t.header[column] {
		p.sep(", ")
		p.inline(c, true)
	}
	p.sep(": ")
	p.inline(value, false)
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
		if s := bracketed.ReplaceAllString(c.text(), ""); hasDigit(s) && !numbered.MatchString(s) {
			digits++
		}
	}
	if t.list {
		return false
	}
	return heads == len(cells) || t.rows == 1 && len(all) >= 3 && len(cells) >= 2 && digits == 0
}

// bracketed matches what a head adds in brackets: "Sound (dB(A) at 1 m)".
var bracketed = regexp.MustCompile(`\((?:[^()]|\([^()]*\))*\)|\[[^\]]*\]`)

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
