package listing

import (
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

// maxToFlow is how far, in bytes, the air flow of a filter class may stand behind its standard.
const maxToFlow = 70

// flowOfClass reports whether quantity i is the air flow at which a filter element is classified: "class H13 to
// EN 1822-1:2019 at 360 m³/h". It is no claim about the unit.
func (s *sentence) flowOfClass(i int) bool {
	q := &s.qs[i]
	from, near := -1, q.start-len(tail(s.text[:q.start], 2*maxToFlow))
	for _, m := range standardName().FindAllStringIndex(s.text[near:q.start], -1) {
		m[0], m[1] = m[0]+near, m[1]+near
		if name := s.text[m[0]:m[1]]; strings.Contains(name, "1822") || strings.Contains(name, "29463") || strings.Contains(name, "IEST") {
			from = m[1]
		}
	}
	if from < 0 || q.start-from > maxToFlow || strings.Contains(s.text[from:q.start], ". ") || strings.Contains(s.text[from:q.start], ";") {
		return false
	}
	for _, h := range s.hits["topic"] {
		if h.row.Value == string(claims.DeliveryRate) && h.start >= from {
			return false // "…, with a delivery rate of 360 m³/h"
		}
	}
	return true
}

// nominal gives the filter grades of the sentence the air flow of their class.
func (r *reader) nominal(s *sentence, i int) {
	v, err := unit.Convert(s.qs[i].low(), s.qs[i].unit.Name, "m3/h")
	if err != nil {
		return
	}
	for k := range r.e.Claims {
		d := &r.e.Claims[k]
		if d.Claim.Attribute == claims.FilterGrade && d.Start >= s.start && d.End <= s.start+len(s.text) {
			d.addBasis(plain(roundTo(v, 1)) + " m3/h")
			d.Understood = understood(d)
		}
	}
}

// gasRate ends the words before a delivery rate that was found with a gas, which the claims table has no row for.
var gasRate = lazily(`(?i)(?:toluene|toluol|formaldehyde?|benzene|benzol|ammonia|acetaldehyde|acetic acid|limonene|甲醛|甲苯)[\s:,(]*(?:clean air )?(?:cadr|delivery rate|rate|洁净空气量|luftreinigungsleistung)[^.;\d]{0,30}$`)

// ofGas reports whether quantity i is such a rate.
func (s *sentence) ofGas(i int) bool { return gasRate().MatchString(tail(s.text[:s.qs[i].start], 160)) }
