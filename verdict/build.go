package verdict

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"sort"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
)

// Evidence is all that an audit is built from.
type Evidence struct {
	Version string
	Issued  string // YYYY-MM-DD
	Case    string
	Spec    *claims.Spec
	Bench   *lab.Results // nil for a case with claims alone
	Inputs  []sheet.Input
	// Qualification is the report of the room book that the case names, as JSON; nil for none.
	Qualification json.RawMessage
}

// Cautions stand in every output.
var Cautions = []string{
	"This report compares wording and numbers that were captured at the stated time with measurements of the stated items. It is general information, not legal advice, and makes no finding that any law was broken. A difference may have causes other than the claim.",
	"Results relate only to the items tested. The spread from unit to unit is not part of the uncertainties.",
	"Check current law and local codes, and take qualified advice, before you publish or file.",
	"Electrical work on appliances connected to the mains can hurt people: leave it to those qualified for it. Ozone irritates the lungs even at low levels: do not run a unit that may produce it in a room that people use while it is being assessed.",
}

// Build sets every claim against the results and its words against the rules. It reads no file and needs no clock.
func Build(e Evidence) *Audit {
	a := &Audit{Version: e.Version, Issued: e.Issued, Case: e.Case, Product: e.Spec.Product, Inputs: e.Inputs, Replies: e.Spec.Replies,
		Cautions: Cautions}
	a.ID = identify(e)
	var over []Override
	if b := e.Bench; b != nil {
		a.Measurements = append(a.Measurements, b.Measurements...)
		if b.Room != nil {
			a.Room = &Room{Volume: b.Room.Volume, U: b.Room.U, Text: b.Room.Text, Qualification: e.Qualification}
		}
		for _, t := range b.Tolerances {
			over = append(over, Override{Attribute: claims.Attribute(t.Attribute), Value: t.Value, Unit: t.Unit, Source: t.Source})
		}
		for _, n := range b.Notes {
			a.Notes = append(a.Notes, n.String())
		}
		a.Refused = refusals(b.Skipped)
		for _, g := range RefusedByCause(a.Refused) {
			a.Notes = append(a.Notes, strings.TrimPrefix(g.Places[0]+": refused, "+g.Text(), ": "))
		}
		var notes []string
		a.Costs, notes = costsOf(b.Costs, a.Measurements)
		a.Notes = append(a.Notes, notes...)
	}
	for _, n := range e.Spec.Notes {
		a.Notes = append(a.Notes, n.String())
	}
	var notes []sheet.Note
	if e.Bench != nil {
		notes = append(notes, e.Bench.Notes...)
	}
	a.NotRead = notRead(append(notes, e.Spec.Notes...), a.Measurements)
	a.Test = recordOf(e.Spec.Product, e.Bench)
	words := &reader{audit: a, all: e.Spec.Claims}
	for _, c := range e.Spec.Claims {
		words.claim(c)
		a.Rows = append(a.Rows, judge(c, a, allowances{over, e.Spec.Claims}, words.last))
	}
	for i := range a.Rows {
		a.Rows[i].withNotRead(a.NotRead)
	}
	words.together(e.Spec.Claims)
	a.sortFindings()
	a.answer()
	a.History = histories(e.Spec.Claims)
	a.Info = information(a)
	a.adjust()
	a.Rule = statementOfRule(a)
	a.Doubts, a.Marked = doubts(e, a), marked(a.Rows)
	return a
}

// identify gives the report its identification (ISO/IEC 17025:2017 7.8.2.1 d): the first 16 hexadecimal digits of the
// SHA-256 over version, date and the hashes of all inputs. The same inputs, version and date give the same.
func identify(e Evidence) string {
	h := sha256.New()
	fmt.Fprintln(h, e.Version, e.Issued)
	for _, i := range e.Inputs {
		fmt.Fprintln(h, i.Path, i.SHA256)
	}
	return fmt.Sprintf("%x", h.Sum(nil))[:16]
}

// sortFindings orders findings by severity, then by the place of the first claim, and links rows to them.
func (a *Audit) sortFindings() {
	weight := map[string]int{"high": 0, "medium": 1, "low": 2}
	pos := map[string]int{}
	for i, r := range a.Rows {
		pos[r.Claim.ID] = i
	}
	first := func(f Finding) int {
		if len(f.Claims) == 0 {
			return len(a.Rows)
		}
		return pos[f.Claims[0]]
	}
	sort.SliceStable(a.Findings, func(i, j int) bool {
		x, y := a.Findings[i], a.Findings[j]
		if weight[x.Severity] != weight[y.Severity] {
			return weight[x.Severity] < weight[y.Severity]
		}
		if first(x) != first(y) {
			return first(x) < first(y)
		}
		return x.Start < y.Start
	})
	for i := range a.Rows {
		a.Rows[i].Findings = nil
		for j, f := range a.Findings {
			for _, id := range f.Claims {
				if id == a.Rows[i].Claim.ID {
					a.Rows[i].Findings = append(a.Rows[i].Findings, j)
				}
			}
		}
	}
}

// Open is how many findings leave something open: all but those of words with a fixed meaning. It is the number of findings
// that every report for people gives.
func (a *Audit) Open() int {
	n := 0
	for _, f := range a.Findings {
		if !f.Fixed() {
			n++
		}
	}
	return n
}

// Fixed reports whether the finding is of words that have a fixed meaning, of which only the evidence is asked for.
func (f Finding) Fixed() bool { return f.Class == "DEFINED" }

// Count is how many claims have the outcome.
func (a *Audit) Count(o Outcome) int {
	n := 0
	for _, r := range a.Rows {
		if r.Verdict == o {
			n++
		}
	}
	return n
}

// histories brings the claims' histories to their form in the audit.
func histories(cs []claims.Claim) []Thread {
	var out []Thread
	for _, h := range claims.Histories(cs) {
		t := Thread{Attribute: string(h.Attribute), Source: h.Source, Change: h.Change}
		for _, c := range h.Entries {
			text := c.Wording
			if text == "" && c.Claimed != nil {
				text = string(c.Bound) + " " + c.Claimed.Text
			}
			t.Entries = append(t.Entries, ThreadEntry{Claim: c.ID, Captured: c.Captured, Text: text, Evidence: c.Evidence})
		}
		out = append(out, t)
	}
	return out
}
