package letter

import (
	"io"
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// textWidth is the longest line of the plain text, in columns.
const textWidth = 78

// WriteText writes the letter as plain text in UTF-8, in lines of at most 78 columns and with LF line ends. A word that
// is longer than a line, such as an address, is cut.
func (l *Letter) WriteText(w io.Writer) error {
	var b strings.Builder
	for i := 0; i < len(l.Blocks); {
		n := group(l.Blocks[i:])
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		textGroup(&b, l.Blocks[i:i+n])
		i += n
	}
	b.WriteString("\n" + centred("End of letter") + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// group counts the blocks at the beginning that are set together: the items of one list, the rows of one table.
func group(bs []Block) int {
	switch bs[0].Kind {
	case Item, Numbered, Fact, Row:
		for n := 1; n < len(bs); n++ {
			if bs[n].Kind != bs[0].Kind {
				return n
			}
		}
		return len(bs)
	}
	return 1
}

func textGroup(b *strings.Builder, bs []Block) {
	put := func(first, next string, l Line) { fill(b, first, next, l.String()) }
	switch x := bs[0]; x.Kind {
	case Title:
		start := b.Len()
		put("", "", x.Text)
		b.WriteString(underline(b.String()[start:], "="))
	case Heading:
		b.WriteByte('\n')
		start := b.Len()
		put("", "", x.Text)
		b.WriteString(underline(b.String()[start:], "-"))
	case Subheading:
		put("", "", x.Text)
	case Quote:
		put("  | ", "  | ", x.Text)
	case Caution:
		put("* ", "  ", x.Text)
	case Rule:
		b.WriteString(strings.Repeat("-", textWidth) + "\n")
	case Item:
		for _, i := range bs {
			put("- ", "  ", i.Text)
		}
	case Numbered:
		for _, i := range bs {
			put(pad(i.Label+".", 4), "    ", i.Text)
		}
	case Fact:
		textFacts(b, bs)
	case Row:
		textTable(b, bs)
	default:
		put("", "", x.Text)
	}
}

// textFacts sets names and values; where the names are long the value stands beneath.
func textFacts(b *strings.Builder, bs []Block) {
	const most = 24
	col := 0
	for _, f := range bs {
		if n := columns(f.Cells[0].String()) + 3; n <= most {
			col = max(col, n)
		}
	}
	col = max(col, 12)
	indent := strings.Repeat(" ", col)
	for _, f := range bs {
		name := f.Cells[0].String() + ":"
		if columns(name)+2 > col {
			fill(b, "", "  ", name)
			fill(b, indent, indent, f.Cells[1].String())
			continue
		}
		fill(b, pad(name, col), indent, f.Cells[1].String())
	}
}

// textTable sets rows of cells, each column as wide as its widest line where all fit, and else by a fair share.
func textTable(b *strings.Builder, bs []Block) {
	n := 0
	for _, r := range bs {
		n = max(n, len(r.Cells))
	}
	const gap = 2
	least, most := make([]int, n), make([]int, n)
	for _, r := range bs {
		for i, c := range r.Cells {
			for _, l := range strings.Split(c.String(), "\n") {
				most[i] = max(most[i], columns(l))
				for _, w := range breakable(l) {
					least[i] = max(least[i], min(columns(w), 20))
				}
			}
		}
	}
	ws := widths(least, most, textWidth-gap*(n-1))
	for k, r := range bs {
		cells := make([][]string, n)
		height := 1
		for i := range cells {
			if i < len(r.Cells) {
				cells[i] = wrap(r.Cells[i].String(), ws[i], ws[i])
			}
			height = max(height, len(cells[i]))
		}
		for y := 0; y < height; y++ {
			var line strings.Builder
			for i := range cells {
				s := ""
				if y < len(cells[i]) {
					s = cells[i][y]
				}
				line.WriteString(pad(s, ws[i]+gap))
			}
			b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
		}
		if k == 0 {
			var line strings.Builder
			for i := range ws {
				line.WriteString(strings.Repeat("-", ws[i]) + strings.Repeat(" ", gap))
			}
			b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
		}
	}
}

// widths shares room among columns: all their widest line where that fits; else what is left over their longest words
// goes, column by column, to the one that lacks most.
func widths(least, most []int, room int) []int {
	out := append([]int(nil), least...)
	left := room
	for _, w := range out {
		left -= w
	}
	for ; left < 0; left++ { // too many columns: the widest give way
		widest := 0
		for i := range out {
			if out[i] > out[widest] {
				widest = i
			}
		}
		if out[widest] <= 1 {
			break
		}
		out[widest]--
	}
	for ; left > 0; left-- {
		best, lack := -1, 0
		for i := range out {
			if d := most[i] - out[i]; d > lack {
				best, lack = i, d
			}
		}
		if best < 0 {
			break
		}
		out[best]++
	}
	return out
}

// fill writes a text in lines of the page's width, with what stands before its first line and before the others.
func fill(b *strings.Builder, first, next, s string) {
	for i, l := range wrap(s, textWidth-columns(first), textWidth-columns(next)) {
		p := next
		if i == 0 {
			p = first
		}
		b.WriteString(strings.TrimRight(p+l, " ") + "\n")
	}
}

// wrap cuts a text into lines of so many columns, the first and the others; line feeds in it stay.
func wrap(s string, first, next int) []string {
	var out []string
	room := first
	for _, para := range strings.Split(s, "\n") {
		line, used := "", 0
		end := func() {
			out = append(out, strings.ReplaceAll(line, "\u00a0", " "))
			line, used, room = "", 0, next
		}
		for _, w := range breakable(para) {
			n := columns(w)
			if used > 0 && used+1+n > room {
				end()
			}
			for n > room { // longer than a line
				head, tail := cut(w, room)
				if head == "" {
					break
				}
				line, used = head, columns(head)
				end()
				w, n = tail, columns(tail)
			}
			if used > 0 {
				line, used = line+" ", used+1
			}
			line, used = line+w, used+n
		}
		end()
	}
	return out
}

// breakable cuts a text into words, at spaces that may break a line.
func breakable(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f' })
}

// cut takes as much of a word as fits into so many columns, at least one character.
func cut(w string, room int) (head, tail string) {
	used := 0
	for i, r := range w {
		n := runeColumns(r)
		if used+n > room && i > 0 {
			return w[:i], w[i:]
		}
		used += n
	}
	return w, ""
}

// columns is how many columns a text takes: two for wide and full-width characters (Unicode UAX 11), none for
// combining marks.
func columns(s string) int {
	n := 0
	for _, r := range s {
		n += runeColumns(r)
	}
	return n
}

func runeColumns(r rune) int {
	if unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf) {
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

func pad(s string, n int) string {
	return s + strings.Repeat(" ", max(0, n-columns(s)))
}

func underline(s, with string) string {
	n := 0
	for _, l := range strings.Split(s, "\n") {
		n = max(n, columns(l))
	}
	return strings.Repeat(with, n) + "\n"
}

func centred(s string) string { return strings.Repeat(" ", max(0, (textWidth-columns(s))/2)) + s }
