package listing

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

// quantity is one number, range or list with its unit as it stands in a sentence; offsets are in the sentence.
type quantity struct {
	values     []float64 // one; two for a range (low, high); more for a list "24/38/52 dB"
	isRange    bool
	half       float64 // rounding of the first value, see number
	unit       unit.Unit
	unitText   string // as written
	start, end int
	also       *quantity // the same thing in a second unit: "340 m³/h (200 cfm)"
	labelUnit  bool      // the unit stands in the label: "Noise (dB): 52"
	plus       bool      // "60 m²+", "or more"
}

func (q *quantity) dim() unit.Dimension { return q.unit.Dimension }
func (q *quantity) low() float64        { return q.values[0] }
func (q *quantity) high() float64       { return q.values[len(q.values)-1] }

// scanQuantities lists the quantities of a sentence in order. Numbers that are part of a model number, a date or
// anything else that carries no known unit are passed over.
func scanQuantities(s sentence) []quantity {
	var bare []number // numbers without a unit, kept for label units and shared units
	var out []quantity
	standards := standardName().FindAllStringIndex(s.text, -1)
	for i := 0; i < len(s.text); {
		if len(standards) > 0 && i >= standards[0][0] {
			i = max(i, standards[0][1])
			standards = standards[1:]
			continue
		}
		if !isDigit(s.text[i]) {
			i = s.spelled(i, &out)
			continue
		}
		if !mayStart(s.text, i) && !s.behindTopic(i) {
			i = skipCode(s.text, i)
			continue
		}
		n, ok := scanNumber(s.text, i, s.decimalComma)
		if !ok {
			i = skipCode(s.text, i)
			continue
		}
		if articleNumber().MatchString(s.text[i:]) {
			i += len(articleNumber().FindString(s.text[i:]))
			continue
		}
		q, found := s.quantityAt(n)
		if found {
			out = append(out, q)
			i = q.end
			continue
		}
		if r, _ := utf8.DecodeRuneInString(s.text[n.end:]); unicode.IsLetter(r) && wordLike(r) {
			i = skipCode(s.text, n.end) // "300i", "13th"
			continue
		}
		if !otherUnit().MatchString(s.text[n.end:]) && !moneyAfter().MatchString(s.text[n.end:]) && !strings.HasSuffix(strings.TrimRight(s.text[:n.start], " \u00a0"), "€") {
			bare = append(bare, n)
		}
		i = n.end
	}
	out = s.sharedUnits(out, bare)
	if n := len(out); n == 0 || out[n-1].end <= labelEnd(s.text) { // what stands in the label is a condition: "Noise (dB at 1 m): 52"
		out = append(out, s.labelUnits(bare)...)
	}
	return pairUnits(s, out)
}

// behindTopic reports whether a word that says what a number is ends where the number begins: "CADR380m³/h".
func (s sentence) behindTopic(i int) bool {
	return slices.ContainsFunc(s.hits["topic"], func(h hit) bool { return h.end == i && h.row.Value == string(claims.DeliveryRate) })
}

// otherUnit matches a unit behind a number that no claim has: volts, hertz, amperes.
var otherUnit = lazily(`^[ \x{00a0}]?(?:V|VAC|Hz|kHz|A|mA)\b`)

// articleNumber matches a code that begins with a zero, "0480-75DB".
var articleNumber = lazily(`^0\d+(?:[-/]\w+)+`)

// aYear matches a life of one year or month that is given without a number: "lasts about a year".
var aYear = lazily(`(?i)\b(?:lasts?|lasting|good for|holds for|does you|does|(?:replaced?|changed?|swap|renew) [^.;]{0,30}once)\s+(?:for\s+)?(?:(?:about|around|roughly|almost|over|up to|at least|more than)\s+)?(a\s+(?:(?:full|whole)\s+)?(year|month))\b`)

