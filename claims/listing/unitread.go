package listing

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"weighhouse/measure/unit"
)

// maxUnit is the longest spelling of a unit that is tried, in bytes.
const maxUnit = 40

// unitAt reads the unit that follows a number at s.text[end:]; its end is 0 where there is none. The longest spelling
// wins; a unit must end at the end of a word and must not be the first part of a compound one ("m²/g").
func (s sentence) unitAt(end int) (unit.Unit, string, int) {
	rest := s.text[end:min(len(s.text), end+maxUnit+4)]
	lead := 0
	for lead < len(rest) {
		r, n := utf8.DecodeRuneInString(rest[lead:])
		if r != ' ' && r != '\u00a0' && r != '\u202f' && r != '\u2009' && r != '\n' && !(r == '-' && lead == 0) && !(r == '‑' && lead == 0) || lead > 4 {
			break
		}
		lead += n
	}
	rest = rest[lead:]
	if rest == "" || isDigit(rest[0]) {
		return unit.Unit{}, "", 0
	}
	var ends []int // boundaries at which a spelling may end
	for i, r := range rest {
		if i == 0 {
			continue
		}
		prev, _ := utf8.DecodeLastRuneInString(rest[:i])
		if i <= maxUnit && !(wordLike(prev) && (wordLike(r) || r == '³' || r == '²')) {
			ends = append(ends, i)
		}
	}
	if len(rest) <= maxUnit && len(s.text) <= end+maxUnit+4 {
		ends = append(ends, len(rest))
	}
	for i := len(ends) - 1; i >= 0; i-- {
		e := ends[i]
		text := rest[:e]
		if text == "m in" || strings.TrimSpace(text) != text || strings.ContainsAny(text, ";:!?") {
			continue
		}
		if strings.HasSuffix(text, ".") {
			if _, ok := vocabulary().lookup(text[:len(text)-1]); ok {
				continue // a full stop
			}
		}
		u, ok := vocabulary().lookup(text)
		if !ok || s.compound(rest[e:]) {
			continue
		}
		if u.Name == "m3" {
			if flow, to := s.flowUnit(end + lead + e); to > 0 {
				return flow, s.text[end+lead : to], to
			}
		}
		return u, text, end + lead + e
	}
	return s.rateUnit(end)
}

// maxAirWords is how many bytes may stand between "m³" and "per hour".
const maxAirWords = 40

// flowUnit reads "of filtered air every hour" after a volume: with the words of air between, that is a flow.
func (s sentence) flowUnit(end int) (unit.Unit, int) {
	for _, h := range s.hits["rate unit"] {
		if h.start < end || h.start-end > maxAirWords || strings.ContainsAny(s.text[end:h.start], ",;:.()/0123456789") {
			continue
		}
		for _, a := range s.hits["air word"] {
			if a.start >= end && a.end <= h.start {
				return unit.Must("m3/h"), h.end
			}
		}
	}
	return unit.Unit{}, 0
}

// rateUnit reads "per hour" after a number as air changes an hour where the sentence speaks of air changes.
func (s sentence) rateUnit(end int) (unit.Unit, string, int) {
	for _, h := range s.hits["rate unit"] {
		if len(s.hits["rate word"]) > 0 && h.start >= end && strings.TrimSpace(s.text[end:h.start]) == "" {
			return unit.Must("1/h"), s.text[h.start:h.end], h.end
		}
	}
	return unit.Unit{}, "", 0
}

// compound reports whether what follows a unit makes it part of another one: "/g", "·s", or a bracket weighting.
func (s sentence) compound(after string) bool {
	r, n := utf8.DecodeRuneInString(after)
	if r != '/' && r != '·' && r != '⋅' {
		return false
	}
	word := after[n:]
	for i, r := range word {
		if !unicode.IsLetter(r) && r != '³' && r != '²' {
			word = word[:i]
			break
		}
	}
	if word == "" {
		return false
	}
	if _, ok := unit.Lookup(word); ok {
		return true
	}
	_, ok := vocabulary().lookup(word)
	return ok
}
