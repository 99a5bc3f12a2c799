package pdf

import (
	"fmt"
	"sort"
	"strings"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// answer is the first page: what was audited, the verdicts, the findings that matter most, what to ask. It is for a
// reader who has seen no such report before.
func (r *report) answer() {
	a := r.a
	r.Styled(document.Style{Size: 8, Tone: figure.Soft, After: 2, KeepNext: true}, document.Plain("Claims audit · issued "+a.Issued))
	r.Bookmark(0, "The answer")
	r.Title(productName(a))
	r.identity()
	r.counts()
	r.claimsTable()
	r.topFindings()
	r.questions()
	r.Styled(document.Style{Size: 7, Tone: figure.Soft, Before: 4},
		document.Plain("Results relate only to the item tested. General information, not legal advice. "), document.To("cautions", "Read the cautions"),
		document.Plain(" before you publish or file."))
	r.PageBreak()
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
	part("unit tested", field(a, "sample"))
	part("tested by", field(a, "tester"))
	part("on", field(a, "date"))
	if m := field(a, "method"); m != "" {
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
	r.Styled(document.Style{Size: 8, After: 8}, about...)
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
			t = append(t, document.Plain("    "))
		}
		t = append(t, document.Inline(figure.VerdictMark(o, 9)), document.Bold(fmt.Sprintf("\u00a0%d\u00a0%s", n[o], o)))
	}
	r.Styled(document.Style{Size: 11, After: 3}, t...)
	r.Styled(document.Style{Size: 7, Tone: figure.Soft, After: 3}, document.Plain(
		"Each claim is given a tolerance in the maker's favour; that is the limit. Supported: at least 95 % sure that the unit tested meets it. Contradicted: at most 5 % sure; the name of a statistical outcome, not of a motive. "+
			"Inconclusive: in between. Untested: nothing measured bears on it. Unclear: it cannot be assessed as worded. "),
		document.To("rule", "The rule in full"), document.Plain("."))
}

func (r *report) claimsTable() {
	const size = 7.2
	t := document.Table{Size: size, Tight: true, RowHeads: true, After: 6, Columns: []document.Column{
		{Head: "Claim", Width: 20}, {Head: "Claimed", Width: 15}, {Head: "Measured ± U", Width: 16}, {Head: "Limit", Width: 13},
		{Head: "In words", Width: 20}, {Head: "Verdict", Width: 20}}}
	for _, row := range r.a.Rows {
		c := row.Claim
		said := document.T(claimed(c))
		if c.Claimed == nil {
			said = document.T("“" + shorten(c.Wording, 48) + "”")
		} else if s := asWritten(c); s != "" {
			said = append(said, document.Span{Text: "\n" + shorten(s, 26), Tone: figure.Soft})
		}
		v := verdictText(row.Verdict, size)
		if row.Probability != nil {
			v = append(v, document.Span{Text: "\n" + numeral.Sure(*row.Probability), Tone: figure.Soft})
		}
		words := row.GapWords
		if words == "" {
			words = numeral.Dash
		}
		t.Rows = append(t.Rows, []document.Text{
			{document.To(claimAnchor(c.ID), c.ID), document.Plain(" " + subject(c))},
			said, document.T(measured(row.Measured)), document.T(limit(row.Limit)), document.T(words), v})
	}
	r.Table(t)
}

func claimAnchor(id string) string { return "claim-" + id }

func findingAnchor(i int) string { return fmt.Sprintf("finding-%d", i+1) }

// rank orders the severities; what is not known comes last.
var rank = map[string]int{"high": 1, "medium": 2, "low": 3}

// weightiest gives the indices of the findings, the gravest first, in the audit's order within one severity.
func weightiest(fs []verdict.Finding) []int {
	out := make([]int, len(fs))
	for i := range out {
		out[i] = i
	}
	of := func(i int) int {
		if n, ok := rank[fs[i].Severity]; ok {
			return n
		}
		return len(rank) + 1
	}
	sort.SliceStable(out, func(i, j int) bool { return of(out[i]) < of(out[j]) })
	return out
}

// shownFindings is how many findings the first page has room for.
const shownFindings = 3

func (r *report) topFindings() {
	fs := r.a.Findings
	if len(fs) == 0 {
		return
	}
	order := weightiest(fs)
	title := "What the words leave open"
	if len(fs) > shownFindings {
		order = order[:shownFindings]
		title += fmt.Sprintf(": the %d that matter most of %d", shownFindings, len(fs))
	}
	r.Styled(document.Style{Size: 9, Face: 1, After: 2, Before: 4, KeepNext: true, Tag: "H2"}, document.Plain(title))
	var items []document.Text
	for _, i := range order {
		f := fs[i]
		t := document.Text{document.Mark(shorten(f.Quote, 70)), document.Plain("  " + f.Why + " ")}
		if f.Quote == "" {
			t = t[1:]
		}
		t = append(t, document.Soft("("), document.To(findingAnchor(i), strings.Join(append(f.Claims[:len(f.Claims):len(f.Claims)], f.Rule), ", ")), document.Soft(")"))
		items = append(items, t)
	}
	r.SmallList(7.6, items...)
}

// shownQuestions is how many questions the first page has room for.
const shownQuestions = 4

// questions lists what to ask the maker, of the claims that are not supported, each question once.
func (r *report) questions() {
	var items []document.Text
	more := 0
	seen := map[string]bool{}
	for _, want := range []verdict.Outcome{verdict.Contradicted, verdict.Unclear, verdict.Inconclusive, verdict.Untested} {
		for _, row := range r.a.Rows {
			if row.Verdict != want || row.Ask == "" || seen[row.Ask] {
				continue
			}
			seen[row.Ask] = true
			if len(items) == shownQuestions {
				more++
				continue
			}
			items = append(items, document.Text{document.To(claimAnchor(row.Claim.ID), row.Claim.ID), document.Plain(" " + row.Ask)})
		}
	}
	if len(items) == 0 {
		return
	}
	r.Styled(document.Style{Size: 9, Face: 1, After: 2, Before: 4, KeepNext: true, Tag: "H2"}, document.Plain("What to ask the maker"))
	if more > 0 {
		items = append(items, document.Text{document.Soft(fmt.Sprintf("and %d more questions, each with its claim", more))})
	}
	r.SmallList(7.6, items...)
}
