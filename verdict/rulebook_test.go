package verdict

import "testing"

// TestRulebook: every row of trade knowledge has a source or a mark that says that it has none, and its table's columns.
func TestRulebook(t *testing.T) {
	marks := map[string]bool{"read": true, "second-hand": true, "memory": true, "computed": true, "judgement": true}
	for _, table := range Rulebook() {
		if len(table.Rows) == 0 {
			t.Errorf("table %s is empty", table.Name)
		}
		for _, r := range table.Rows {
			if len(r) != len(table.Header) {
				t.Errorf("%s: %q has %d columns, the header %d", table.Name, r[0], len(r), len(table.Header))
				continue
			}
			if source := r[len(r)-2]; source == "" {
				t.Errorf("%s: %q has no source", table.Name, r)
			}
			if mark := r[len(r)-1]; !marks[mark] {
				t.Errorf("%s: %q has the mark %q", table.Name, r, mark)
			}
		}
	}
}
