package document

import (
	"fmt"

	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

// unit is what is never cut by the end of a page: a line of a paragraph, a row of a table, a figure. Its items are
// placed from the unit's own top left corner.
type unit struct {
	before, after float64 // space above and below; of two that meet the greater counts, none at the top of a page
	height        float64
	keepNext      bool // stands on the page of the next unit
	items         []item
	links         []area
	anchors       []string
	marks         []bookmark
	boxes         []extent
	header        *unit // repeated above the unit where it comes first on a page: the head of its table
}

// extent is the rectangle that a figure takes.
type extent struct {
	x, y, w, h float64
	elem       *element
}

func (d *Doc) newPage() {
	const most = 512 // items, about as many as a full page has
	d.pages = append(d.pages, &page{items: make([]item, 0, most)})
	d.y = marginTop
	d.gap = 0
}

// emit takes the next unit of the flow.
func (d *Doc) emit(u unit) {
	if n := len(d.held); n > 0 {
		d.held[n-1] = append(d.held[n-1], u)
		return
	}
	d.pending = append(d.pending, u)
	if !u.keepNext {
		d.flush()
	}
}

// stacked is the height of units placed below each other, from the space above the first to the foot of the last.
func stacked(us []unit, gap float64) float64 {
	h := 0.0
	for _, u := range us {
		if u.height == 0 {
			gap = max(gap, u.before)
			continue
		}
		h += max(gap, u.before) + u.height
		gap = u.after
	}
	return h
}

// flush places the units that wait for each other, on a new page where they do not fit below what is there but do fit
// on an empty page.
func (d *Doc) flush() {
	us := d.pending
	d.pending = nil
	if len(us) == 0 {
		return
	}
	const slack = 0.05 // sums of heights are not exact
	if d.y > marginTop && d.y+stacked(us, d.gap) > d.bottom()+slack && stacked(us, 0)-us[0].before <= d.body() {
		d.newPage()
	}
	for _, u := range us {
		if d.y > marginTop && d.y+max(d.gap, u.before)+u.height > d.bottom()+slack {
			d.newPage()
		}
		if u.header != nil && d.y == marginTop {
			d.place(*u.header)
		}
		d.place(u)
	}
}

func (d *Doc) place(u unit) {
	p := d.pages[len(d.pages)-1]
	if d.y > marginTop {
		if u.height == 0 { // an anchor takes no room, and lets the space above through
			d.gap = max(d.gap, u.before)
		} else {
			d.y += max(d.gap, u.before)
		}
	}
	at := figure.Point{X: marginSide, Y: d.y}
	for _, it := range u.items {
		it.at.X, it.at.Y = it.at.X+at.X, it.at.Y+at.Y
		p.items = append(p.items, it)
	}
	for _, l := range u.links {
		l.x, l.y = l.x+at.X, l.y+at.Y
		p.links = append(p.links, l)
	}
	for _, b := range u.boxes {
		x, y := b.x+at.X, d.height-b.y-at.Y-b.h
		b.elem.attrs = fmt.Sprintf("<</O/Layout/Placement/Block/BBox[%.2f %.2f %.2f %.2f]>>", x, y, x+b.w, y+b.h)
	}
	top := max(0, d.y-6) // a reader who follows a link should see a little of what stands above
	for _, a := range u.anchors {
		if _, taken := d.anchors[a]; !taken {
			d.anchors[a] = target{page: len(d.pages), y: top}
		}
	}
	for _, m := range u.marks {
		m.y = top
		p.bookmarks = append(p.bookmarks, m)
	}
	if u.height > 0 {
		d.y += u.height
		d.gap = u.after
	}
}

// KeepTogether keeps what fill adds on one page, where one page can hold it.
func (d *Doc) KeepTogether(fill func()) {
	d.held = append(d.held, nil)
	fill()
	n := len(d.held) - 1
	us := d.held[n]
	d.held = d.held[:n]
	if len(us) > 0 && stacked(us, 0)-us[0].before <= d.body() {
		for i := range us[:len(us)-1] {
			us[i].keepNext = true
		}
	}
	for _, u := range us {
		d.emit(u)
	}
}

// KeepUnlessBlank is KeepTogether where that leaves no more than a part of a page blank; else what fill adds goes on from
// page to page, its first head units together, and its last two.
func (d *Doc) KeepUnlessBlank(part float64, head int, fill func()) {
	d.KeepTogether(func() {
		fill()
		us := d.held[len(d.held)-1]
		left := d.bottom() - d.y - stacked(d.pending, d.gap)
		if n := len(us); len(d.held) == 1 && n > head+2 && stacked(us, 0) > left && left > part*d.body() {
			d.held[len(d.held)-1] = nil
			for i := range us {
				us[i].keepNext = us[i].keepNext || i < head || i == n-2
			}
			us[n-1].keepNext = false
			for _, u := range us {
				d.loose(u)
			}
		}
	})
}

// loose takes a unit of the flow past the innermost block that is kept together.
func (d *Doc) loose(u unit) {
	held := d.held
	d.held = nil
	d.emit(u)
	d.held = held
}

// Space adds room, which vanishes at the top of a page.
func (d *Doc) Space(points float64) {
	if n := len(d.held); n > 0 {
		if m := len(d.held[n-1]); m > 0 {
			d.held[n-1][m-1].after = max(d.held[n-1][m-1].after, points)
		}
		return
	}
	if n := len(d.pending); n > 0 {
		d.pending[n-1].after = max(d.pending[n-1].after, points)
		return
	}
	d.gap = max(d.gap, points)
}

// Align is how lines stand in their column.
type Align int

// The alignments.
const (
	Left Align = iota
	Right
	Centre
	Decimal // of table cells that hold a number: the decimal signs of a column stand below each other
)

// ascent and the leading place lines: the baseline lies ascent·em below the top of a line of leading·em.
const (
	leadingEm = 1.36
	ascentEm  = 1.0
)

// place draws set lines into the unit, from (x, y) in a column w wide. Links become elements of their own within elem.
func (u *unit) lines(ls []line, x, y, w, size float64, a Align, elem *element) {
	links := map[int]*element{}
	for i, l := range ls {
		base := y + size*(leadingEm*float64(i)+ascentEm)
		dx := x
		switch a {
		case Right, Decimal:
			dx += w - l.w
		case Centre:
			dx += (w - l.w) / 2
		}
		for _, p := range l.pieces { // fields lie below all text, also the neighbours'
			if p.marked && p.text != "" {
				u.field(dx+p.x, base, p.w, size)
			}
		}
		for _, p := range l.pieces {
			u.piece(p, dx+p.x, base, size, elem, links)
		}
	}
}

func (u *unit) piece(p piece, x, base, size float64, elem *element, links map[int]*element) {
	if p.inline != nil {
		// an ornament beside a word: it says nothing that the word does not, so it is no element
		r := figure.Recording{}
		p.inline.Draw(&r)
		at := figure.Point{X: x, Y: base - 0.35*size - p.inline.Height/2}
		u.drawn(r, at, 1, nil)
		return
	}
	if p.to != "" {
		if links[p.span] == nil {
			links[p.span] = elem.child("Link", false)
		}
		elem = links[p.span]
		u.links = append(u.links, area{x: x, y: base - size, w: p.w, h: size * leadingEm, to: p.to, elem: elem})
		if p.tone == figure.Ink {
			p.tone = figure.Accent
		}
	}
	if p.text == "" {
		return
	}
	u.items = append(u.items, item{elem: elem, at: figure.Point{X: x, Y: base}, op: &figure.Op{Kind: figure.OpText, Text: p.text, Points: origin,
		Type: figure.Type{Size: p.size, Face: p.face, Tone: p.tone}}})
}

// origin are the points of what stands at its item's place. They are shared and not to be written to.
var origin = make([]figure.Point, 1)

// field is the grey ground and the underline of marked text.
func (u *unit) field(x, base, w, size float64) {
	u.items = append(u.items, item{op: &figure.Op{Kind: figure.OpPolygon, Fill: figure.Wash, Points: []figure.Point{
		{X: x - 1, Y: base - 0.9*size}, {X: x + w + 1, Y: base - 0.9*size}, {X: x + w + 1, Y: base + 0.3*size}, {X: x - 1, Y: base + 0.3*size}}}})
	u.rule(x, x+w, base+0.24*size, 0.8, figure.Ink)
}

// drawn copies a recorded figure into the unit, moved and scaled.
func (u *unit) drawn(r figure.Recording, at figure.Point, k float64, elem *element) {
	if k != 1 {
		scaled := figure.Recording{}
		for _, o := range r.Ops {
			o.Draw(&scaled, figure.Point{}, k)
		}
		r = scaled
	}
	for i := range r.Ops {
		u.items = append(u.items, item{op: &r.Ops[i], at: at, elem: elem})
	}
}

// rule draws a level line across the unit.
func (u *unit) rule(x0, x1, y, width float64, t figure.Tone) {
	u.items = append(u.items, item{op: &figure.Op{Kind: figure.OpLine, Stroke: figure.Stroke{Width: width, Tone: t},
		Points: []figure.Point{{X: x0, Y: y}, {X: x1, Y: y}}}})
}

// finish places what still waits, sets the closing line and the foot of every page; once.
func (d *Doc) finish() {
	if d.finished {
		return
	}
	d.finished = true
	if d.opt.Closing != "" {
		d.Styled(Style{Size: d.opt.BodySize - 1, Tone: figure.Soft, Align: Centre, Before: 16}, Plain(d.opt.Closing))
	}
	d.flush()
	const size = 7
	y := d.height - marginFoot + 26
	soft := figure.Type{Size: size, Tone: figure.Soft}
	foot := d.set(T(d.opt.Footer), d.Width()-d.measure(pageOf(len(d.pages), len(d.pages)), typeface.Regular, size)-12, size, figure.Soft)[0]
	for i, p := range d.pages {
		n := pageOf(i+1, len(d.pages))
		p.items = append(p.items, item{op: &figure.Op{Kind: figure.OpLine, Stroke: figure.Stroke{Width: 0.3, Tone: figure.Mid},
			Points: []figure.Point{{X: marginSide, Y: y - 11}, {X: d.width - marginSide, Y: y - 11}}}})
		if len(foot.pieces) > 0 {
			p.items = append(p.items, item{op: &figure.Op{Kind: figure.OpText, Text: foot.pieces[0].text, Type: soft, Points: []figure.Point{{X: marginSide, Y: y}}}})
		}
		p.items = append(p.items, item{op: &figure.Op{Kind: figure.OpText, Text: n, Type: soft,
			Points: []figure.Point{{X: d.width - marginSide - d.measure(n, typeface.Regular, size), Y: y}}}})
	}
}
