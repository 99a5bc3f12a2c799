package verdict

import (
	"math"
	"sort"
)

// adjust gives every row that a number judges its p after Holm's adjustment for all results of the audit: the smaller of
// the probabilities that the limit is met and that it is not, times the number of separate results that are no further
// from doubt, and never below that of a surer row. Several claims on one result count it once: their errors are one error.
// Holm, Scand. J. Statist. 6 (1979) 65; that rows of one result share its place is this project's use.
func (a *Audit) adjust() {
	type test struct {
		row *Row
		p   float64
	}
	var tests []test
	left := map[string]int{} // rows of each result that are still to come
	for i := range a.Rows {
		r := &a.Rows[i]
		if r.Probability == nil {
			continue
		}
		p := math.Min(beyond(*r.Limit, r.Measured), 1-*r.Probability)
		tests, left[r.source()] = append(tests, test{r, p}), left[r.source()]+1
	}
	sort.SliceStable(tests, func(i, j int) bool { return tests[i].p < tests[j].p })
	top := 0.0
	for _, t := range tests {
		top = math.Max(top, math.Min(1, float64(len(left))*t.p))
		adjusted := top
		t.row.Adjusted = &adjusted
		if s := t.row.source(); left[s] > 1 {
			left[s]--
		} else {
			delete(left, s)
		}
	}
}
