package wording

import (
	_ "embed"
	"strings"
	"sync"

	reading "weighhouse/claims/text"
	"weighhouse/measure/unit"
)

// quantity is a number with its unit in a passage.
type quantity struct {
	kind      string  // pct, size, length, area, flow, level, power, energy, hours, minutes, months, days, mass, conc, ach, pressure, volume, times
	value     float64 // in unit
	high      float64 // the end of a range; otherwise value
	unit      string  // canonical name as package unit writes it
	text      string  // the number as written, for the count of its decimals
	tok, end  int     // tokens [tok, end)
	a         bool    // a level with A weighting
	perDay    bool    // hours a day
	sizeError bool    // a length in mm, nm or m where a particle size was meant
	notEff    bool    // a percentage of something else: a discount, humidity
}

//go:embed tables/units.csv
var unitsCSV string

type unitTable struct {
	byName map[string]unit.Unit
}

// unitWords is every spelling of package unit and of units.csv as token sequences joined without spaces.
var unitWords = sync.OnceValue(func() *unitTable {
	t := &unitTable{map[string]unit.Unit{}}
	for _, s := range unit.Spellings() {
		u, _ := unit.Lookup(s)
		t.byName[foldTerm(s)] = u
	}
	for _, r := range records("units.csv", unitsCSV, 4) {
		t.byName[strings.Join(strings.Fields(foldTerm(strings.ReplaceAll(r[0], ".", ""))), "")] = unit.Must(r[1])
	}
	for _, bad := range []string{"a", "c", "d", "y", "in", "pc", "/h", "perhour", "mo", "ratio", "/min", "min-1", "h-1", "fraction"} {
		delete(t.byName, bad) // as words of prose these are no units
	}
	return t
})

const longestUnit = 7 // tokens: "m", "3", "/", "h" … and "cubic feet per minute"

// unitAt finds the longest unit that begins at token i and returns it with the token after it.
func unitAt(ts []token, i int) (unit.Unit, int) {
	t := unitWords()
	var b [64]byte
	buf := b[:0]
	found, end := unit.Unit{}, i
	for j := i; j < len(ts) && j < i+longestUnit; j++ {
		x := ts[j]
		if x.kind == numberToken && (j == i || ts[j-1].text != "^") || x.kind == markToken && (x.text == "," || x.text == ";" || x.text == "*") {
			break
		}
		if j == i+1 && x.spaced && len(ts[i].text) == 1 && ts[i].text != "w" {
			break // "1 m in front" is no minute
		}
		if x.text != "." {
			if len(buf)+len(x.text) > len(b) {
				break
			}
			buf = append(buf, x.text...)
		}
		if u, ok := t.byName[string(buf)]; ok && x.text != "." {
			found, end = u, j+1
		}
	}
	return found, end
}

// findQuantities reads all quantities of a passage and marks the tokens where they begin.
func findQuantities(ts []token, qs []quantity) []quantity {
	for i := 0; i < len(ts); i++ {
		if ts[i].kind != numberToken || i > 0 && ts[i].hyphen && ts[i-1].kind == wordToken && !isRangeWord(ts[i-1].text) && (!rules().sets["grade_word"].has(ts[i-1].text) || len(ts[i-1].text) <= 2) {
			continue // "AC-300" and "PM-150W" are model numbers
		}
		if len(ts[i].text) > 1 && ts[i].text[0] == '0' && isDigits(ts[i].text) && i+1 < len(ts) && ts[i+1].hyphen {
			i++ // "0480-75DB" is an article number
			continue
		}
		q := quantity{value: ts[i].value, high: ts[i].value, text: ts[i].text, tok: i}
		j := i + 1
		if j+1 < len(ts) && (isRangeWord(ts[j].text) || isJoint(ts, i)) && ts[j+1].kind == numberToken {
			q.high, j = ts[j+1].value, j+2
		} else if j < len(ts) && ts[j].hyphen && ts[j].kind == numberToken {
			q.high, j = ts[j].value, j+1
		} else if j+1 < len(ts) && ts[j].text == "+" {
			j++ // "24+ months"
		}
		u, end := unitAt(ts, j)
		if end == j {
			if j < len(ts) && (ts[j].text == "x" || ts[j].text == "times" || ts[j].text == "倍" || ts[j].text == "fois" || ts[j].text == "mal" || ts[j].text == "veces" || ts[j].text == "volte") {
				q.kind, q.unit, q.end = "times", "x", j+1
				qs = append(qs, q)
				ts[i].q = len(qs)
			}
			continue
		}
		q.end, q.unit = end, u.Name
		q.classify(u, ts)
		if q.kind != "" {
			qs = append(qs, q)
			ts[i].q = len(qs)
			i = end - 1
		}
	}
	return qs
}

