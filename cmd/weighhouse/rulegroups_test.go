package main

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"
)

// TestRulesFitAPage: no line of the rules is wider than a page, every cell that decides something is printed, and each table
// stands in one group.
func TestRulesFitAPage(t *testing.T) {
	var out, errOut bytes.Buffer
	if got := run([]string{"rules"}, nil, &out, &errOut); got != exitDone {
		t.Fatalf("status %d: %s", got, errOut.String())
	}
	for line := range strings.Lines(out.String()) {
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 100 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
	squeezed := strings.Join(strings.Fields(out.String()), "")
	all, n := ruleTables(), 0
	for _, table := range all {
		for _, r := range table.Rows {
			for k, cell := range r {
				if n++; !strings.Contains(squeezed, strings.Join(strings.Fields(cell), "")) {
					t.Fatalf("%s, %s: %q is not printed", table.Name, table.Header[k], cell)
				}
			}
		}
	}
	if n < 10000 {
		t.Errorf("only %d cells", n)
	}
	seen := map[string]int{}
	for _, g := range ruleGroups {
		for _, table := range grouped(all)[g.name] {
			seen[table.Name]++
		}
		var one bytes.Buffer
		if got := run([]string{"rules", g.name}, nil, &one, &errOut); got != exitDone || one.Len() == 0 {
			t.Errorf("rules %s: status %d: %s", g.name, got, errOut.String())
		}
	}
	for _, table := range all {
		if seen[table.Name] != 1 {
			t.Errorf("%s stands in %d groups", table.Name, seen[table.Name])
		}
	}
}
