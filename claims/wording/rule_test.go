package wording

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"weighhouse/measure/source"
)

func TestRulesHaveSourceAndMark(t *testing.T) {
	for _, r := range Rules() {
		if why := source.Fault(r.Source, r.Mark); why != "" {
			t.Errorf("%s: source %q, mark %q: %s", r.ID, r.Source, r.Mark, why)
		}
		for name, s := range map[string]string{"title": r.Title, "why": r.Why, "ask": r.Ask, "evidence": r.Evidence} {
			if strings.TrimSpace(s) == "" {
				t.Errorf("%s: no %s", r.ID, name)
			}
		}
		if !strings.HasSuffix(r.Why, ".") {
			t.Errorf("%s: why is no sentence: %q", r.ID, r.Why)
		}
		if !strings.HasSuffix(r.Ask, "?") {
			t.Errorf("%s: ask is no question: %q", r.ID, r.Ask)
		}
		for _, term := range r.Terms {
			if !slices.Contains(source.Marks, term.Mark) || !slices.Contains([]string{"en", "de", "fr", "es", "it", "zh", "ja"}, term.Language) {
				t.Errorf("%s: term %q: mark %q, language %q", r.ID, term.Pattern, term.Mark, term.Language)
			}
		}
	}
	for _, g := range Grades() {
		if why := source.Fault(g.Source, g.Mark); why != "" || g.Standard == "" {
			t.Errorf("%s: source %q, mark %q, standard %q: %s", g.Class, g.Source, g.Mark, g.Standard, why)
		}
	}
}

// Every term compiles; in use only those do that a text meets.
func TestTermsCompile(t *testing.T) {
	tables := newRules().complete()
	bits := len(tables.setBits)
	for _, term := range tables.terms {
		b := term.ready(tables)
		if len(b.whole) == 0 || len(b.first) == 0 || len(b.first) > len(b.whole) {
			t.Errorf("%s: term %q: %d elements, %d at first", term.Rule, term.Pattern, len(b.whole), len(b.first))
		}
	}
	if len(tables.setBits) != bits {
		t.Errorf("%d sets are numbered late: terms are compiled while several texts are read", len(tables.setBits)-bits)
	}
}

// TestTaxonomyIsWhole counts the rules of each group against the taxonomy and our own of PE-13, CV-09, CV-10, EG-05 and GC-07 to GC-09.
func TestTaxonomyIsWhole(t *testing.T) {
	want := map[string]int{"FG": 23, "PE": 13, "AB": 3, "BIO": 6, "OZ": 6, "CV": 10, "NS": 7, "EG": 5, "FL": 8, "GC": 9, "TE": 9, "R": 25}
	got := map[string]int{}
	last := -1
	for _, r := range Rules() {
		got[r.Group]++
		if order(r.ID) <= last {
			t.Errorf("%s is out of order", r.ID)
		}
		last = order(r.ID)
	}
	for g, n := range want {
		if got[g] != n {
			t.Errorf("group %s has %d rules, the taxonomy %d", g, got[g], n)
		}
	}
	if got["CX"] < 12 {
		t.Errorf("group CX has %d rules, the taxonomy 12", got["CX"])
	}
}

// TestNoAccusation keeps words out of the texts that a report must never use.
func TestNoAccusation(t *testing.T) {
	never := regexp.MustCompile(`(?i)\b(false|fake|fraud\w*|lie|lies|lying|illegal|meaningless|scam)\b`)
	for _, r := range Rules() {
		for _, s := range []string{r.Title, r.Why, r.Ask, r.Evidence, r.Source} {
			if w := never.FindString(s); w != "" {
				t.Errorf("%s: %q in %q", r.ID, w, s)
			}
		}
	}
	for _, x := range corpus(t) {
		for _, f := range Check(x.phrase, Context{}) {
			if w := never.FindString(f.Why + f.Ask); w != "" {
				t.Errorf("%s on %q: %q", f.Rule, x.phrase, w)
			}
		}
	}
}

func TestEffect(t *testing.T) {
	for class, want := range map[string]string{"CONTRADICTION": "unclear", "REGULATED": "unclear", "UNDEFINED": "unclear", "OUT-OF-SCOPE": "unclear", "INCOMPLETE": "finding",
		"UNBOUNDED": "finding", "VERIFY": "", "PUFFERY": "", "DEFINED": "", "NOT-EVIDENCE": "", "no such class": ""} {
		if got := Effect(class); got != want {
			t.Errorf("Effect(%q) = %q, want %q", class, got, want)
		}
	}
	if !Stops("PE-01") || Stops("NS-04") || Stops("nothing") {
		t.Error("a percentage without size stops the test, a level without distance does not")
	}
	for class, want := range map[string]string{"ABSOLUTE": "high", "AMBIGUOUS": "medium", "EXPLAIN": "low", "": ""} {
		if got := Severity(class); got != want {
			t.Errorf("Severity(%q) = %q, want %q", class, got, want)
		}
	}
}

func TestRuleFinding(t *testing.T) {
	f := RuleFinding("CX-03", "as low as 22 dB(A)")
	if f.Class != "AMBIGUOUS" || f.Severity != "medium" || f.Quote != "as low as 22 dB(A)" || f.Why == "" || f.Ask == "" || f.Source == "" {
		t.Errorf("RuleFinding: %+v", f)
	}
	defer func() {
		if recover() == nil {
			t.Error("an unknown rule does not panic")
		}
	}()
	RuleFinding("XX-99", "")
}

// BenchmarkTables reads and compiles all tables, as the first check of a process does.
func BenchmarkTables(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		newRules().complete()
	}
}
