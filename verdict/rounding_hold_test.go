package verdict

import (
	"testing"

	"weighhouse/claims"
)

// One digit read to its half is worth much: 1 lb (454 g) is not supported by 250 g; a figure met without its rounding stays
// supported, and one missed in spite of it contradicted. (International pound of 453.59237 g.)
func TestByRounding(t *testing.T) {
	for _, c := range []struct {
		claimed     float64
		text, unit  string
		measured, u float64
		want        Outcome
	}{
		{453.59237, "1 lb", "lb", 250, 4, Inconclusive},
		{453.59237, "1 lb", "lb", 460, 4, Supported},
		{453.59237, "1 lb", "lb", 200, 4, Contradicted},
		{500, "500 g", "g", 495, 1, Contradicted},
	} {
		claim := claimOf(claims.CarbonMass, claims.AtLeast, c.claimed, "g", "")
		claim.Claimed.Text, claim.UnitText = c.text, c.unit
		if r := judged(claim, supplied("carbon mass", "g", c.measured, c.u, nil)); r.Verdict != c.want {
			t.Errorf("%s against %g g: %s, want %s: %s", c.text, c.measured, r.Verdict, c.want, r.Statement)
		}
	}
}
