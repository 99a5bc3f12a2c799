package listing

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// pageReader turns the tokens of a page into lines of visible text. It works on tokens, not on a tree, so that its
// memory is bounded by the text that it keeps, and it knows at each character where that stands in the source.
type pageReader struct {
	t         *Text
	body      strings.Builder
	line, col int // of the next source character
	open      []element
	overflow  int // open elements beyond maxDepth
	hidden    int // open elements that hide their content
	folded    int // open elements that the page itself hides: their text is read and set apart
	unread    int // characters of such text
	data      pageData
	sheets    hiding
	struck    int
	pre       int
	gap       bool // white space is due before the next character
	gapAt     [2]int
	fresh     bool // at the start of a line
	tables    []*table
	full      bool
	runes     int    // written since the last mark
	span      [2]int // columns and rows of the cell being opened
}

type element struct {
	tag                 atom.Atom
	hides, strikes, pre bool
	folds               bool   // the page itself hides it
	data                bool   // JSON-LD
	direct              bool   // it holds text of its own, outside its elements
	kids                int    // inline elements with text in it so far
	of                  string // what the element's name says that it holds, where that is no part of the offer
	start               int    // of its text in the body
	heads               int    // headings before it
}

const maxDepth = 2048

func (t *Text) readHTML(src string) error {
	p := &pageReader{t: t, line: 1, col: 1, fresh: true, sheets: hiding{}}
	z := html.NewTokenizer(strings.NewReader(src))
	for !p.full {
		kind := z.Next()
		if kind == html.ErrorToken {
			if err := z.Err(); err != io.EOF {
				return err
			}
			break
		}
		raw := string(z.Raw())
		line, col := p.line, p.col
		switch kind {
		case html.TextToken:
			p.text(raw)
		case html.StartTagToken, html.SelfClosingTagToken:
			p.start(z, raw, kind == html.SelfClosingTagToken)
		case html.EndTagToken:
			name, _ := z.TagName()
			p.end(atom.Lookup(name))
		}
		p.line, p.col = line, col
		p.advance(raw)
	}
	for len(p.open) > 0 {
		p.pop()
	}
	p.newline()
	p.writeData()
	if p.full {
		return t.tooLong()
	}
	t.Body, t.Unread = p.body.String(), p.unread
	for i := range t.heads {
		if t.heads[i].until == 0 {
			t.heads[i].until = len(t.Body)
		}
	}
	return nil
}

// advance moves the source position over s.
func (p *pageReader) advance(s string) {
	for _, r := range s {
		if r == '\n' {
			p.line, p.col = p.line+1, 1
		} else {
			p.col++
		}
	}
}

// text writes a text token: entities decoded, white space collapsed, each character with its place.
func (p *pageReader) text(raw string) {
	if p.hidden > 0 {
		p.passOver(raw)
		return
	}
	if p.folded > 0 {
		p.unread += utf8.RuneCountInString(strings.Join(strings.Fields(raw), " "))
	}
	if n := len(p.open); n > 0 && strings.TrimSpace(raw) != "" {
		p.open[n-1].direct = true
	}
	raised := p.isMark(raw)
	for raw != "" && !p.full {
		r, n := utf8.DecodeRuneInString(raw)
		line, col := p.line, p.col
		switch {
		case r == '&':
			n = entity(raw)
			for _, d := range html.UnescapeString(raw[:n]) {
				p.char(d, line, col, n > 1)
			}
		case raised && r >= '0' && r <= '9':
			p.char([]rune("⁰¹²³⁴⁵⁶⁷⁸⁹")[r-'0'], line, col, true)
		default:
			p.char(r, line, col, false)
		}
		p.advance(raw[:n])
		raw = raw[n:]
	}
}

// passOver takes the rules of a style sheet and the page's data.
func (p *pageReader) passOver(raw string) {
	n := len(p.open)
	if n > 0 && p.open[n-1].tag == atom.Style {
		p.sheets.add(raw)
		return
	}
	if n > 0 && p.open[n-1].data && len(p.data.scripts) < 20 {
		p.data.scripts = append(p.data.scripts, piece{text: raw, line: p.line, col: p.col})
	}
}

// entity is the length of the character reference that s begins with, 1 where it is a bare ampersand.
func entity(s string) int {
	for i := 1; i < len(s) && i < 33; i++ {
		c := s[i]
		switch {
		case c == ';':
			return i + 1
		case c == '#' && i == 1, c >= '0' && c <= '9', c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z':
		default:
			return 1
		}
	}
	return 1
}

