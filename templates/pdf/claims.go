package pdf

import (
	"fmt"
	"strings"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// rule states how verdicts are made, before any result is shown in detail (ISO/IEC 17025:2017, 7.8.6).
func (r *report) rule() {
	r.Anchor("rule")
	r.Heading(1, "How the claims were judged")
	for _, s := range r.a.Rule.Text {
		r.Paragraph(document.Plain(s))
	}
	t := document.Table{RowHeads: true, Columns: []document.Column{{Head: "Verdict", Width: 16}, {Head: "What it says of the unit tested", Width: 84}}}
	for _, o := range verdict.Outcomes {
		t.Rows = append(t.Rows, []document.Text{verdictText(o, 8), document.T(meaning[o])})
	}
	r.Table(t)
	if n := r.a.Rule.Numeric; n > 0 && !strings.Contains(strings.Join(r.a.Rule.Text, " "), "chance of at least one wrong") {
		r.Paragraph(document.Plain(fmt.Sprintf("%d claims were judged by a number. If all of them lay exactly at their limits, the chance of at least one wrong “contradicted” among them would be %s %%.",
			n, numeral.Fixed(100*r.a.Rule.AnyWrong, 0))))
	}
	if rm := r.a.Room; rm != nil {
		s := "Test room: " + rm.Text
		if rm.Volume > 0 {
			s += "; volume " + numeral.PlusMinus(rm.Volume, 2*rm.U, "m3") + " (k = 2)"
		}
		r.Paragraph(document.Plain(s + "."))
	}
}

var meaning = map[verdict.Outcome]string{
	verdict.Supported:    "The true value meets the limit with a probability of 95 % or more.",
	verdict.Contradicted: "The true value meets the limit with a probability of 5 % or less. It is the name of a statistical outcome, and says nothing of why.",
	verdict.Inconclusive: "The probability lies between: at this uncertainty the claim is neither supported nor contradicted.",
	verdict.Untested:     "Nothing measured bears on the claim.",
	verdict.Unclear:      "The claim cannot be assessed as worded: a unit, a size or a standard is missing.",
}

// claims sets one block a claim: its words, where they stood, and everything that the verdict rests on.
func (r *report) claims() {
	if len(r.a.Rows) == 0 {
		return
	}
	r.Heading(1, "Claim by claim")
	for _, row := range r.a.Rows {
		r.KeepTogether(func() { r.claim(row) })
	}
}

func (r *report) claim(row verdict.Row) {
	c := row.Claim
	r.Anchor(claimAnchor(c.ID))
	head := document.Text{document.Plain(c.ID + "\u00a0\u00a0" + upper(subject(c)) + "\u00a0\u00a0 "), document.Inline(figure.VerdictMark(row.Verdict, 8)), document.Plain("\u00a0" + string(row.Verdict))}
	r.HeadingText(2, c.ID+" "+subject(c)+": "+string(row.Verdict), head...)
	if c.Wording != "" {
		r.Styled(document.Style{Indent: 10, Bar: true, Whole: true, KeepNext: true, After: 4, Tag: "BlockQuote"}, r.quoted(row)...)
	}
	if row.Statement != "" {
		r.Styled(document.Style{KeepNext: true, Whole: true, After: 3}, document.Plain(row.Statement))
	}
	t := facts()
	add := func(name string, v ...document.Span) {
		if len(v) > 0 {
			t.Rows = append(t.Rows, []document.Text{document.T(name), v})
		}
	}
	say := func(name, v string) {
		if v != "" {
			add(name, document.Plain(v))
		}
	}
	say("Seen", seen(row))
	say("Stated conditions", c.Basis.Text)
	if c.Claimed != nil {
		s := claimed(c)
		if w := asWritten(c); w != "" {
			s += ", written as “" + w + "”"
		}
		if !c.BoundGiven && c.Bound != "" {
			s += " (“" + string(c.Bound) + "” is the usual meaning of such a claim; the claim itself does not say)"
		}
		say("Claimed", s)
	}
	r.judgement(row, add, say)
	for i, n := range append(append([]string(nil), c.Notes...), row.Notes...) {
		label := "Note"
		if i > 0 {
			label = ""
		}
		t.Rows = append(t.Rows, []document.Text{document.T(label), document.T(upper(n))})
	}
	var fs document.Text
	for i, f := range row.Findings {
		if f < 0 || f >= len(r.a.Findings) {
			continue
		}
		if i > 0 {
			fs = append(fs, document.Plain(", "))
		}
		fs = append(fs, document.To(findingAnchor(f), r.a.Findings[f].Rule))
		if q := r.a.Findings[f].Quote; q != "" {
			fs = append(fs, document.Plain(" “"+shorten(q, 40)+"”"))
		}
	}
	add("Findings", fs...)
	say("To ask", row.Ask)
	r.Table(t)
}

// judgement adds the numbers that the verdict rests on.
func (r *report) judgement(row verdict.Row, add func(string, ...document.Span), say func(string, string)) {
	if l := row.Limit; l != nil {
		say("Limit", limit(l)+": the claim"+tolerance(row.Tolerance, l.Unit))
		say("Tolerance from", sourced(row.Tolerance.Source, row.Tolerance.Mark))
	}
	if m := row.Measured; m != nil {
		t := document.Text{document.Bold(measured(m))}
		if m.K > 0 && m.Expanded > 0 {
			t = append(t, document.Plain(fmt.Sprintf(" (k = %s, ν = %s)", numeral.Short(m.K), dof(m.DOF))))
		}
		add("Measured", append(t, document.Plain(", "), document.To(measurementAnchor(m.ID), "measurement "+m.ID))...)
	}
	if g := row.Gap; g != nil {
		s := numeral.Signed(g.Value, g.Unit)
		if g.Unit != "dB(A)" && g.Unit != "%" { // a share of a level, or of a share, says nothing
			s += " (" + numeral.Signed(g.Percent, "%") + ")"
		}
		say("Measured less claimed", s+joinWords(row.GapWords))
	} else {
		say("In words", row.GapWords)
	}
	if row.Probability != nil {
		s := fmt.Sprintf("%s that the limit is met: %s", numeral.Probability(*row.Probability), sure(row))
		if row.Guard > 0 && row.Limit != nil {
			s += "; guard band w = " + numeral.With(numeral.Significant(row.Guard, 2), row.Limit.Unit) + " each side of the limit"
		}
		say("Probability", s)
	}
}

func joinWords(s string) string {
	if s == "" {
		return ""
	}
	return ": " + s
}

// tolerance says what was allowed: " with 10 % (32 m³/h) in the maker's favour".
func tolerance(t verdict.Tolerance, unit string) string {
	if t.Value == 0 {
		return " itself, with no tolerance"
	}
	s := " with " + numeral.With(numeral.Plain(t.Value), t.Unit)
	if t.Unit == "%" && t.Amount != 0 && unit != "%" {
		s += " (" + numeral.With(numeral.Short(t.Amount), unit) + ")"
	}
	return s + " in the maker's favour"
}

// facts is a list of names and values.
func facts() document.Table {
	return document.Table{Size: 8, Bare: true, RowHeads: true, After: 12, Columns: []document.Column{{Head: "Item", Width: 19}, {Head: "Value", Width: 81}}}
}

// seen says where and when a claim was captured, and where it stands in the book.
func seen(row verdict.Row) string {
	c := row.Claim
	var out []string
	for _, s := range []string{c.Source, c.Captured} {
		if s != "" {
			out = append(out, s)
		}
	}
	s := strings.Join(out, ", ")
	if c.Evidence != "" {
		s += joinWith(s, "evidence ", c.Evidence)
	}
	if at := c.Place.String(); at != "" {
		at = strings.NewReplacer("row ", "row\u00a0", "cell ", "cell\u00a0").Replace(at)
		s += joinWith(s, "", at)
	}
	return s
}

func joinWith(before, label, s string) string {
	if before == "" {
		return upper(label) + s
	}
	return "; " + label + s
}

func measurementAnchor(id string) string { return "measurement-" + id }
