package listing

import (
	"math"
	"strings"

	"weighhouse/measure/unit"
)

// sharedUnits gives "smoke 200 / dust 210 / pollen 220 cfm" its unit: a number without one that stands directly after
// a particle or setting, where the next quantity has a unit that both may carry.
func (s sentence) sharedUnits(qs []quantity, bare []number) []quantity {
	if len(bare) == 0 || len(qs) == 0 {
		return qs
	}
	for k := len(bare) - 1; k >= 0; k-- {
		n := bare[k]
		var next *quantity
		pos := 0
		for i := range qs {
			if qs[i].start > n.end {
				next, pos = &qs[i], i
				break
			}
		}
		if next == nil || next.dim() != unit.Flow && next.dim() != unit.Level && next.dim() != unit.Power || next.isRange {
			continue
		}
		named := false
		for _, kind := range []string{"particle", "setting", "bare"} {
			for _, h := range s.hits[kind] {
				named = named || s.bracketedAfter(n.end, h) || h.end <= n.start && strings.Trim(s.text[h.end:n.start], " :=-–") == "" && n.start-h.end <= 4
			}
		}
		between := s.text[n.end:next.start]
		if !named || len(between) > 40 || strings.ContainsAny(between, ".;\n") {
			continue
		}
		q := quantity{values: []float64{n.value}, half: n.half, unit: next.unit, unitText: next.unitText, start: n.start, end: n.end, labelUnit: true}
		qs = append(qs[:pos], append([]quantity{q}, qs[pos:]...)...)
	}
	return qs
}

// bracketedAfter reports whether a word stands alone in brackets directly after end: "168 (smoke)".
func (s sentence) bracketedAfter(end int, h hit) bool {
	return h.start > end && strings.TrimSpace(s.text[end:h.start]) == "(" && strings.HasPrefix(s.text[h.end:], ")")
}

// labelUnits reads "Noise (dB(A)): 24–52": the unit stands in the label, the numbers after the colon have none.
func (s sentence) labelUnits(bare []number) []quantity {
	colon := labelEnd(s.text)
	if colon < 0 || len(bare) == 0 {
		return nil
	}
	u, text, ok := unitInLabel(s.text[:colon])
	if !ok {
		return nil
	}
	var out []quantity
	for k := 0; k < len(bare); k++ {
		n := bare[k]
		if n.start < colon {
			continue
		}
		q := quantity{values: []float64{n.value}, half: n.half, unit: u, unitText: text, start: n.start, end: n.end, labelUnit: true}
		for k+1 < len(bare) {
			m := bare[k+1]
			if j, ok := s.rangeSep(q.end, n.start); ok && j == m.start && m.value > n.value && len(q.values) == 1 {
				q.values, q.isRange, q.end = append(q.values, m.value), true, m.end
				k++
				continue
			}
			if j, ok := listSep(s.text, q.end); ok && j == m.start && !q.isRange {
				q.values, q.end = append(q.values, m.value), m.end
				k++
				continue
			}
			break
		}
		out = append(out, s.tail(q))
	}
	return out
}

// unitInLabel finds the unit that a label names: in brackets, or as its last word.
func unitInLabel(label string) (unit.Unit, string, bool) {
	for _, br := range []string{"()", "[]"} {
		for i := strings.IndexByte(label, br[0]); i >= 0; {
			if j := strings.LastIndexByte(label, br[1]); j > i {
				for text := label[i+1 : j]; text != ""; text = text[:max(strings.LastIndexByte(text, ' '), 0)] { // "dBA at 3 ft"
					if u, ok := vocabulary().lookup(strings.TrimRight(text, ",;")); ok {
						return u, strings.TrimRight(text, ",;"), true
					}
				}
			}
			next := strings.IndexByte(label[i+1:], br[0])
			if next < 0 {
				break
			}
			i += 1 + next
		}
	}
	for _, part := range strings.Split(label, ",") { // "Power, W, High"; "Schallleistungspegel in dB(A), Stufe 1"
		text := strings.TrimSpace(part)
		if _, after, ok := strings.Cut(text, " in "); ok {
			text = after
		}
		if u, ok := vocabulary().lookup(text); ok && part != label {
			return u, text, true
		}
		if k := strings.LastIndexByte(text, ' '); k > 0 && part != label && !hasDigit(text[:k]) { // "CADR m³/h, Sleep"
			if u, ok := vocabulary().lookup(text[k+1:]); ok && u.Dimension != unit.Time && u.Dimension != unit.Length {
				return u, text[k+1:], true
			}
		}
	}
	f := strings.Fields(label)
	for n := min(4, len(f)); n > 0; n-- {
		if n < len(f) && hasDigit(f[len(f)-n-1]) {
			continue // "RATED POWER 45 W": the unit of a number of its own
		}
		text := strings.Trim(strings.Join(f[len(f)-n:], " "), ",")
		if u, ok := vocabulary().lookup(text); ok && u.Dimension != unit.Time && (n < len(f) || u.Dimension == unit.Rate) {
			return u, text, true
		}
	}
	return unit.Unit{}, "", false
}

