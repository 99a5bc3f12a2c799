package document

import (
	"net/url"
	"unicode"
	"unicode/utf8"

	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

// Span is a piece of running text in one style. The zero style is that of the block it stands in.
type Span struct {
	Text   string
	Face   typeface.Face
	Tone   figure.Tone    // figure.None: the block's tone
	Scale  float64        // of the block's em; 0 means 1
	To     string         // "#anchor" of this document, or an http or https address
	Marked bool           // set on a grey field and underlined: a quote within its context
	Inline *figure.Figure // drawn in the line in place of Text; its Title is what assistive software reads
}

// Text is what a paragraph or a cell holds.
type Text []Span

// Plain is text in the style of its block.
func Plain(s string) Span { return Span{Text: s} }

// Bold is text in the bold face.
func Bold(s string) Span { return Span{Text: s, Face: typeface.Bold} }

// Soft is secondary text, in grey.
func Soft(s string) Span { return Span{Text: s, Tone: figure.Soft} }

// Mono is text in the face of equal widths, for hashes and code.
func Mono(s string) Span { return Span{Text: s, Face: typeface.Mono, Scale: 0.92} }

// Mark is text that is marked out from its surroundings.
func Mark(s string) Span { return Span{Text: s, Marked: true} }

// To is text that leads to an anchor of the document.
func To(anchor, s string) Span { return Span{Text: s, To: "#" + anchor} }

// Web is text that leads to a web address; any address but http and https is printed without a link.
func Web(address, s string) Span {
	u, err := url.Parse(address)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return Plain(s)
	}
	return Span{Text: s, To: u.String()} // String escapes what an address may not hold
}

// Inline is a small figure that stands in the line like a word.
func Inline(f figure.Figure) Span { return Span{Inline: &f} }

// T makes a Text of one plain span.
func T(s string) Text { return Text{Plain(s)} }

// style is a span's style with the block's put in.
type style struct {
	face   typeface.Face
	size   float64
	tone   figure.Tone
	to     string
	marked bool
	inline *figure.Figure
	span   int // which span of the text it is, so that pieces of one link are one element
}

// piece is a run of text in one style, or an inline figure, at x within its line.
type piece struct {
	x, w float64
	text string
	style
}

// line is one line of set text.
type line struct {
	pieces []piece
	w      float64
}

// measure is the width of a text as it will be set: where the face lacks a rune, the extra font has it.
func (d *Doc) measure(s string, f typeface.Face, size float64) float64 {
	m := f.Metrics()
	w := 0.0
	for _, r := range s {
		a := m.Advance(r)
		if a < 0 && d.extra != nil {
			a = d.extra.Advance(r)
		}
		if a < 0 {
			a = max(m.Advance(replacement), 0)
		}
		w += a
	}
	return w * size / 1000
}

// word is what is not broken unless it must be: pieces without a space between them, and whether a space or a line
// break goes before.
type word struct {
	pieces []piece
	count  int // of pieces, while they are collected
	w      float64
	space  float64 // width of the space before it, 0 where it only may be broken
	brk    bool    // a line break goes before
}

// words cuts a text at its spaces and at the places where a line may break without one.
// What comes back is good until the next call.
func (d *Doc) words(t Text, size float64, tone figure.Tone) []word {
	out, all := d.wordBuf[:0], d.pieceBuf[:0]
	defer func() { d.wordBuf, d.pieceBuf = out, all }()
	fresh := true // the next piece begins a new word
	var space float64
	brk := false
	add := func(p piece) {
		if fresh || len(out) == 0 {
			out = append(out, word{space: space, brk: brk})
			fresh, space, brk = false, 0, false
		}
		w := &out[len(out)-1]
		p.x = w.w
		all = append(all, p)
		w.count++
		w.w += p.w
	}
	for i, s := range t {
		st := style{face: s.Face, size: size, tone: tone, to: s.To, marked: s.Marked, span: i}
		if s.Scale > 0 {
			st.size *= s.Scale
		}
		if s.Tone != figure.None {
			st.tone = s.Tone
		}
		if s.Inline != nil {
			f := d.printableFigure(*s.Inline)
			st.inline = &f
			add(piece{w: s.Inline.Width, style: st})
			continue
		}
		text := d.clean(s.Text)
		for text != "" {
			switch text[0] {
			case ' ':
				if !fresh || len(out) == 0 {
					space = 0
				}
				fresh = true
				space = max(space, d.measure(" ", st.face, st.size))
				text = text[1:]
				continue
			case '\n':
				if brk { // an empty line
					add(piece{style: st})
				}
				fresh, brk, space = true, true, 0
				text = text[1:]
				continue
			}
			n := breakAfter(text)
			add(piece{text: text[:n], w: d.measure(text[:n], st.face, st.size), style: st})
			text = text[n:]
			if text != "" && text[0] != ' ' && text[0] != '\n' {
				fresh = true // a line may break here, without a space
			}
		}
	}
	rest := all
	for i := range out { // only now, since the buffer may have grown
		n := out[i].count
		out[i].pieces, rest = rest[:n:n], rest[n:]
	}
	return out
}

// breakAfter is the length of the first unbreakable part of a text that begins with no space: up to a space, behind a
// slash, hyphen or comma inside a long token, and behind each ideograph.
func breakAfter(s string) int {
	end := 0 // of the token
	for end < len(s) && s[end] != ' ' && s[end] != '\n' {
		end++
	}
	n, letters := 0, 0
	for i, r := range s[:end] {
		n = i + utf8.RuneLen(r)
		if wide(r) {
			return n
		}
		letters++
		if letters >= 4 && end-n >= 3 && breaksBehind(r) && s[n] != '/' && !unicode.IsDigit(rune(s[n])) {
			return n
		}
	}
	return n
}

// breaksBehind reports whether a line may break behind a sign inside a long token.
func breaksBehind(r rune) bool {
	switch r {
	case '/', '-', ',', ';', '_', '&', '=', '?', '–', '—':
		return true
	}
	return false
}

// wide reports whether a line may break behind a rune without a space: the scripts of East Asia.
func wide(r rune) bool {
	return r >= 0x2e80 && r <= 0x9fff || r >= 0xac00 && r <= 0xd7a3 || r >= 0xf900 && r <= 0xfaff || r >= 0xff00 && r <= 0xffef
}
