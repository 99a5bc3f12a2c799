package ranking

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/verdict/rank"
)

// Options say how the PDF is made.
type Options struct {
	Paper string // "a4", which is also meant by "", or "letter"
	Font  []byte // a TrueType font for characters that the Go fonts lack; may be nil
}

// WritePDF writes the ranking as a PDF with its JSON attached. The same ranking and options give the same bytes. The
// warnings name what could not be printed as it stands. On an error nothing has been written.
func WritePDF(w io.Writer, r *rank.Ranking, o Options) (warnings []string, err error) {
	d, err := build(r, o)
	if err != nil {
		return nil, err
	}
	return d.Write(w)
}

type report struct {
	*document.Doc
	r *rank.Ranking
}

func build(r *rank.Ranking, o Options) (*document.Doc, error) {
	day, err := time.Parse(time.DateOnly, r.Issued)
	if err != nil {
		return nil, fmt.Errorf("day of issue %q: a date such as 2031-03-14 would do", r.Issued)
	}
	d, err := document.New(document.Options{Paper: o.Paper, Font: o.Font, Created: day, Title: title(r), Author: r.Tester,
		Creator: strings.TrimSpace("weighhouse " + r.Tool.Version), Subject: "Room air cleaners tested in one room, compared with their uncertainties",
		Footer: title(r) + " · issued " + r.Issued, Closing: "End of comparison"})
	if err != nil {
		return nil, err
	}
	var js bytes.Buffer
	if err := r.WriteJSON(&js); err != nil {
		return nil, err
	}
	if err := d.Attach(document.Attachment{Name: "ranking.json", MIME: "application/json", Relationship: "Data", Description: "the comparison as data", Data: js.Bytes()}); err != nil {
		return nil, err
	}
	p := report{d, r}
	p.Title(title(r))
	p.facts(conditions(r))
	p.glance()
	p.Heading(1, "Rank by rank")
	p.small("The strips of one table share a scale, on which the dot is the value and the bar its 95 % interval. Whether two units are told apart is a test of its own and does not follow from the strips.")
	for _, c := range r.Criteria {
		p.criterion(c)
	}
	p.Heading(1, "How pairs were told apart")
	for _, s := range r.Rules {
		p.Paragraph(document.Plain(s))
	}
	for _, c := range r.Criteria {
		p.pairs(c)
	}
	p.units()
	if len(r.Notes) > 0 {
		p.Heading(1, "Notes")
		p.List(texts(r.Notes)...)
	}
	p.Heading(1, "Caution")
	p.List(texts(r.Cautions)...)
	return d, nil
}

func texts(ss []string) (out []document.Text) {
	for _, s := range ss {
		out = append(out, document.T(s))
	}
	return out
}

func (p report) facts(rows [][2]string) {
	t := document.Table{Bare: true, RowHeads: true, Columns: []document.Column{{Width: 14}, {Width: 86}}}
	for _, f := range rows {
		t.Rows = append(t.Rows, []document.Text{document.T(f[0]), document.T(f[1])})
	}
	p.Table(t)
}

func (p report) small(s string) {
	p.Styled(document.Style{Size: 8, Tone: figure.Soft, KeepNext: true}, document.Plain(s))
}

// last is small for what closes a block.
func (p report) last(s string) {
	p.Styled(document.Style{Size: 8, Tone: figure.Soft}, document.Plain(s))
}

