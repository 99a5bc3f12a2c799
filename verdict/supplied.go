package verdict

import (
	"fmt"
	"math"

	"weighhouse/claims"
	"weighhouse/measure"
)

// findSupplied looks for a result that came as a number, from a report, for an attribute that is else computed: an observed
// time, a metered year, an area. It counts only where the report's conditions are the claim's. The note says why one that
// is there does not count; "" where there is none.
func findSupplied(c claims.Claim, ms []measure.Measurement) (m *measure.Measurement, note string) {
	var of []*measure.Measurement
	for i := range ms {
		if ms[i].Attribute == string(c.Attribute) && ms[i].Source != "" {
			of = append(of, &ms[i])
		}
	}
	if len(of) == 0 {
		return nil, ""
	}
	at, reason, _ := atSetting(c.Setting, of)
	if reason != "" {
		return nil, reason
	}
	var same []*measure.Measurement
	for _, m := range at {
		if why := otherConditions(c, claims.ParseBasis(m.Basis)); why != "" {
			note = fmt.Sprintf("the number supplied by %s does not bear on the claim: %s", m.Source, why)
			continue
		}
		if c.Particle == "" || m.Particle == "" || m.Particle == c.Particle {
			same = append(same, m)
		}
	}
	if len(same) == 0 {
		return nil, note
	}
	return best(c, same), ""
}

// otherConditions says in what the conditions of a report differ from those of a claim, "" where they do not.
func otherConditions(c claims.Claim, b claims.Basis) string {
	differs := func(x, y float64) bool { return x > 0 && math.Abs(x-y) > 0.01*x }
	switch c.Attribute {
	case claims.AnnualEnergy:
		if differs(c.Basis.HoursPerDay, b.HoursPerDay) {
			return fmt.Sprintf("it is for %s h a day, the claim for %s", short(b.HoursPerDay), short(c.Basis.HoursPerDay))
		}
	case claims.RoomArea:
		if differs(c.Basis.AirChanges, b.AirChanges) {
			return fmt.Sprintf("it is for %s air changes an hour, the claim for %s", short(b.AirChanges), short(c.Basis.AirChanges))
		}
	case claims.CleanTime:
		mine, _ := claimedVolume(c.Basis)
		other, _ := claimedVolume(b)
		if differs(mine, other) || differs(c.Basis.Reduction, b.Reduction) {
			return "it is for another room or another share removed"
		}
	}
	return ""
}