// yearOf reads such a life where its "a" stands at s.text[i].
func (s sentence) yearOf(i int) (quantity, bool) {
	if s.lang != "en" || s.text[i]|0x20 != 'a' {
		return quantity{}, false
	}
	m := aYear().FindStringSubmatchIndex(s.text)
	if m == nil || m[2] != i {
		return quantity{}, false
	}
	u := unit.Must(strings.ToLower(s.text[m[4]:m[5]]))
	return quantity{values: []float64{1}, half: 0.5, unit: u, unitText: s.text[m[4]:m[5]], start: m[2], end: m[3]}, true
}

// spelled reads a quantity whose number is written in words at s.text[i], and returns where to go on.
func (s sentence) spelled(i int, out *[]quantity) int {
	if q, ok := s.yearOf(i); ok {
		*out = append(*out, q)
		return q.end
	}
	r, size := utf8.DecodeRuneInString(s.text[i:])
	if !unicode.IsLetter(r) || !startsWord(s.text, i) {
		return i + size
	}
	if n, ok := scanNumberWord(s.text, i, s.lang); ok {
		if q, found := s.quantityAt(n); found {
			*out = append(*out, q)
			return q.end
		}
		return n.end
	}
	_, end := wordAt(s.text, i)
	return max(end, i+size)
}

// numberAt reads the number, in digits or in words, that begins at s.text[i].
func (s sentence) numberAt(i int) (number, bool) {
	if isDigit(s.text[i]) {
		return scanNumber(s.text, i, s.decimalComma)
	}
	return scanNumberWord(s.text, i, s.lang)
}

// mayStart reports whether a number may begin at s[i]: not within a word, a code, or another number.
func mayStart(s string, i int) bool {
	if i == 0 {
		return true
	}
	r, n := utf8.DecodeLastRuneInString(s[:i])
	switch {
	case wordLike(r), r == '#', r == '№', r == '_', r == '±', r == '@':
		return false
	case r == '.' || r == ',':
		return !(i-n > 0 && isDigit(s[i-n-1]))
	case r == '-' || r == '‑' || r == '/':
		p, _ := utf8.DecodeLastRuneInString(s[:i-n])
		if r == '/' && p != 'h' {
			return !unicode.IsUpper(p)
		}
		return !wordLike(p) || r == '/' || unicode.IsDigit(p)
	case r == ' ' || r == '\u00a0':
		p, _ := utf8.DecodeLastRuneInString(s[:i-n])
		return p != '±'
	}
	return true
}

// skipCode moves past the letters, digits and inner hyphens of a code that begins before or at i.
func skipCode(s string, i int) int {
	for i < len(s) {
		r, n := utf8.DecodeRuneInString(s[i:])
		if !wordLike(r) {
			break
		}
		i += n
	}
	return i
}

// quantityAt reads a range, a list or a single number with its unit, beginning at the number n.
func (s sentence) quantityAt(n number) (quantity, bool) {
	q := quantity{values: []float64{n.value}, half: n.half, start: n.start, end: n.end}
	first, firstText, firstEnd := s.unitAt(n.end)
	if firstEnd > 0 {
		q.unit, q.unitText, q.end = first, firstText, firstEnd
	} else if u, text, end := s.unitPast(n.end); end > 0 {
		q.unit, q.unitText, q.end = u, text, end
		return s.tail(q), true
	}
	// A list: "24/38/52 dB".
	if firstEnd == 0 {
		vals, end := []float64{n.value}, n.end
		for {
			j, ok := listSep(s.text, end)
			if !ok {
				break
			}
			m, ok := scanNumber(s.text, j, s.decimalComma)
			if !ok {
				break
			}
			vals, end = append(vals, m.value), m.end
			if u, text, e := s.unitAt(m.end); e > 0 {
				q.values, q.unit, q.unitText, q.end = vals, u, text, e
				return s.tail(q), true
			}
		}
	}
	// A range: "24–52 dB", "from 24 dB to 52 dB".
	if j, ok := s.rangeSep(q.end, n.start); ok {
		if m, ok := s.numberAt(j); ok && m.value >= n.value {
			u, text, e := s.unitAt(m.end)
			if e > 0 && (firstEnd == 0 || u.Dimension == first.Dimension && (u.Name == first.Name || u.Dimension == unit.Level)) {
				q.values, q.isRange, q.unit, q.unitText, q.end = []float64{n.value, m.value}, m.value > n.value, u, text, e
				if m.value == n.value {
					q.values = q.values[:1]
				}
				return s.tail(q), true
			}
		}
	}
	if firstEnd == 0 || s.inCode(q) {
		return quantity{}, false
	}
	return s.tail(q), true
}

