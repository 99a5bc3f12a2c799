package verdict

import (
	"testing"

	"weighhouse/claims"
)

// A row judges words that name another quantity: nothing is contradicted on them; the same words with the quantity named
// are judged as before.
func TestOtherName(t *testing.T) {
	for _, c := range []struct {
		attribute claims.Attribute
		bound     claims.Bound
		claimed   float64
		unit      string
		measured  float64
		wording   string
		want      Outcome
	}{
		{claims.DeliveryRate, claims.AtLeast, 300, "m3/h", 182, "Air flow 300 m³/h (without filter)", Inconclusive},
		{claims.DeliveryRate, claims.AtLeast, 300, "m3/h", 182, "Luftdurchsatz 300 m³/h", Inconclusive},
		{claims.DeliveryRate, claims.AtLeast, 300, "m3/h", 182, "Formaldehyde CADR 300 m³/h", Inconclusive},
		{claims.DeliveryRate, claims.AtLeast, 300, "m3/h", 182, "Clean air flow rate (CADR) 300 m³/h", Contradicted},
		{claims.DeliveryRate, claims.AtLeast, 300, "m3/h", 182, "Smoke CADR 300 m³/h", Contradicted},
		{claims.Power, claims.AtMost, 10, "W", 40, "UV lamp 10 W", Inconclusive},
		{claims.Power, claims.AtMost, 10, "W", 40, "10 W", Contradicted},
	} {
		claim := claimOf(c.attribute, c.bound, c.claimed, c.unit, "")
		claim.Wording = c.wording
		if r := judged(claim, supplied(string(c.attribute), c.unit, c.measured, 4, nil)); r.Verdict != c.want {
			t.Errorf("%q: %s, want %s: %s", c.wording, r.Verdict, c.want, r.Statement)
		}
	}
}
