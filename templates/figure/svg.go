package figure

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"

	"weighhouse/templates/typeface"
)

// SVG writes the figure as one svg element that needs nothing else: it can stand in a page or be saved as a file.
//
// It carries its title and description for assistive software (role img). Ink is the current text colour at several
// strengths, so that the figure follows a light or a dark page; a page may set the custom properties --accent (what
// was measured) and --paper (the page's ground).
func SVG(f Figure) string {
	w := &svg{}
	id := anchor(f.ID)
	w.put(`<svg xmlns="http://www.w3.org/2000/svg" id="` + id + `" role="img" aria-labelledby="` + id + `-title ` + id + `-desc" viewBox="0 0 `)
	w.num(f.Width)
	w.put(" ")
	w.num(f.Height)
	w.put(`" width="`)
	w.num(f.Width)
	w.put(`" height="`)
	w.num(f.Height)
	w.put(`" fill="none" font-family="'Go', 'Helvetica Neue', Arial, sans-serif"><title id="` + id + `-title">`)
	w.escape(f.Title)
	w.put(`</title><desc id="` + id + `-desc">`)
	w.escape(f.Desc)
	w.put("</desc>\n")
	f.Draw(w)
	w.put("</svg>\n")
	return w.b.String()
}

// anchor keeps of an id what an attribute and a URL fragment may hold.
func anchor(id string) string {
	s := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_':
			return r
		}
		return '-'
	}, id)
	if s == "" || s[0] >= '0' && s[0] <= '9' || s[0] == '-' {
		s = "fig-" + s
	}
	return s
}

type svg struct{ b bytes.Buffer }

func (w *svg) put(s string) { w.b.WriteString(s) }

// num writes a coordinate to a hundredth of a point.
func (w *svg) num(x float64) {
	s := strconv.FormatFloat(x, 'f', 2, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		s = "0"
	}
	w.put(s)
}

func (w *svg) escape(s string) {
	_ = xml.EscapeText(&w.b, []byte(s)) // a bytes.Buffer does not fail; what XML cannot hold becomes U+FFFD
}

// strength is the opacity of the text colour that stands for a tone.
var strength = map[Tone]string{Wash: "0.08", Faint: "0.25", Mid: "0.5", Soft: "0.72", Ink: "1"}

// paint writes the attributes that give fill or stroke its tone.
func (w *svg) paint(what string, t Tone) {
	switch t {
	case None:
		w.put(` ` + what + `="none"`)
	case Accent:
		w.put(` style="` + what + `:var(--accent,#0b5a78)"`)
	case Paper:
		w.put(` style="` + what + `:var(--paper,#fff)"`)
	default:
		w.put(` ` + what + `="currentColor"`)
		if s := strength[t]; s != "1" {
			w.put(` ` + what + `-opacity="` + s + `"`)
		}
	}
}

func (w *svg) stroke(s Stroke) {
	if s.Width <= 0 || s.Tone == None {
		return
	}
	w.paint("stroke", s.Tone)
	w.put(` stroke-width="`)
	w.num(s.Width)
	w.put(`"`)
	switch s.Dash {
	case Dashed:
		w.put(` stroke-dasharray="4 2.5"`)
	case Dotted:
		w.put(` stroke-dasharray="0.1 2.2" stroke-linecap="round"`)
	}
}

func (w *svg) points(ps []Point) {
	for i, p := range ps {
		if i > 0 {
			w.put(" ")
		}
		w.num(p.X)
		w.put(",")
		w.num(p.Y)
	}
}

// Line implements Surface.
func (w *svg) Line(a, b Point, s Stroke) { w.Polyline([]Point{a, b}, s) }

// Polyline implements Surface.
func (w *svg) Polyline(ps []Point, s Stroke) {
	w.put(`<polyline points="`)
	w.points(ps)
	w.put(`"`)
	w.stroke(s)
	w.put("/>\n")
}

// Polygon implements Surface. An area with both an outline and a fill of a custom property needs two style entries in
// one attribute, so that it is drawn as two elements.
func (w *svg) Polygon(ps []Point, fill Tone, s Stroke) {
	if fill != None {
		w.put(`<polygon points="`)
		w.points(ps)
		w.put(`"`)
		w.paint("fill", fill)
		w.put("/>\n")
	}
	if s.Width > 0 && s.Tone != None {
		w.put(`<polygon points="`)
		w.points(ps)
		w.put(`"`)
		w.stroke(s)
		w.put("/>\n")
	}
}

// Dots implements Surface: zero-length lines with round caps, a fifth of the bytes of circles.
func (w *svg) Dots(ps []Point, diameter float64, t Tone) {
	w.put(`<path stroke-linecap="round" d="`)
	for _, p := range ps {
		w.put("M")
		w.num(p.X)
		w.put(" ")
		w.num(p.Y)
		w.put("h0")
	}
	w.put(`"`)
	w.stroke(Stroke{Width: diameter, Tone: t})
	w.put("/>\n")
}

// Text implements Surface. The text is set to the width that the figure reckoned with, so that on a reader's machine,
// which sets it in another font, it does not run into what stands beside it. Where the face lacks a glyph the width is not
// known and the text is left alone.
func (w *svg) Text(p Point, s string, t Type) {
	w.put(`<text x="`)
	w.num(p.X)
	w.put(`" y="`)
	w.num(p.Y)
	w.put(`" font-size="`)
	w.num(t.Size)
	w.put(`"`)
	if s != "" && !strings.ContainsFunc(s, func(r rune) bool { return !t.Face.Covers(r) }) {
		w.put(` textLength="`)
		w.num(t.Face.Width(s, t.Size))
		w.put(`" lengthAdjust="spacingAndGlyphs"`)
	}
	switch t.Anchor {
	case Middle:
		w.put(` text-anchor="middle"`)
	case End:
		w.put(` text-anchor="end"`)
	}
	switch t.Face {
	case typeface.Bold:
		w.put(` font-weight="bold"`)
	case typeface.Italic:
		w.put(` font-style="italic"`)
	case typeface.Mono:
		w.put(` font-family="'Go Mono', Menlo, Consolas, monospace"`)
	}
	w.paint("fill", t.Tone)
	w.put(">")
	w.escape(s)
	w.put("</text>\n")
}
