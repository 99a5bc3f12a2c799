package verdict

import (
	"fmt"
	"regexp"
	"strings"
	"sync"

	"weighhouse/claims"
)

var (
	voltage = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(?i)\d\s*V(?:olts?|AC)?\b|\bvoltage\b`) })
	ioniser = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(?i)\bioni[sz]`) })
)

// withConditions says which conditions of a judged claim the test record does not hold. A claim for a state of the
// ioniser that the record does not mention is not contradicted.
func (r *Row) withConditions(t TestRecord) {
	var record []string
	for _, f := range t.Fields {
		record = append(record, f.Value)
	}
	for _, i := range t.Instruments {
		record = append(record, i.Note)
	}
	all := strings.Join(record, "; ")
	switch r.Claim.Attribute {
	case claims.Power, claims.StandbyPower, claims.AnnualEnergy:
		if !voltage().MatchString(all) {
			r.note("the supply voltage is not recorded in the lab book, and a fan's power changes with it")
		}
	}
	if state := r.Claim.Basis.Ioniser; state != "" && !ioniser().MatchString(all) {
		note := fmt.Sprintf("the claim is for the ioniser %s; the lab book does not say whether it was", state)
		if r.Verdict == Contradicted {
			r.Verdict = Inconclusive
			note += ", and the claim stays open"
		}
		r.note(note)
	}
}
