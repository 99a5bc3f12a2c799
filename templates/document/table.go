package document

import (
	"math"

	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

// Column is one column of a table.
type Column struct {
	Head  string
	Width float64 // share of the table's width; where all are 0 the columns follow their contents
	Align Align
}

// Table is a table whose head is repeated on every page that it reaches, and whose rows are never cut in two, unless
// one alone is higher than a page.
type Table struct {
	Columns  []Column
	Rows     [][]Text // a short row is filled with empty cells
	Anchors  []string // names of the rows for links; may be short or nil
	Size     float64  // em of the cells in points; 0: one point less than running text
	Indent   float64  // from the left of the column
	RowHeads bool     // the first cell of a row names it
	Bare     bool     // neither head nor lines, for lists of fields and values
	Tight    bool     // less room between rows
	Snug     bool     // no wider than its contents ask for
	After    float64  // space below; 0: one em
}

// columnGap is the room between two columns, in ems.
const columnGap = 1.0

// Table sets a table. One without columns is left out.
func (d *Doc) Table(t Table) {
	if len(t.Columns) == 0 {
		return
	}
	if t.Size == 0 {
		t.Size = d.opt.BodySize - 1
	}
	if t.After == 0 {
		t.After = t.Size
	}
	s := tableSetter{d: d, t: t, elem: d.root.child("Table", true), pad: 0.3 * t.Size}
	if t.Tight {
		s.pad = 0.15 * t.Size
	}
	if t.Bare {
		s.pad = 0.1 * t.Size
	}
	s.widths = s.columns()
	s.right = t.Indent + columnGap*t.Size*float64(len(s.widths)-1)
	for _, w := range s.widths {
		s.right += w
	}
	s.tails = s.behindPoint()
	if !t.Bare {
		if repeat := s.head(nil); repeat.height <= d.body()/3 {
			head := s.head(s.elem.child("TR", true))
			head.before, head.keepNext = 4, true
			s.repeat = &repeat
			d.emit(head)
		} else { // it would leave too little of each page for the rows: it stands once, as a row that may be cut
			s.highHead()
		}
	}
	for i, r := range t.Rows {
		s.row(i, r)
	}
}

type tableSetter struct {
	d      *Doc
	t      Table
	elem   *element
	widths []float64
	right  float64   // where the table ends
	tails  []float64 // of decimal columns: the most room that is needed from the decimal sign on
	pad    float64   // above and below each row
	repeat *unit     // the head, for pages that the table continues on
}

// columns gives the columns' widths: shares where they are given, else by contents: every column its widest line if
// all fit, else by share.
func (s *tableSetter) columns() []float64 {
	n := len(s.t.Columns)
	gap := columnGap * s.t.Size
	avail := s.d.Width() - s.t.Indent - gap*float64(n-1)
	out := make([]float64, n)
	sum := 0.0
	for _, c := range s.t.Columns {
		sum += c.Width
	}
	if sum > 0 {
		for i, c := range s.t.Columns {
			out[i] = avail * c.Width / sum
		}
		return out
	}
	least, most := make([]float64, n), make([]float64, n)
	look := func(i int, t Text) {
		w := 0.0
		for _, wd := range s.d.words(t, s.t.Size, figure.Ink) {
			if wd.brk {
				w = 0
			}
			w += wd.space + wd.w
			most[i] = math.Max(most[i], w)
			least[i] = math.Max(least[i], math.Min(wd.w, 0.25*avail)) // what is longer is broken
		}
	}
	for i, c := range s.t.Columns {
		if !s.t.Bare {
			look(i, Text{Bold(c.Head)})
		}
		for _, r := range s.t.Rows {
			if i < len(r) && i == 0 && s.t.RowHeads {
				look(i, bolded(r[i]))
			} else if i < len(r) {
				look(i, r[i])
			}
		}
		least[i] += 0.1 // sums of widths are not exact
		most[i] = math.Max(most[i]+0.1, least[i])
	}
	s.widen(most)
	var lo, hi float64
	for i := range out {
		lo, hi = lo+least[i], hi+most[i]
	}
	switch {
	case hi <= avail && s.t.Snug:
		copy(out, most)
	case hi <= avail && s.t.Bare:
		copy(out, most)
		out[n-1] += avail - hi
	case hi <= avail:
		for i := range out {
			out[i] = most[i] + (avail-hi)/float64(n)
		}
	case lo >= avail:
		for i := range out {
			out[i] = avail * least[i] / lo
		}
	default:
		share(out, least, most, avail)
	}
	return out
}

// share gives columns that need no more than a fair share of what is left their widest line, and divides the rest among
// the others between their longest word and their widest line.
func share(out, least, most []float64, avail float64) {
	open := make([]bool, len(out))
	for i := range open {
		open[i] = true
	}
	n := len(out)
	for again := true; again; {
		again = false
		for i := range out {
			if open[i] && n > 1 && most[i] <= avail/float64(n) {
				out[i], open[i], again = most[i], false, true
				avail -= most[i]
				n--
			}
		}
	}
	var lo, hi float64
	for i := range out {
		if open[i] {
			lo, hi = lo+least[i], hi+most[i]
		}
	}
	for i := range out {
		switch {
		case !open[i]:
		case hi > lo && avail > lo:
			out[i] = least[i] + (most[i]-least[i])*(avail-lo)/(hi-lo)
		default:
			out[i] = avail * least[i] / lo
		}
	}
}

// head sets the head of the table; under no element it is the repeated one, which belongs to the page alone.
func (s *tableSetter) head(tr *element) unit {
	cells := make([][]line, len(s.t.Columns))
	rows := 0
	for i, c := range s.t.Columns {
		cells[i] = s.d.set(Text{Bold(c.Head)}, s.widths[i], s.t.Size, figure.Ink)
		rows = max(rows, len(cells[i]))
	}
	lead := s.t.Size * leadingEm
	u := unit{height: float64(rows)*lead + 2*s.pad + 1}
	x := s.t.Indent
	for i, c := range s.t.Columns {
		var th *element
		if tr != nil {
			th = tr.child("TH", true)
			th.attrs = "<</O/Table/Scope/Column>>"
		}
		u.lines(cells[i], x, s.pad+float64(rows-len(cells[i]))*lead, s.widths[i], s.t.Size, c.Align, th)
		x += s.widths[i] + columnGap*s.t.Size
	}
	u.rule(s.t.Indent, s.right, u.height-0.6, 0.7, figure.Ink)
	return u
}

// row sets one row.
func (s *tableSetter) row(i int, r []Text) {
	cells := make([][]line, len(s.t.Columns))
	tds := make([]*element, len(cells))
	tr := s.elem.child("TR", true)
	for j := range cells {
		var t Text
		if j < len(r) {
			t = r[j]
		}
		tds[j] = tr.child(map[bool]string{true: "TH", false: "TD"}[s.t.RowHeads && j == 0], true)
		if s.t.RowHeads && j == 0 {
			tds[j].attrs = "<</O/Table/Scope/Row>>"
			t = bolded(t)
		}
		cells[j] = s.d.set(t, s.widths[j], s.t.Size, figure.Ink)
	}
	s.parts(i, cells, tds)
}

// highHead sets a head as if it were a row.
func (s *tableSetter) highHead() {
	tr := s.elem.child("TR", true)
	var cells [][]line
	var ths []*element
	for i, c := range s.t.Columns {
		th := tr.child("TH", true)
		th.attrs = "<</O/Table/Scope/Column>>"
		ths = append(ths, th)
		cells = append(cells, s.d.set(Text{Bold(c.Head)}, s.widths[i], s.t.Size, figure.Ink))
	}
	s.parts(-1, cells, ths)
}

// parts emits row i, or the head for -1, in one part or, where no page can hold it, in several.
func (s *tableSetter) parts(i int, cells [][]line, tds []*element) {
	rows := 1
	for _, c := range cells {
		rows = max(rows, len(c))
	}
	lead := s.t.Size * leadingEm
	room := s.d.body() - 2*s.pad - 1
	if s.repeat != nil {
		room -= s.repeat.height
	}
	most := max(1, int(room/lead))
	for at := 0; at < rows; at += most {
		n := min(most, rows-at)
		u := unit{height: float64(n)*lead + 2*s.pad, header: s.repeat}
		x := s.t.Indent
		for j := range cells {
			if at < len(cells[j]) {
				u.lines(cells[j][at:min(at+n, len(cells[j]))], x, s.pad, s.widths[j]-s.inset(i, j, cells[j]), s.t.Size, s.t.Columns[j].Align, tds[j])
			}
			x += s.widths[j] + columnGap*s.t.Size
		}
		if at == 0 && i >= 0 && i < len(s.t.Anchors) && s.t.Anchors[i] != "" {
			u.anchors = []string{s.t.Anchors[i]}
		}
		if !s.t.Bare {
			u.rule(s.t.Indent, s.right, u.height-0.2, 0.25, figure.Faint)
		}
		if i == len(s.t.Rows)-1 && at+n >= rows {
			u.after = s.t.After
		}
		u.keepNext = i > 0 && i == len(s.t.Rows)-2 && at+n >= rows // the last row does not stand alone on a page
		s.d.emit(u)
	}
}

func bolded(t Text) Text {
	out := append(Text(nil), t...)
	for i := range out {
		if out[i].Face == typeface.Regular {
			out[i].Face = typeface.Bold
		}
	}
	return out
}
