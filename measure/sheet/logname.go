package sheet

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"weighhouse/measure/unit"
)

// wish is what a cell of a book, or a flag, asks of a log's columns: one column, or for times several that are joined with
// "+", each by its header, by a beginning of it that no other has, or by its place ("column 4"); each may say in brackets the unit, or the
// order of the date, that the header does not. A value may choose rows: "watts where plug = cleaner and phase = 1".
type wish struct {
	text  string
	parts []namePart
	where []condition
	comma byte // ',' or '.': the decimal sign, where the cell says it
}

type namePart struct {
	raw   string // as written, the bracket too
	name  string // folded, without the bracket
	place int    // counted from 1; 0 for a name
	unit  string // in the bracket, as written
}

type condition struct {
	part namePart
	want string // as written
}

var (
	whereWord = regexp.MustCompile(`(?i)\s+where\s+`)
	andWord   = regexp.MustCompile(`(?i)\s+and\s+`)
	placeName = regexp.MustCompile(`^(?:column|col\.?) ?(\d{1,5})$`)
	commaWord = regexp.MustCompile(`(?i)[,;]?\s*\b(decimal|thousands) (comma|point)s?\b`)
)

// newWish reads what a cell asks for; conditions are looked for where rows may be chosen.
func newWish(text string, rows bool) wish {
	w := wish{text: clean(text)}
	name := w.text
	if i := whereWord.FindStringIndex(name); rows && i != nil {
		for _, c := range andWord.Split(name[i[1]:], -1) {
			column, want, ok := strings.Cut(c, "=")
			if !ok {
				column, want = c, ""
			}
			w.where = append(w.where, condition{newPart(column), strings.Trim(clean(want), `"'`)})
		}
		name = name[:i[0]]
	}
	p := newPart(name)
	if m := commaWord.FindStringSubmatch(p.unit); m != nil {
		w.comma = map[string]byte{"decimalcomma": ',', "decimalpoint": '.', "thousandscomma": '.', "thousandspoint": ','}[strings.ToLower(m[1]+m[2])]
		p.unit = clean(commaWord.ReplaceAllString(p.unit, ""))
	}
	w.parts = []namePart{p}
	return w
}

func newPart(raw string) namePart {
	raw = clean(raw)
	p := namePart{raw: raw}
	p.name, p.unit = splitHeader(raw)
	if m := placeName.FindStringSubmatch(p.name); m != nil {
		p.place, _ = strconv.Atoi(m[1])
	}
	return p
}

// sum is the wish for several columns joined with "+".
func (w wish) sum() (wish, bool) {
	if !strings.Contains(w.text, "+") {
		return w, false
	}
	w.parts = nil
	for _, s := range strings.Split(w.text, "+") {
		w.parts = append(w.parts, newPart(s))
	}
	return w, true
}

func (w wish) blank() bool { return w.text == "" }

// placed reports whether every column is asked for by its place.
func (w wish) placed() bool {
	for _, p := range w.parts {
		if p.place == 0 {
			return false
		}
	}
	return len(w.parts) > 0
}

// errNoColumn is in the error about a name that no column has.
var errNoColumn = errors.New("no column is named")

// match is a column that a name stands for.
type match struct {
	col   int
	unit  string // that the cell gives, "" where it gives none
	begun bool   // by a beginning of the header alone
}

// find looks for the column of one name; begun says whether a beginning will do.
func (p namePart) find(columns []Column, begun bool) (match, error) {
	folded := FoldName(p.raw)
	levels := []func(c Column) bool{
		func(c Column) bool { return FoldName(c.Header) == folded },
		func(c Column) bool { return c.Name == folded },
		func(c Column) bool { return p.unit != "" && c.Name == p.name && sameUnit(c.Unit, p.unit) },
		func(c Column) bool { return p.unit != "" && (c.Name == p.name || FoldName(c.Header) == p.name) },
		func(c Column) bool { return plainName(c.Name) == plainName(p.name) && plainName(p.name) != "" },
	}
	if begun {
		levels = append(levels, func(c Column) bool { return begins(FoldName(c.Header), p.name) })
	}
	for i, same := range levels {
		found := -1
		for k, c := range columns {
			if folded == "" || c.Header == "" || !same(c) {
				continue
			}
			if found >= 0 {
				if p.unit != "" && i >= 3 && sameUnit(columns[found].Unit, p.unit) != sameUnit(c.Unit, p.unit) {
					if sameUnit(c.Unit, p.unit) {
						found = k
					}
					continue
				}
				return match{}, fmt.Errorf("two columns are named %s, %s and %s, accepted is a name that stands for one (the whole header), or its place: %s or %s", quote(p.raw),
					quote(columns[found].Header), quote(c.Header), quote(placeText(found)), quote(placeText(k)))
			}
			found = k
		}
		if found < 0 {
			continue
		}
		if i == 0 || i == 1 || i == 2 || p.unit == "" {
			return match{col: found, begun: i == 5}, nil
		}
		if have := columns[found].Unit; knownUnit(have) && !sameUnit(have, p.unit) && headerOrder(p.unit) == unknownOrder {
			return match{}, fmt.Errorf("the cell says [%s] and the header %s says %s, accepted is the header's own unit", p.unit, quote(columns[found].Header), have)
		}
		return match{col: found, unit: p.unit, begun: i == 5}, nil
	}
	if p.place > 0 {
		if p.place > len(columns) {
			return match{}, fmt.Errorf("%w %s, of %d columns", errNoColumn, quote(p.raw), len(columns))
		}
		have := columns[p.place-1].Unit
		if p.unit != "" && knownUnit(have) && !sameUnit(have, p.unit) && headerOrder(p.unit) == unknownOrder {
			return match{}, fmt.Errorf("the cell says [%s] and the header %s says %s, accepted is the header's own unit", p.unit, quote(columns[p.place-1].Header), have)
		}
		return match{col: p.place - 1, unit: p.unit}, nil
	}
	return match{}, fmt.Errorf("%w %s", errNoColumn, quote(p.raw))
}

