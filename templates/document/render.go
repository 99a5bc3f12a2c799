package document

import (
	"bytes"
	"fmt"
	"io"
	"strconv"

	"github.com/jung-kurt/gofpdf"

	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

// extraFamily is the name of the extra font within the file.
const extraFamily = "extra"

// Write makes the PDF. What could not be printed as it was handed in comes back as warnings. Nothing is written to w
// unless the whole document could be made.
func (d *Doc) Write(w io.Writer) (warnings []string, err error) {
	d.finish()
	defer func() { // gofpdf panics where a font is broken in a way that its parser does not check
		if r := recover(); r != nil {
			err = fmt.Errorf("making the PDF: %v", r)
		}
	}()
	pdf := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "pt", Size: gofpdf.SizeType{Wd: d.width, Ht: d.height}})
	pdf.SetCatalogSort(true) // maps in a fixed order: the same bytes each time
	pdf.SetCreationDate(d.opt.Created.UTC())
	pdf.SetModificationDate(d.opt.Created.UTC())
	pdf.SetTitle(d.opt.Title, true)
	pdf.SetAuthor(d.opt.Author, true)
	pdf.SetSubject(d.opt.Subject, true)
	pdf.SetCreator(d.opt.Creator, true)
	pdf.SetProducer(d.opt.Creator, true)
	pdf.SetAutoPageBreak(false, 0)
	d.fonts(pdf)

	links := map[string]int{}
	r := renderer{d: d, pdf: pdf}
	for i, p := range d.pages {
		pdf.AddPage()
		r.page(i+1, p)
		for _, b := range p.bookmarks {
			pdf.SetFont(typeface.Regular.String(), "", 9) // makes gofpdf take the text as Unicode
			pdf.Bookmark(b.text, b.level, b.y)
		}
		d.areas(pdf, p, links)
	}
	for name, id := range links {
		pdf.SetLink(id, d.anchors[name].y, d.anchors[name].page)
	}
	var b bytes.Buffer
	if err := pdf.Output(&b); err != nil {
		return nil, fmt.Errorf("making the PDF: %w", err)
	}
	out, err := d.update(b.Bytes(), r.marks)
	if err != nil {
		return nil, fmt.Errorf("making the PDF: %w", err)
	}
	if _, err := w.Write(out); err != nil {
		return nil, err
	}
	return d.Warnings(), nil
}

// fonts embeds the faces that are used; each costs some milliseconds. The library writes into what it is given.
func (d *Doc) fonts(pdf *gofpdf.Fpdf) {
	used := [typeface.Faces]bool{typeface.Regular: true}
	extra := false
	for _, p := range d.pages {
		for _, it := range p.items {
			if it.op.Kind != figure.OpText {
				continue
			}
			used[it.op.Type.Face] = true
			if d.extra != nil && !extra {
				for _, r := range it.op.Text {
					extra = extra || !it.op.Type.Face.Covers(r)
				}
			}
		}
	}
	for f, is := range used {
		if is {
			pdf.AddUTF8FontFromBytes(typeface.Face(f).String(), "", bytes.Clone(typeface.Face(f).TTF()))
		}
	}
	if extra {
		pdf.AddUTF8FontFromBytes(extraFamily, "", bytes.Clone(d.opt.Font))
	}
}

// areas adds a page's links. One to an anchor that no block has is left out.
func (d *Doc) areas(pdf *gofpdf.Fpdf, p *page, links map[string]int) {
	for _, l := range p.links {
		if l.to[0] != '#' {
			pdf.LinkString(l.x, l.y, l.w, l.h, l.to)
			continue
		}
		name := l.to[1:]
		if _, known := d.anchors[name]; !known {
			continue
		}
		id, ok := links[name]
		if !ok {
			id = pdf.AddLink()
			links[name] = id
		}
		pdf.Link(l.x, l.y, l.w, l.h, id)
	}
}

// renderer writes pages into the PDF. It keeps the state of the page's content stream, so that what is set stays set.
type renderer struct {
	d     *Doc
	pdf   *gofpdf.Fpdf
	buf   []byte
	marks [][]*element // for each page, the element of each piece of marked content

	family       string
	size         float64
	fill, stroke figure.Tone
	width        float64
	dash         figure.Dash
	cap          int
}

func (r *renderer) page(n int, p *page) {
	r.family, r.size, r.fill, r.stroke, r.width, r.dash, r.cap = "", 0, figure.None, figure.None, -1, figure.Solid, -1
	var marks []*element
	var open *element
	inside := false
	for _, it := range p.items {
		if !inside || it.elem != open {
			if inside {
				r.put("EMC\n")
			}
			if open = it.elem; open == nil {
				r.put("/Artifact BMC\n")
			} else {
				r.put("/" + open.tag + "<</MCID " + strconv.Itoa(len(marks)) + ">>BDC\n")
				open.mark(n, len(marks))
				marks = append(marks, open)
			}
			inside = true
		}
		it.op.Draw(r, figure.Point{}, 1)
	}
	if inside {
		r.put("EMC\n")
	}
	r.flush()
	r.marks = append(r.marks, marks)
}

func (r *renderer) put(s string) { r.buf = append(r.buf, s...) }

