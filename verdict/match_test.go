package verdict

import (
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
)

// The hours to half the first rate are the end of life of GB/T 18801 and JEM 1467 (second-hand). They bear on no claim that
// ends otherwise by its own words, and on no other filter than the one that was loaded.
func TestLifeOfAnotherEndOrFilter(t *testing.T) {
	ms := []measure.Measurement{{Attribute: "filter life", Value: 3000, Std: 100, DOF: 10, Unit: "h"}}
	for basis, reason := range map[string]string{
		"12 h/day": "",
		"12 h/day; until the rate has fallen to half":   "",
		"12 h/day; until the rate has fallen to 50 %":   "",
		"12 h/day; until the rate has fallen to 80 %":   "another end",
		"12 h/day; until the rate has fallen to 2.50 %": "another end",
		"12 h/day; for the pre-filter":                  "the pre-filter",
		"for the carbon filter":                         "the carbon filter",
	} {
		got := findDirect(claims.Claim{Attribute: claims.FilterLife, Bound: claims.AtLeast, Basis: claims.ParseBasis(basis)}, ms)
		if (got.m != nil) != (reason == "") || !strings.Contains(got.reason, reason) {
			t.Errorf("%q: found %v, %q; want %q", basis, got.m != nil, got.reason, reason)
		}
	}
}
