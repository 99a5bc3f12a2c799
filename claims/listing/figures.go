package listing

import (
	"unicode"
	"unicode/utf8"

	"weighhouse/measure/unit"
)

// Figure is a number that may be read in a text: its value in one of the readings that its decimal sign allows, half of
// its last place, and the unit behind it, whose Name is "" where none stands there. Start and End are byte offsets of number
// and unit.
type Figure struct {
	Value, Half float64
	Unit        unit.Unit
	Start, End  int
}

// Figures lists every number of a text in every way in which it may be read: with a point and with a comma as decimal
// sign, in digits and in the words of every language of the table. It says what may stand there, not what does: who asks
// whether a number stands in a text must not miss it.
func Figures(text string) []Figure {
	var out []Figure
	s := sentence{text: text, folded: foldText(text), hits: map[string][]hit{}}
	for _, k := range []string{"rate unit", "rate word", "air word", "particle", "setting", "bare"} {
		s.hits[k] = vocabulary().find(s.folded, k)
	}
	add := func(n number, start int, needsUnit bool) int {
		f := Figure{Value: n.value, Half: n.half, Start: start, End: n.end}
		u, _, end := s.unitAt(n.end)
		if end == 0 {
			u, _, end = s.unitPast(n.end)
		}
		if end > 0 {
			f.Unit, f.End = u, end
		} else if needsUnit {
			return n.end
		}
		for _, o := range out {
			if o.Value == f.Value && o.Start == f.Start && o.Unit.Name == f.Unit.Name {
				return n.end
			}
		}
		out = append(out, f)
		return n.end
	}
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case isDigit(text[i]):
			end := i + 1
			for _, comma := range []bool{false, true} {
				if n, ok := scanNumber(text, i, comma); ok {
					leading := i > 0 && text[i-1] == '.' && (i == 1 || !isDigit(text[i-2]))
					if leading { // ".5"
						if d, ok := scanNumber("0"+text[i-1:], 0, false); ok {
							d.end += i - 2
							add(d, i-1, false)
						}
					}
					end = max(end, add(n, i, !mayStart(text, i)))
				}
			}
			i = end
		case unicode.IsLetter(r):
			end := i + size
			if startsWord(text, i) {
				for _, lang := range languages {
					if n, ok := scanNumberWord(text, i, lang); ok {
						end = max(end, add(n, i, false))
					}
				}
				if _, e := wordAt(text, i); wordLike(r) {
					end = max(end, e)
				}
			}
			i = end
		default:
			i += size
		}
	}
	return out
}

// UnitsIn lists the units of a dimension that stand in a text, each once.
func UnitsIn(text string, d unit.Dimension) []unit.Unit {
	var out []unit.Unit
	s := sentence{text: text, folded: foldText(text), hits: map[string][]hit{}}
	for i, r := range text {
		if i > 0 && wordLike(r) {
			if p, _ := utf8.DecodeLastRuneInString(text[:i]); wordLike(p) && !unicode.IsDigit(p) {
				continue
			}
		}
		u, _, end := s.unitAt(i)
		if end == 0 || u.Dimension != d {
			continue
		}
		known := false
		for _, o := range out {
			known = known || o.Name == u.Name
		}
		if !known {
			out = append(out, u)
		}
	}
	return out
}

// ParticlesIn lists the particles that a text names, by their names in the claims table, with the byte offsets of the
// words.
func ParticlesIn(text string) (names []string, at [][2]int) {
	for _, h := range vocabulary().find(foldText(text), "particle") {
		names, at = append(names, h.row.Value), append(at, [2]int{h.start, h.end})
	}
	return names, at
}

// Readable reports whether a text is in a language of the table, or names the language that it seems to be in.
func Readable(text string) (unread string, ok bool) {
	_, unread = language(text)
	return unread, unread == ""
}