func placeText(col int) string { return fmt.Sprintf("column %d", col+1) }

// plainName is a name without the marks that people put behind it: a colon, stars, a point.
func plainName(name string) string { return strings.TrimRight(name, " :*†‡.;=#") }

// begins reports whether a name is a whole beginning of a header: it ends where a word or a number does, or within a word of letters, and
// what follows makes no other quantity of it (power factor is no power).
func begins(header, name string) bool {
	rest, ok := strings.CutPrefix(header, name)
	if !ok || name == "" || rest == "" {
		return false
	}
	last, _ := utf8.DecodeLastRuneInString(name)
	next, _ := utf8.DecodeRuneInString(rest)
	if unicode.IsDigit(last) && (unicode.IsDigit(next) || next == '.' && !strings.HasPrefix(rest, ".0") || unicode.IsLetter(next)) {
		return false
	}
	if unicode.IsLetter(last) && unicode.IsDigit(next) {
		return false
	}
	if unicode.IsLetter(last) && unicode.IsLetter(next) && utf8.RuneCountInString(name) < 3 {
		return false
	}
	words := strings.FieldsFunc(rest, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if len(words) > 0 && !unicode.IsLetter(next) {
		if _, other := logWord("other", words[0]); other {
			return false
		}
	}
	return true
}

// knownUnit reports whether a text is a unit of any kind, of time too.
func knownUnit(text string) bool {
	if text == "" {
		return false
	}
	_, ok := unit.Lookup(text)
	return ok || elapsedUnit(text) != "" || ElectricalUnit(text)
}

// ElectricalUnit reports whether a text is a unit that readings of no claim have, and the table of units so does not hold: volts, amperes,
// hertz, what a microphone or a sensor gives before it is a level or a concentration.
func ElectricalUnit(text string) bool {
	_, ok := logWord("unit", FoldName(text))
	return ok
}

func sameUnit(a, b string) bool {
	if FoldName(a) == FoldName(b) {
		return true
	}
	if u := elapsedUnit(a); u != "" && u == elapsedUnit(b) {
		return true
	}
	x, ok := unit.Lookup(a)
	y, ok2 := unit.Lookup(b)
	return ok && ok2 && x == y
}

// headerValueUnit finds the unit that a header gives, wherever it stands in it: a decibel; in brackets, the last that hold a unit
// first; behind a comma; as the last word. Brackets that hold no unit that is known count only where they close the header
// and are no index.
func headerValueUnit(header string) string {
	_, closing := splitHeader(header)
	if knownUnit(closing) || levelUnit(closing) {
		return closing
	}
	if g := decibel.FindString(header); g != "" {
		return clean(g)
	}
	groups := bracketed.FindAllStringSubmatch(header, -1)
	for i := len(groups) - 1; i >= 0; i-- {
		if g := clean(groups[i][1] + groups[i][2]); knownUnit(g) {
			return g
		}
	}
	plain := clean(bracketed.ReplaceAllString(header, " "))
	if _, behind, ok := strings.Cut(plain, ","); ok && valueUnit(clean(behind)) {
		return clean(behind)
	}
	words := strings.FieldsFunc(plain, func(r rune) bool { return r == ' ' || r == '_' || r == ',' || r == '\u00a0' })
	if n := len(words); n > 1 && utf8.RuneCountInString(words[n-1]) > 1 && valueUnit(words[n-1]) {
		return words[n-1]
	}
	if digits(closing) || strings.Contains(closing, ":") {
		return ""
	}
	return closing
}

var (
	bracketed = regexp.MustCompile(`\(((?:[^()]|\([^()]*\))*)\)|\[([^\]]*)\]`)
	decibel   = regexp.MustCompile(`(?i)\bdB ?(?:[(\[] ?[A-Z]{1,3} ?[)\]]|[ACZ]\b)|\bdB\b`)
)

// valueUnit reports whether a word without brackets is the unit of a reading: no time and no length, which stand in names too (level min,
// counts of 0.3 um).
func valueUnit(text string) bool {
	u, ok := unit.Lookup(text)
	return ok && u.Dimension != unit.Time && u.Dimension != unit.Length || ElectricalUnit(text)
}

// levelUnit reports whether a text is a decibel of any weighting, known to the units or not.
func levelUnit(s string) bool { return strings.HasPrefix(strings.ToLower(s), "db") && len(s) <= 12 }
