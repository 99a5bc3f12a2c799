// Package document sets documents: headings, paragraphs, tables, figures, links and bookmarks flow down the pages of a
// tagged PDF with embedded fonts, numbered pages and attachments.
//
// A Doc is filled from top to bottom. Every call lays its content out at once, into a list of what is drawn on which
// page; Write then knows how many pages there are, numbers them, and makes the PDF. So one pass is enough, links may
// point forward, and a test can compare the list (Recording) instead of PDF bytes.
//
// Any text may be handed in: what is not valid UTF-8, what the fonts lack and what could harm the file is dealt with in
// one place (see Warnings). The same calls with the same Options give the same bytes.
//
//	d, err := document.New(document.Options{Title: "Letter", Lang: "en", Created: day})
//	d.Heading(1, "What we measured")
//	d.Paragraph(document.Plain("See "), document.To("rooms", "the rooms"), document.Plain("."))
//	d.Table(document.Table{Columns: []document.Column{{Head: "Setting"}, {Head: "W", Align: document.Right}}, Rows: rows})
//	warnings, err := d.Write(w)
package document

import (
	"fmt"
	"strings"
	"time"

	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

// Options say what a document is and how it is set.
type Options struct {
	Paper    string    // "a4", which is also meant by "", or "letter"
	Title    string    // of the document; shown in the reader's title bar
	Author   string    // the person or body that answers for it
	Subject  string    // one sentence
	Lang     string    // BCP 47 tag of the language; "en" where empty
	Creator  string    // the program, with its version
	Created  time.Time // both dates of the file; never the clock's
	Font     []byte    // a TrueType font for what the Go fonts lack; may be nil
	Footer   string    // stands at the left of every page's foot, beside "page x of y"
	Closing  string    // the last line, such as "End of report"; none where empty
	BodySize float64   // em of running text in points; 9 where 0
}

// Papers are the sizes that Options.Paper may name, width and height in points.
var papers = map[string][2]float64{
	"a4":     {595.28, 841.89}, // 210 mm × 297 mm, ISO 216
	"letter": {612, 792},       // 8.5 in × 11 in
}

// The margins of a page in points. The foot holds the page number.
const (
	marginSide = 54.0
	marginTop  = 44.0
	marginFoot = 52.0
)

// Doc is a document under construction.
type Doc struct {
	opt           Options
	width, height float64 // of the page
	extra         *typeface.Metrics
	missing       map[rune]int // runes without a glyph, and how often
	repaired      int          // texts that were not valid UTF-8
	warnings      []string

	pages       []*page
	y           float64 // from the top of the page to the next block
	pending     []unit
	held        [][]unit // KeepTogether, innermost last
	root        *element
	attachments []Attachment
	level       int // of the last bookmark
	anchors     map[string]target
	gap         float64 // space that the last block asks for below it
	finished    bool

	wordBuf           []word // of words
	pieceBuf, lineBuf []piece
	pieces            []piece // of lines; see kept
	textBuf           []byte  // of a piece
}

type target struct {
	page int
	y    float64
}

// page is what is drawn on one page.
type page struct {
	items     []item
	links     []area
	bookmarks []bookmark
}

// item is one drawing operation, where its origin stands on the page, and the element of the structure that it belongs
// to; nil for what belongs to the page alone, such as its number.
type item struct {
	op   *figure.Op // shared by whatever places it, and not to be written to
	at   figure.Point
	elem *element
}

// area is a link's rectangle.
type area struct {
	x, y, w, h float64
	to         string   // "#anchor" or a web address
	elem       *element // the Link that it belongs to
}

type bookmark struct {
	text  string
	level int
	y     float64
}

// New begins a document. An unknown paper and a font that cannot be used are errors.
func New(o Options) (*Doc, error) {
	p := strings.ToLower(o.Paper)
	if p == "" {
		p = "a4"
	}
	size, ok := papers[p]
	if !ok {
		return nil, fmt.Errorf("paper %q: a4 or letter would do", o.Paper)
	}
	if o.Lang == "" {
		o.Lang = "en"
	}
	if o.BodySize == 0 {
		o.BodySize = 9
	}
	d := &Doc{opt: o, width: size[0], height: size[1], missing: map[rune]int{}, anchors: map[string]target{}, level: -1}
	d.root = &element{tag: "Document", attached: true}
	if len(o.Font) > 0 {
		m, err := typeface.Parse(o.Font)
		if err != nil {
			return nil, fmt.Errorf("the extra font cannot be used: %w", err)
		}
		d.extra = m
	}
	d.opt.Title, d.opt.Author, d.opt.Subject = d.oneLine(o.Title), d.oneLine(o.Author), d.oneLine(o.Subject)
	d.opt.Creator, d.opt.Footer, d.opt.Closing = d.oneLine(o.Creator), d.oneLine(o.Footer), d.oneLine(o.Closing)
	d.newPage()
	return d, nil
}

// Width is the width of the text column in points.
func (d *Doc) Width() float64 { return d.width - 2*marginSide }

// Height is the height of the text column in points.
func (d *Doc) Height() float64 { return d.body() }

// Left is how much of the current page is free below the last block, in points.
func (d *Doc) Left() float64 { return d.bottom() - d.y }

// Pages is how many pages there are so far.
func (d *Doc) Pages() int { return len(d.pages) }

func (d *Doc) bottom() float64 { return d.height - marginFoot }

// body is the height of an empty page.
func (d *Doc) body() float64 { return d.bottom() - marginTop }

// Anchor names the place where the next block will stand, for To and for Table.Anchors.
func (d *Doc) Anchor(name string) {
	d.emit(unit{keepNext: true, anchors: []string{name}})
}

// Bookmark puts an entry for the place of the next block into the reader's outline; level 0 is the outermost. A level
// more than one below the last entry's is raised to it.
func (d *Doc) Bookmark(level int, text string) {
	level = min(max(level, 0), d.level+1)
	d.level = level
	d.emit(unit{keepNext: true, marks: []bookmark{{text: d.oneLine(text), level: level}}})
}

// PageBreak begins a new page, unless the current one is empty.
func (d *Doc) PageBreak() {
	d.flush()
	if d.y > marginTop {
		d.newPage()
	}
}

// Try lays the content that fill adds out on a document of its own, like d but empty, and returns how many pages it
// takes and how much of the last one, in points. Nothing of it comes into d: a writer can choose among settings
// of one page by their fit.
func (d *Doc) Try(fill func(*Doc)) (pages int, used float64) {
	t := &Doc{opt: d.opt, width: d.width, height: d.height, extra: d.extra, missing: map[rune]int{}, anchors: map[string]target{}, level: -1,
		root: &element{tag: "Document", attached: true}}
	t.newPage()
	fill(t)
	t.flush()
	return len(t.pages), t.y - marginTop
}

// Attach adds a file to the document. Its name must be new.
func (d *Doc) Attach(a Attachment) error {
	if a.Name == "" {
		return fmt.Errorf("an attachment without a name")
	}
	for _, b := range d.attachments {
		if b.Name == a.Name {
			return fmt.Errorf("two attachments are named %q", a.Name)
		}
	}
	switch a.Relationship {
	case "":
		a.Relationship = "Unspecified"
	case "Source", "Data", "Alternative", "Supplement", "Unspecified":
	default:
		return fmt.Errorf("attachment %q: relationship %q: Source, Data, Alternative, Supplement or Unspecified would do", a.Name, a.Relationship)
	}
	d.attachments = append(d.attachments, a)
	return nil
}

// Recording lists what is drawn on which page, one operation a line, with links and bookmarks: what tests compare in
// place of PDF bytes, which may change with a version of Go.
func (d *Doc) Recording() string {
	d.finish()
	var b strings.Builder
	for i, p := range d.pages {
		fmt.Fprintf(&b, "page %d\n", i+1)
		for _, m := range p.bookmarks {
			fmt.Fprintf(&b, "bookmark %d %.1f %q\n", m.level, m.y, m.text)
		}
		var r figure.Recording
		last := ""
		flush := func() {
			if len(r.Ops) > 0 {
				b.WriteString(r.String())
				r.Ops = r.Ops[:0]
			}
		}
		for _, it := range p.items {
			if tag := it.elem.path(); tag != last {
				flush()
				fmt.Fprintf(&b, "in %s\n", tag)
				last = tag
			}
			it.op.Draw(&r, it.at, 1)
		}
		flush()
		for _, l := range p.links {
			fmt.Fprintf(&b, "link %.1f,%.1f %.1f×%.1f %s\n", l.x, l.y, l.w, l.h, l.to)
		}
	}
	return b.String()
}
