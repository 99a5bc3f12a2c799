package vetting

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/words"
)

// Options say how the PDF is made.
type Options struct {
	Paper string // "a4", which is also meant by "", or "letter"
	Font  []byte // a TrueType font for characters that the Go fonts lack; may be nil
}

// WritePDF writes the vetting as a PDF with its JSON attached. The same vetting and options give the same bytes. The
// warnings name what could not be printed as it stands. On an error nothing has been written.
func WritePDF(w io.Writer, v *Vetting, o Options) (warnings []string, err error) {
	d, err := build(v, o)
	if err != nil {
		return nil, err
	}
	return d.Write(w)
}

type report struct {
	*document.Doc
	v *Vetting
}

func build(v *Vetting, o Options) (*document.Doc, error) {
	day, err := time.Parse(time.DateOnly, v.Issued)
	if err != nil {
		return nil, fmt.Errorf("day of issue %q: a date such as 2031-03-14 would do", v.Issued)
	}
	d, err := document.New(document.Options{Paper: o.Paper, Font: o.Font, Created: day, Title: title(v),
		Creator: strings.TrimSpace("weighhouse " + v.Version), Subject: "The claims of a listing, what its words leave open, and what its numbers imply",
		Footer: words.Shorten(title(v), 70) + " · read " + v.Issued, Closing: "End of report"})
	if err != nil {
		return nil, err
	}
	var js bytes.Buffer
	if err := WriteJSON(&js, v); err != nil {
		return nil, err
	}
	if err := d.Attach(document.Attachment{Name: "vet.json", MIME: "application/json", Relationship: "Data", Description: "the reading of the listing as data", Data: js.Bytes()}); err != nil {
		return nil, err
	}
	p := report{d, v}
	p.Title(title(v))
	p.facts()
	p.Paragraph(document.Bold(words.Upper(tally(v))+"."), document.Plain(" Nothing was measured."))
	p.summary()
	p.claims()
	p.findings()
	p.passed()
	p.implied()
	p.costs()
	p.Heading(1, "Questions to send to the seller")
	p.small(aboutAsked)
	p.Numbered(texts(v.Questions)...)
	if len(v.Notes) > 0 {
		p.Heading(1, "Notes")
		p.List(texts(v.Notes)...)
	}
	p.Heading(1, "Cautions")
	p.List(texts(v.Cautions)...)
	return d, nil
}

func texts(ss []string) (out []document.Text) {
	for _, s := range ss {
		out = append(out, document.T(s))
	}
	return out
}

func (p report) facts() {
	t := document.Table{Bare: true, RowHeads: true, Columns: []document.Column{{Width: 12}, {Width: 88}}}
	for _, f := range facts(p.v) {
		t.Rows = append(t.Rows, []document.Text{document.T(f[0]), document.T(f[1])})
	}
	p.Table(t)
}

// summary is what a reader with one minute takes away.
func (p report) summary() {
	s := summary(p.v)
	p.Heading(1, "In short")
	t := document.Table{RowHeads: true, Columns: []document.Column{{Head: "Quantity", Width: 22}, {Head: "What the listing promises, in its own units", Width: 78}}}
	for _, x := range s.Promises {
		name := words.Upper(x.Quantity)
		if x.Unsure {
			name += " (with an assumption)"
		}
		t.Rows = append(t.Rows, []document.Text{document.T(name), document.T(strings.Join(x.Figures, "; "))})
	}
	for i, f := range s.Disagrees {
		if i == mostAsked {
			break
		}
		t.Rows = append(t.Rows, []document.Text{document.T("Disagrees"), {document.Plain(words.Upper(what(f)) + ": " + f.Why)}})
	}
	for i, q := range s.Ask {
		t.Rows = append(t.Rows, []document.Text{document.T(fmt.Sprintf("Ask %d", i+1)), document.T(q)})
	}
	t.Rows = append(t.Rows, []document.Text{document.T("How it was read"), document.T(words.Upper(s.Counts))})
	p.Table(t)
}

// small is secondary text above what it is about.
func (p report) small(s string) {
	p.Styled(document.Style{Size: 8, Tone: figure.Soft, KeepNext: true}, document.Plain(s))
}

// anchor names a claim's row.
func anchor(id string) string { return "claim " + id }

func (p report) claims() {
	p.Heading(1, "What it claims")
	if len(p.v.Claims) == 0 {
		p.Paragraph(document.Plain(noClaims))
	} else {
		p.small(aboutClaims)
		t := document.Table{RowHeads: true, Columns: []document.Column{{Head: "Claim", Width: 7}, {Head: "The listing's words", Width: 40}, {Head: "What was understood", Width: 53}}}
		for _, d := range p.v.Claims {
			at := place(p.v, d.Line, d.Col)
			if len(d.Also) > 0 {
				at += ", again at " + strings.Join(d.Also, ", ")
			}
			understood := document.Text{document.Plain(capital(display(d.Understood)))}
			for _, n := range d.Claim.Notes {
				understood = append(understood, document.Soft("\n"+capital(n)+"."))
			}
			t.Rows = append(t.Rows, []document.Text{document.T(d.Claim.ID), {document.Plain("“" + oneLine(d.Quote) + "”"), document.Soft("\n" + at)}, understood})
			t.Anchors = append(t.Anchors, anchor(d.Claim.ID))
		}
		p.Table(t)
	}
	p.figures()
}

