package page

import (
	"fmt"
	"strings"

	"weighhouse/measure"
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
	Says     string // the verdict in a sentence
	Facts    facts
}

func (v *view) claims(a *verdict.Audit, n *anchors) {
	for i := range a.Rows {
		row := &a.Rows[i]
		c := row.Claim
		b := claimBlock{ID: n.row[i], Back: n.back[i], Claim: c.ID, Subject: orText(words.Upper(words.Subject(c)), "Claim"), Verdict: row.Verdict, Quote: words.Quoted(a, row), Says: numeral.Prose(row.Statement)}
		f := &b.Facts
		f.say("Seen", words.Seen(c))
		f.say("Claimed", words.Promise(c))
		f.say("Stated with it", numeral.Prose(c.Basis.Text))
		if h := words.Printed(a, row); h != "" {
			f.add("Captures", span{Text: words.Sentence(numeral.Prose(h)) + " "}, link("See the captures", "history"))
		}
		if row.Limit != nil {
			f.say("Limit", words.LimitOf(row))
			f.say("Tolerance from", numeral.Prose(words.Sourced(row.Tolerance.Source, row.Tolerance.Mark)))
		}
		if m := row.Measured; m != nil {
			s := []span{{Text: words.Measured(m), Bold: true}}
			if m.K > 0 && m.Expanded > 0 {
				s = append(s, span{Text: fmt.Sprintf(" (k = %s, ν = %s)", numeral.Short(m.K), words.DOF(m.DOF))})
			}
			name := "Measured"
			if m.Has(measure.Extrapolated) {
				name = "Estimated"
			}
			f.add(name, append(s, span{Text: ", "}, link("measurement "+m.ID, n.measuredAt[m.ID]))...)
		}
		if row.Gap != nil {
			f.say("Measured less claimed", numeral.Prose(words.Gap(row)))
		} else {
			f.say("In words", numeral.Prose(row.GapWords))
		}
		f.say("Probability", words.Probability(row))
		for _, s := range row.Notes { // those of reading the claim are among them
			f.say("Notes", words.Sentence(numeral.Prose(s)))
		}
		f.add("Findings", findingLinks(a, row, n)...)
		f.say("To ask", numeral.Prose(row.Ask))
		if lead, quote := words.AnswerTo(a, row); lead != "" {
			t := []span{{Text: lead + " ", Soft: true}}
			if quote != "" {
				t = append(t, span{Text: "“"}, span{Text: quote, Other: true}, span{Text: "” "})
			}
			f.add("Maker's answer", append(t, link("See its answer in full", "replies"))...)
		}
		v.Claims = append(v.Claims, b)
	}
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
		out = append(out, link(orText(words.RuleName(f), "finding"), n.finding[i]))
		if f.Quote != "" {
			out = append(out, span{Text: " “"}, span{Text: words.Shorten(f.Quote, 40), Other: true}, span{Text: "”"})
		}
	}
	return out
}

// findingBlock is one finding on words, with the quote marked in its context.
type findingBlock struct {
	ID, Head string
	Quotes   []quote
	Facts    facts
}

func (v *view) findings(a *verdict.Audit, n *anchors) {
	if open := words.Open(a.Findings); len(open) > 0 {
		v.FindingsTitle = "What the words leave open: " + numeral.Several(len(open), "finding")
	}
	for _, i := range append(words.Open(a.Findings), words.Fixed(a.Findings)...) {
		f := a.Findings[i]
		b := findingBlock{ID: n.finding[i], Head: orText(words.RuleName(f), "Finding")}
		if f.Class != "" {
			b.Head += " · " + words.Upper(strings.ToLower(f.Class))
		}
		if f.Severity != "" {
			b.Head += ", severity " + f.Severity
		}
		for _, q := range words.Context(a, f) {
			b.Quotes = append(b.Quotes, quote{q, n.claim(q.Claim)})
		}
		b.Facts.say("Why", numeral.Prose(f.Why))
		b.Facts.say("To ask", numeral.Prose(f.Ask))
		b.Facts.say("Would settle it", words.Sentence(numeral.Prose(f.Evidence)))
		b.Facts.say("Source", words.Sourced(f.Source, f.Mark))
		where := n.claimsOf(f.Claims)
		if f.Place != "" {
			if len(where) > 0 {
				where = append(where, span{Text: "; "})
			}
			where = append(where, span{Text: f.Place})
		}
		b.Facts.add("Where", where...)
		if f.Fixed() {
			v.Fixed = append(v.Fixed, b)
		} else {
			v.Findings = append(v.Findings, b)
		}
	}
}

// quote is words that a finding is about, and the claim that they stand in where several are quoted.
type quote struct {
	words.Quote
	At span
}

// threadBlock is what one source said of one thing on different days, or what was recorded once of several.
type threadBlock struct {
	Head, Change string
	Table        *table
}

// history sets what was recorded more than once in a block each, and what stands alone in one table for all that the same
// is to be said of.
func (v *view) history(a *verdict.Audit, n *anchors) {
	var changes []string // of threads with one entry, in order
	single := map[string][]verdict.Thread{}
	name := func(h verdict.Thread) string {
		s := orText(words.Upper(h.Attribute), "Claims")
		if h.Source != "" {
			s += ", " + h.Source
		}
		return s
	}
	quoted := func(s string) []span { return []span{{Text: "“"}, {Text: s, Other: true}, {Text: "”"}} }
	for _, h := range a.History {
		if len(h.Entries) == 1 {
			if single[h.Change] == nil {
				changes = append(changes, h.Change)
			}
			single[h.Change] = append(single[h.Change], h)
			continue
		}
		head := name(h)
		t := n.table("history", head+": captures by date", column{Head: "Captured"}, column{Head: "Claim"}, column{Head: "Words", Wide: true}, column{Head: "Evidence"})
		for _, e := range h.Entries {
			t.add(plain(e.Captured), []span{n.claim(e.Claim)}, quoted(e.Text), plain(e.Evidence))
		}
		v.History = append(v.History, threadBlock{head, words.Sentence(numeral.Prose(h.Change)), t})
	}
	for _, c := range changes {
		head := orText(words.Sentence(numeral.Prose(c)), "Recorded once")
		t := n.table("history", "Captures that stand alone", column{Head: "Of", Wide: true}, column{Head: "Captured"}, column{Head: "Claim"}, column{Head: "Words", Wide: true}, column{Head: "Evidence"})
		for _, h := range single[c] {
			e := h.Entries[0]
			t.add(plain(name(h)), plain(e.Captured), []span{n.claim(e.Claim)}, quoted(e.Text), plain(e.Evidence))
		}
		v.History = append(v.History, threadBlock{Head: head, Table: t})
	}
}
