package wording

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"
)

// languages are those that are read.
var languages = []string{"en", "de", "fr", "es", "it", "zh", "ja"}

// TestSevenLanguages: a phrase set, translated seven ways, gets the same findings in each language. The translations are our
// own, to be checked by native readers.
func TestSevenLanguages(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/wording/seven.csv")
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(strings.NewReader(string(raw)))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	phrases := 0
	for _, row := range rows[1:] {
		for i, lang := range languages {
			phrases++
			found, twins := ids(Check(row[3+i], Context{}))
			for _, id := range strings.Fields(row[1]) {
				if !slices.Contains(found, id) && !slices.Contains(twins, id) {
					t.Errorf("%s, %s: no %s in %q; found %v", row[0], lang, id, row[3+i], found)
				}
			}
			for _, id := range strings.Fields(row[2]) {
				if slices.Contains(found, id) {
					t.Errorf("%s, %s: %s in %q", row[0], lang, id, row[3+i])
				}
			}
		}
	}
	if phrases < 7*30 {
		t.Errorf("%d phrases, want at least 210", phrases)
	}
}

// TestEveryLanguageHasWords: each language has terms for every rule that goes by words, those apart that go by figures and
// classes, or by words of one country.
func TestEveryLanguageHasWords(t *testing.T) {
	for _, rule := range Rules() {
		if len(rule.Languages) < 3 { // found by figures and classes, or words of one language or country
			continue
		}
		for _, lang := range languages {
			if !slices.Contains(rule.Languages, lang) {
				t.Errorf("%s has no terms in %s", rule.ID, lang)
			}
		}
	}
}