// pairUnits joins two neighbours that give one value in two units.
func pairUnits(s sentence, qs []quantity) []quantity {
	var out []quantity
	for i := 0; i < len(qs); i++ {
		q := qs[i]
		if i+1 < len(qs) && pairs(s.text, &q, &qs[i+1]) {
			second := qs[i+1]
			if i++; loose(&q) && !loose(&second) {
				q = second // the exact unit speaks
			} else {
				q.also = &second
			}
		}
		out = append(out, q)
	}
	return out
}

// loose reports whether a quantity is in a unit of rooms that is no exact one: mats.
func loose(q *quantity) bool { return q.unit.Name == "tatami" || q.unit.Name == "tsubo" }

func pairs(text string, a, b *quantity) bool {
	if a.dim() == unit.Area && b.dim() == unit.Area && loose(a) != loose(b) && len(a.values) == len(b.values) {
		return b.start-a.end <= 14 && !strings.Contains(text[a.end:b.start], "\n") // "17 mats (28 m²)"
	}
	if a.dim() != b.dim() || a.unit.Name == b.unit.Name || a.dim() == unit.Time || a.dim() == unit.Level || a.dim() == unit.Length || len(a.values) != len(b.values) {
		return false
	}
	gap := text[a.end:b.start]
	if a.dim() == unit.Flow && len(gap) > 14 && len(gap) <= 40 && strings.HasSuffix(gap, "(") && !strings.ContainsAny(gap, ".;,\n0123456789") {
		ratio := a.low() * a.unit.Factor / (b.low() * b.unit.Factor)
		return ratio > 0.97 && ratio < 1.03 // "360 m³/h of clean air (212 cfm)"
	}
	if len(gap) > 14 || strings.Contains(gap, "\n") {
		return false
	}
	open := strings.ContainsAny(gap, "([=≈/|")
	rest := strings.ToLower(strings.Trim(gap, " \u00a0()[]=≈/|,~–-."))
	switch rest {
	case "", "or", "oder", "ou", "o", "about", "approx", "approx.", "ca.", "circa", "equals", "i.e.":
	default:
		return false
	}
	if open && !strings.ContainsAny(gap, "/|") {
		return true
	}
	ratio := a.low() * a.unit.Factor / (b.low() * b.unit.Factor)
	return ratio > 0.65 && ratio < 1.55
}

// disagreement is how far the two units of one value are apart beyond what rounding explains: the second in the unit
// of the first, and whether they disagree. Rounding reaches half of the last written place of each.
func (q *quantity) disagreement() (second float64, beyond bool) {
	if q.also == nil || loose(q) || loose(q.also) {
		return 0, false
	}
	f := q.also.unit.Factor / q.unit.Factor
	second = q.also.low() * f
	beyond = math.Abs(q.low()-second) > (q.half+q.also.half*f)*(1+1e-9)
	if len(q.values) > 1 && len(q.also.values) > 1 {
		h1, h2 := half(plain(q.high()), q.high()), half(plain(q.also.high()), q.also.high())
		beyond = beyond || math.Abs(q.high()-q.also.high()*f) > (h1+h2*f)*(1+1e-9)
	}
	return second, beyond
}
