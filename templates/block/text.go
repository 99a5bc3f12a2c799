package block

import (
	"io"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// Terminal says how a Doc is printed as text.
type Terminal struct {
	Width  int                 // columns; 0: 100
	Bold   func(string) string // nil: headings are plain
	Ragged bool                // tables keep their natural width, for files and pipes
}

// Text prints the document as plain text in lines of at most t.Width columns. Wide characters count two (Unicode Standard
// Annex 11), combining marks none. A word is broken only where it alone is wider than a line.
func (d *Doc) Text(w io.Writer, t Terminal) error {
	if t.Width <= 0 {
		t.Width = 100
	}
	if t.Bold == nil {
		t.Bold = func(s string) string { return s }
	}
	p := &textPrinter{Terminal: t}
	if d.Eyebrow != "" {
		p.wrap(d.Eyebrow, "", "")
	}
	p.line(t.Bold(plain(d.Title)))
	p.blocks(d.Blocks)
	_, err := io.WriteString(w, p.b.String())
	return err
}

type textPrinter struct {
	Terminal
	b     strings.Builder
	blank bool // the last line is blank
}

func (p *textPrinter) line(s string) {
	p.b.WriteString(strings.TrimRight(s, " ") + "\n")
	p.blank = s == ""
}

func (p *textPrinter) gap() {
	if !p.blank && p.b.Len() > 0 {
		p.line("")
	}
}

func (p *textPrinter) wrap(s, first, rest string) {
	for i, l := range Wrap(plain(s), p.Width-Columns(rest)) {
		lead := rest
		if i == 0 {
			lead = first
		}
		p.line(lead + l)
	}
}

func (p *textPrinter) blocks(bs []Block) {
	for _, b := range bs {
		switch b := b.(type) {
		case Heading:
			p.gap()
			for _, l := range Wrap(plain(b.Text.String()), p.Width) {
				p.line(p.Bold(l))
			}
		case Para:
			p.gap()
			p.wrap(b.Text.String(), "", "")
		case Facts:
			p.gap()
			p.facts(b)
		case Table:
			p.gap()
			p.table(b)
		case Figures:
			for _, f := range b.Figures {
				p.gap()
				p.wrap(f.Title+". "+f.Desc, "", "")
			}
		case List:
			p.gap()
			for i, t := range b.Items {
				lead := "- "
				if b.Numbered {
					lead = strconv.Itoa(i+1) + ". "
				}
				p.wrap(t.String(), lead, strings.Repeat(" ", Columns(lead)))
			}
		case Quote:
			p.gap()
			p.wrap(b.Text.String(), "  | ", "  | ")
		case Group:
			p.blocks(b.Blocks)
		}
	}
}

func (p *textPrinter) facts(b Facts) {
	w := 0
	for _, f := range b.Rows {
		w = max(w, Columns(plain(f.Label)))
	}
	w = min(w, p.Width/3)
	for _, f := range b.Rows {
		label := Wrap(plain(f.Label), w)
		for i, l := range Wrap(plain(f.Text.String()), max(p.Width-w-2, 10)) {
			head := ""
			if i < len(label) {
				head = label[i]
			}
			p.line(pad(head, w) + "  " + l)
		}
	}
}

// table prints aligned columns. Where they do not fit, the widest are narrowed and their cells wrapped at words; where not
// even the longest words fit, each row is a paragraph in which every cell stands behind its head.
func (p *textPrinter) table(b Table) {
	cells := make([][]string, 0, len(b.Rows)+1)
	head := make([]string, len(b.Columns))
	for i, c := range b.Columns {
		head[i] = plain(c.Head)
	}
	cells = append(cells, head)
	for _, r := range b.Rows {
		line := make([]string, len(b.Columns))
		for i := range line {
			if i < len(r) {
				line[i] = plain(r[i].String())
			}
		}
		cells = append(cells, line)
	}
	widths, ok := columnWidths(cells, p.Width, p.Ragged)
	if !ok {
		for _, r := range cells[1:] {
			p.record(head, r)
		}
		return
	}
	for n, r := range cells {
		wrapped, high := make([][]string, len(r)), 1
		for i, c := range r {
			wrapped[i] = Wrap(c, widths[i])
			high = max(high, len(wrapped[i]))
		}
		for k := range high {
			line := ""
			for i := range r {
				c := ""
				if k < len(wrapped[i]) {
					c = wrapped[i][k]
				}
				if b.Columns[i].Right {
					c = strings.Repeat(" ", max(widths[i]-Columns(c), 0)) + c
				}
				line += pad(c, widths[i]) + "  "
			}
			if line = strings.TrimRight(line, " "); n == 0 {
				line = p.Bold(line)
			}
			p.line(line)
		}
	}
}

// record prints one row of a table that is too wide: its first cell, then each other behind its head.
func (p *textPrinter) record(head, r []string) {
	var parts []string
	for i, c := range r {
		if i > 0 && c != "" {
			parts = append(parts, strings.TrimSpace(head[i]+" "+c))
		}
	}
	p.line(p.Bold(r[0]))
	p.wrap(strings.Join(parts, "; "), "    ", "    ")
}

// columnWidths gives the width of each column, false where even the longest words do not fit.
func columnWidths(cells [][]string, avail int, ragged bool) ([]int, bool) {
	n := len(cells[0])
	most, least := make([]int, n), make([]int, n)
	for _, r := range cells {
		for i, c := range r {
			for _, l := range strings.Split(c, "\n") {
				most[i] = max(most[i], Columns(l))
			}
			for _, w := range strings.Fields(c) {
				least[i] = max(least[i], Columns(w))
			}
		}
	}
	total := func(ws []int) (s int) {
		for _, w := range ws {
			s += w + 2
		}
		return s - 2
	}
	if ragged || total(most) <= avail {
		return most, true
	}
	if total(least) > avail {
		return nil, false
	}
	for total(most) > avail { // the widest that can still give
		k := -1
		for i := range most {
			if most[i] > least[i] && (k < 0 || most[i] > most[k]) {
				k = i
			}
		}
		most[k]--
	}
	return most, true
}

// Columns is how many columns of a terminal a text takes: two for a wide or full-width character (Unicode Standard Annex
// 11), none for a combining mark or a format character.
func Columns(s string) int {
	n := 0
	for _, r := range s {
		switch {
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		default:
			n++
			if k := width.LookupRune(r).Kind(); k == width.EastAsianWide || k == width.EastAsianFullwidth {
				n++
			}
		}
	}
	return n
}

// Wrap breaks a text at spaces into lines of at most w columns, and between wide characters; a word is broken only where
// it alone is wider. There is always one line.
func Wrap(s string, w int) []string {
	w = max(w, 1)
	var out []string
	for _, para := range strings.Split(s, "\n") {
		line, used := "", 0
		for _, word := range strings.Fields(para) {
			n := Columns(word)
			if line != "" && used+1+n <= w {
				line, used = line+" "+word, used+1+n
				continue
			}
			if line != "" {
				out = append(out, line)
			}
			for n > w {
				head, tail := cut(word, w)
				out = append(out, head)
				word, n = tail, Columns(tail)
			}
			line, used = word, n
		}
		out = append(out, line)
	}
	return out
}

// cut parts a word so that the head takes at most w columns, and one character at the least.
func cut(word string, w int) (head, tail string) {
	used := 0
	for i, r := range word {
		n := Columns(string(r))
		if used+n > w && i > 0 {
			return word[:i], word[i:]
		}
		used += n
	}
	return word, ""
}

func pad(s string, w int) string { return s + strings.Repeat(" ", max(w-Columns(s), 0)) }

// plain makes a foreign text fit for a terminal: control and formatting characters become spaces, line breaks stay.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case unicode.IsControl(r), unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp), r == unicode.ReplacementChar:
			return ' '
		}
		return r
	}, s)
}
