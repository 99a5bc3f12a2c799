package listing

import (
	"slices"
	"strings"

	"weighhouse/claims"
)

// boundOf is the bound that stands before or after quantity i, as the kind of the table: up to, floor, at least, at
// most, about; "" where none does. The hit is nil for a plus sign.
func (s *sentence) boundOf(i int) (string, *hit) {
	q := &s.qs[i]
	for k := len(s.hits["bound"]) - 1; k >= 0; k-- {
		h := &s.hits["bound"][k]
		if s.text[h.start:h.end] == "~" && (s.lang == "ja" || s.lang == "zh") {
			continue // there it is no "about"
		}
		if h.end > q.start || q.start-h.end > 40 || s.inSetting(h) || s.headsColumn(h) || i > 0 && h.start < s.qs[i-1].last() {
			continue
		}
		if s.filler(h.end, q.start) {
			return h.row.Value, h
		}
	}
	if q.plus {
		return "at least", nil
	}
	if s.above != nil && i == 0 && s.text[:q.start] == "" { // "Suitable for rooms up to" over "45 m²"
		for k := range s.above.hits["bound"] {
			if h := &s.above.hits["bound"][k]; h.end == len(strings.TrimRight(s.above.text, " :")) && h.start > 0 {
				return h.row.Value, nil
			}
		}
	}
	if k := tilde(s.text[:q.start]); k >= 0 && (s.lang == "ja" || s.lang == "zh") && (i == 0 || k >= s.qs[i-1].last()) {
		return "up to", &hit{start: k, end: k + 1} // "~28m²"
	}
	after := strings.TrimLeft(s.text[q.last():], " \u00a0")
	for _, w := range []struct{ word, bound string }{{"or more", "at least"}, {"oder mehr", "at least"}, {"ou plus", "at least"}, {"or less", "at most"},
		{"environ", "about"}, {"or so", "about"}, {"ungefähr", "about"},
		{"au maximum", "at most"},
		{"以下", "at most"}, {"未満", "at most"}, {"以内", "at most"}, {"以上", "at least"}, {"まで", "up to"}, {"左右", "about"}, {"前後", "about"}, {"程度", "about"},
		{"o más", "at least"}, {"o menos", "at most"}, {"o più", "at least"}, {"ou moins", "at most"}, {"oder weniger", "at most"}, {"and above", "at least"}, {"as a maximum", "at most"},
		{"máximo", "at most"}, {"como máximo", "at most"}, {"al massimo", "at most"}, {"massimo", "at most"}, {"maximal", "at most"}, {"höchstens", "at most"},
		{"max", "at most"}, {"maximum", "at most"}, {"or quieter", "at most"}} {
		if len(after) >= len(w.word) && strings.EqualFold(after[:len(w.word)], w.word) {
			return w.bound, nil
		}
	}
	return "", nil
}

// tilde is the place of a wave dash that stands before a figure with no number before it; -1 where there is none.
func tilde(before string) int {
	t := strings.TrimRight(before, " \u00a0")
	if !strings.HasSuffix(t, "~") {
		return -1
	}
	if b := strings.TrimRight(t[:len(t)-1], " \u00a0"); b != "" && (isDigit(b[len(b)-1]) || wordLike(lastRune(b))) {
		return -1
	}
	return len(t) - 1
}

// headsColumn reports whether a word is the last head of a row of a table, ", max: 270 m³/h": the name of a setting there.
func (s *sentence) headsColumn(h *hit) bool {
	return s.label > 0 && h.end == s.label && strings.HasSuffix(strings.TrimRight(s.text[:h.start], " \u00a0"), ",")
}

// inSetting reports whether a word is part of the name of a setting: the "máxima" of "velocidad máxima".
func (s *sentence) inSetting(h *hit) bool {
	return slices.ContainsFunc(s.hits["setting"], func(o hit) bool { return o.start <= h.start && h.end <= o.end })
}

// filler reports whether s.text[lo:hi] holds nothing but small words and white space.
func (s *sentence) filler(lo, hi int) bool {
	rest := []byte(s.text[lo:hi])
	for _, kind := range []string{"filler", "bound"} {
		for _, h := range s.hits[kind] {
			if h.start >= lo && h.end <= hi {
				for k := h.start; k < h.end; k++ {
					rest[k-lo] = ' '
				}
			}
		}
	}
	return strings.Trim(string(rest), " \t\n\u00a0\u202f.…:") == ""
}

// resolve turns a bound of the table into one of the contract. What is better low reads "up to" as its upper bound, and
// "from" or "as low as" as the figure of the lowest setting; the last result says so.
func resolve(a claims.Attribute, kind string, usual claims.Bound) (b claims.Bound, given, lowest bool) {
	nuisance := usual == claims.AtMost
	switch kind {
	case "":
		return usual, false, false
	case "about":
		return claims.About, true, false
	case "up to", "at most":
		if nuisance {
			return claims.AtMost, true, false
		}
		return claims.UpTo, true, false
	case "floor":
		if nuisance {
			return claims.AtMost, true, a == claims.Noise || a == claims.Power
		}
		return claims.AtLeast, true, false
	}
	if nuisance {
		return usual, false, false
	}
	return claims.AtLeast, true, false
}