// figures sets prices and what else the listing states.
func (p report) figures() {
	t := document.Table{Columns: []document.Column{{Head: "Also stated", Width: 35}, {Head: "The listing's words", Width: 35}, {Head: "Place", Width: 30}}}
	for _, x := range p.v.Prices {
		t.Rows = append(t.Rows, []document.Text{document.T(words.Upper(priceKind(x)) + ": " + priceValue(x)), document.T("“" + oneLine(x.Quote) + "”"), {document.Soft(place(p.v, x.Line, x.Col))}})
	}
	for _, x := range p.v.Stated {
		t.Rows = append(t.Rows, []document.Text{document.T(words.Upper(statedText(x))), document.T("“" + oneLine(x.Quote) + "”"), {document.Soft(place(p.v, x.Line, x.Col))}})
	}
	if len(t.Rows) > 0 {
		p.Table(t)
	}
}

func (p report) findings() {
	p.Heading(1, "What the words leave open")
	if len(p.v.Open()) == 0 {
		p.Paragraph(document.Plain(noFindings))
	} else {
		p.small(aboutFindings)
	}
	for _, g := range gather(weighed(p.v)) {
		p.finding(g, words.Upper(g.Severity)+": "+what(g.Found))
	}
	if len(p.v.Fixed()) == 0 {
		return
	}
	p.Heading(1, "What the words state with a fixed meaning")
	p.small(aboutFixed)
	for _, g := range gather(p.v.Fixed()) {
		p.finding(g, words.Upper(what(g.Found)))
	}
}

func (p report) finding(g gathered, title string) {
	f := g.Found
	p.KeepTogether(func() {
		head := document.Text{document.Plain(title), {Text: "  " + rules(f) + ", " + place(p.v, f.Line, f.Col), Tone: figure.Soft, Scale: 0.85}}
		for i, id := range g.Claims {
			sep := ", "
			if i == 0 {
				sep = " · "
			}
			head = append(head, document.Span{Text: sep, Tone: figure.Soft, Scale: 0.85}, document.Span{Text: id, To: "#" + anchor(id), Scale: 0.85})
		}
		p.HeadingText(3, "", head...)
		if f.Quote != "" {
			p.Styled(document.Style{Indent: 12, Bar: true, KeepNext: true}, document.Plain("“"+oneLine(f.Quote)+"”"))
		}
		if s := again(p.v, g.Again); s != "" {
			p.Styled(document.Style{Size: 8, Tone: figure.Soft}, document.Plain(s))
		}
		p.Paragraph(document.Plain(f.Why))
		if f.Ask != "" {
			p.Paragraph(document.Bold("Ask: "), document.Plain(f.Ask))
		}
		p.Styled(document.Style{Size: 8, Tone: figure.Soft}, document.Plain(settled(f)))
	})
}

func (p report) passed() {
	if len(p.v.Asides) == 0 {
		return
	}
	p.Heading(1, "Passed over")
	p.small(aboutPassed)
	var items []document.Text
	for _, a := range p.v.Asides {
		items = append(items, document.Text{document.Plain(words.Upper(a.Of) + ": “" + words.Shorten(oneLine(a.Quote), maxPassed) + "” "), document.Soft(place(p.v, a.Line, a.Col))})
	}
	p.List(items...)
}

func (p report) implied() {
	if len(p.v.Rooms)+len(p.v.Times)+len(p.v.Areas) == 0 {
		return
	}
	p.Heading(1, "What its numbers imply")
	p.small(aboutImplied)
	var items []document.Text
	for _, r := range p.v.Rooms {
		items = append(items, document.Text{document.To(anchor(r.Claim), r.Claim), document.Plain(": " + roomText(r))})
	}
	for _, x := range p.v.Times {
		items = append(items, document.Text{document.To(anchor(x.Claim), x.Claim), document.Plain(": " + display(x.Text) + ".")})
	}
	p.List(items...)
	for _, g := range areaGroups(p.v) {
		p.Heading(2, "Room area by each published rule, "+g.Rate)
		t := document.Table{RowHeads: true, Columns: []document.Column{{Head: "Rule", Width: 32}, {Head: "Area", Width: 22, Align: document.Right}, {Head: "Source", Width: 46}}}
		for _, r := range areaRows(g.Areas) {
			t.Rows = append(t.Rows, []document.Text{document.T(r[0]), document.T(r[1]), {document.Soft(r[2])}})
		}
		p.Table(t)
	}
}

func (p report) costs() {
	p.Heading(1, "What a year of running costs")
	groups := costGroups(p.v)
	if len(groups) == 0 {
		p.Paragraph(document.Plain(noCost))
		return
	}
	p.small(aboutCosts)
	for _, g := range groups {
		p.Heading(2, g.Title)
		t := document.Table{}
		for _, h := range costHeads {
			t.Columns = append(t.Columns, document.Column{Head: words.Upper(h), Width: 1, Align: document.Right})
		}
		for _, r := range g.Rows {
			t.Rows = append(t.Rows, texts(r))
		}
		p.Table(t)
		p.Styled(document.Style{Size: 8, Tone: figure.Soft}, document.Plain("First row: "+display(g.Basis)+"."))
	}
}
