package pdf

import (
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/verdict"
)

// findings sets what the words leave open, the gravest first, with the quote marked in its context.
func (r *report) findings() {
	if len(r.a.Findings) == 0 {
		return
	}
	r.Heading(1, "What the words leave open")
	r.small("Findings about wording need no measurement. Each names the rule, the exact words, why they cannot be relied on as they stand, and what would settle them.")
	for _, i := range weightiest(r.a.Findings) {
		r.KeepTogether(func() { r.finding(i) })
	}
}

func (r *report) finding(i int) {
	f := r.a.Findings[i]
	r.Anchor(findingAnchor(i))
	head := strings.Join(append([]string{f.Rule}, f.Also...), ", ")
	if f.Class != "" {
		head += "\u00a0\u00a0" + upper(strings.ToLower(f.Class))
	}
	if f.Severity != "" {
		head += ", severity " + f.Severity
	}
	r.Heading(3, head)
	if q := r.context(f); len(q) > 0 {
		r.Styled(document.Style{Indent: 10, Bar: true, KeepNext: true, After: 4, Tag: "BlockQuote"}, q...)
	}
	t := facts()
	add := func(name, v string) {
		if v != "" {
			t.Rows = append(t.Rows, []document.Text{document.T(name), document.T(v)})
		}
	}
	add("Why", f.Why)
	add("To ask", f.Ask)
	add("Would settle it", f.Evidence)
	add("Source", sourced(f.Source, f.Mark))
	var cs document.Text
	for j, id := range f.Claims {
		if j > 0 {
			cs = append(cs, document.Plain(", "))
		}
		cs = append(cs, document.To(claimAnchor(id), id))
	}
	if f.Place != "" {
		if len(cs) > 0 {
			cs = append(cs, document.Plain("; "))
		}
		cs = append(cs, document.Plain(f.Place))
	}
	if len(cs) > 0 {
		t.Rows = append(t.Rows, []document.Text{document.T("Where"), cs})
	}
	r.Table(t)
}

// context is the wording that holds a finding's quote, with the quote marked; the quote alone where no claim's wording
// holds it.
func (r *report) context(f verdict.Finding) document.Text {
	if f.Quote == "" {
		return nil
	}
	for _, id := range f.Claims {
		for _, row := range r.a.Rows {
			if row.Claim.ID != id {
				continue
			}
			if from, to, ok := span(row.Claim.Wording, f); ok {
				return cutAt(row.Claim.Wording, []stretch{{from, to}})
			}
		}
	}
	if t := r.parts(f); t != nil {
		return t
	}
	return document.Text{document.Plain("… "), document.Mark(f.Quote), document.Plain(" …")}
}

// joint stands in a quote between the words of two claims that are set against each other.
const joint = " | "

// parts is the context of a quote that joins the words of several claims: each in its own wording, with its claim. It
// is nil where a part stands in no claim's wording.
func (r *report) parts(f verdict.Finding) document.Text {
	ps := strings.Split(f.Quote, joint)
	if len(ps) < 2 {
		return nil
	}
	var t document.Text
	for i, p := range ps {
		if i > 0 {
			t = append(t, document.Plain("\n"))
		}
		found := false
		for _, row := range r.a.Rows {
			at := strings.Index(row.Claim.Wording, p)
			if p == "" || at < 0 || !slices.Contains(f.Claims, row.Claim.ID) {
				continue
			}
			t = append(t, document.To(claimAnchor(row.Claim.ID), row.Claim.ID), document.Plain("\u00a0 "))
			t = append(t, cutAt(row.Claim.Wording, []stretch{{at, at + len(p)}})...)
			found = true
			break
		}
		if !found {
			return nil
		}
	}
	return t
}

