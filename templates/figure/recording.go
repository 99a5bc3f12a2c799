package figure

import (
	"fmt"
	"strings"
)

// Kind tells the drawing operations of a Recording apart.
type Kind uint8

// The operations, one for each method of Surface.
const (
	OpLine Kind = iota
	OpPolygon
	OpDots
	OpText
)

// Op is one recorded operation. A line of two points and a longer one are both OpLine.
type Op struct {
	Kind   Kind
	Points []Point
	Fill   Tone    // OpPolygon: the area; OpDots: the dots
	Size   float64 // OpDots: the diameter
	Stroke Stroke
	Text   string
	Type   Type
}

// Recording is a surface that keeps what was drawn, in order. It can be drawn again elsewhere, and its String is what
// tests compare.
type Recording struct{ Ops []Op }

// Line implements Surface.
func (r *Recording) Line(a, b Point, s Stroke) { r.Polyline([]Point{a, b}, s) }

// Polyline implements Surface.
func (r *Recording) Polyline(ps []Point, s Stroke) {
	r.Ops = append(r.Ops, Op{Kind: OpLine, Points: ps, Stroke: s})
}

// Polygon implements Surface.
func (r *Recording) Polygon(ps []Point, fill Tone, s Stroke) {
	r.Ops = append(r.Ops, Op{Kind: OpPolygon, Points: ps, Fill: fill, Stroke: s})
}

// Dots implements Surface.
func (r *Recording) Dots(ps []Point, diameter float64, t Tone) {
	r.Ops = append(r.Ops, Op{Kind: OpDots, Points: ps, Size: diameter, Fill: t})
}

// Text implements Surface.
func (r *Recording) Text(p Point, s string, t Type) {
	r.Ops = append(r.Ops, Op{Kind: OpText, Points: []Point{p}, Text: s, Type: t})
}

// Draw repeats the operation on another surface, moved by d and scaled by k.
func (o Op) Draw(s Surface, d Point, k float64) {
	ps := o.Points
	if d != (Point{}) || k != 1 {
		ps = make([]Point, len(o.Points))
		for i, p := range o.Points {
			ps[i] = Point{d.X + k*p.X, d.Y + k*p.Y}
		}
	}
	st := o.Stroke
	st.Width *= k
	switch o.Kind {
	case OpLine:
		s.Polyline(ps, st)
	case OpPolygon:
		s.Polygon(ps, o.Fill, st)
	case OpDots:
		s.Dots(ps, k*o.Size, o.Fill)
	case OpText:
		t := o.Type
		t.Size *= k
		s.Text(ps[0], o.Text, t)
	}
}

// String lists the operations one a line, with coordinates to a tenth of a point.
func (r *Recording) String() string {
	var b strings.Builder
	for _, o := range r.Ops {
		switch o.Kind {
		case OpLine:
			fmt.Fprintf(&b, "line %s", stroke(o.Stroke))
		case OpPolygon:
			fmt.Fprintf(&b, "area %s %s", o.Fill, stroke(o.Stroke))
		case OpDots:
			fmt.Fprintf(&b, "dots %s %.1f", o.Fill, o.Size)
		case OpText:
			fmt.Fprintf(&b, "text %s %s %.1f %s", o.Type.Face, o.Type.Tone, o.Type.Size, [...]string{"start", "middle", "end"}[o.Type.Anchor])
		}
		for _, p := range o.Points {
			fmt.Fprintf(&b, " %.1f,%.1f", p.X+0, p.Y+0)
		}
		if o.Kind == OpText {
			fmt.Fprintf(&b, " %q", o.Text)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func stroke(s Stroke) string {
	return fmt.Sprintf("%s/%.2f%s", s.Tone, s.Width, [...]string{"", "/dashed", "/dotted"}[s.Dash])
}
