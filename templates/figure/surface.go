// Package figure draws the audit's figures as vectors, on any surface: a PDF page, an SVG image, or a recording that a
// test can compare.
//
// A figure is drawn from what the audit says and computes no result; it scales, places and labels. All lengths are in
// points (1/72 inch), x to the right and y downwards from the figure's top left corner. Text sizes are chosen for print
// at full size. Greys and one accent carry no meaning alone: a shape, a dash or a word goes with each.
package figure

import "weighhouse/templates/typeface"

// Tone is a shade of ink. Surfaces map it to a colour of theirs: the SVG follows the page's own text colour, so that
// it serves on a light and on a dark page.
type Tone uint8

// The tones, from nothing to full ink; Accent is the one coloured ink, dark enough to print as dark grey, and Paper
// covers what lies beneath.
const (
	None   Tone = iota
	Wash        // a field behind other things
	Faint       // grid and secondary lines
	Mid         // ticks and secondary marks
	Soft        // secondary text
	Ink         // text and marks
	Accent      // what was measured
	Paper
)

// String names the tone, for recordings.
func (t Tone) String() string {
	return [...]string{"none", "wash", "faint", "mid", "soft", "ink", "accent", "paper"}[t]
}

// Dash is a pattern of a line.
type Dash uint8

// The patterns.
const (
	Solid Dash = iota
	Dashed
	Dotted
)

// Stroke is how a line is drawn; a Width of zero or a Tone of None draws none.
type Stroke struct {
	Width float64
	Tone  Tone
	Dash  Dash
}

// Anchor is which end of a text stands at its point.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Type is how a text is set: its em in points, its face, its tone and its anchor.
type Type struct {
	Size   float64
	Face   typeface.Face
	Tone   Tone
	Anchor Anchor
}

// Point is a place on the figure, in points.
type Point struct{ X, Y float64 }

// Surface is what a figure is drawn on.
type Surface interface {
	// Line draws from a to b.
	Line(a, b Point, s Stroke)
	// Polyline draws through the points in order.
	Polyline(ps []Point, s Stroke)
	// Polygon closes the points, fills the area with the tone and draws the outline.
	Polygon(ps []Point, fill Tone, s Stroke)
	// Dots draws round dots of one diameter and tone.
	Dots(ps []Point, diameter float64, t Tone)
	// Text sets one line with its baseline at p.
	Text(p Point, s string, t Type)
}

// Figure is one drawing with the words that belong to it. Desc says in words what the drawing shows, for readers who
// do not see it.
type Figure struct {
	ID            string // unique in an audit, fit for an anchor: "fig-claims"
	Title         string
	Desc          string
	Width, Height float64 // points
	draw          func(Surface)
}

// Draw draws the figure on the surface.
func (f Figure) Draw(s Surface) {
	if f.draw != nil {
		f.draw(s)
	}
}

// New makes a figure of one's own from a drawing function.
func New(id, title, desc string, width, height float64, draw func(Surface)) Figure {
	return Figure{ID: id, Title: title, Desc: desc, Width: width, Height: height, draw: draw}
}

// box is the four corners of an upright rectangle.
func box(x0, y0, x1, y1 float64) []Point {
	return []Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

// Widths and heights that the figures share: a full figure spans the text column of a page, a half figure leaves room
// for a second beside it, a third for two.
const (
	Full  = 486.0
	Half  = 236.0
	Third = 152.0
)

// small and label are the two sizes of type in figures.
const (
	label = 7.5
	small = 6.5
)

func text(size float64, t Tone, a Anchor) Type { return Type{Size: size, Tone: t, Anchor: a} }

// fit shortens a text with an ellipsis until it is no wider than w.
func fit(s string, t Type, w float64) string {
	if t.Face.Width(s, t.Size) <= w {
		return s
	}
	rs := []rune(s)
	for len(rs) > 0 && t.Face.Width(string(rs)+"…", t.Size) > w {
		rs = rs[:len(rs)-1]
	}
	return string(rs) + "…"
}
