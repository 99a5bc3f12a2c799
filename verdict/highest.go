package verdict

import (
	"weighhouse/claims"
	"weighhouse/measure"
)

// Highest gives the results of an attribute at the unit's highest setting, found as for a claim that names no setting: by
// its name where one says so, else the one with the highest value. There is more than one where particles or distances
// differ. The notes say what was assumed; no result and a note where only lower settings were measured.
func Highest(a claims.Attribute, ms []measure.Measurement) (at []*measure.Measurement, notes []string) {
	var of []*measure.Measurement
	for i := range ms {
		if ms[i].Attribute == string(a) {
			of = append(of, &ms[i])
		}
	}
	if len(of) == 0 {
		return nil, nil
	}
	at, reason, notes := atSetting("", of)
	if reason != "" {
		notes = append(notes, reason)
	}
	return at, notes
}
