package verdict

import (
	"fmt"
	"regexp"
	"strings"
	"sync"

	"weighhouse/claims"
	"weighhouse/measure"
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

// withSameWatts says, of a yearly energy that is contradicted where the rated input is supported by the same watts, why
// the one is judged with a tolerance and the other without.
func (a *Audit) withSameWatts() {
	for i := range a.Rows {
		r := &a.Rows[i]
		if r.Claim.Attribute != claims.AnnualEnergy || r.Verdict != Contradicted {
			continue
		}
		for _, p := range a.Rows {
			if p.Claim.Attribute == claims.Power && p.Verdict == Supported && measure.Fold(p.Measured.Setting) == measure.Fold(r.Measured.Setting) && p.Tolerance.Amount > 0 {
				r.note(fmt.Sprintf("the same watts support the rated input of %s: its tolerance is that of a safety rating, an energy statement has none", p.Claim.ID))
			}
		}
	}
}
