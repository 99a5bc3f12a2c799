package verdict

import (
	"math"
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/lab"
	"weighhouse/measure/uncertainty"
)

func levelled(value, u, distance, adds float64) measure.Measurement {
	m := measure.Measurement{ID: "M1", Attribute: "noise", Setting: "max", Unit: "dB(A)", Value: value, Distance: distance, RoomAdds: adds,
		Budget: uncertainty.Budget{{Name: "all", U: u, DOF: math.Inf(1), Kind: "B"}}}
	m.Expand()
	return m
}

func noiseClaim(level float64, bound claims.Bound, basis string) claims.Claim {
	return claims.Claim{ID: "C1", Attribute: claims.Noise, Bound: bound, BoundGiven: true, Setting: "max", Basis: claims.ParseBasis(basis), UnitText: "dB(A)", Weighting: true,
		Claimed: &claims.Range{Low: level, High: level, Unit: "dB(A)", Text: "level"}}
}

func judged(c claims.Claim, m measure.Measurement) Row {
	spec := &claims.Spec{Claims: []claims.Claim{c}}
	return Build(Evidence{Spec: spec, Bench: &lab.Results{Measurements: []measure.Measurement{m}}}).Rows[0]
}

// Noise in a room: what a claim of 45 dB(A) at 1 m becomes by what the room may have added, and by the distance.
func TestNoiseInRoom(t *testing.T) {
	for _, c := range []struct {
		name    string
		claim   claims.Claim
		m       measure.Measurement
		want    Outcome
		held    bool
		contain string
	}{
		{"in the open", noiseClaim(45, claims.AtMost, "1 m"), levelled(53, 1, 1, 0), Contradicted, false, ""},
		{"the room may explain it", noiseClaim(45, claims.AtMost, "1 m"), levelled(53, 1, 1, 8), Inconclusive, true, "reverberation time"},
		{"more than any room explains", noiseClaim(45, claims.AtMost, "1 m"), levelled(60, 1, 1, 8), Contradicted, false, ""},
		{"met in the room", noiseClaim(45, claims.AtMost, "1 m"), levelled(44, 1, 1, 8), Supported, false, ""},
		{"about, the room may explain it", noiseClaim(45, claims.About, "1 m"), levelled(55, 1, 1, 12), Inconclusive, true, "reverberation time"},
		{"about, quieter than claimed", noiseClaim(45, claims.About, "1 m"), levelled(35, 1, 1, 8), Contradicted, false, ""},
		{"nearer and met", noiseClaim(45, claims.AtMost, "3 m"), levelled(44, 1, 1, 8), Supported, false, "nearer than claimed"},
		{"nearer and not met", noiseClaim(45, claims.AtMost, "3 m"), levelled(53, 1, 1, 0), Untested, false, "conditions differ"},
		{"nearer, about", noiseClaim(45, claims.About, "3 m"), levelled(45, 1, 1, 0), Untested, false, "conditions differ"},
		{"farther", noiseClaim(45, claims.AtMost, "1 m"), levelled(40, 1, 2, 0), Untested, false, "conditions differ"},
	} {
		r := judged(c.claim, c.m)
		if r.Verdict != c.want || (r.HoldText() != "") != c.held {
			t.Errorf("%s: %s, held %q; want %s", c.name, r.Verdict, r.HoldText(), c.want)
		}
		if said := r.HoldText() + strings.Join(r.Notes, "; "); !strings.Contains(said, c.contain) {
			t.Errorf("%s: no %q in %q", c.name, c.contain, said)
		}
		if r.Verdict == Untested && (r.Measured != nil || r.Probability != nil || r.Gap != nil) {
			t.Errorf("%s: untested, and a result stands beside it", c.name)
		}
	}
	// A pressure level above a sound power claimed is told of only where the room cannot have made it so.
	if n := abovePower(noiseClaim(50, claims.AtMost, "sound power"), ptr(levelled(53, 0.5, 1, 12))); n != "" {
		t.Errorf("told although the room may have added 12 dB: %s", n)
	}
	if n := abovePower(noiseClaim(50, claims.AtMost, "sound power"), ptr(levelled(58, 0.5, 1, 6))); n == "" {
		t.Error("a level that is surely above the sound power is not told of")
	}
}

func ptr(m measure.Measurement) *measure.Measurement { return &m }
