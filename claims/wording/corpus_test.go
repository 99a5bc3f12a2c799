package wording

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"
)

// The corpus was written for this project: no phrase is copied from a listing. Its labels follow the definitions of the
// rules, not the output of the program. Column rules: the ids that must be found, none for a clean phrase; column near:
// ids that nearly apply and must not be found.
const corpusFile = "../../testdata/wording/corpus.csv"

type labelled struct {
	phrase, language string
	rules, near      []string
}

func corpus(t *testing.T) []labelled {
	t.Helper()
	f, err := os.Open(corpusFile)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []labelled
	for _, r := range rows[1:] {
		out = append(out, labelled{r[0], r[1], strings.Fields(r[2]), strings.Fields(r[3])})
	}
	return out
}

// ids lists the rules found; twins lists those that were folded into them.
func ids(fs []Finding) (found, twins []string) {
	for _, f := range fs {
		if !slices.Contains(found, f.Rule) {
			found = append(found, f.Rule)
		}
		twins = append(twins, f.Also...)
	}
	return found, twins
}

// TestCorpus counts, over all phrases, rules found that were expected (hits), found unexpected, and missed. A twin that
// was folded away counts where it was expected and is no mistake where it was not.
func TestCorpus(t *testing.T) {
	type count struct{ phrases, clean, hits, unexpected, missed int }
	by := map[string]*count{}
	total := &count{}
	for _, x := range corpus(t) {
		lang := by[x.language]
		if lang == nil {
			lang = &count{}
			by[x.language] = lang
		}
		found, twins := ids(Check(x.phrase, Context{}))
		for _, c := range []*count{lang, total} {
			c.phrases++
			if len(x.rules) == 0 {
				c.clean++
			}
		}
		var unexpected, missed []string
		for _, id := range found {
			if !slices.Contains(x.rules, id) {
				unexpected = append(unexpected, id)
			}
		}
		for _, id := range x.rules {
			if !slices.Contains(found, id) && !slices.Contains(twins, id) {
				missed = append(missed, id)
			}
		}
		for _, c := range []*count{lang, total} {
			c.unexpected += len(unexpected)
			c.missed += len(missed)
			c.hits += len(x.rules) - len(missed)
		}
		if len(unexpected)+len(missed) > 0 {
			t.Logf("%-60q unexpected %v, missed %v", x.phrase, unexpected, missed)
		}
	}
	precision := func(c *count) float64 { return float64(c.hits) / float64(c.hits+c.unexpected) }
	recall := func(c *count) float64 { return float64(c.hits) / float64(c.hits+c.missed) }
	for _, l := range []string{"en", "de", "fr", "es", "it", "zh", "ja"} {
		c := by[l]
		t.Logf("%s: %d phrases, %d clean, %d labels, precision %.4f, recall %.4f", l, c.phrases, c.clean, c.hits+c.missed, precision(c), recall(c))
	}
	t.Logf("all: %d phrases, %d clean, %d labels, precision %.4f, recall %.4f", total.phrases, total.clean, total.hits+total.missed, precision(total), recall(total))
	if precision(total) < 0.97 || recall(total) < 0.95 {
		t.Errorf("precision %.4f (at least 0.97), recall %.4f (at least 0.95)", precision(total), recall(total))
	}
	if en := by["en"].phrases; en < 300 || total.phrases-en < 60 || 3*total.clean < total.phrases {
		t.Errorf("the corpus has %d English phrases (at least 300), %d others (60), %d clean of %d (a third)", en, total.phrases-en, total.clean, total.phrases)
	}
}

// TestNearMisses checks that phrases which nearly break a rule do not.
func TestNearMisses(t *testing.T) {
	for _, x := range corpus(t) {
		found, twins := ids(Check(x.phrase, Context{}))
		for _, id := range x.near {
			if slices.Contains(found, id) || slices.Contains(twins, id) {
				t.Errorf("%q: found %s, to which it only comes near", x.phrase, id)
			}
		}
	}
}

// TestEveryRuleIsTried asks for two phrases that break each rule and one that nearly does. The rules that compare claims
// (Rule.Claims) have their tests in package claims.
func TestEveryRuleIsTried(t *testing.T) {
	positive, near := map[string]int{}, map[string]int{}
	for _, x := range corpus(t) {
		for _, id := range x.rules {
			positive[id]++
		}
		for _, id := range x.near {
			near[id]++
		}
	}
	known := map[string]bool{}
	for _, r := range Rules() {
		known[r.ID] = true
		if r.Claims {
			continue
		}
		if positive[r.ID] < 2 || near[r.ID] < 1 {
			t.Errorf("%s: %d phrases that break it (at least 2), %d that nearly do (at least 1)", r.ID, positive[r.ID], near[r.ID])
		}
	}
	for _, m := range []map[string]int{positive, near} {
		for id := range m {
			if !known[id] {
				t.Errorf("the corpus names %q, which is no rule", id)
			}
		}
	}
}
