package pdf

import (
	"fmt"
	"slices"
	"strings"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/templates/typeface"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// answer is the first page: what was audited, the verdicts, the findings that matter most, what to ask. It is for a
// reader who has seen no such report before. Where there are more claims than one page can hold, the table comes last
// and goes on on the next page, so that the first page still holds the answer.
func (r *report) answer() {
	if s, n, ok := r.fitting(); ok {
		r.answerIn(s, n)
		if r.Left() < 0.4*r.Height() {
			r.PageBreak()
		}
		return
	}
	r.opening()
	s := settings[1]
	r.topFindings(s)
	r.questions(s, fewQuestions+1)
	r.beforeUse()
	r.Styled(document.Style{Size: 9, Face: typeface.Bold, After: 2, Before: 8, KeepNext: true, Tag: "H2"}, document.Plain("All "+numeral.Several(len(r.a.Rows), "claim")))
	r.claimsTable(s.table)
}

func (r *report) answerIn(s setting, questions int) {
	r.opening()
	r.claimsTable(s.table)
	r.topFindings(s)
	r.questions(s, questions)
	r.beforeUse()
}

// opening is the head of the first page, down to the counts.
func (r *report) opening() {
	r.Styled(document.Style{Size: 8, Tone: figure.Soft, After: 2, KeepNext: true}, document.Plain(eyebrow(r.a)))
	r.Bookmark(0, "The answer")
	r.Title(productName(r.a))
	r.identity()
	r.counts()
}

// beforeUse is what a reader of the first page alone must know.
func (r *report) beforeUse() {
	r.Styled(document.Style{Size: 7, Tone: figure.Soft, Before: 4, After: -1},
		document.Plain("Results relate only to the item tested. General information, not legal advice. "), document.To("cautions", "Read the cautions"),
		document.Plain(" before you publish or file."))
}

// identity says what was tested, by whom and when.
func (r *report) identity() {
	a := r.a
	p := a.Product
	var about document.Text
	part := func(label, s string) {
		if s == "" {
			return
		}
		if len(about) > 0 {
			about = append(about, document.Plain(" · "))
		}
		if label != "" {
			about = append(about, document.Soft(label+" "))
		}
		about = append(about, document.Plain(s))
	}
	part("", p.Variant)
	part("region", p.Region)
	part("price", strings.TrimSpace(p.Price+" "+p.Currency))
	part("unit tested", words.Field(a, "sample"))
	part("tested by", words.Field(a, "tester"))
	part("on", words.Field(a, "date"))
	if m := words.Field(a, "method"); m != "" {
		part("in a", m)
	}
	if len(a.Measurements) == 0 {
		part("", "nothing was measured: claims and words alone")
	}
	if p.Listing != "" {
		if len(about) > 0 {
			about = append(about, document.Plain(" · "))
		}
		about = append(about, document.Soft("listing "), document.Web(p.Listing, p.Listing))
	}
	r.Styled(document.Style{Size: 8, After: 6}, about...)
}

// counts is the line of verdicts, each with its shape, and beneath it what the words mean.
func (r *report) counts() {
	n := map[verdict.Outcome]int{}
	for _, row := range r.a.Rows {
		n[row.Verdict]++
	}
	var t document.Text
	for i, o := range verdict.Outcomes {
		if i > 0 {
			t = append(t, document.Plain("\u00a0\u00a0 \u00a0"))
		}
		t = append(t, document.Inline(figure.VerdictMark(o, 9)), document.Bold(fmt.Sprintf("\u00a0%d\u00a0%s", n[o], o)))
	}
	r.Styled(document.Style{Size: 11, After: 3}, t...)
	about := document.Text{document.Plain(words.AboutVerdicts + " "), document.To("rule", "The rule in full"), document.Plain(".")}
	r.Styled(document.Style{Size: 7.3, Tone: figure.Soft, After: 2.5}, about...)
	if left := words.LeftOut(r.a); left != "" {
		r.Styled(document.Style{Size: 7.3, After: 2.5}, document.Bold(words.Upper(left)), document.Plain(": "), document.To("left", "which, and why"), document.Plain("."))
	}
	if since := r.since(); len(since) > 0 {
		r.Styled(document.Style{Size: 7.3, After: 3}, since...)
	}
}

// since says what has happened since the claims were captured and measured: the maker's answer, later captures.
func (r *report) since() (t document.Text) {
	if s := verdict.MarkedText(r.a.Marked); s != "" {
		t = append(t, document.Bold("Marked"), document.Plain(": "+s+". "))
	}
	if cs := words.Checks(r.a); len(cs) > 0 {
		t = append(t, document.Bold("Check this"), document.Plain(fmt.Sprintf(": %s may have been written down wrongly: ", numeral.Several(len(cs), "thing"))))
		t = append(t, document.Plain(strings.Join(cs[:min(len(cs), 2)], "; ")))
		if len(cs) > 2 {
			t = append(t, document.Plain(fmt.Sprintf("; and %d more", len(cs)-2)))
		}
		t = append(t, document.Plain(". "))
	}
	if s := words.Answered(r.a.Replies); s != "" {
		t = append(t, document.Bold(strings.TrimSuffix(s, ".")), document.Plain(": "), document.To("replies", "its answer in full"))
		if on := words.AnsweredOn(r.a); len(on) > 0 {
			t = append(append(t, document.Plain("; what it says of ")), r.claimLinks(on, mostClaims)...)
			t = append(t, document.Plain(" stands with these claims"))
		}
		t = append(t, document.Plain(". "))
	}
	changed, absent := words.Later(r.a)
	say := func(what string, rows []int) {
		if len(rows) == 0 {
			return
		}
		t = append(append(t, r.claimLinks(rows, 2*mostClaims)...), document.Plain(what))
	}
	if len(changed)+len(absent) > 0 {
		t = append(t, document.Bold("Later captures"), document.Plain(" of the same source: "))
		say(" changed", changed)
		if len(changed) > 0 && len(absent) > 0 {
			t = append(t, document.Plain("; "))
		}
		say(" not recorded again", absent)
		t = append(t, document.Plain(": "), document.To("history", "what was printed when"), document.Plain("."))
	}
	return t
}

// claimLinks lists claims, with links to their blocks, up to most and then how many more there are.
func (r *report) claimLinks(rows []int, most int) (t document.Text) {
	for k, i := range rows {
		if k > 0 {
			t = append(t, document.Plain(", "))
		}
		if k == most && len(rows) > most {
			return append(t[:len(t)-1], document.Plain(fmt.Sprintf(" and %d more", len(rows)-most)))
		}
		id := r.a.Rows[i].Claim.ID
		t = append(t, document.To(claimAnchor(id), id))
	}
	return t
}

func (r *report) claimsTable(size float64) {
	t := document.Table{Size: size, Tight: true, RowHeads: true, After: 6, Columns: []document.Column{
		{Head: "Claim", Width: 19.5}, {Head: "Claimed", Width: 14}, {Head: "Measured ± U", Width: 16}, {Head: "Limit", Width: 11},
		{Head: "In words", Width: 20.5}, {Head: "Verdict", Width: 19}}}
	for _, row := range r.a.Rows {
		c := row.Claim
		said := document.T(words.Claimed(c))
		if c.Claimed == nil {
			said = document.T("“" + words.Shorten(c.Wording, 18) + "”")
		} else if s := words.AsWritten(c); s != "" {
			said = append(said, document.Span{Text: "\n" + words.Shorten(s, 26), Tone: figure.Soft})
		}
		v := verdictText(row.Verdict, size)
		if row.Probability != nil {
			v = append(v, document.Span{Text: "\n" + words.Sure(&row), Tone: figure.Soft, Scale: 7 / size})
		}
		gap := row.GapWords
		if gap == "" {
			gap = numeral.Dash
		}
		t.Rows = append(t.Rows, []document.Text{
			{document.To(claimAnchor(c.ID), c.ID), document.Plain(" " + words.Subject(c))},
			said, document.T(words.Measured(row.Measured)), document.T(words.Limit(row.Limit)), document.T(numeral.Prose(gap)), v})
	}
	r.Table(t)
}

// eyebrow is the line above the title.
func eyebrow(a *verdict.Audit) string {
	s := "Claims audit"
	if a.Case != "" {
		s += " · case " + a.Case
	}
	s += " · issued " + a.Issued
	if a.ID != "" {
		s += " · report " + a.ID
	}
	return s
}

func claimAnchor(id string) string { return "claim-" + id }

func findingAnchor(i int) string { return fmt.Sprintf("finding-%d", i+1) }

func (r *report) topFindings(s setting) {
	fs := r.a.Findings
	if len(words.Open(fs)) == 0 {
		return
	}
	order := words.Open(fs)
	title := "What the words leave open"
	if n := len(order); n > s.findings {
		order = order[:s.findings]
		if s.findings == 1 {
			title += fmt.Sprintf(": the one that matters most of %d", n)
		} else {
			title += fmt.Sprintf(": the %d that matter most of %d", s.findings, n)
		}
	}
	r.Styled(document.Style{Size: 9, Face: typeface.Bold, After: 2, Before: 4, KeepNext: true, Tag: "H2"}, document.Plain(title))
	var items []document.Text
	for _, i := range order {
		f := fs[i]
		t := document.Text{document.Mark(words.Shorten(f.Quote, 70)), document.Plain("\u00a0 " + numeral.Prose(f.Why) + " ")}
		if f.Quote == "" {
			t = t[1:]
		}
		t = append(t, document.Soft("("), document.To(findingAnchor(i), strings.Join(f.Claims, ",\u00a0")+":\u00a0"+f.Rule), document.Soft(")"))
		items = append(items, t)
	}
	r.SmallList(s.list, items...)
}

// mostClaims is how many claims a question of the first page names.
const mostClaims = 9

// questions lists what to ask the maker, of the claims that are not supported, each question once, and says how many
// there are. Where none is shown, a line says how many; where show is less, there is no line either.
func (r *report) questions(s setting, show int) {
	qs := words.Questions(r.a)
	if len(qs) == 0 || show < 0 {
		return
	}
	head := words.QuestionsHead(r.a)
	if show == 0 {
		r.Styled(document.Style{Size: s.list, Before: 3, After: -1}, document.Plain(fmt.Sprintf("%s: %s, each with its claim.", head, numeral.Several(len(qs), "question"))))
		return
	}
	var items []document.Text
	for _, q := range qs[:min(show, len(qs))] {
		items = append(items, append(r.claimLinks(slices.Sorted(slices.Values(q.Rows)), mostClaims), document.Plain(": "+numeral.Prose(q.Ask))))
	}
	if len(qs) > show {
		head += fmt.Sprintf(": %d of %d questions, each with its claim", show, len(qs))
	}
	r.Styled(document.Style{Size: 9, Face: typeface.Bold, After: 2, Before: 4, KeepNext: true, Tag: "H2"}, document.Plain(head))
	if !s.runOn {
		r.SmallList(s.list, items...)
		return
	}
	var t document.Text
	for i, x := range items {
		if i > 0 {
			t = append(t, document.Plain("\u00a0 "))
		}
		t = append(t, x...)
	}
	r.Styled(document.Style{Size: s.list, After: 2}, t...)
}
