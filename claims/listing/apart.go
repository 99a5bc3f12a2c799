package listing

import (
	"fmt"
	"slices"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

// apart is a distance that a sentence without a level states: "All noise levels were measured at 1 m".
type apart struct {
	text      string // as a condition: "1 m"
	line, col int
}

// apartFrom notes a distance of measurement in a sentence that speaks of noise and states no level.
func (r *reader) apartFrom(s *sentence) {
	noise := slices.ContainsFunc(s.hits["topic"], func(h hit) bool { return h.row.Value == string(claims.Noise) })
	if !noise || len(s.hits["elsewhere"]) == 0 || slices.ContainsFunc(s.qs, func(q quantity) bool { return q.dim() == unit.Level }) {
		return
	}
	for i, q := range s.qs {
		m := q.low() * q.unit.Factor
		if q.dim() == unit.Length && len(q.values) == 1 && m >= 0.1 && m <= 10 && s.topicOf(i).name == "distance" {
			line, col := r.t.At(s.start + q.start)
			r.apart = append(r.apart, apart{fmt.Sprintf("%s %s", plain(q.low()), q.unit.Name), line, col})
		}
	}
}

// giveApart gives the levels without a distance the one that stands apart. Where a listing states several so, none is
// given: which level each belongs to is not said.
func (r *reader) giveApart() {
	if len(r.apart) == 0 {
		return
	}
	a := r.apart[0]
	if slices.ContainsFunc(r.apart, func(o apart) bool { return o.text != a.text }) {
		r.e.Notes = append(r.e.Notes, "the listing states several distances for its noise levels, and not which level each belongs to; none was used")
		return
	}
	for i := range r.e.Claims {
		d := &r.e.Claims[i]
		if d.Claim.Attribute == claims.Noise && d.Claim.Basis.Distance == 0 {
			d.addBasis(a.text)
			d.Claim.Notes = append(d.Claim.Notes, fmt.Sprintf("the distance stands apart from the level, at %d:%d", a.line, a.col))
			d.Understood = understood(d)
		}
	}
}
