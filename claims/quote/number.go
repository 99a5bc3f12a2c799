package quote

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"weighhouse/claims"
	"weighhouse/claims/listing"
	"weighhouse/measure/unit"
)

// number reports whether a claim's value and unit stand in its words, in any unit of the dimension, and why not.
func number(c *claims.Claim) (claims.Standing, string) {
	words := plainForms(c.Wording)
	info, _ := claims.Lookup(string(c.Attribute))
	row, ok := unit.Lookup(c.UnitText)
	if !ok || info.Dimension == "" || c.Claimed == nil || row.Dimension != info.Dimension {
		return "", ""
	}
	figures := listing.Figures(words)
	figures = append(figures, fractions(words)...)
	figures = append(figures, hanNumbers(words)...)
	figures = append(figures, composed(words, figures, info.Dimension)...)
	if len(figures) == 0 {
		if lang, ok := listing.Readable(words); !ok {
			return claims.NotChecked, "the words are in a language that is not read (" + lang + ")"
		}
		return claims.Differs, fmt.Sprintf("the words hold no number; the row says %s", c.Claimed.Text)
	}
	t := trial{c: c, row: row, figures: figures, units: listing.UnitsIn(words, info.Dimension), words: words}
	bare := false
	for _, v := range slices.Compact([]float64{c.Written[0], c.Written[1]}) {
		switch t.stands(v) {
		case yes:
		case withoutUnit:
			bare = true
		default:
			return claims.Differs, fmt.Sprintf("the words %s; the row says %s", t.said(), c.Claimed.Text)
		}
	}
	if bare {
		return claims.Differs, fmt.Sprintf("the words give %s and no unit of %s; the row says %s", strconv.FormatFloat(c.Written[0], 'f', -1, 64), info.Name, c.UnitText)
	}
	return claims.Stands, ""
}

// trial is one row's number set against the numbers of its words.
type trial struct {
	c       *claims.Claim
	row     unit.Unit
	figures []listing.Figure
	units   []unit.Unit // of the dimension, anywhere in the words
	words   string
}

type answer int

const (
	no answer = iota
	withoutUnit
	yes
)

// stands looks for v, in the row's unit, among the figures.
func (t *trial) stands(v float64) answer {
	out := no
	for _, f := range t.figures {
		switch {
		case f.Unit.Dimension == t.row.Dimension && t.equal(v, f, f.Unit):
			return yes
		case f.Unit.Name != "":
			continue
		}
		for _, u := range t.units { // its unit stands apart: "Noise (dB): 24", "24/38/52 dB"
			if t.equal(v, f, u) {
				return yes
			}
		}
		if len(t.units) == 0 && near(f.Value, v, 1e-9) {
			out = withoutUnit
		}
	}
	return out
}

// equal reports whether a figure in a unit is the row's v: the same number in the same unit, within the rounding of both in
// another. Months and hours of a filter's life are joined by the hours a day that the row or its words state.
func (t *trial) equal(v float64, f listing.Figure, u unit.Unit) bool {
	if u.Name == t.row.Name || u.Dimension == unit.Level {
		return near(f.Value, v, 1e-9)
	}
	ratio := u.Factor / t.row.Factor
	slack := f.Half*ratio + rounding(v)
	if math.Abs(f.Value*ratio-v) <= slack*(1+1e-9) {
		return true
	}
	if t.c.Attribute != claims.FilterLife {
		return false
	}
	hours := []float64{t.c.Basis.HoursPerDay, claims.ParseBasis(t.words).HoursPerDay}
	for _, h := range hours {
		if h <= 0 {
			continue
		}
		calendarHere, calendarThere := u.Factor >= 24, t.row.Factor >= 24
		by := 1.0
		switch {
		case calendarHere && !calendarThere:
			by = h / 24
		case calendarThere && !calendarHere:
			by = 24 / h
		}
		if near(f.Value*ratio*by, v, 0.02) {
			return true
		}
	}
	return false
}

// said words what figures of the row's dimension the words hold.
func (t *trial) said() string {
	var out []string
	for _, f := range t.figures {
		if f.Unit.Dimension == t.row.Dimension {
			s := strings.TrimSpace(t.words[f.Start:min(f.End, len(t.words))])
			if !slices.Contains(out, s) && len(out) < 4 {
				out = append(out, s)
			}
		}
	}
	if out == nil {
		return "hold no such number"
	}
	return "give " + strings.Join(out, ", ")
}

func near(a, b, rel float64) bool { return math.Abs(a-b) <= rel*math.Max(math.Abs(a), math.Abs(b)) }

// rounding is half of the last place of a number as it would be written, of a whole number that ends in zeros half of that
// place, but no more than 2.5 %: what a conversion may have rounded away.
func rounding(v float64) float64 {
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if i := strings.IndexByte(s, '.'); i >= 0 {
		return math.Pow10(-(len(s) - i - 1)) / 2
	}
	place := math.Pow10(len(s) - len(strings.TrimRight(s, "0")))
	return math.Max(0.5, math.Min(place/2, 0.025*math.Abs(v)))
}