// flush hands what was put to gofpdf, whose own text operations must come after it.
func (r *renderer) flush() {
	if n := len(r.buf); n > 0 {
		r.pdf.RawWriteStr(string(r.buf[:n-1])) // it ends with a line break, and gofpdf adds one
		r.buf = r.buf[:0]
	}
}

// num writes numbers to a hundredth of a point.
func (r *renderer) num(xs ...float64) {
	for _, x := range xs {
		r.buf = strconv.AppendFloat(r.buf, x, 'f', 2, 64)
		r.buf = append(r.buf, ' ')
	}
}

func (r *renderer) at(p figure.Point) { r.num(p.X, r.d.height-p.Y) }

// ink is the colour of each tone, as a PDF operand; the accent is dark enough to print as a dark grey.
var ink = map[figure.Tone]string{
	figure.Wash: "0.925", figure.Faint: "0.76", figure.Mid: "0.55", figure.Soft: "0.34", figure.Ink: "0.07",
	figure.Accent: "0.04 0.33 0.45", figure.Paper: "1",
}

// colour sets the tone of areas and text, or of lines.
func (r *renderer) colour(state *figure.Tone, t figure.Tone, grey, rgb string) {
	if *state == t {
		return
	}
	*state = t
	op := grey
	if t == figure.Accent {
		op = rgb
	}
	r.put(ink[t] + " " + op + "\n")
}

func (r *renderer) pen(s figure.Stroke, round bool) {
	r.colour(&r.stroke, s.Tone, "G", "RG")
	if s.Width != r.width {
		r.width = s.Width
		r.num(s.Width)
		r.put("w\n")
	}
	ends := 0
	if round || s.Dash == figure.Dotted {
		ends = 1
	}
	if ends != r.cap {
		r.cap = ends
		r.put(strconv.Itoa(ends) + " J\n")
	}
	if s.Dash != r.dash {
		r.dash = s.Dash
		r.put([...]string{"[] 0 d\n", "[4 2.5] 0 d\n", "[0 2.2] 0 d\n"}[s.Dash])
	}
}

// Line implements figure.Surface.
func (r *renderer) Line(a, b figure.Point, s figure.Stroke) {
	r.Polyline([]figure.Point{a, b}, s)
}

func (r *renderer) path(ps []figure.Point) {
	for i, p := range ps {
		r.at(p)
		if i == 0 {
			r.put("m\n")
		} else {
			r.put("l\n")
		}
	}
}

// Polyline implements figure.Surface.
func (r *renderer) Polyline(ps []figure.Point, s figure.Stroke) {
	if len(ps) < 2 || s.Width <= 0 || s.Tone == figure.None {
		return
	}
	r.pen(s, false)
	r.path(ps)
	r.put("S\n")
}

// Polygon implements figure.Surface.
func (r *renderer) Polygon(ps []figure.Point, fill figure.Tone, s figure.Stroke) {
	lined := s.Width > 0 && s.Tone != figure.None
	if len(ps) < 3 || !lined && fill == figure.None {
		return
	}
	if lined {
		r.pen(s, false)
	}
	if fill != figure.None {
		r.colour(&r.fill, fill, "g", "rg")
	}
	r.path(ps)
	switch {
	case lined && fill != figure.None:
		r.put("b\n")
	case lined:
		r.put("s\n")
	default:
		r.put("h f\n")
	}
}

// Dots implements figure.Surface: lines of no length with round ends, a tenth of the bytes of circles.
func (r *renderer) Dots(ps []figure.Point, diameter float64, t figure.Tone) {
	if len(ps) == 0 || t == figure.None {
		return
	}
	r.pen(figure.Stroke{Width: diameter, Tone: t}, true)
	for _, p := range ps {
		r.at(p)
		r.put("m ")
		r.at(p)
		r.put("l\n")
	}
	r.put("S\n")
}

// Text implements figure.Surface. A run that the face lacks is set in the extra font.
func (r *renderer) Text(p figure.Point, s string, t figure.Type) {
	if s == "" || t.Tone == figure.None {
		return
	}
	switch t.Anchor {
	case figure.Middle:
		p.X -= r.d.measure(s, t.Face, t.Size) / 2
	case figure.End:
		p.X -= r.d.measure(s, t.Face, t.Size)
	}
	r.colour(&r.fill, t.Tone, "g", "rg")
	r.flush()
	for s != "" {
		run, other := r.d.run(s, t.Face)
		family := t.Face.String()
		if other {
			family = extraFamily
		}
		if family != r.family || t.Size != r.size {
			r.family, r.size = family, t.Size
			r.pdf.SetFont(family, "", t.Size)
		}
		r.pdf.Text(p.X, p.Y, run)
		p.X += r.d.measure(run, t.Face, t.Size)
		s = s[len(run):]
	}
}

// run is the first part of a text that one font prints: the face, or the extra font.
func (d *Doc) run(s string, f typeface.Face) (run string, other bool) {
	if d.extra == nil {
		return s, false
	}
	for i, r := range s {
		o := !f.Covers(r) && d.extra.Advance(r) >= 0
		if i == 0 {
			other = o
		} else if o != other {
			return s[:i], other
		}
	}
	return s, other
}
