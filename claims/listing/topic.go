package listing

import (
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

// topic says what a quantity is about: the word that says so, and its kind. A skip is something that is no claim: a
// warranty, a discount, a cable.
type topic struct {
	name string
	skip bool
	at   *hit // nil where the sentence does not say and the dimension decided
	up   bool // the word stands in the line above
}

// The reach of a word, in bytes: how far before and after its number it may stand.
const (
	reachBefore = 170
	reachAfter  = 80
	crossing    = 30 // what each number that stands between adds
)

// topicOf finds what quantity i is about.
func (s *sentence) topicOf(i int) topic {
	q := &s.qs[i]
	best, cost := topic{}, reachBefore+1
	for _, kind := range []string{"topic", "skip"} {
		for k := range s.hits[kind] {
			h := &s.hits[kind][k]
			if h.end-h.start <= len("in") && h.row.Lang != s.lang {
				continue // the "a" of Spanish is no word of distance in English
			}
			if !bears(h.row, q) || kind == "skip" && s.inBound(h) {
				continue
			}
			c, ok := s.distance(i, h)
			if ok && h.row.Value == string(claims.StandbyPower) {
				c -= 25 // "standby power" names power too
			}
			if ok && best.at != nil && best.at.start < h.end && h.start < best.at.end { // "filter area" over "area"
				if h.end-h.start > best.at.end-best.at.start {
					best = topic{name: h.row.Value, skip: kind == "skip", at: h}
				}
				continue
			}
			if ok && c < cost {
				best, cost = topic{name: h.row.Value, skip: kind == "skip", at: h}, c
			}
		}
	}
	if best.name != "" {
		return best
	}
	if s.above != nil {
		for _, kind := range []string{"skip", "topic"} {
			for k := range s.above.hits[kind] {
				if h := &s.above.hits[kind][k]; bears(h.row, q) && best.name != string(claims.StandbyPower) && h.row.Value != "comparison" {
					best = topic{name: h.row.Value, skip: kind == "skip", at: h, up: true}
				}
			}
		}
		if best.name != "" {
			return best
		}
	}
	if i > 0 && (s.qs[i-1].dim() == unit.Area || s.qs[i-1].dim() == unit.Ratio && q.unit.Name == "min") && bears(&Word{Value: string(claims.CleanTime)}, q) {
		for _, h := range s.hits["preposition"] { // "1,560 ft² in 1 hour"
			if h.start >= s.qs[i-1].last() && h.end <= q.start && h.start-s.qs[i-1].last() < 12 && s.filler(h.end, q.start) {
				return topic{name: string(claims.CleanTime)}
			}
		}
	}
	if q.dim() == unit.Time && s.life.name != "" { // "3,000 hours. At 12 hours a day this is 8 months"
		carried := topic{name: s.life.name, skip: s.life.skip}
		if w := (&Word{Value: carried.name}); bears(w, q) {
			return carried
		}
	}
	return topic{name: defaults[q.dim()]}
}

// inBound reports whether a word is part of a bound: the "more" of "more than 99 %".
func (s *sentence) inBound(h *hit) bool {
	if before := strings.ToLower(strings.TrimRight(s.text[:h.start], " \u00a0")); strings.HasSuffix(before, " or") {
		return true // "99.95 % or more"
	}
	return slices.ContainsFunc(s.hits["bound"], func(b hit) bool { return b.start <= h.start && h.end <= b.end })
}

// defaults are what a number is about by its unit alone, where nothing beside it says otherwise.
var defaults = map[unit.Dimension]string{unit.Flow: string(claims.DeliveryRate), unit.Level: string(claims.Noise),
	unit.Power: string(claims.Power), unit.Area: string(claims.RoomArea)}

// bears reports whether a row bears on a quantity: by dimension, and for times by the size of the unit.
func bears(w *Word, q *quantity) bool {
	if len(w.Dims) > 0 && !slices.Contains(w.Dims, q.dim()) {
		return false
	}
	hours := q.high() * q.unit.Factor
	switch claims.Attribute(w.Value) {
	case claims.FilterLife:
		return q.unit.Name != "min" && q.unit.Name != "s" && (q.unit.Name != "h" || hours >= 100)
	case claims.CleanTime:
		return (q.unit.Name == "min" || q.unit.Name == "s" || q.unit.Name == "h") && hours <= 12
	}
	return true
}

// distance is how far a word stands from quantity i in the sense of the sentence; false where it belongs to another.
func (s *sentence) distance(i int, h *hit) (int, bool) {
	q := &s.qs[i]
	o := s.owner(h.start, h.end)
	switch {
	case h.start >= q.last():
		if o != i {
			return 0, false
		}
		d := h.start - q.last()
		return d + d/5 + 1, d <= reachAfter
	case h.end <= q.start:
		if s.label > 0 && h.end <= s.label {
			return 4 + 2*i, true
		}
		if o > i {
			return 0, false
		}
		d := q.start - h.end + crossing*(i-o)
		return d, d <= reachBefore
	}
	return 0, true // inside: a unit that says what it is, such as "kWh/year"
}
