package block

import (
	"io"
	"strings"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

// Paper says how a Doc is put on paper.
type Paper struct {
	Size   string // "a4", which is also meant by "", or "letter"
	Font   []byte // a TrueType font for characters that the built-in fonts lack; may be nil
	Attach []document.Attachment
}

// PDF prints the document as a tagged PDF. The same document and paper give the same bytes. The warnings name what could
// not be printed as it stands. On an error nothing has been written.
func (d *Doc) PDF(w io.Writer, p Paper) (warnings []string, err error) {
	out, err := d.Lay(p)
	if err != nil {
		return nil, err
	}
	return out.Write(w)
}

// Lay sets the document on pages without writing them, for tests that look at what is drawn.
func (d *Doc) Lay(p Paper) (*document.Doc, error) {
	out, err := document.New(document.Options{Paper: p.Size, Font: p.Font, Created: d.Created, Title: d.Title, Author: d.Author, Creator: d.Creator,
		Subject: d.Subject, Lang: d.Lang, Footer: d.Footer, Closing: d.Closing})
	if err != nil {
		return nil, err
	}
	for _, a := range p.Attach {
		if err := out.Attach(a); err != nil {
			return nil, err
		}
	}
	if d.Eyebrow != "" {
		out.Styled(document.Style{Size: 8, Tone: figure.Soft, KeepNext: true}, document.Plain(d.Eyebrow))
	}
	out.Title(d.Title)
	lay(out, d.Blocks)
	return out, nil
}

// secondary is the em of secondary type on paper.
const secondary = 8

func lay(out *document.Doc, bs []Block) {
	for _, b := range bs {
		switch b := b.(type) {
		case Heading:
			if b.Anchor != "" {
				out.Anchor(b.Anchor)
			}
			out.HeadingText(b.Level, b.Text.String(), spans(b.Text)...)
		case Para:
			st := document.Style{KeepNext: b.Next}
			if b.Small {
				st.Size, st.Tone = secondary, figure.Soft
			}
			out.Styled(st, spans(b.Text)...)
		case Facts:
			t := document.Table{Bare: true, RowHeads: true, Columns: []document.Column{{Width: 18}, {Width: 82}}}
			for _, f := range b.Rows {
				t.Rows = append(t.Rows, []document.Text{document.T(f.Label), spans(f.Text)})
			}
			out.Table(t)
		case Table:
			layTable(out, b)
		case Figures:
			out.Figures(b.Figures...)
		case List:
			items := make([]document.Text, len(b.Items))
			for i := range items {
				items[i] = spans(b.Items[i])
			}
			switch {
			case b.Numbered:
				out.Numbered(items...)
			case b.Small:
				out.SmallList(secondary, items...)
			default:
				out.List(items...)
			}
		case Quote:
			out.Styled(document.Style{Indent: 12, Bar: true}, spans(b.Text)...)
		case Group:
			if b.Closed {
				lay(out, b.Blocks)
				continue
			}
			out.KeepTogether(func() { lay(out, b.Blocks) })
		case Break:
			out.PageBreak()
		}
	}
}

func layTable(out *document.Doc, b Table) {
	t := document.Table{Size: b.Size, RowHeads: true, Anchors: b.Anchors}
	for _, c := range b.Columns {
		col := document.Column{Head: c.Head, Width: c.Width}
		if c.Right {
			col.Align = document.Right
		}
		t.Columns = append(t.Columns, col)
	}
	for _, r := range b.Rows {
		row := make([]document.Text, len(r))
		for i := range r {
			row[i] = spans(r[i])
		}
		t.Rows = append(t.Rows, row)
	}
	out.Table(t)
}

func spans(t Text) document.Text {
	out := make(document.Text, 0, len(t))
	for _, i := range t {
		s := document.Plain(i.Text)
		switch {
		case i.Icon != nil:
			s = document.Inline(*i.Icon)
		case strings.HasPrefix(i.To, "#"):
			s = document.To(i.To[1:], i.Text)
		case i.To != "":
			s = document.Web(i.To, i.Text)
		}
		switch i.Style {
		case Bold:
			s.Face = typeface.Bold
		case Soft:
			s.Tone = figure.Soft
		case Mono:
			m := document.Mono(i.Text)
			s.Face, s.Scale = m.Face, m.Scale
		case Marked:
			s.Marked = true
		}
		out = append(out, s)
	}
	return out
}
