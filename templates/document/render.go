package document

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/jung-kurt/gofpdf"

	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

// Write writes the PDF that Bytes makes to w, and nothing where it cannot be made.
func (d *Doc) Write(w io.Writer) (warnings []string, err error) {
	out, warnings, err := d.Bytes()
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(out); err != nil {
		return nil, err
	}
	return warnings, nil
}

// Bytes makes the PDF. What could not be printed as it was handed in comes back as warnings.
func (d *Doc) Bytes() (pdf []byte, warnings []string, err error) {
	d.finish()
	defer func() { // gofpdf panics where a font is broken in a way that its parser does not check
		if r := recover(); r != nil {
			err = fmt.Errorf("making the PDF: %v", r)
		}
	}()
	raw, err := d.skeleton()
	if err != nil {
		return nil, nil, fmt.Errorf("making the PDF: %w", err)
	}
	r := renderer{d: d, fonts: map[string]*font{}, packer: packers.Get().(*packer), buf: make([]byte, 0, 1<<18)}
	for i, p := range d.pages {
		r.page(i+1, p)
	}
	packers.Put(r.packer)
	out, err := d.assemble(raw, &r)
	if err != nil {
		return nil, nil, fmt.Errorf("making the PDF: %w", err)
	}
	return out, d.Warnings(), nil
}

// skeleton has the library make a PDF with the document's pages, still blank, its outline and its information.
func (d *Doc) skeleton() ([]byte, error) {
	pdf := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "pt", Size: gofpdf.SizeType{Wd: d.width, Ht: d.height}})
	pdf.SetCatalogSort(true) // maps in a fixed order: the same bytes each time
	pdf.SetCompression(false)
	pdf.SetCreationDate(d.opt.Created.UTC())
	pdf.SetModificationDate(d.opt.Created.UTC())
	pdf.SetTitle(d.opt.Title, true)
	pdf.SetAuthor(d.opt.Author, true)
	pdf.SetSubject(d.opt.Subject, true)
	pdf.SetCreator(d.opt.Creator, true)
	pdf.SetProducer(d.opt.Creator, true)
	pdf.SetAutoPageBreak(false, 0)
	for _, p := range d.pages {
		pdf.AddPage()
		for _, b := range p.bookmarks {
			pdf.Bookmark(string(append([]byte{0xfe, 0xff}, utf16BE(b.text)...)), b.level, b.y) // with no font chosen the library takes the bytes as they are
		}
	}
	var b bytes.Buffer
	err := pdf.Output(&b)
	return b.Bytes(), err
}

// renderer writes pages into the PDF. It keeps the state of the page's content stream, so that what is set stays set.
type renderer struct {
	d        *Doc
	fonts    map[string]*font // by family
	buf      []byte           // the contents of the page that is drawn
	packer   *packer
	contents []packed     // of each page
	marks    [][]*element // for each page, the element of each piece of marked content

	origin       figure.Point // of the item that is drawn
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
		r.origin = it.at
		it.op.Draw(r, figure.Point{}, 1)
	}
	if inside {
		r.put("EMC\n")
	}
	body := r.packer.pack(r.buf)
	body.data = bytes.Clone(body.data)
	r.contents = append(r.contents, body)
	r.buf = r.buf[:0]
	r.marks = append(r.marks, marks)
}

func (r *renderer) put(ss ...string) {
	for _, s := range ss {
		r.buf = append(r.buf, s...)
	}
}

// num writes numbers to a hundredth of a point.
func (r *renderer) num(xs ...float64) {
	for _, x := range xs {
		r.buf = append(appendHundredths(r.buf, x), ' ')
	}
}

// appendHundredths writes a number rounded to a hundredth, without closing zeros.
func appendHundredths(b []byte, x float64) []byte {
	const most = 1e7 // points: no page is as large, and no reader takes what is much larger
	switch {
	case math.IsNaN(x):
		x = 0
	case x > most:
		x = most
	case x < -most:
		x = -most
	}
	n := int64(math.Round(100 * x))
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	b = strconv.AppendInt(b, n/100, 10)
	switch c := n % 100; {
	case c == 0:
	case c%10 == 0:
		b = append(b, '.', byte('0'+c/10))
	default:
		b = append(b, '.', byte('0'+c/10), byte('0'+c%10))
	}
	return b
}

func (r *renderer) at(p figure.Point) {
	r.num(r.origin.X+p.X, r.d.height-r.origin.Y-p.Y)
}

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
	for s != "" {
		run, other := r.d.run(s, t.Face)
		f := r.font(t.Face, other)
		r.put("BT ")
		if f.name != r.family || t.Size != r.size {
			r.family, r.size = f.name, t.Size
			r.put(f.name, " ")
			r.num(t.Size)
			r.put("Tf ")
		}
		r.at(p)
		r.put("Td (")
		for _, c := range run {
			g := f.glyph(c)
			r.char(byte(g >> 8))
			r.char(byte(g))
		}
		r.put(") Tj ET\n")
		p.X += r.d.measure(run, t.Face, t.Size)
		s = s[len(run):]
	}
}

// char writes a byte of a string.
func (r *renderer) char(c byte) {
	switch c {
	case '(', ')', '\\':
		r.buf = append(r.buf, '\\')
	case '\r':
		r.buf = append(r.buf, '\\')
		c = 'r'
	}
	r.buf = append(r.buf, c)
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
