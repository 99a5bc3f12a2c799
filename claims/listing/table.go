package listing

import (
	"strings"

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
	section *cell     // the last row of one cell: what the rows under it are about
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
