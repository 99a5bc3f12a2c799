package verdict

import (
	"slices"
	"testing"

	"weighhouse/claims"
	"weighhouse/claims/wording"
)

// "Up to" always has a finding of an open ceiling where more is better, except a room at a stated air change rate: there it is
// the bound itself. Rule PE-06: common practice, no source.
func TestUpToIsACeilingReadAsTypical(t *testing.T) {
	for _, x := range []struct {
		name string
		c    claims.Claim
		want bool
	}{
		{"a rate", claims.Claim{Attribute: claims.DeliveryRate, Bound: claims.UpTo, Claimed: &claims.Range{Low: 340, High: 340, Text: "340", Unit: "m3/h"}}, true},
		{"a room", claims.Claim{Attribute: claims.RoomArea, Bound: claims.UpTo, Claimed: &claims.Range{Low: 40, High: 40, Text: "40", Unit: "m2"}}, true},
		{"a room at a rate", claims.Claim{Attribute: claims.RoomArea, Bound: claims.UpTo, Basis: claims.ParseBasis("4.8 ach; 2.4 m ceiling"),
			Claimed: &claims.Range{Low: 40, High: 40, Text: "40", Unit: "m2"}}, false},
		{"a level", claims.Claim{Attribute: claims.Noise, Bound: claims.UpTo, Claimed: &claims.Range{Low: 52, High: 52, Text: "52", Unit: "dB"}}, false},
	} {
		r := reader{audit: &Audit{}, all: []claims.Claim{x.c}}
		r.claim(x.c)
		got := slices.ContainsFunc(r.last, func(f wording.Finding) bool { return f.Class == "UNBOUNDED" })
		if got != x.want {
			t.Errorf("%s: an open ceiling %v, want %v (%v)", x.name, got, x.want, r.last)
		}
	}
}