// glance sets all units by name, with the value and the rank under each criterion.
func (p report) glance() {
	p.Heading(1, "At a glance")
	p.small("Units by name. Under each value stands its rank. Units that share a rank, or a letter in the tables below, are " + tied + ".")
	t := document.Table{Size: 7.6, RowHeads: true, Columns: []document.Column{{Head: "Unit", Width: 19}}}
	for _, c := range p.r.Criteria {
		head := c.Title
		if c.Unit != "" {
			head += ", " + unitText(c.Unit)
		}
		t.Columns = append(t.Columns, document.Column{Head: head, Width: 13, Align: document.Right})
	}
	for _, i := range order(p.r) {
		row := []document.Text{document.T(p.r.Units[i].Label)}
		for _, c := range p.r.Criteria {
			e, more := glance(c, i)
			cell := document.Text{document.Plain(value(c, e))}
			switch {
			case e.Rank != "":
				cell = append(cell, document.Soft("\nrank "), document.Bold(e.Rank))
			case e.Value == nil:
				cell = document.Text{document.Soft("not measured")}
			default:
				cell = append(cell, document.Soft("\nnot ranked"))
			}
			if more > 0 {
				cell = append(cell, document.Soft(fmt.Sprintf("\n%s; %d more below", e.Option, more)))
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	p.Table(t)
}

// criterion sets one criterion's ranks with a strip for each interval, all on one scale.
func (p report) criterion(c rank.Criterion) {
	p.KeepTogether(func() {
		p.Heading(2, c.Title)
		p.small(strings.TrimSpace(c.Basis + " " + capital(better(c)) + "."))
		if c.Why != "" {
			p.Styled(document.Style{KeepNext: true}, document.Bold("Not ranked: "), document.Plain(c.Why+"."))
		}
		lo, hi, ok := scaleOf(c)
		unit := unitText(c.Unit)
		if unit == "" {
			unit = "value"
		}
		t := document.Table{Size: 7.8, Columns: []document.Column{{Head: "Rank", Width: 6}, {Head: "Unit", Width: 40}, {Head: capital(unit) + ", ± U", Width: 18, Align: document.Right},
			{Head: "95 % interval", Width: 31}, {Head: "Ties", Width: 5}}}
		for _, e := range c.Entries {
			name := document.Text{document.Plain(e.Label)}
			if e.Note != "" {
				name = append(name, document.Soft("\n"+e.Note))
			}
			var bar document.Text
			if ok && e.Value != nil && e.Measure == "" {
				bar = document.Text{document.Inline(strip(e, lo, hi))}
			}
			bar = append(bar, document.Soft(" "+interval(e)))
			t.Rows = append(t.Rows, []document.Text{{document.Bold(dash(e.Rank))}, name, document.T(value(c, e)), bar, document.T(dash(e.Letters))})
		}
		p.Table(t)
		if ts := ties(c); len(ts) > 0 {
			p.last(capital(tied) + ": " + strings.Join(ts, "; ") + ".")
		}
		for _, n := range c.Notes {
			p.last(n)
		}
	})
}

// pairs sets the tests of one criterion; those of the clean time are those of the delivery rate.
func (p report) pairs(c rank.Criterion) {
	if len(c.Pairs) == 0 || c.ID == "clean time" {
		return
	}
	p.Heading(2, "Pairs: "+strings.ToLower(c.Title[:1])+c.Title[1:])
	t := document.Table{Size: 7.2, Columns: []document.Column{{Head: "First and second", Width: 29}, {Head: effectHead(c), Width: 19, Align: document.Right}, {Head: "Test", Width: 21},
		{Head: "t", Width: 7, Align: document.Right}, {Head: "ν", Width: 5, Align: document.Right}, {Head: "p", Width: 8, Align: document.Right},
		{Head: "p, Holm", Width: 8, Align: document.Right}, {Head: "Outcome", Width: 19}}}
	for _, x := range c.Pairs {
		t.Rows = append(t.Rows, []document.Text{document.T(x.A + "\n" + x.B), document.T(effect(c, x)), document.T(x.Method), document.T(statistic(x.T, 2)), document.T(dof(x)),
			document.T(pText(x.P)), document.T(pText(x.Adjusted)), document.T(outcome(x))})
	}
	p.Table(t)
}

func (p report) units() {
	p.Heading(1, "The units")
	for _, i := range order(p.r) {
		u := p.r.Units[i]
		p.KeepTogether(func() {
			p.Heading(3, u.Label)
			p.facts(unitFacts(u))
		})
	}
}

// strip draws an entry's interval and value on the criterion's scale.
func strip(e rank.Entry, lo, hi float64) figure.Figure {
	const width, height = 74.0, 6.0
	at := func(x float64) float64 { return 2 + (width-4)*(x-lo)/(hi-lo) }
	return figure.New("strip", "interval", "the interval on the scale of the criterion", width, height, func(s figure.Surface) {
		mid := height / 2
		s.Line(figure.Point{X: 0, Y: mid}, figure.Point{X: width, Y: mid}, figure.Stroke{Width: 0.4, Tone: figure.Faint})
		if e.Interval[0] != nil && e.Interval[1] != nil {
			s.Line(figure.Point{X: at(*e.Interval[0]), Y: mid}, figure.Point{X: at(*e.Interval[1]), Y: mid}, figure.Stroke{Width: 1.6, Tone: figure.Accent})
		}
		s.Dots([]figure.Point{{X: at(*e.Value), Y: mid}}, 4, figure.Accent)
	})
}

func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' || strings.HasPrefix(s, "m³") || strings.HasPrefix(s, "dB") || strings.HasPrefix(s, "min") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func dash(s string) string {
	if s == "" {
		return numeral.Dash
	}
	return s
}
