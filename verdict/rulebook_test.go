package verdict

import (
	"slices"
	"testing"

	"weighhouse/claims/wording"
	"weighhouse/measure/source"
)

// TestRulebook: every row of trade knowledge has a source, a mark that is no stronger than what the source says of its
// documents, and its table's columns.
func TestRulebook(t *testing.T) {
	for _, table := range Rulebook() {
		if len(table.Rows) == 0 {
			t.Errorf("table %s is empty", table.Name)
		}
		for _, r := range table.Rows {
			if len(r) != len(table.Header) {
				t.Errorf("%s: %q has %d columns, the header %d", table.Name, r[0], len(r), len(table.Header))
				continue
			}
			if why := source.Fault(r[len(r)-2], r[len(r)-1]); why != "" {
				t.Errorf("%s: %q: %s", table.Name, r, why)
			}
		}
	}
}

// TestRulebookIsWhole: what decides how a finding is told is printed: a class of a term's own with its severity, each class with its effect, each rule on claims.
func TestRulebookIsWhole(t *testing.T) {
	rows := map[string][][]string{}
	for _, table := range Rulebook() {
		if rows[table.Name] != nil {
			t.Errorf("two tables are named %s", table.Name)
		}
		rows[table.Name] = table.Rows
	}
	own := 0
	for _, r := range wording.Rules() {
		for _, x := range r.Terms {
			if x.Class != "" && x.Class != r.Class {
				own++
				if !slices.ContainsFunc(rows["terms"], func(p []string) bool {
					return p[0] == x.Rule && p[1] == x.Class && p[2] == wording.Severity(x.Class) && p[4] == x.Pattern
				}) {
					t.Errorf("%s: %q: its class %s is not printed", x.Rule, x.Pattern, x.Class)
				}
			}
		}
	}
	if own == 0 {
		t.Error("no term has a class of its own")
	}
	for _, c := range wording.Classes() {
		if c.Effect != wording.Effect(c.Name) || c.Severity != wording.Severity(c.Name) {
			t.Errorf("%s: printed as %s, %q", c.Name, c.Severity, c.Effect)
		}
		if !slices.ContainsFunc(rows["classes"], func(r []string) bool { return r[0] == c.Name && r[1] == c.Severity && r[2] == c.Effect }) {
			t.Errorf("class %s is not printed", c.Name)
		}
	}
	for name, n := range map[string]int{"claims": len(wording.ClaimRules()), "spellings": len(wording.Spellings()), "classes": len(wording.Classes()), "grades": len(wording.Grades())} {
		if n == 0 || len(rows[name]) != n {
			t.Errorf("%s: %d rows are printed, %d are in force", name, len(rows[name]), n)
		}
	}
}
