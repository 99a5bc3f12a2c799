package letter

import (
	"fmt"
	"strings"
	"unicode"
)

// Kind is what a block of a letter is.
type Kind int

// The kinds of blocks, each with the mark that begins its line in a template.
const (
	Paragraph  Kind = iota // no mark
	Title                  // "# "
	Heading                // "## "
	Subheading             // "### "
	Item                   // "- "
	Numbered               // "1. ", with any number
	Quote                  // "> ", a text in its author's own words
	Fact                   // "= name | value"; one without a value is left out
	Row                    // "| a | b |"; the first of several is the head of their table
	Caution                // "! "
	Rule                   // "---"
)

// Run is a piece of running text. A line feed within it is a line break.
type Run struct {
	Text  string
	Blank bool // to be completed by the sender; Text says what
}

// Line is the running text of a block or of a cell.
type Line []Run

// String is the text as it is printed without styles, blanks in square brackets.
func (l Line) String() string {
	var b strings.Builder
	for _, r := range l {
		if r.Blank {
			b.WriteString(blankText(r.Text))
			continue
		}
		b.WriteString(r.Text)
	}
	return b.String()
}

func blankText(what string) string { return "[to be completed by the sender: " + what + "]" }

// empty reports whether nothing would be printed.
func (l Line) empty() bool { return strings.TrimSpace(l.String()) == "" }

// Block is one part of a letter: what both the PDF and the plain text are made from.
type Block struct {
	Kind  Kind
	Text  Line
	Label string // of a Numbered: its number
	Cells []Line // of a Row; of a Fact the name and the value
}

// The marks within a rendered template. Text of the case is enclosed, so that it is never taken for markup, whatever it
// holds; a template's own text may not hold control characters.
const (
	textOpen   = '\x01'
	textClose  = '\x02'
	blankOpen  = '\x03'
	blankClose = '\x04'
	lineBreak  = '\x0b'
)

// Text is a piece of text from the audit. A template prints it as text: nothing in it is markup.
type Text string

// String encloses the text for the parser; the empty text stays empty.
func (t Text) String() string {
	s := strings.TrimSpace(clean(string(t)))
	if s == "" {
		return ""
	}
	return string(textOpen) + strings.ReplaceAll(s, "\n", string(lineBreak)) + string(textClose)
}

// clean takes control and format characters out of a text of the case: line ends become line feeds, and the joiners stay
// that some scripts cannot be written without.
func clean(s string) string {
	s = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n\n", "\v", "\n", "\f", "\n").Replace(strings.ToValidUTF8(s, "\uFFFD"))
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case unicode.IsControl(r):
			return ' '
		case r == '\u200c' || r == '\u200d':
			return r
		case unicode.Is(unicode.Cf, r): // marks of direction could turn a line round; the others are not seen
			return -1
		}
		return r
	}, s)
}

// maxColumns is how many columns a table may have; more are not legible on a page.
const maxColumns = 12

// parse reads a rendered template into blocks.
func parse(rendered string) ([]Block, error) {
	var out []Block
	open := false // a plain line that follows belongs to the last block
	for n, line := range strings.Split(rendered, "\n") {
		line = strings.TrimSpace(line)
		if line == "" {
			open = false
			continue
		}
		b, more := begin(line)
		if b.Kind == Paragraph && open {
			last := &out[len(out)-1]
			if last.Kind == Fact || last.Kind == Row {
				return nil, fmt.Errorf("line %d of the text: %q follows a line of a table without a blank line between", n+1, plainStart(more))
			}
			last.Text = append(append(last.Text, Run{Text: " "}), runs(more)...)
			continue
		}
		switch b.Kind {
		case Rule:
			open = false
			out = append(out, b)
			continue
		case Row, Fact:
			if b.Kind == Row {
				more = strings.TrimSuffix(more, "|")
			}
			b.Cells = cells(more)
			if len(b.Cells) > maxColumns {
				return nil, fmt.Errorf("line %d of the text: %d columns: at most %d would do", n+1, len(b.Cells), maxColumns)
			}
			if b.Kind == Fact {
				if len(b.Cells) != 2 {
					return nil, fmt.Errorf("line %d of the text: %q: expected = name | value", n+1, plainStart(line))
				}
				if b.Cells[1].empty() {
					continue
				}
			}
		default:
			b.Text = runs(more)
		}
		open = b.Kind != Title && b.Kind != Heading && b.Kind != Subheading
		out = append(out, b)
	}
	return out, nil
}

// plainStart is the beginning of a line, for an error.
func plainStart(line string) string {
	s := runs(line).text()
	if r := []rune(s); len(r) > 60 {
		s = string(r[:60]) + "…"
	}
	return s
}

func (l Line) text() string { return strings.ReplaceAll(l.String(), "\n", " ") }

// begin finds the kind of a line by its mark and gives what stands behind it.
func begin(line string) (Block, string) {
	for _, m := range []struct {
		mark string
		kind Kind
	}{{"### ", Subheading}, {"## ", Heading}, {"# ", Title}, {"- ", Item}, {"> ", Quote}, {"= ", Fact}, {"| ", Row}, {"! ", Caution}} {
		if rest, ok := strings.CutPrefix(line, m.mark); ok {
			return Block{Kind: m.kind}, strings.TrimSpace(rest)
		}
	}
	if line == "---" {
		return Block{Kind: Rule}, ""
	}
	if num, rest, ok := strings.Cut(line, ". "); ok && len(num) > 0 && len(num) <= 3 && strings.Trim(num, "0123456789") == "" {
		return Block{Kind: Numbered, Label: num}, strings.TrimSpace(rest)
	}
	return Block{Kind: Paragraph}, line
}

// cells cuts a line at the bars that are no part of a text of the case.
func cells(line string) []Line {
	var out []Line
	depth, from := 0, 0
	for i, r := range line {
		switch r {
		case textOpen, blankOpen:
			depth++
		case textClose, blankClose:
			depth--
		case '|':
			if depth == 0 {
				out = append(out, runs(strings.TrimSpace(line[from:i])))
				from = i + 1
			}
		}
	}
	return append(out, runs(strings.TrimSpace(line[from:])))
}

// runs takes the marks out of a line: line breaks become line feeds, blanks become runs of their own.
func runs(line string) Line {
	var out Line
	var b strings.Builder
	end := func(blank bool) {
		if b.Len() > 0 {
			out = append(out, Run{Text: b.String(), Blank: blank})
			b.Reset()
		}
	}
	for _, r := range line {
		switch r {
		case textOpen, textClose:
		case lineBreak:
			b.WriteByte('\n')
		case blankOpen:
			end(false)
		case blankClose:
			end(true)
		default:
			b.WriteRune(r)
		}
	}
	end(false)
	return out
}
