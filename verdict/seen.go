package verdict

import (
	"strings"

	"weighhouse/claims"
)

// withSeen holds a claim open whose number, words and capture do not belong together. Where nothing was measured it is a
// note.
func (r *Row) withSeen() {
	var why []string
	if held := r.Claim.Seen.Held(); held != nil {
		why = append(why, strings.Join(held, "; ")+"; number and words as they stand in the capture would settle it")
	}
	if !claims.OfMaker(r.Claim.Source) {
		why = append(why, "the source, \""+r.Claim.Source+"\", is not the maker's; a claim of the maker itself would settle it")
	}
	if c := r.Claim; c.OtherModel != "" {
		why = append(why, "the words or their source name another model, \""+c.OtherModel+"\"; a claim of this one would settle it")
	}
	if c := r.Claim; c.Claimed != nil && c.Claimed.Unit != "" && !claims.Plausible(c.Attribute, c.Claimed.Low, c.Claimed.High) {
		why = append(why, implausible(c))
	}
	for _, w := range why {
		if r.Probability == nil {
			r.note(w)
			continue
		}
		r.holdOpen(w)
	}
}

func reportSeen(s *claims.Seen) *ReportSeen {
	if s == nil {
		return nil
	}
	x := &ReportSeen{Number: s.Number, Capture: s.Capture, Place: reportSpot(s.At), InCode: s.InCode, Why: or(s.Why), Lacks: or(s.Lacks), Later: []ReportSighting{}}
	for _, l := range s.Later {
		x.Later = append(x.Later, ReportSighting{Captured: l.Captured, State: l.State, Path: l.At.Path, Place: reportSpot(l.At), Text: l.Text})
	}
	return x
}

func reportSpot(s claims.Spot) *ReportSpot {
	if s.Line == 0 {
		return nil
	}
	return &ReportSpot{s.Path, s.Line, s.Column, s.Offset}
}
