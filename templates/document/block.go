package document

import (
	"fmt"

	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

// Style is how a paragraph is set. The zero Style is running text.
type Style struct {
	Size     float64 // em in points; 0: the document's
	Before   float64 // space above
	After    float64 // space below; 0: half an em, negative: none
	Indent   float64 // of all lines
	Tone     figure.Tone
	Face     typeface.Face // of spans that name none
	Align    Align
	Bar      bool   // a line at the left, for what is quoted
	KeepNext bool   // stands on the page of the next block
	Whole    bool   // never cut by a page's end, where a page can hold it
	Tag      string // PDF structure type; "P" where empty
}

// pageOf is the number of a page as it is printed.
func pageOf(n, of int) string { return fmt.Sprintf("page %d of %d", n, of) }

// Paragraph sets running text.
func (d *Doc) Paragraph(spans ...Span) { d.Styled(Style{}, spans...) }

// Styled sets a paragraph in a style of one's own. Its first two and its last two lines stay together.
func (d *Doc) Styled(st Style, spans ...Span) {
	tag := st.Tag
	if tag == "" {
		tag = "P"
	}
	d.paragraph(st, d.root.child(tag, true), spans)
}

func (d *Doc) paragraph(st Style, elem *element, spans Text) {
	if st.Size == 0 {
		st.Size = d.opt.BodySize
	}
	if st.Tone == figure.None {
		st.Tone = figure.Ink
	}
	switch {
	case st.After == 0:
		st.After = st.Size / 2
	case st.After < 0:
		st.After = 0
	}
	if st.Face != typeface.Regular {
		spans = append(Text(nil), spans...)
		for i := range spans {
			if spans[i].Face == typeface.Regular {
				spans[i].Face = st.Face
			}
		}
	}
	w := d.Width() - st.Indent
	ls := d.set(spans, w, st.Size, st.Tone)
	groups := keepEnds(len(ls))
	if st.Whole && float64(len(ls))*st.Size*leadingEm <= d.body() {
		groups = []int{len(ls)}
	}
	at := 0
	for i, n := range groups {
		u := unit{height: float64(n) * st.Size * leadingEm, keepNext: st.KeepNext && i == len(groups)-1}
		if i == 0 {
			u.before = st.Before
		}
		if i == len(groups)-1 {
			u.after = st.After
		}
		if st.Bar {
			u.items = append(u.items, item{op: &figure.Op{Kind: figure.OpLine, Stroke: figure.Stroke{Width: 1.2, Tone: figure.Faint},
				Points: []figure.Point{{X: st.Indent - 8, Y: 0}, {X: st.Indent - 8, Y: u.height}}}})
		}
		u.lines(ls[at:at+n], st.Indent, 0, w, st.Size, st.Align, elem)
		at += n
		d.emit(u)
	}
}

// keepEnds cuts n lines into groups that a page's end may part: no single first or last line.
func keepEnds(n int) []int {
	if n <= 3 {
		return []int{n}
	}
	out := []int{2}
	for i := 2; i < n-2; i++ {
		out = append(out, 1)
	}
	return append(out, 2)
}

// headings gives the size and the spaces of each level of heading.
var headings = [...]Style{
	{Size: 20, Before: 0, After: 4},
	{Size: 14, Before: 22, After: 6},
	{Size: 10.5, Before: 15, After: 4},
	{Size: 9, Before: 10, After: 3},
}

// Title sets the document's name in large type, without an entry in the outline.
func (d *Doc) Title(text string) { d.heading(0, "Title", T(text)) }

// Heading sets a heading of level 1, 2 or 3. Levels 1 and 2 get an entry in the outline. It stands on the page of what
// follows.
func (d *Doc) Heading(level int, text string) {
	level = min(max(level, 1), len(headings)-1)
	if level <= 2 {
		d.Bookmark(level-1, text)
	}
	d.heading(level, fmt.Sprintf("H%d", level), T(text))
}

// HeadingText is Heading with spans, for a heading that holds a shape; entry is its text in the outline.
func (d *Doc) HeadingText(level int, entry string, spans ...Span) {
	level = min(max(level, 1), len(headings)-1)
	if level <= 2 {
		d.Bookmark(level-1, entry)
	}
	d.heading(level, fmt.Sprintf("H%d", level), spans)
}

func (d *Doc) heading(level int, tag string, t Text) {
	st := headings[level]
	st.Face, st.KeepNext, st.Whole, st.Tag = typeface.Bold, true, true, tag
	if tag == "Title" {
		st.Tag = "H1" // the type Title is of PDF 2.0 only
	}
	d.Styled(st, t...)
}

// List sets items behind a dash.
func (d *Doc) List(items ...Text) { d.list(Style{}, "–", items) }

// SmallList is List in smaller type.
func (d *Doc) SmallList(size float64, items ...Text) { d.list(Style{Size: size}, "–", items) }

// Numbered sets items behind their numbers.
func (d *Doc) Numbered(items ...Text) { d.list(Style{}, "", items) }

func (d *Doc) list(st Style, sign string, items []Text) {
	if len(items) == 0 {
		return
	}
	if st.Size == 0 {
		st.Size = d.opt.BodySize
	}
	l := d.root.child("L", true)
	indent := st.Size * 1.3
	if sign == "" {
		indent = st.Size * 1.9
	}
	for i, t := range items {
		li := l.child("LI", true)
		lbl, body := li.child("Lbl", true), li.child("LBody", true)
		s := sign
		if s == "" {
			s = fmt.Sprintf("%d.", i+1)
		}
		ls := d.set(t, d.Width()-indent, st.Size, figure.Ink)
		at := 0
		groups := keepEnds(len(ls))
		for j, n := range groups {
			u := unit{height: float64(n) * st.Size * leadingEm}
			if j == 0 {
				u.lines(d.set(T(s), indent, st.Size, figure.Soft), 0, 0, indent, st.Size, Left, lbl)
			}
			if j == len(groups)-1 {
				u.after = st.Size * 0.25
				if i == len(items)-1 {
					u.after = st.Size / 2
				}
			}
			u.lines(ls[at:at+n], indent, 0, d.Width()-indent, st.Size, Left, body)
			at += n
			d.emit(u)
		}
	}
}

// Rule draws a level line across the column.
func (d *Doc) Rule() {
	u := unit{before: 6, height: 1, after: 6}
	u.rule(0, d.Width(), 0.5, 0.4, figure.Mid)
	d.emit(u)
}

// Figure sets a figure below its title, no wider than the column. A figure of no height is left out.
func (d *Doc) Figure(f figure.Figure) { d.Figures(f) }

// captionSize is the em of the titles of figures and tables.
const captionSize = 7.8

// Figures sets figures in rows, side by side where two or more fit into the column.
func (d *Doc) Figures(fs ...figure.Figure) {
	const between = 14.0
	var row []figure.Figure
	w := 0.0
	for _, f := range fs {
		if f.Height <= 0 || f.Width <= 0 {
			continue
		}
		if len(row) > 0 && w+between+f.Width > d.Width()+0.01 {
			d.figureRow(row, between)
			row, w = nil, 0
		}
		if len(row) > 0 {
			w += between
		}
		row = append(row, f)
		w += f.Width
	}
	if len(row) > 0 {
		d.figureRow(row, between)
	}
}

func (d *Doc) figureRow(row []figure.Figure, between float64) {
	u := unit{before: 8, after: 10}
	// titles of one row may take different numbers of lines: the drawings begin at one height
	titles := make([][]line, len(row))
	top := 0.0
	for i, f := range row {
		titles[i] = d.set(Text{Bold(f.Title)}, min(f.Width, d.Width()), captionSize, figure.Ink)
		top = max(top, float64(len(titles[i]))*captionSize*leadingEm+3)
	}
	x := 0.0
	for i, f := range row {
		k := min(1, d.Width()/f.Width, (d.body()-top)/f.Height)
		u.lines(titles[i], x, 0, f.Width, captionSize, Left, d.root.child("P", true))
		r := d.record(f)
		e := d.root.child("Figure", true)
		e.alt = f.Title + ". " + f.Desc
		u.drawn(r, figure.Point{X: x, Y: top}, k, e)
		u.boxes = append(u.boxes, extent{x: x, y: top, w: k * f.Width, h: k * f.Height, elem: e})
		u.height = max(u.height, top+k*f.Height)
		x += k*f.Width + between
	}
	d.emit(u)
}

// record draws a figure, with every text made fit to be set.
func (d *Doc) record(f figure.Figure) figure.Recording {
	r := figure.Recording{}
	f.Draw(&r)
	for j := range r.Ops {
		r.Ops[j].Text = d.oneLine(r.Ops[j].Text)
	}
	return r
}

// printableFigure is f with every text made fit to be set.
func (d *Doc) printableFigure(f figure.Figure) figure.Figure {
	r := d.record(f)
	return figure.New(f.ID, f.Title, f.Desc, f.Width, f.Height, func(s figure.Surface) {
		for _, o := range r.Ops {
			o.Draw(s, figure.Point{}, 1)
		}
	})
}
