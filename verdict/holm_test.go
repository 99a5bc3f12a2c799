package verdict

import (
	"fmt"
	"math"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
)

// Holm's step-down: the p values 0.010, 0.040, 0.030, 0.005 become 0.030, 0.060, 0.060, 0.020 (a worked example that many
// texts give; recomputed with R 4.2 p.adjust). A second claim on the result of the surest is no fifth test.
func TestHolmCountsResultsOnce(t *testing.T) {
	row := func(setting string, p float64) Row {
		m := result(0, 1, inf)
		m.Setting = setting
		c := claim(claims.AtLeast, 1, 1)
		return Row{Claim: c, Measured: m, Probability: &p, Limit: &Limit{Low: zOf(p), High: inf}}
	}
	a := &Audit{}
	for i, p := range []float64{0.010, 0.040, 0.030, 0.005} {
		a.Rows = append(a.Rows, row(fmt.Sprint("s", i), p))
	}
	a.Rows = append(a.Rows, row("s3", 0.006))
	a.adjust()
	for i, want := range []float64{0.030, 0.060, 0.060, 0.020, 0.024} {
		if got := *a.Rows[i].Adjusted; math.Abs(got-want) > 1e-6 {
			t.Errorf("row %d: %.6f, want %.3f", i, got, want)
		}
	}
	// several claims on one result, and claims that hang on it, are one result
	same := []Row{row("max", 0.3), row("max", 0.4)}
	area := row("max", 0.2)
	area.Claim.Attribute, area.Measured.Attribute = claims.RoomArea, "room area"
	watts, energy := row("max", 0.3), row("max", 0.3)
	watts.Claim.Attribute, watts.Measured.Attribute = claims.Power, "power"
	energy.Claim.Attribute, energy.Measured.Attribute = claims.AnnualEnergy, "annual energy"
	b := &Audit{Rows: append(same, area, watts, energy)}
	if s := statementOfRule(b); s.Numeric != 5 || s.Separate != 2 {
		t.Errorf("%d claims by %d results, want 5 by 2", s.Numeric, s.Separate)
	}
}

// zOf is the limit that a result of 0 ± 1 meets with the probability p.
func zOf(p float64) float64 {
	lo, hi := -10.0, 10.0
	for range 100 {
		mid := (lo + hi) / 2
		if q, _ := Probability(Limit{Low: mid, High: inf}, &measure.Measurement{Std: 1, DOF: inf}); q > p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}
