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

// setting is how the first page is set: ems of the table and of the lists, and how many questions it shows.
type setting struct {
	table, list float64
	questions   int
}

// settings are tried in this order until the answer fits on one page; the last is taken where none does.
var settings = []setting{{7.7, 8, 6}, {7.7, 8, 4}, {7.4, 7.7, 4}, {7.1, 7.4, 4}, {6.8, 7.1, 3}, {6.5, 6.8, 5}, {6.5, 6.8, 3}, {6.5, 6.8, 1}}

// answer is the first page: what was audited, the verdicts, the findings that matter most, what to ask. It is for a
// reader who has seen no such report before.
func (r *report) answer() {
	for i, s := range settings {
		if i == len(settings)-1 || r.Try(func(d *document.Doc) { (&report{d, r.a}).answerIn(s) }) == 1 {
			r.answerIn(s)
			r.PageBreak()
			return
		}
	}
}

func (r *report) answerIn(s setting) {
	a := r.a
	r.Styled(document.Style{Size: 8, Tone: figure.Soft, After: 2, KeepNext: true}, document.Plain(eyebrow(a)))
	r.Bookmark(0, "The answer")
	r.Title(productName(a))
	r.identity()
	r.counts()
	r.claimsTable(s.table)
	r.topFindings(s.list)
	r.questions(s.list, s.questions)
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
			t = append(t, document.Plain("\u00a0\u00a0 \u00a0"))
		}
		t = append(t, document.Inline(figure.VerdictMark(o, 9)), document.Bold(fmt.Sprintf("\u00a0%d\u00a0%s", n[o], o)))
	}
	r.Styled(document.Style{Size: 11, After: 3}, t...)
	r.Styled(document.Style{Size: 7.5, Tone: figure.Soft, After: 4}, document.Plain(
		"U: the measurement's expanded uncertainty, about 95 %. Limit: the claim with a tolerance in the maker's favour. Supported: at least 95 % sure that the unit tested meets it. Contradicted: at most 5 % sure; the name of a statistical outcome, not of a motive. "+
			"Inconclusive: in between. Untested: nothing measured bears on it. Unclear: it cannot be assessed as worded. "),
		document.To("rule", "The rule in full"), document.Plain("."))
}

func (r *report) claimsTable(size float64) {
	t := document.Table{Size: size, Tight: true, RowHeads: true, After: 6, Columns: []document.Column{
		{Head: "Claim", Width: 19}, {Head: "Claimed", Width: 14}, {Head: "Measured ± U", Width: 16}, {Head: "Limit", Width: 12},
		{Head: "In words", Width: 20}, {Head: "Verdict", Width: 23}}}
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
			v = append(v, document.Span{Text: "\n" + sure(row), Tone: figure.Soft})
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

// eyebrow is the line above the title.
func eyebrow(a *verdict.Audit) string {
	s := "Claims audit"
	if a.Case != "" {
		s += " · case " + a.Case
	}
	return s + " · issued " + a.Issued
}

// sure is a row's probability in words; where a weakness of the measurement holds the verdict back, that is said
// instead.
func sure(row verdict.Row) string {
	p := *row.Probability
	if row.Verdict == verdict.Inconclusive && (p <= 0.05 || p >= 0.95) {
		return "held back, see its note"
	}
	return numeral.Sure(p)
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

func (r *report) topFindings(size float64) {
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
		t := document.Text{document.Mark(shorten(f.Quote, 70)), document.Plain("\u00a0 " + f.Why + " ")}
		if f.Quote == "" {
			t = t[1:]
		}
		t = append(t, document.Soft("("), document.To(findingAnchor(i), strings.Join(append(f.Claims[:len(f.Claims):len(f.Claims)], f.Rule), ",\u00a0")), document.Soft(")"))
		items = append(items, t)
	}
	r.SmallList(size, items...)
}

// questions lists what to ask the maker, of the claims that are not supported, each question once, and says how many
// there are beyond those shown.
func (r *report) questions(size float64, show int) {
	var items []document.Text
	more := 0
	seen := map[string]bool{}
	for _, want := range []verdict.Outcome{verdict.Contradicted, verdict.Unclear, verdict.Inconclusive, verdict.Untested} {
		for _, row := range r.a.Rows {
			if row.Verdict != want || row.Ask == "" || seen[row.Ask] {
				continue
			}
			seen[row.Ask] = true
			if len(items) == show {
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
	r.SmallList(size, items...)
}