// unitPast reads the unit of "181 (pollen) cfm": past a word in brackets that names a particle or a setting.
func (s sentence) unitPast(end int) (unit.Unit, string, int) {
	for _, kind := range []string{"particle", "setting", "bare"} {
		for _, h := range s.hits[kind] {
			if s.bracketedAfter(end, h) {
				return s.unitAt(h.end + 1)
			}
		}
	}
	return unit.Unit{}, "", 0
}

// inCode reports whether a quantity is the beginning of a part number such as "45W-200".
func (s sentence) inCode(q quantity) bool {
	rest := s.text[q.end:]
	return len(rest) > 1 && rest[0] == '-' && isDigit(rest[1])
}

// everyDay ends the words before a number of hours a day: "täglich 8 Stunden", "daily 8 h".
var everyDay = lazily(`(?i)(?:täglich|tägl\.|daily|chaque jour|每天用?|每日)[ \x{00a0}]?$`)

// tail reads a plus sign or "or more" after a quantity, and the day of its hours before it.
func (s sentence) tail(q quantity) quantity {
	if q.unit.Name == "h" && q.high() <= 24 && everyDay().MatchString(tail(s.text[:q.start], 40)) {
		q.unit = hoursADay
	}
	if strings.HasPrefix(s.text[q.end:], "+") {
		q.plus, q.end = true, q.end+1
	}
	if q.dim() == unit.Ratio && q.low() > 100 { // 99,995 % in a text that writes 1,234
		for len(q.values) == 1 && q.values[0] > 100 && q.values[0] < 1e6 && strings.ContainsAny(s.text[q.start:q.end], ".,") {
			q.values[0], q.half = q.values[0]/1000, 0.0005
		}
	}
	return q
}

// listSep finds the start of the next number of a list after end.
func listSep(s string, end int) (int, bool) {
	t := strings.TrimLeft(s[end:], " \u00a0")
	if t == "" || t[0] != '/' && t[0] != '|' {
		return 0, false
	}
	t = strings.TrimLeft(t[1:], " \u00a0")
	if t == "" || !isDigit(t[0]) {
		return 0, false
	}
	return len(s) - len(t), true
}

// rangeSep finds the start of the second number of a range after end; start is where the first began.
func (s sentence) rangeSep(end, start int) (int, bool) {
	for _, h := range s.hits["ordinal"] { // "stage 3 - 45 W" is no range
		if h.end <= start && strings.TrimSpace(s.text[h.end:start]) == "" {
			return 0, false
		}
	}
	rest := s.text[end:]
	t := strings.TrimLeft(rest, " \u00a0\u202f\u2009")
	at := end + len(rest) - len(t)
	for _, kind := range []string{"range", "separator"} {
		for _, h := range s.hits[kind] {
			if h.start != at || kind == "separator" && !s.afterBetween(start) {
				continue
			}
			u := strings.TrimLeft(s.text[h.end:], " \u00a0\u202f\u2009")
			if u == "" {
				continue
			}
			at := len(s.text) - len(u)
			if _, ok := s.numberAt(at); ok {
				return at, true
			}
		}
	}
	return 0, false
}

func (s sentence) afterBetween(start int) bool {
	for _, h := range s.hits["between"] {
		if h.end <= start && start-h.end < 3 {
			return true
		}
	}
	return false
}
