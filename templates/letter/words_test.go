package letter

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/claims/wording"
	"weighhouse/templates/internal/mossgate"
	"weighhouse/verdict"
)

// never are the words that no letter says, written down apart from avoid.csv.
var never = regexp.MustCompile(`(?i)\b(false(ly|hood)?|fakes?|faked|fraud\w*|lie|lied|liar|lying|illegal\w*|fails?|failed|failing|meaningless|this model|refused to answer)\b`)

// mixes gives audits with every mix of verdicts, and for each a text that names it.
func mixes(t *testing.T, use func(name string, a *verdict.Audit)) {
	t.Helper()
	for mask := 0; mask < 1<<len(verdict.Outcomes); mask++ {
		a := mossgate.Audit()
		var rows []verdict.Row
		name := "no claims"
		for i, o := range verdict.Outcomes {
			if mask&(1<<i) == 0 {
				continue
			}
			name += "+" + string(o)
			found := 0
			for _, r := range a.Rows {
				if r.Verdict == o {
					rows = append(rows, r)
					found++
				}
			}
			if found == 0 {
				t.Fatalf("the audit of the tests has no claim that is %s", o)
			}
		}
		a.Rows = rows
		var fs []verdict.Finding
		for _, f := range a.Findings {
			kept := f.Claims[:0:0]
			for _, c := range f.Claims {
				for _, r := range rows {
					if r.Claim.ID == c {
						kept = append(kept, c)
					}
				}
			}
			if f.Claims = kept; len(kept) > 0 {
				fs = append(fs, f)
			}
		}
		a.Findings = fs
		for i := range a.Rows {
			a.Rows[i].Findings = nil
		}
		use(strings.TrimPrefix(name, "no claims+"), a)
		if mask%7 == 3 { // a case without reply, and one with an ozone claim
			b := *a
			b.Replies = nil
			use(name+", no reply", &b)
			c := *a
			c.Rows = append(append([]verdict.Row(nil), a.Rows...), verdict.Row{Verdict: verdict.Untested, Ask: "How was the ozone measured?",
				Claim: claims.Claim{ID: "C99", Attribute: claims.Ozone, Wording: "Under 5 ppb of ozone", Bound: claims.AtMost, Claimed: &claims.Range{Low: 5, High: 5, Unit: "ppb", Text: "5 ppb"}}})
			use(name+", ozone", &c)
		}
	}
	none := mossgate.Audit()
	none.Rows, none.Findings, none.Measurements, none.Room, none.Test = nil, nil, nil, nil, verdict.TestRecord{}
	use("nothing at all", none)
}

// kinds gives the options of every kind of letter.
func kinds() map[string]Options {
	out := map[string]Options{"maker": {To: ToMaker}, "authority": {To: ToAuthority}}
	for _, b := range Bodies() {
		out["authority "+b.ID] = Options{To: ToAuthority, Body: &b}
	}
	return out
}

func textOf(t *testing.T, a *verdict.Audit, o Options) string {
	t.Helper()
	l, err := Write(a, o)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := l.WriteText(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// joinedLines undoes the lines, so that a phrase is found across them.
func joinedLines(s string) string { return strings.Join(strings.Fields(s), " ") }

// No letter says a word of the wording table, whatever the verdicts; each explains "contradicted" where it first says it.
func TestWords(t *testing.T) {
	n := 0
	mixes(t, func(name string, a *verdict.Audit) {
		for kind, o := range kinds() {
			n++
			text := textOf(t, a, o)
			if found := never.FindAllString(joinedLines(text), -1); found != nil {
				t.Errorf("%s, %s: says %q", kind, name, found)
			}
			paragraphs := strings.Split(text, "\n\n")
			for _, p := range paragraphs {
				if strings.Contains(strings.ToLower(p), "contradicted") {
					if !strings.Contains(joinedLines(p), "name of a statistical outcome") || !strings.Contains(joinedLines(p), "at least 95 %, on the unit tested") {
						t.Errorf("%s, %s: “contradicted” is not explained where it first stands:\n%s", kind, name, p)
					}
					break
				}
			}
		}
	})
	if n < 32*len(kinds()) {
		t.Errorf("only %d letters were looked at", n)
	}
}

// The PDF draws no word of the table either.
func TestWordsOfThePDF(t *testing.T) {
	for kind, o := range kinds() {
		l, err := Write(mossgate.Audit(), o)
		if err != nil {
			t.Fatal(err)
		}
		d, err := l.document(PDFOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if found := never.FindAllString(d.Recording(), -1); found != nil {
			t.Errorf("%s: draws %q", kind, found)
		}
	}
}

// The guard finds what the test's own list finds: no letter could be written around it.
func TestGuardKnowsTheWords(t *testing.T) {
	for _, w := range []string{"false", "fake", "fraud", "fraudulent", "lie", "lies", "lied", "liar", "illegal", "fails", "failed", "meaningless", "this model", "refused to answer"} {
		if len(avoidedIn("They say it is "+strings.ToUpper(w)+".")) == 0 {
			t.Errorf("%q is let through", w)
		}
	}
	for _, s := range []string{"We believe that supplied filters comply.", "a family of models", "client, earlier, applied", "unfailing", "falsework is a scaffold"} {
		if got := avoidedIn(s); got != nil {
			t.Errorf("%q: found %v", s, got)
		}
	}
}

// Every rule on words may come into a letter with its reasons and questions. Whether a certificate names the model offered
// is no statement about a model from one unit.
func TestRulesInLetters(t *testing.T) {
	a := mossgate.Audit()
	a.Findings = nil
	for i, r := range wording.Rules() {
		id := a.Rows[i%len(a.Rows)].Claim.ID
		a.Findings = append(a.Findings, verdict.Finding{Claims: []string{id}, Finding: wording.Finding{Rule: r.ID, Class: r.Class, Severity: r.Severity,
			Quote: fmt.Sprintf("words %d", i), Why: r.Why, Ask: r.Ask, Evidence: r.Evidence, Source: r.Source, Mark: r.Mark}})
	}
	if len(a.Findings) < 50 {
		t.Fatalf("only %d rules", len(a.Findings))
	}
	for kind, o := range kinds() {
		text := strings.ReplaceAll(joinedLines(textOf(t, a, o)), "name this model", "name the model")
		for _, found := range never.FindAllStringIndex(text, -1) {
			from, to := max(0, found[0]-60), min(len(text), found[1]+40)
			t.Errorf("%s: says %q in “%s”", kind, text[found[0]:found[1]], text[from:to])
		}
	}
}
