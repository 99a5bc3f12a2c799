package listing

import (
	"slices"
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
// a rate that names a gas and no particle behind it.
var gasRate = lazily(`(?i)(?:toluene|toluol|tolu[eè]ne|tolueno|formald[eéi]h[yi]de?|formaldehído|formaldeide|formaldehyd|benzene|benzol|benceno|ammonia|ammoniak|acetaldehyde|acetic acid|limonene|gaseous|\bgas(?:es|e|förmig\pL*|eux)?\b|\bvocs?\b|\btvoc\b|\bcov\b|odou?rs?|gerüche|甲醛|甲苯|苯|气态|气体|ガス|ホルムアルデヒド|臭気)[^.;|\d]{0,40}$`)

// gasBehind matches a gas directly behind a rate: "190 m³/h for formaldehyde", "190 m³/h (formaldehyde)".
var gasBehind = lazily(`(?i)^ ?\(? ?(?:for|für|pour(?: le| la| les)?|para|per(?: la| il)?|of|of the|gegen)? ?(?:toluene|toluol|formald[eéi]h[yi]de?|formaldehído|formaldeide|formaldehyd|benzene|gas(?:es|e)?\b|vocs?\b|tvoc\b|cov\b|甲醛|甲苯|ホルムアルデヒド)`)

// ofGas reports whether quantity i is such a rate: a gas is named since the figure before it and no particle is, or behind it.
func (s *sentence) ofGas(i int) bool {
	lo, hi := 0, len(s.text)
	if i > 0 {
		lo = s.qs[i-1].last()
	}
	if i+1 < len(s.qs) {
		hi = s.qs[i+1].start
	}
	if gasBehind().MatchString(s.text[s.qs[i].last():hi]) {
		return true
	}
	before := tail(s.text[lo:s.qs[i].start], 160)
	at := gasRate().FindStringIndex(before)
	return at != nil && !slices.ContainsFunc(s.hits["particle"], func(h hit) bool {
		return h.start >= lo+len(s.text[lo:s.qs[i].start])-len(before)+at[0] && h.end <= s.qs[i].start
	})
}
