package pdf

import (
	"fmt"
	"strings"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// findings sets what the words leave open, by severity: those of high severity in a block each with the quote marked in
// its context, the others as rows of a table.
func (r *report) findings() {
	fs := r.a.Findings
	if len(fs) == 0 {
		return
	}
	order, fixed := words.Open(fs), words.Fixed(fs)
	open := len(order)
	if open > 0 {
		r.Heading(1, "What the words leave open: "+numeral.Several(open, "finding"))
		r.small(words.AboutFindings + " " + words.AboutMarks)
	}
	for len(order) > 0 {
		n := 1
		for n < len(order) && fs[order[n]].Severity == fs[order[0]].Severity {
			n++
		}
		r.Heading(3, severityHead(fs[order[0]].Severity, n))
		if fs[order[0]].Severity == "high" {
			for _, i := range order[:n] {
				r.KeepTogether(func() { r.finding(i) })
			}
		} else {
			r.findingTable(order[:n])
		}
		order = order[n:]
	}
	if len(fixed) > 0 {
		r.Heading(1, words.FixedHead)
		about := words.AboutFixed
		if open == 0 {
			about += " " + words.AboutMarks
		}
		r.small(about)
		r.findingTable(fixed)
	}
}

func severityHead(severity string, n int) string {
	s := "Severity not given"
	if severity != "" {
		s = words.Upper(severity) + " severity"
	}
	return fmt.Sprintf("%s: %d", s, n)
}

// ruleName is a finding's rule with those that say the same of the same words: "FG-11 (also R6)".
func ruleName(f verdict.Finding) string {
	if len(f.Also) == 0 {
		return f.Rule
	}
	return f.Rule + " (also\u00a0" + strings.Join(f.Also, ",\u00a0") + ")"
}

// finding sets one finding as a block.
func (r *report) finding(i int) {
	f := r.a.Findings[i]
	const size = 8
	r.Anchor(findingAnchor(i))
	head := document.Text{document.Bold(ruleName(f))}
	if f.Class != "" {
		head = append(head, document.Plain("\u00a0 "+words.Upper(strings.ToLower(f.Class))))
	}
	if at := r.where(f); len(at) > 0 {
		head = append(append(head, document.Soft("\u00a0 ·\u00a0 ")), at...)
	}
	r.Styled(document.Style{Size: size, Before: 6, After: 2, KeepNext: true, Tag: "H4"}, head...)
	if q := r.context(f); len(q) > 0 {
		r.Styled(document.Style{Size: 8.5, Indent: 10, Bar: true, KeepNext: true, After: 2, Tag: "BlockQuote"}, q...)
	}
	t := document.Text{document.Plain(numeral.Prose(f.Why))}
	add := func(label, s string, tone figure.Tone) {
		if s != "" {
			t = append(t, document.Span{Text: " " + label + ":\u00a0", Tone: figure.Soft}, document.Span{Text: ended(numeral.Prose(s)), Tone: tone})
		}
	}
	add("Ask", f.Ask, figure.None)
	add("Would\u00a0settle\u00a0it", f.Evidence, figure.None)
	add("Source", words.Marked(f.Source, f.Mark), figure.Soft)
	r.Styled(document.Style{Size: size, Indent: 10, After: 6}, t...)
}

// where is the place of a finding: its claims and the cell.
func (r *report) where(f verdict.Finding) document.Text {
	var t document.Text
	for j, id := range f.Claims {
		if j > 0 {
			t = append(t, document.Plain(", "))
		}
		t = append(t, document.To(claimAnchor(id), id))
	}
	if f.Place != "" {
		if len(t) > 0 {
			t = append(t, document.Plain("; "))
		}
		t = append(t, document.Soft(unbroken(f.Place)))
	}
	return t
}

// findingTable sets findings as rows.
func (r *report) findingTable(which []int) {
	t := document.Table{Size: 7.3, RowHeads: true, After: 10, Columns: []document.Column{{Head: "Rule", Width: 12}, {Head: "Words and place", Width: 22}, {Head: "Why", Width: 29},
		{Head: "Ask, and what would settle it", Width: 22}, {Head: "Source", Width: 15}}}
	for _, i := range which {
		f := r.a.Findings[i]
		var why document.Text
		if f.Class != "" {
			why = append(why, document.Soft(words.Sentence(strings.ToLower(f.Class))+" "))
		}
		var quote document.Text
		if f.Quote != "" {
			quote = append(quote, document.Mark(f.Quote), document.Plain("\n"))
		}
		ask := document.T(numeral.Prose(f.Ask))
		if f.Evidence != "" {
			ask = append(ask, document.Soft("\n"+numeral.Prose(f.Evidence)))
		}
		t.Rows = append(t.Rows, []document.Text{document.T(ruleName(f)), append(quote, r.where(f)...), append(why, document.Plain(numeral.Prose(f.Why))), ask, document.T(words.Marked(f.Source, f.Mark))})
		t.Anchors = append(t.Anchors, findingAnchor(i))
	}
	r.Table(t)
}