// char writes one character of visible text. Breaking white space is collapsed; soft hyphens and zero-width
// characters are not shown, so they are left out.
func (p *pageReader) char(r rune, line, col int, flat bool) {
	if r == '\u00ad' || r == '\u200b' || r == '\ufeff' || r == 0 {
		return
	}
	if r == ' ' || r == '\t' || r == '\n' || r == '\r' || r == '\f' {
		if p.pre > 0 && r == '\n' {
			p.newline()
		} else if !p.gap {
			p.gap, p.gapAt = true, [2]int{line, col}
		}
		return
	}
	if unicode.IsControl(r) {
		return
	}
	r = narrow(r)
	if p.gap && !p.atStart() {
		p.put(piece{text: " ", line: p.gapAt[0], col: p.gapAt[1]})
	}
	p.gap = false
	p.put(piece{text: string(r), line: line, col: col, flat: flat})
}

// atStart reports whether nothing stands yet on the line or in the cell being written.
func (p *pageReader) atStart() bool {
	if c := p.cell(); c != nil {
		return c.empty()
	}
	return p.fresh
}

// put writes a piece into the open cell, or into the body.
func (p *pageReader) put(q piece) {
	q.struck = q.struck || p.struck > 0
	if c := p.cell(); c != nil {
		c.add(q)
		if c.size > MaxText {
			p.full = true
		}
		return
	}
	p.write(q)
}

// write appends a piece to the body with its mark.
func (p *pageReader) write(q piece) {
	if p.body.Len()+len(q.text) > MaxText {
		p.full = true
		return
	}
	off := p.body.Len()
	if p.t.addMark(mark{off: off, line: q.line, col: q.col, flat: q.flat}, p.runes) {
		p.runes = 0
	}
	p.runes += utf8.RuneCountInString(q.text)
	p.body.WriteString(q.text)
	p.fresh = false
	if q.struck {
		s := p.t.struck
		if n := len(s); n > 0 && s[n-1][1] == off {
			s[n-1][1] = p.body.Len()
		} else {
			p.t.struck = append(s, [2]int{off, p.body.Len()})
		}
	}
}

// addMark appends m unless the last mark already implies it: runes characters further on, on the same line. It reports whether it did.
func (t *Text) addMark(m mark, runes int) bool {
	if n := len(t.marks); n > 0 && runes < 1024 { // a mark now and then, so that a place is found quickly
		l := t.marks[n-1]
		if l.flat && m.flat && l.line == m.line && l.col == m.col || !l.flat && !m.flat && l.line == m.line && l.col+runes == m.col {
			return false
		}
	}
	t.marks = append(t.marks, m)
	return true
}

// newline ends the line, or marks a break inside the open cell.
func (p *pageReader) newline() {
	p.gap = false
	if c := p.cell(); c != nil {
		c.lineBreak()
		return
	}
	p.breakLine()
}

func (p *pageReader) breakLine() {
	if !p.fresh {
		p.write(piece{text: "\n", line: p.line, col: p.col, flat: true})
		p.fresh = true
	}
}

// hiddenByDefault are elements that a browser does not show as text.
var hiddenByDefault = map[atom.Atom]bool{atom.Script: true, atom.Style: true, atom.Template: true, atom.Noscript: true,
	atom.Iframe: true, atom.Object: true, atom.Svg: true, atom.Math: true, atom.Noembed: true, atom.Noframes: true,
	atom.Audio: true, atom.Video: true, atom.Canvas: true, atom.Datalist: true, atom.Textarea: true}

var void = map[atom.Atom]bool{atom.Area: true, atom.Base: true, atom.Br: true, atom.Col: true, atom.Embed: true,
	atom.Hr: true, atom.Img: true, atom.Input: true, atom.Link: true, atom.Meta: true, atom.Param: true,
	atom.Source: true, atom.Track: true, atom.Wbr: true}

var block = map[atom.Atom]bool{atom.Address: true, atom.Article: true, atom.Aside: true, atom.Blockquote: true,
	atom.Body: true, atom.Button: true, atom.Caption: true, atom.Details: true, atom.Dialog: true, atom.Div: true,
	atom.Dl: true, atom.Fieldset: true, atom.Figcaption: true, atom.Figure: true, atom.Footer: true, atom.Form: true,
	atom.H1: true, atom.H2: true, atom.H3: true, atom.H4: true, atom.H5: true, atom.H6: true, atom.Head: true,
	atom.Header: true, atom.Hgroup: true, atom.Html: true, atom.Legend: true, atom.Li: true, atom.Main: true,
	atom.Nav: true, atom.Ol: true, atom.Option: true, atom.P: true, atom.Pre: true, atom.Section: true,
	atom.Select: true, atom.Summary: true, atom.Table: true, atom.Title: true, atom.Ul: true}