// sentence gives a text its capital letter and its full stop.
func sentence(s string) string {
	s = upper(strings.TrimSpace(s))
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// span finds a finding's quote in a wording: at its own offsets where the same words stand there, else where it first
// stands.
func span(wording string, f verdict.Finding) (from, to int, ok bool) {
	if f.Quote == "" {
		return 0, 0, false
	}
	if f.Start >= 0 && f.End <= len(wording) && f.Start < f.End && wording[f.Start:f.End] == f.Quote {
		return f.Start, f.End, true
	}
	i := strings.Index(wording, f.Quote)
	return i, i + len(f.Quote), i >= 0
}

// stretch is a part of a wording, as byte offsets.
type stretch struct{ from, to int }

// cutAt gives a wording in quotation marks with stretches of it marked; they must be in order and apart.
func cutAt(wording string, ss []stretch) document.Text {
	t := document.Text{document.Plain("“")}
	at := 0
	for _, s := range ss {
		if s.from > at {
			t = append(t, document.Plain(wording[at:s.from]))
		}
		t = append(t, document.Mark(wording[s.from:s.to]))
		at = s.to
	}
	if at < len(wording) {
		t = append(t, document.Plain(wording[at:]))
	}
	return append(t, document.Plain("”"))
}

// quoted is a claim's wording with the quotes of all its findings marked.
func (r *report) quoted(row verdict.Row) document.Text {
	w := row.Claim.Wording
	on := make([]bool, len(w)+1)
	for _, i := range row.Findings {
		if i < 0 || i >= len(r.a.Findings) {
			continue
		}
		if from, to, ok := span(w, r.a.Findings[i]); ok {
			for j := from; j < to; j++ {
				on[j] = true
			}
		}
	}
	var ss []stretch
	for i := 0; i < len(w); i++ {
		if on[i] && (i == 0 || !on[i-1]) {
			ss = append(ss, stretch{i, i + 1})
		} else if on[i] {
			ss[len(ss)-1].to = i + 1
		}
	}
	return cutAt(w, ss)
}

// history sets what one source said of one thing on different days.
func (r *report) history() {
	if len(r.a.History) == 0 {
		return
	}
	r.Heading(1, "What was printed when")
	for _, h := range r.a.History {
		r.KeepTogether(func() {
			head := upper(h.Attribute)
			if h.Source != "" {
				head += ", " + h.Source
			}
			r.Heading(3, head)
			t := document.Table{Columns: []document.Column{{Head: "Captured", Width: 14}, {Head: "Claim", Width: 8}, {Head: "Words", Width: 44}, {Head: "Evidence", Width: 34}}}
			for _, e := range h.Entries {
				t.Rows = append(t.Rows, []document.Text{document.T(e.Captured), r.claimLink(e.Claim), document.T("“" + e.Text + "”"), document.T(e.Evidence)})
			}
			r.Table(t)
			if h.Change != "" {
				r.Paragraph(document.Plain(sentence(h.Change)))
			}
		})
	}
}

// claimLink leads to a claim's block, where the audit has it.
func (r *report) claimLink(id string) document.Text {
	if id == "" {
		return nil
	}
	return document.Text{document.To(claimAnchor(id), id)}
}

// costs draws and lists the running cost of each option.
func (r *report) costs() {
	if len(r.a.Costs) == 0 {
		return
	}
	r.Heading(1, "What it costs to run for one year")
	r.Figure(figure.Costs(r.a))
	r.small("The total stands at the middle of the tariff; the range is that of the tariff and of the measured energy.")
	t := document.Table{Size: 7.6, RowHeads: true, Columns: []document.Column{{Head: "Option", Width: 20}, {Head: "Energy, kWh", Width: 14, Align: document.Right}, {Head: "Electricity", Width: 11, Align: document.Right},
		{Head: "Filters", Width: 10, Align: document.Right}, {Head: "Total and range", Width: 19, Align: document.Right}, {Head: "1000 m³ of clean air", Width: 18, Align: document.Right}, {Head: "Basis", Width: 23}}}
	for _, c := range r.a.Costs {
		t.Rows = append(t.Rows, costRow(c))
	}
	r.Table(t)
}

// judgedBy lists the claims that rest on a measurement.
func (r *report) judgedBy(id string) []claims.Claim {
	var out []claims.Claim
	for _, row := range r.a.Rows {
		if row.Measured != nil && row.Measured.ID == id {
			out = append(out, row.Claim)
		}
	}
	return out
}
