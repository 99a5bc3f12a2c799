package letter

import (
	"io"
	"regexp"
	"strings"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

// PDFOptions say how a letter is set.
type PDFOptions struct {
	Paper string // "a4", which is also meant by "", or "letter"
	Font  []byte // a TrueType font for characters that the Go fonts lack; may be nil
}

// WritePDF writes the letter as a PDF; its dates are the letter's day of issue, so that the same letter gives the same
// bytes. The warnings name what could not be printed as it stands. On an error nothing has been written.
func (l *Letter) WritePDF(w io.Writer, o PDFOptions) (warnings []string, err error) {
	d, err := l.document(o)
	if err != nil {
		return nil, err
	}
	return d.Write(w)
}

func (l *Letter) document(o PDFOptions) (*document.Doc, error) {
	d, err := document.New(document.Options{Paper: o.Paper, Font: o.Font, Lang: "en", Created: l.Issued, Title: l.Title,
		Creator: strings.TrimSpace("weighhouse " + l.Version), Footer: l.footer, Closing: "End of letter", BodySize: 9})
	if err != nil {
		return nil, err
	}
	for i := 0; i < len(l.Blocks); {
		n := 1
		if l.Blocks[i].Kind == Subheading { // a row or a finding stays on one page
			for i+n < len(l.Blocks) && l.Blocks[i+n].Kind > Subheading && l.Blocks[i+n].Kind != Row {
				n++
			}
		}
		part := l.Blocks[i : i+n]
		if n > 1 {
			d.KeepTogether(func() { set(d, part) })
		} else {
			n = group(l.Blocks[i:])
			setGroup(d, l.Blocks[i:i+n], i+n < len(l.Blocks) && leads(l.Blocks[i], l.Blocks[i+n]))
		}
		i += n
	}
	return d, nil
}

// leads reports whether a block leads up to the next, so that they stand on one page.
func leads(b, next Block) bool {
	if b.Kind != Paragraph {
		return false
	}
	switch next.Kind {
	case Item, Numbered, Fact, Row, Quote, Subheading:
		return true
	}
	return false
}

// set sets blocks one after the other.
func set(d *document.Doc, bs []Block) {
	for i := 0; i < len(bs); {
		n := group(bs[i:])
		setGroup(d, bs[i:i+n], false)
		i += n
	}
}

func setGroup(d *document.Doc, bs []Block, keep bool) {
	switch b := bs[0]; b.Kind {
	case Title:
		d.Styled(document.Style{Size: 16, Before: 14, After: 8, Face: typeface.Bold, Tag: "H1", KeepNext: true, Whole: true}, spans(b.Text)...)
	case Heading:
		d.HeadingText(1, b.Text.text(), spans(b.Text)...)
	case Subheading:
		d.Bookmark(1, b.Text.text())
		d.Styled(document.Style{Size: 9.2, Before: 10, After: 2, Face: typeface.Bold, Tag: "H3", KeepNext: true, Whole: true}, spans(b.Text)...)
	case Quote:
		d.Styled(document.Style{Size: 8.6, Indent: 10, Bar: true, After: 3, Tag: "BlockQuote"}, spans(b.Text)...)
	case Caution:
		d.Styled(document.Style{Indent: 10, Bar: true, Whole: true, Size: 8.5}, spans(b.Text)...)
	case Rule:
		d.Rule()
	case Item:
		d.List(texts(bs)...)
	case Numbered:
		d.Numbered(texts(bs)...)
	case Fact:
		t := document.Table{Size: 8, Bare: true, RowHeads: true, After: 6, Columns: []document.Column{{Head: "Item", Width: 18}, {Head: "Value", Width: 82}}}
		for _, f := range bs {
			t.Rows = append(t.Rows, []document.Text{spans(f.Cells[0]), spans(f.Cells[1])})
		}
		d.Table(t)
	case Row:
		t := document.Table{Size: 8, RowHeads: true, Tight: len(bs) > 12}
		for _, c := range b.Cells {
			t.Columns = append(t.Columns, document.Column{Head: c.text()})
		}
		for _, r := range bs[1:] {
			var row []document.Text
			for _, c := range r.Cells {
				row = append(row, spans(c))
			}
			t.Rows = append(t.Rows, row)
		}
		d.Table(t)
	default:
		d.Styled(document.Style{KeepNext: keep}, spans(b.Text)...)
	}
}

func texts(bs []Block) []document.Text {
	var out []document.Text
	for _, b := range bs {
		out = append(out, spans(b.Text))
	}
	return out
}

// hash is a SHA-256 in hexadecimal.
var hash = regexp.MustCompile(`\b[0-9a-f]{64}\b`)

// spans sets a line; blanks are marked, so that the sender finds them. A hash is set in the face of equal widths.
func spans(l Line) document.Text {
	var out document.Text
	for _, r := range l {
		if r.Blank {
			out = append(out, document.Mark(blankText(strings.TrimSpace(r.Text))))
			continue
		}
		at := 0
		for _, m := range hash.FindAllStringIndex(r.Text, -1) {
			out = append(out, document.Plain(r.Text[at:m[0]]), document.Span{Text: r.Text[m[0]:m[1]], Face: typeface.Mono, Tone: figure.Soft, Scale: 0.85})
			at = m[1]
		}
		out = append(out, document.Plain(r.Text[at:]))
	}
	return out
}
