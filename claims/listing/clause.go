package listing

import (
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

// What the clause around a figure makes of it: a limit that is denied, a share of a room with its time, the answer to a question.

// clearing makes the share of "99.5 % of smoke was gone from 30 m³ after 20 minutes" a condition of the time: with a time and a room
// beside it, it is no efficiency of a filter.
func (s *sentence) clearing(topics []topic) {
	at, room := -1, false
	for i := range s.qs {
		q := &s.qs[i]
		if q.dim() == unit.Time && q.high()*q.unit.Factor <= 12 && topics[i].name != string(claims.FilterLife) && !topics[i].skip {
			at = i
		}
		room = room || q.dim() == unit.Volume || q.dim() == unit.Area
	}
	if at < 0 || !room {
		return
	}
	for i := range s.qs {
		if s.qs[i].dim() == unit.Ratio && topics[i].name == string(claims.FilterEfficiency) {
			topics[i] = topic{name: conditionOfTime}
			topics[at] = topic{name: string(claims.CleanTime)}
		}
	}
}

// denied matches the words before a figure that say what the unit is not or does not: "it is not for rooms above 30 m²".
var denied = lazily(`(?i)(?:\b(?:not|n't|isn't|never|no) (?:meant |made |suitable |suited |intended |designed |recommended |enough |good |fit |big enough |strong enough |right )?(?:for|in)\b|\bnot (?:clean|cover|serve|do|reach|deliver)\b|\b(?:un|nicht )geeignet für\b|\bnicht (?:für|in)\b|\bne convient pas\b|\bpas (?:fait |adapté |conçu |prévu )?(?:pour|aux)\b|\bno (?:es |sirve |está |apto |indicado |recomendado )*para\b|\bnon (?:è |adatto |indicato |va bene )*per\b|不适用于|不适合|には(?:向|適)き?し?ません)[^.;!?。\d]{0,60}$`)

// denies reports whether the words before quantity i, in its clause, deny it: such a limit is no promise.
func (s *sentence) denies(i int) bool {
	lo := 0
	if i > 0 {
		lo = s.qs[i-1].last()
	}
	before := s.text[lo:s.qs[i].start]
	m := denied().FindStringIndex(tail(before, 120))
	return m != nil && !strings.Contains(tail(before, 120)[m[0]:], "only")
}

// askedOf is the setting that the question over an answer names, for the answer's first figure; "" where it names none or more
// than one.
func (s *sentence) askedOf(i int) string {
	if i != 0 || s.above == nil || !s.above.asks() {
		return ""
	}
	all := s.above.settings()
	if len(all) != 1 {
		return ""
	}
	return all[0].name(s.above)
}
