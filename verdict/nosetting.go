package verdict

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/setting"
)

// withoutSetting says of a claim that names no setting what it was judged at. Power is rated power, a delivery rate and what
// follows from it is of the highest setting (contract). A level or a yearly energy may be of any setting where nothing says
// max, up to, at most: it is held open while a lower setting that was measured may meet it, and where none but the highest
// was measured it is not contradicted.
func (r *Row) withoutSetting(ms []measure.Measurement) {
	c := r.Claim
	if setting.Key(c.Setting) != "" || strings.TrimSpace(c.Setting) != "" || r.Measured == nil || r.Measured.Setting == "" || c.Attribute == claims.StandbyPower {
		return
	}
	r.Assumed = fmt.Sprintf("the claim names no setting; it was judged at the highest, %q", r.Measured.Setting)
	r.note(r.Assumed)
	if c.Attribute != claims.Noise && c.Attribute != claims.AnnualEnergy || r.Probability == nil || r.Verdict == Supported ||
		c.BoundGiven && (c.Bound == claims.AtMost || c.Bound == claims.UpTo) || setting.Ceiling(c.Wording) {
		return
	}
	lower := r.lower(ms)
	meets, at := math.Inf(-1), ""
	for _, m := range lower {
		if p, _ := Probability(*r.Limit, m); p > Risk && p > meets {
			meets, at = p, fmt.Sprintf("%q (%s measured)", m.Setting, number(m.Value, m.Unit))
		}
	}
	switch {
	case at != "":
		r.holdOpen(fmt.Sprintf("the claim names no setting, and it may be met at the setting %s; the setting that the maker means would settle it", at))
	case len(lower) == 0 && r.Verdict == Contradicted:
		r.holdOpen(fmt.Sprintf("the claim names no setting, and only %q was measured; the setting that the maker means, or a result at the lowest, would settle it", r.Measured.Setting))
	}
}

// lower are the results of the claim's attribute at the other settings that were measured.
func (r *Row) lower(ms []measure.Measurement) []*measure.Measurement {
	var out []*measure.Measurement
	seen := map[string]bool{measure.Fold(r.Measured.Setting): true}
	for i := range ms {
		m := &ms[i]
		if m.Attribute != string(restsOn(r.Claim.Attribute)) || seen[measure.Fold(m.Setting)] {
			continue
		}
		seen[measure.Fold(m.Setting)] = true
		c := r.Claim
		c.Setting = m.Setting
		if d := derive(c, ms); d.unclear == "" && d.m != nil && d.m.Finite() {
			out = append(out, d.m)
		}
	}
	return out
}
