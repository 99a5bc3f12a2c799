package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// accepted says in every error about a number what would have been read.
const accepted = `a plain number such as 1482, 1 482, 1,482 or 3.5`
const acceptedComma = `a plain number such as 1482, 1 482 or 3,5 (a comma is the decimal sign in a file with ";" between columns)`

// numberRule says how the comma and the point of an input are meant.
type numberRule struct {
	comma bool // a file with ";" between columns: the comma is the decimal sign
	log   bool // a log: no grouping by points, so that 1.234 in a ";" file is a decimal
}

// parseNumber reads a number by the contract's rules. The result is finite.
//
// In a file with ";" between columns a comma is the decimal sign. Elsewhere a comma before groups of exactly three
// digits separates thousands, any other comma is the decimal sign; a group "0" is no thousands, so 0,125 is 0.125.
// A space, thin space or apostrophe between groups of three digits is a separator. A plain exponent (1e3) is read.
// NaN, infinities, hexadecimal and underscores are not. A trailing percent sign is passed over: 97 % is 97.
func parseNumber(text string, rule numberRule) (float64, error) {
	want := accepted
	if rule.comma {
		want = acceptedComma
	}
	fail := func(why string) (float64, error) {
		if why != "" {
			why = " (" + why + ")"
		}
		return 0, fmt.Errorf("found %s%s, accepted is %s", quote(text), why, want)
	}
	s := clean(text)
	if s == "" {
		return 0, fmt.Errorf("found nothing, accepted is %s", want)
	}
	if len(s) > 400 {
		return fail("too long for a number")
	}
	s = strings.TrimRight(strings.TrimSuffix(s, "%"), " \u00a0\u2009\u202f")
	sign := ""
	for _, m := range []string{"-", "\u2212", "\u2013", "+"} {
		if strings.HasPrefix(s, m) {
			if m != "+" {
				sign = "-"
			}
			s = strings.TrimLeft(s[len(m):], " \u00a0\u2009\u202f")
			break
		}
	}
	mantissa, exponent := s, ""
	if i := strings.IndexAny(s, "eE"); i >= 0 {
		mantissa, exponent = s[:i], s[i+1:]
		if !isExponent(exponent) {
			return fail("")
		}
	}
	if !strings.ContainsAny(mantissa, "0123456789") {
		return fail("")
	}
	plain, why := ungroup(mantissa, rule)
	if why != "" || plain == "" {
		return fail(why)
	}
	if exponent != "" {
		plain += "e" + exponent
	}
	v, err := strconv.ParseFloat(sign+plain, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return fail("too large")
	}
	if v == 0 && strings.ContainsAny(mantissa, "123456789") {
		return fail("too small to tell from zero")
	}
	return v, nil
}

func isExponent(s string) bool {
	s = strings.TrimPrefix(strings.TrimPrefix(s, "+"), "-")
	return s != "" && len(s) <= 4 && digits(s)
}

func digits(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

// ungroup takes the separators out of a mantissa and makes the decimal sign a point. A reason in why means no number.
func ungroup(s string, rule numberRule) (plain, why string) {
	var b strings.Builder
	spaced := false
	for _, r := range s {
		switch r {
		case ' ', '\u00a0', '\u2009', '\u202f', '\u2007', '\'', '\u2019', '\u02bc':
			spaced = true
			b.WriteByte(' ')
		case ',', '.', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9':
			b.WriteRune(r)
		default:
			return "", ""
		}
	}
	s = b.String()
	commas, points := strings.Count(s, ","), strings.Count(s, ".")
	decimal := byte(0) // the sign that is the decimal sign, 0 for none
	switch {
	case commas > 0 && points > 0: // the sign that comes last is the decimal sign, the other one groups
		if strings.LastIndex(s, ",") > strings.LastIndex(s, ".") {
			decimal = ','
		} else {
			if rule.comma {
				return "", "a comma is the decimal sign here"
			}
			decimal = '.'
		}
	case commas > 0:
		if rule.comma || spaced || !grouped(s, ',') {
			decimal = ','
		}
	case points == 1:
		if rule.comma && !rule.log && !spaced && grouped(s, '.') {
			return "", "it can be a decimal or a thousand and more"
		}
		decimal = '.'
	case points > 1 && !rule.comma:
		return "", ""
	}
	whole, fraction := s, ""
	if decimal != 0 {
		if strings.Count(s, string(decimal)) > 1 {
			return "", "two decimal signs"
		}
		i := strings.IndexByte(s, decimal)
		whole, fraction = s[:i], s[i+1:]
		if !digits(fraction) {
			return "", "a separator stands after the decimal sign"
		}
	}
	kinds := 0
	for _, sep := range []byte(" ,.") {
		if strings.IndexByte(whole, sep) < 0 {
			continue
		}
		kinds++
		if kinds > 1 || !grouped(whole, sep) {
			return "", "separators stand between groups of three digits only"
		}
		whole = strings.ReplaceAll(whole, string(sep), "")
	}
	if whole == "" {
		whole = "0"
	}
	if fraction != "" {
		return whole + "." + fraction, ""
	}
	return whole, ""
}

// grouped reports whether sep parts s into one to three digits without a leading zero and groups of exactly three.
func grouped(s string, sep byte) bool {
	parts := strings.Split(s, string(sep))
	if len(parts) < 2 || len(parts[0]) < 1 || len(parts[0]) > 3 || parts[0][0] == '0' || !digits(parts[0]) {
		return false
	}
	for _, p := range parts[1:] {
		if len(p) != 3 || !digits(p) {
			return false
		}
	}
	return true
}

// parseRange reads a number or a range: 6-8, 6 – 8, 6 to 8. For a single number low and high are equal.
func parseRange(text string, rule numberRule) (low, high float64, err error) {
	v, err := parseNumber(text, rule)
	if err == nil {
		return v, v, nil
	}
	s := clean(text)
	for i, r := range s {
		n := 0
		switch {
		case i == 0:
		case r == '-', r == '\u2013', r == '\u2014', r == '\u2010', r == '\u2011', r == '\u2212':
			n = len(string(r))
		case (r == 't' || r == 'T') && len(s) > i+2 && (s[i+1] == 'o' || s[i+1] == 'O'):
			n = 2
		}
		if n == 0 {
			continue
		}
		lo, err1 := parseNumber(s[:i], rule)
		hi, err2 := parseNumber(s[i+n:], rule)
		if err1 != nil || err2 != nil {
			continue
		}
		if lo > hi {
			return 0, 0, fmt.Errorf("found %s, a range runs from the lower number to the higher", quote(text))
		}
		return lo, hi, nil
	}
	return 0, 0, fmt.Errorf("%w, or a range such as 6-8 or 6 to 8", err)
}

// quote shows what was found, in quotes, cut where it is long.
func quote(s string) string {
	const most = 60
	if rs := []rune(s); len(rs) > most {
		return strconv.Quote(string(rs[:most])) + "…"
	}
	return strconv.Quote(s)
}