func isDigits(s string) bool { return strings.Trim(s, "0123456789") == "" }

func isRangeWord(s string) bool {
	switch s {
	case "to", "bis", "a", "~", "〜", "至", "/":
		return true
	}
	return false
}

// isJoint tells whether the word behind the number ts[i] joins it to the end of a range: the "and" of "between 24 and
// 52 dB", not that of "on level 2 and 51 dB on level 3".
func isJoint(ts []token, i int) bool {
	if i == 0 || i+1 >= len(ts) {
		return false
	}
	switch ts[i-1].text {
	case "between", "zwischen", "entre", "tra", "fra":
		switch ts[i+1].text {
		case "and", "und", "et", "y", "e":
			return true
		}
	}
	return false
}

func (q *quantity) classify(u unit.Unit, ts []token) {
	scale := func(f float64) { q.value, q.high = q.value*f, q.high*f }
	switch u.Dimension {
	case unit.Ratio:
		q.kind = "pct"
		if q.value > 100 && strings.Count(q.text, ",") == 1 && !strings.Contains(q.text, ".") {
			v := reading.Value(strings.Replace(q.text, ",", ".", 1), false) // "99,975 %" has a decimal comma
			q.value, q.high = v, v
		}
	case unit.Flow, unit.Area, unit.Power, unit.Energy, unit.Mass, unit.Pressure, unit.Volume:
		q.kind = string(u.Dimension)
	case unit.Level:
		q.kind, q.a = "level", u.Name == "dB(A)"
	case unit.Concentration:
		q.kind = "conc"
	case unit.Rate:
		q.kind = "ach"
	case unit.Length:
		switch u.Name {
		case "um":
			q.kind = "size"
		case "nm":
			q.kind, q.sizeError = "size", q.value < 3 // 0.3 nm is smaller than a molecule of sugar
			scale(0.001)
			q.unit = "um"
		default:
			q.kind = "length"
		}
	case unit.Time:
		q.time(u, ts)
	}
}

// time sorts times by the scale on which listings use them, and reads "12 h/day".
func (q *quantity) time(u unit.Unit, ts []token) {
	switch u.Name {
	case "h":
		q.kind = "hours"
		if v := strings.Count(q.text, "."); v == 1 && thousands(q.text, '.') {
			q.value *= 1000 // "4.380 Stunden" counts thousands
			q.high = q.value
		}
		if rest := ts[q.end:]; len(rest) > 1 && perWords[rest[0].text] && dayWords[rest[1].text] {
			q.perDay, q.kind, q.end = true, "hpd", q.end+2
		} else if len(rest) > 0 && (rest[0].text == "daily" || rest[0].text == "taglich") {
			q.perDay, q.kind, q.end = true, "hpd", q.end+1
		}
	case "min", "s":
		q.kind = "minutes"
	case "month", "year":
		q.kind = "months"
		if u.Name == "year" {
			q.value, q.high, q.unit = q.value*12, q.high*12, "month"
		}
	case "day", "week":
		q.kind = "days"
		if u.Name == "week" {
			q.value, q.high, q.unit = q.value*7, q.high*7, "day"
		}
	}
}

var (
	perWords = map[string]bool{"/": true, "a": true, "per": true, "each": true, "every": true, "pro": true, "am": true, "par": true, "al": true, "por": true}
	dayWords = map[string]bool{"day": true, "d": true, "tag": true, "jour": true, "dia": true, "giorno": true, "天": true, "日": true}
)

// in converts the quantity's value to a unit of the same dimension.
func (q *quantity) in(name string) float64 {
	v, err := unit.Convert(q.value, q.unit, name)
	if err != nil {
		return 0 // the kinds keep dimensions apart, so this is no length asked for as an area
	}
	return v
}
