// Package text reads what any text of a claim is made of, for whoever reads such texts: one reading, so that a listing and the
// rules on its words see the same numbers.
package text

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Number is a number as it stands in a text, text[Start:End].
type Number struct {
	Value      float64
	Half       float64 // half of the place of its last digit that is not a trailing zero: how far rounding may reach
	Start, End int
}

// Scan reads the number that begins at s[i], a digit. decimalComma says that the text's language writes 1.234,5.
// With several digit groups a point or comma before exactly three digits separates thousands, after the habit of the
// language; a space does only where it does not break or the language writes it so.
func Scan(s string, i int, decimalComma bool) (Number, bool) {
	if i > 0 && (s[i-1] == '.' || s[i-1] == ',') && barePoint(s[:i-1]) {
		n, ok := Scan("0"+s[i-1:], 0, s[i-1] == ',') // ".3 W"
		return Number{Value: n.Value, Half: n.Half, Start: i - 1, End: i - 2 + n.End}, ok
	}
	end := i
	for end < len(s) && isDigit(s[end]) {
		end++
	}
	groups, seps := []string{s[i:end]}, []rune{}
	for {
		r, n := utf8.DecodeRuneInString(s[end:])
		if n == 0 || !strings.ContainsRune(".,'’ \u00a0\u2009\u202f", r) {
			break
		}
		j := end + n
		k := j
		for k < len(s) && isDigit(s[k]) {
			k++
		}
		if k == j {
			break
		}
		thousands := k-j == 3 && len(groups[0]) <= 3
		space := unicode.IsSpace(r) || r == '\'' || r == '’'
		if space && (!thousands || r == ' ' && !decimalComma || groups[0] == "0" || sepsEnd(seps)) {
			break
		}
		groups, seps, end = append(groups, s[j:k]), append(seps, r), k
	}
	text, ok := plainNumber(groups, seps, decimalComma)
	if !ok {
		return Number{}, false
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) || len(text) > 18 {
		return Number{}, false
	}
	return Number{Value: v, Half: Half(text, v), Start: i, End: end}, true
}

// barePoint reports whether a point behind before begins a number: after a space or a bracket, and no leader.
func barePoint(before string) bool {
	if before == "" {
		return true
	}
	switch r := last(before); r {
	case ' ', '\u00a0', '(', '/', '<', '≤', '~', ':':
		return true
	}
	return false
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// sepsEnd reports whether a decimal sign has already been passed, so that no group can follow.
func sepsEnd(seps []rune) bool {
	return len(seps) > 0 && (seps[len(seps)-1] == '.' || seps[len(seps)-1] == ',')
}

// plainNumber joins digit groups and their separators into a number with a decimal point.
func plainNumber(groups []string, seps []rune, decimalComma bool) (string, bool) {
	if len(seps) == 0 {
		return groups[0], true
	}
	last := seps[len(seps)-1]
	tail := groups[len(groups)-1]
	for i, g := range groups[1:] { // inner groups are thousands
		if i < len(groups)-2 && len(g) != 3 {
			return "", false
		}
	}
	decimal := false
	switch last {
	case '.', ',':
		habit := last == ',' && decimalComma || last == '.' && !decimalComma
		mixed := len(seps) > 1 && seps[0] != last
		repeated := len(seps) > 1 && seps[0] == last
		decimal = len(tail) != 3 || habit || mixed || groups[0] == "0" || len(groups[0]) > 3
		if repeated {
			decimal = false
			if len(tail) != 3 {
				return "", false // 1.2.3: a version, a date
			}
		}
	}
	if decimal {
		return strings.Join(groups[:len(groups)-1], "") + "." + tail, true
	}
	return strings.Join(groups, ""), true
}

// Half is half a unit in the last place of text that is not a trailing zero of a whole number, at most 2.5 % of v.
func Half(text string, v float64) float64 {
	place := 1.0
	if i := strings.IndexByte(text, '.'); i >= 0 {
		place = math.Pow10(-(len(text) - i - 1))
	} else {
		for t := text; len(t) > 1 && t[len(t)-1] == '0'; t = t[:len(t)-1] {
			place *= 10
		}
	}
	if place > 1 {
		return math.Max(0.5, math.Min(place/2, 0.025*math.Abs(v)))
	}
	return place / 2
}

func last(s string) rune { r, _ := utf8.DecodeLastRuneInString(s); return r }

// Value is the number that s is, 0 where it is none, such as a version: digits with the signs that part their groups.
func Value(s string, decimalComma bool) float64 {
	s = strings.TrimSpace(s)
	if s == "" || !isDigit(s[0]) {
		return 0
	}
	n, ok := Scan(s, 0, decimalComma)
	if !ok || n.End != len(s) {
		return 0
	}
	return n.Value
}
