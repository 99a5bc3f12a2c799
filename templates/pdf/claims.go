package pdf

import (
	"fmt"
	"strings"

	"weighhouse/measure"
	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// rule states how verdicts are made, before any result is shown in detail (ISO/IEC 17025:2017, 7.8.6).
func (r *report) rule() {
	r.Anchor("rule")
	r.Heading(1, "How the claims were judged")
	defined := true // by the rule's own text, which a table of the verdicts would only repeat
	all := strings.ToLower(strings.Join(r.a.Rule.Text, " "))
	for _, o := range verdict.Outcomes {
		defined = defined && strings.Contains(all, string(o)+":")
	}
	st := document.Style{Size: 8.5}
	for _, s := range r.a.Rule.Text {
		r.Styled(st, document.Plain(numeral.Prose(s)))
	}
	if !defined {
		t := document.Table{RowHeads: true, Tight: true, Columns: []document.Column{{Head: "Verdict", Width: 16}, {Head: "What it says of the unit tested", Width: 84}}}
		for _, o := range verdict.Outcomes {
			t.Rows = append(t.Rows, []document.Text{verdictText(o, 8), document.T(words.Meaning(o))})
		}
		r.Table(t)
	}
	if s := words.Room(r.a.Room); s != "" {
		r.Styled(st, document.Plain(numeral.Prose(s)))
	}
}

// claims sets one block a claim: its words, where they stood, and everything that the verdict rests on.
func (r *report) claims() {
	if len(r.a.Rows) == 0 {
		return
	}
	r.Heading(1, "Claim by claim")
	for _, row := range r.a.Rows {
		r.KeepUnlessBlank(0.13, 7, func() { r.claim(row) })
	}
}

func (r *report) claim(row verdict.Row) {
	c := row.Claim
	r.Anchor(claimAnchor(c.ID))
	head := document.Text{document.Plain(c.ID + "\u00a0\u00a0" + words.Upper(words.Subject(c)) + "\u00a0\u00a0 "), document.Inline(figure.VerdictMark(row.Verdict, 8)), document.Plain("\u00a0" + string(row.Verdict))}
	r.HeadingText(2, c.ID+" "+words.Subject(c)+": "+string(row.Verdict), head...)
	if c.Wording != "" {
		r.Styled(document.Style{Indent: 10, Bar: true, Whole: true, KeepNext: true, After: 4, Tag: "BlockQuote"}, r.quoted(row)...)
	}
	if row.Statement != "" {
		r.Styled(document.Style{Size: 8.5, KeepNext: true, Whole: true, After: 3}, document.Plain(numeral.Prose(row.Statement)))
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
	say("Seen", words.Seen(row.Claim))
	say("Claimed", words.Promise(c))
	say("Stated with it", numeral.Prose(c.Basis.Text))
	if h := words.Printed(r.a, &row); h != "" {
		add("Captures", document.Plain(words.Sentence(numeral.Prose(h))+" "), document.To("history", "See the captures"))
	}
	r.judgement(row, add, say)
	var notes []string
	for _, n := range row.Notes { // those of reading the claim are among them
		notes = append(notes, words.Sentence(numeral.Prose(n)))
	}
	say("Notes", strings.Join(notes, " "))
	var fs document.Text
	for i, f := range row.Findings {
		if f < 0 || f >= len(r.a.Findings) {
			continue
		}
		if i > 0 {
			fs = append(fs, document.Plain(", "))
		}
		fs = append(fs, document.To(findingAnchor(f), ruleName(r.a.Findings[f])))
		if q := r.a.Findings[f].Quote; q != "" {
			fs = append(fs, document.Plain(" “"+words.Shorten(q, 40)+"”"))
		}
	}
	add("Findings", fs...)
	say("To ask", numeral.Prose(row.Ask))
	if lead, quote := words.AnswerTo(r.a, &row); lead != "" {
		t := document.Text{document.Soft(lead + " ")}
		if quote != "" {
			t = append(t, document.Plain("“"+quote+"” "))
		}
		add("Maker's answer", append(t, document.To("replies", "See its answer in full"))...)
	}
	r.Table(t)
}

// judgement adds the numbers that the verdict rests on.
func (r *report) judgement(row verdict.Row, add func(string, ...document.Span), say func(string, string)) {
	if l := row.Limit; l != nil {
		s := words.Limit(l) + ": the claim" + tolerance(row.Tolerance, l.Unit)
		if src := words.Sourced(row.Tolerance.Source, row.Tolerance.Mark); src != "" {
			s += "; source: " + numeral.Prose(src)
		}
		say("Limit", s)
	}
	if m := row.Measured; m != nil {
		t := document.Text{document.Bold(words.Measured(m))}
		if m.K > 0 && m.Expanded > 0 {
			t = append(t, document.Plain(fmt.Sprintf(" (k = %s, ν = %s)", numeral.Short(m.K), words.DOF(m.DOF))))
		}
		t = append(t, document.Plain(", "), document.To(measurementAnchor(m.ID), "measurement "+m.ID))
		if s := numeral.Prose(words.Gap(&row)); s != "" {
			t = append(t, document.Plain("; measured less claimed: "+s))
		}
		name := "Measured"
		if m.Has(measure.Extrapolated) {
			name = "Estimated"
		}
		add(name, t...)
	} else {
		say("In words", numeral.Prose(row.GapWords))
	}
	say("Probability", words.Probability(&row))
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
	return document.Table{Size: 7.7, Bare: true, RowHeads: true, After: 8, Columns: []document.Column{{Head: "Item", Width: 13}, {Head: "Value", Width: 87}}}
}

func measurementAnchor(id string) string { return "measurement-" + id }
