package verdict

import (
	"strings"
	"testing"

	"weighhouse/measure"
)

// The counts of the decision rule's statement are in words that fit them, and the audit's summary counts findings both
// ways: as the list has them, and as people see them.
func TestStatementCounts(t *testing.T) {
	p := 0.5
	row := func(id string) Row {
		r := Row{Probability: &p, Measured: &measure.Measurement{Attribute: id}}
		r.Claim.ID = id
		return r
	}
	for _, c := range []struct {
		rows []Row
		want string
	}{
		{[]Row{row("C1")}, `1 claim was judged by a number, by 1 result. If the claim lay exactly at its limit, the chance of at least one wrong "contradicted" would be up to 5 %.`},
		{[]Row{row("C1"), row("C2")}, `2 claims were judged by a number, by 2 separate results. If every claim lay exactly at its limit, the chance of at least one wrong "contradicted" would be up to 10 %.`},
	} {
		s := statementOfRule(&Audit{Rows: c.rows})
		if got := s.Text[len(s.Text)-1]; got != c.want {
			t.Errorf("%d rows: %s", len(c.rows), got)
		}
	}
	twin := Finding{Claims: []string{"C1"}}
	twin.Rule, twin.Also = "FG-04", []string{"FG-05"}
	other := Finding{Claims: []string{"C2"}}
	other.Rule = "NS-01"
	r := (&Audit{Findings: []Finding{twin, other}}).Report()
	if len(r.Findings) != 3 || r.Summary["findings"] != 3 || r.Summary["findings_distinct"] != 2 {
		t.Errorf("summary %v of %d findings", r.Summary, len(r.Findings))
	}
	if !strings.Contains(r.Findings[1].SameAs, "FG-04") {
		t.Errorf("same as %q", r.Findings[1].SameAs)
	}
}