// plainForms brings digits, fractions, spaces and dashes of any form to one.
func plainForms(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case invisible(r):
		case r >= '０' && r <= '９' || r >= 'Ａ' && r <= 'Ｚ' || r >= 'ａ' && r <= 'ｚ' || r == '％' || r == '／' || r == '．' || r == '，':
			b.WriteString(norm.NFKC.String(string(r)))
		case r == '㎥', r == '㎡', r == '㎏', r == '㎎', r == '㎜', r == '㎝', r == '℃':
			b.WriteString(norm.NFKC.String(string(r)))
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

var (
	anyFraction = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)(?:\b(\d+|one|two|three|four|a|ein|zwei|drei|un|deux|une|uno|due|dos|una)(?:\s+|\s*-\s*)?(?:and\s+a\s+|and\s+|und\s+|et\s+|y\s+|e\s+)?)?` +
			`(½|¼|¾|⅓|⅔|1/2|1/4|3/4|half|quarter|halb(?:es|e|er|en)?|dreiviertel|demie?|medio|media|mezz[oa]|半|` +
			`anderthalb|eineinhalb|zweieinhalb)(?:\s+(?:an?|of\s+an?))?\s*`)
	})
	afterUnit = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)(?:\b(\d+|an?|one|two|three|ein|un|une|uno|una|deux|due|dos)\s+)(\pL+)\s+(?:and\s+a\s+half|et\s+demie?|y\s+medi[oa]|e\s+mezz[oa])`)
	})
	outOf = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)\b(\d[\d.,]*|\pL+)\s+(?:out\s+of|in|von|sur|de\s+cada|su)\s+(\d[\d.,]*|\pL+)`)
	})
	across = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(m|ft|feet|foot|')?\s*(?:x|×|by)\s*(\d+(?:[.,]\d+)?)\s*(m|ft|feet|foot|')`)
	})
)

var worth = map[string]float64{"½": 0.5, "1/2": 0.5, "half": 0.5, "¼": 0.25, "1/4": 0.25, "quarter": 0.25, "¾": 0.75, "3/4": 0.75, "⅓": 1.0 / 3, "⅔": 2.0 / 3, "dreiviertel": 0.75,
	"anderthalb": 1.5, "eineinhalb": 1.5, "zweieinhalb": 2.5, "半": 0.5}

// small reads a whole number in digits or a small number word.
func small(s string) float64 {
	if x, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64); err == nil {
		return x
	}
	for _, f := range listing.Figures(s) {
		if f.Start == 0 {
			return f.Value
		}
	}
	if s == "a" || s == "an" {
		return 1
	}
	return 0
}

// fractions reads "1½ years", "half an hour", "anderthalb Jahre", "a year and a half".
func fractions(s string) []listing.Figure {
	var out []listing.Figure
	for _, m := range anyFraction().FindAllStringSubmatchIndex(s, -1) {
		w := strings.ToLower(s[m[4]:m[5]])
		v, ok := worth[w]
		if !ok {
			v = 0.5
		}
		values := []float64{v}
		if m[2] >= 0 {
			n := small(strings.ToLower(s[m[2]:m[3]]))
			values = append(values, n+v, n*v) // "one and a half", "three quarters"
		}
		for _, u := range unitsBehind(s, m[1]) {
			for _, x := range values {
				out = append(out, listing.Figure{Value: x, Half: x * 0.025, Unit: u.unit, Start: m[0], End: u.end})
			}
		}
	}
	for _, m := range afterUnit().FindAllStringSubmatchIndex(s, -1) {
		if u, ok := unit.Lookup(s[m[4]:m[5]]); ok {
			x := small(strings.ToLower(s[m[2]:m[3]])) + 0.5
			out = append(out, listing.Figure{Value: x, Half: x * 0.025, Unit: u, Start: m[0], End: m[1]})
		}
	}
	return out
}

type unitAt struct {
	unit unit.Unit
	end  int
}

// unitsBehind reads the unit that stands behind a place, as one behind a figure is read.
func unitsBehind(s string, at int) []unitAt {
	for _, f := range listing.Figures("1 " + s[at:]) {
		if f.Start == 0 && f.Unit.Name != "" {
			return []unitAt{{f.Unit, at + f.End - 2}}
		}
	}
	return nil
}

// composed reads figures that follow from several: "1 h 30 min", "9 out of 10", "12 x 15 ft".
func composed(s string, fs []listing.Figure, d unit.Dimension) []listing.Figure {
	var out []listing.Figure
	for i, a := range fs {
		for _, b := range fs[i+1:] {
			if a.Unit.Dimension == d && b.Unit.Dimension == d && a.Unit.Factor > b.Unit.Factor && a.End <= b.Start && len(strings.TrimSpace(strings.TrimLeft(s[a.End:b.Start], " ,and"))) == 0 {
				out = append(out, listing.Figure{Value: a.Value*a.Unit.Factor/b.Unit.Factor + b.Value, Half: b.Half, Unit: b.Unit, Start: a.Start, End: b.End})
			}
		}
	}
	if d == unit.Ratio {
		for _, m := range outOf().FindAllStringSubmatchIndex(s, -1) {
			a, b := small(strings.ToLower(s[m[2]:m[3]])), small(strings.ToLower(s[m[4]:m[5]]))
			if b > 0 && a <= b {
				out = append(out, listing.Figure{Value: 100 * a / b, Half: 0.5, Unit: unit.Base(unit.Ratio), Start: m[0], End: m[1]})
			}
		}
	}
	if d == unit.Area {
		for _, m := range across().FindAllStringSubmatchIndex(s, -1) {
			name := "m2"
			if l := strings.ToLower(s[m[8]:m[9]]); l != "m" {
				name = "ft2"
			}
			a, b := small(strings.ReplaceAll(s[m[2]:m[3]], ",", ".")), small(strings.ReplaceAll(s[m[6]:m[7]], ",", "."))
			out = append(out, listing.Figure{Value: a * b, Half: 0.025 * a * b, Unit: unit.Must(name), Start: m[0], End: m[1]})
		}
	}
	return out
}
