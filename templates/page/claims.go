package page

import (
	"fmt"
	"strings"

	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// claimBlock is one claim with everything that its verdict rests on.
type claimBlock struct {
	ID, Back string
	Claim    string
	Subject  string
	Verdict  verdict.Outcome
	Quote    []words.Piece
	Facts    facts
}

func (v *view) claims(a *verdict.Audit, n *anchors) {
	for i := range a.Rows {
		row := &a.Rows[i]
		c := row.Claim
		b := claimBlock{ID: n.row[i], Back: n.back[i], Claim: c.ID, Subject: orText(words.Upper(words.Subject(c)), "Claim"), Verdict: row.Verdict, Quote: words.Quoted(a, row)}
		f := &b.Facts
		f.say("Seen", words.Seen(c))
		f.say("Stated conditions", c.Basis.Text)
		f.say("Claimed", words.Promise(c))
		if row.Limit != nil {
			f.say("Limit", words.LimitOf(row))
			f.say("Tolerance from", words.Sourced(row.Tolerance.Source, row.Tolerance.Mark))
		}
		if m := row.Measured; m != nil {
			s := []span{{Text: words.Measured(m), Bold: true}}
			if m.K > 0 && m.Expanded > 0 {
				s = append(s, span{Text: fmt.Sprintf(" (k = %s, ν = %s)", numeral.Short(m.K), words.DOF(m.DOF))})
			}
			f.add("Measured", append(s, span{Text: ", "}, link("measurement "+m.ID, n.measuredAt[m.ID]))...)
		}
		if row.Gap != nil {
			f.say("Measured less claimed", words.Gap(row))
		} else {
			f.say("In words", row.GapWords)
		}
		f.say("Probability", words.Probability(row))
		for _, s := range c.Notes {
			f.say("Notes", words.Upper(s))
		}
		for _, s := range row.Notes {
			if !has(c.Notes, s) { // reading's notes on the claim travel with the row too
				f.say("Notes", words.Upper(s))
			}
		}
		f.add("Findings", findingLinks(a, row, n)...)
		f.say("To ask", row.Ask)
		v.Claims = append(v.Claims, b)
	}
}

func has(ss []string, s string) bool {
	for _, x := range ss {
		if x == s {
			return true
		}
	}
	return false
}

func findingLinks(a *verdict.Audit, row *verdict.Row, n *anchors) []span {
	var out []span
	for _, i := range row.Findings {
		if i < 0 || i >= len(a.Findings) {
			continue
		}
		if len(out) > 0 {
			out = append(out, span{Text: ", "})
		}
		f := a.Findings[i]
		out = append(out, link(orText(f.Rule, "finding"), n.finding[i]))
		if f.Quote != "" {
			out = append(out, span{Text: " “"}, span{Text: words.Shorten(f.Quote, 40), Other: true}, span{Text: "”"})
		}
	}
	return out
}

// findingBlock is one finding on words, with the quote marked in its context.
type findingBlock struct {
	ID, Head string
	Quote    []words.Piece
	Whole    bool // the quote stands in a claim's whole wording
	Facts    facts
}

func (v *view) findings(a *verdict.Audit, n *anchors) {
	for _, i := range words.Weightiest(a.Findings) {
		f := a.Findings[i]
		b := findingBlock{ID: n.finding[i], Head: orText(f.Rule, "Finding")}
		if f.Class != "" {
			b.Head += " · " + words.Upper(strings.ToLower(f.Class))
		}
		if f.Severity != "" {
			b.Head += ", severity " + f.Severity
		}
		b.Quote, b.Whole = words.Context(a, f)
		b.Facts.say("Why", f.Why)
		b.Facts.say("To ask", f.Ask)
		b.Facts.say("Would settle it", f.Evidence)
		b.Facts.say("Source", words.Sourced(f.Source, f.Mark))
		b.Facts.say("Found by rules", also(f))
		where := n.claimsOf(f.Claims)
		if f.Place != "" {
			if len(where) > 0 {
				where = append(where, span{Text: "; "})
			}
			where = append(where, span{Text: f.Place})
		}
		b.Facts.add("Where", where...)
		v.Findings = append(v.Findings, b)
	}
}

// also lists the rules of one meaning that found the same words; "" where there is one alone.
func also(f verdict.Finding) string {
	if len(f.Also) == 0 {
		return ""
	}
	return strings.Join(append([]string{f.Rule}, f.Also...), ", ")
}

// threadBlock is what one source said of one thing on different days.
type threadBlock struct {
	Head, Change string
	Table        *table
}

func (v *view) history(a *verdict.Audit, n *anchors) {
	for _, h := range a.History {
		head := orText(words.Upper(h.Attribute), "Claims")
		if h.Source != "" {
			head += ", " + h.Source
		}
		t := n.table("history", head+": captures by date", column{Head: "Captured"}, column{Head: "Claim"}, column{Head: "Words", Wide: true}, column{Head: "Evidence"})
		for _, e := range h.Entries {
			t.add(plain(e.Captured), []span{n.claim(e.Claim)}, []span{{Text: "“"}, {Text: e.Text, Other: true}, {Text: "”"}}, plain(e.Evidence))
		}
		v.History = append(v.History, threadBlock{head, h.Change, t})
	}
}
