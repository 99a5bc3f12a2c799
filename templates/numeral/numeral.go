// Package numeral writes numbers, units and probabilities as people read them: a result rounded by its uncertainty,
// a unit with its superscripts, a probability in words. It rounds for display and decides nothing.
package numeral

import (
	"math"
	"strconv"
	"strings"
)

// nbsp keeps a number and its unit on one line.
const nbsp = "\u00a0"

// Dash is printed where there is no number.
const Dash = "–"

// display gives the printed form of the units that are written differently in JSON.
var display = map[string]string{
	"m3/h": "m³/h", "m3": "m³", "m2": "m²", "1/h": "per hour", "ug/m3": "µg/m³", "degC": "°C",
	"m3/(W h)": "m³/(W·h)", "um": "µm", "m3/min": "m³/min", "ft2": "ft²", "ft3": "ft³", "cm2": "cm²", "cm3": "cm³",
}

// Unit is the printed form of a unit: m3/h becomes m³/h. A unit that it does not know comes back as it is.
func Unit(u string) string {
	if d, ok := display[u]; ok {
		return d
	}
	return u
}

// finite reports whether x is neither infinite nor not a number.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// Beyond these a number is written with a power of ten.
const (
	huge = 1e12
	tiny = 1e-7
)

var superscript = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

// power writes x with three significant digits and a power of ten.
func power(x float64) string {
	m, e, _ := strings.Cut(strconv.FormatFloat(math.Abs(x), 'e', 2, 64), "e")
	n, err := strconv.Atoi(e)
	if err != nil {
		return Dash
	}
	s := strings.TrimRight(strings.TrimRight(m, "0"), ".") + nbsp + "×" + nbsp + "10" + superscript.Replace(strconv.Itoa(n))
	if x < 0 {
		return "−" + s
	}
	return s
}

// Fixed writes x with so many decimals, a true minus sign, and digit groups from five digits on; numbers from 10¹²
// on, and those that more than ten decimals would be needed for, with a power of ten. It writes Dash for what is not
// finite.
func Fixed(x float64, decimals int) string {
	if !finite(x) {
		return Dash
	}
	if math.Abs(x) >= huge || x != 0 && math.Abs(x) < tiny && decimals > 7 {
		return power(x)
	}
	decimals = min(decimals, 10)
	s := strconv.FormatFloat(math.Abs(x), 'f', max(decimals, 0), 64)
	whole, frac, _ := strings.Cut(s, ".")
	if len(whole) > 4 {
		var b strings.Builder
		for i, c := range whole {
			if i > 0 && (len(whole)-i)%3 == 0 {
				b.WriteString(nbsp)
			}
			b.WriteRune(c)
		}
		whole = b.String()
	}
	if frac != "" {
		whole += "." + frac
	}
	if x < 0 && strings.Trim(s, "0.") != "" {
		return "−" + whole
	}
	return whole
}

// decimalsFor is how many decimals show x with so many significant digits; below zero: round left of the point.
func decimalsFor(x float64, digits int) int {
	if x == 0 || !finite(x) {
		return 0
	}
	d := digits - 1 - int(math.Floor(math.Log10(math.Abs(x))))
	// rounding can carry into a new digit: 0.0996 to two digits is 0.10, not 0.100
	p := math.Pow(10, float64(d))
	if r := math.Round(math.Abs(x)*p) / p; r > 0 && int(math.Floor(math.Log10(r)+1e-12)) > int(math.Floor(math.Log10(math.Abs(x)))) {
		d--
	}
	return d
}

// rounded rounds x at a decimal that may lie left of the point.
func rounded(x float64, decimals int) string {
	if decimals < 0 {
		p := math.Pow(10, float64(-decimals))
		x = math.Round(x/p) * p
	}
	return Fixed(x, decimals)
}

// Plain writes x with at most four significant digits and no closing zeros: 300, 0.25, 7.213. Whole numbers keep all
// their digits.
func Plain(x float64) string { return plain(x, 4) }

// Short is Plain with three significant digits.
func Short(x float64) string { return plain(x, 3) }

func plain(x float64, digits int) string {
	if !finite(x) {
		return Dash
	}
	if x == math.Trunc(x) && math.Abs(x) < 1e15 {
		return Fixed(x, 0)
	}
	s := Fixed(x, max(decimalsFor(x, digits), 0))
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// With joins a written number and a unit by a space that does not break; a percent sign takes one too (ISO 80000-1).
func With(number, u string) string {
	if u == "" || number == Dash {
		return number
	}
	return number + nbsp + Unit(u)
}

// Rounded gives a value and its expanded uncertainty, both at the decimal at which the uncertainty has two significant
// digits (GUM 7.2.6: at most two). Where the uncertainty is nothing or not finite, the value stands alone and the
// second result is empty.
func Rounded(value, expanded float64) (v, u string) {
	if !finite(expanded) || expanded <= 0 || !finite(value) {
		return Plain(value), ""
	}
	d := decimalsFor(expanded, 2)
	return rounded(value, d), rounded(expanded, d)
}

// PlusMinus writes "217 ± 14 m³/h".
func PlusMinus(value, expanded float64, u string) string {
	v, e := Rounded(value, expanded)
	if e == "" {
		return With(v, u)
	}
	return With(v+nbsp+"±"+nbsp+e, u)
}

// Range writes "6 to 8 h", or the one number where both ends are equal; an infinite end is left out.
func Range(low, high float64, u string) string {
	switch {
	case low == high || !finite(high):
		return With(Plain(low), u)
	case !finite(low):
		return With(Plain(high), u)
	}
	return With(Plain(low)+" to "+Plain(high), u)
}

// Limit writes the side on which a limit stands: "≥ 270 m³/h", "≤ 53 dB(A)", "27 to 33 W".
func Limit(low, high float64, u string) string {
	switch {
	case finite(low) && finite(high):
		return Range(low, high, u)
	case finite(low):
		return "≥" + nbsp + With(Plain(low), u)
	case finite(high):
		return "≤" + nbsp + With(Plain(high), u)
	}
	return Dash
}

// Signed writes a difference with its sign: "−82 m³/h", "+3 dB(A)".
func Signed(x float64, u string) string {
	s := Short(x)
	if x > 0 && finite(x) {
		s = "+" + s
	}
	return With(s, u)
}

// Probability writes p with two decimals, with three below 0.1 and above 0.9 where the decision falls, and by its bound
// where that would round to 0, to 1, or onto a limit of the decision rule that p is not at.
func Probability(p float64) string {
	switch {
	case math.IsNaN(p):
		return Dash
	case p < 0.001:
		return "below 0.001"
	case p > 0.999:
		return "above 0.999"
	}
	for _, edge := range []float64{0.05, 0.95} {
		switch {
		case p > edge && p < edge+0.0005:
			return "just above " + Fixed(edge, 2)
		case p < edge && p > edge-0.0005:
			return "just below " + Fixed(edge, 2)
		}
	}
	if p < 0.1 || p > 0.9 {
		return Fixed(p, 3)
	}
	return Fixed(p, 2)
}

// Sure says in words how sure it is that a limit is met, for the probability p of it. The steps at 0.05 and 0.95 are
// those of the decision rule; the others are a choice of this project (judgement).
func Sure(p float64) string {
	switch {
	case math.IsNaN(p):
		return Dash
	case p >= 0.99:
		return "almost certainly meets it"
	case p >= 0.95:
		return "very likely meets it"
	case p >= 0.67:
		return "probably meets it"
	case p > 0.33:
		return "could go either way"
	case p > 0.05:
		return "probably misses it"
	case p > 0.01:
		return "very likely misses it"
	}
	return "almost certainly misses it"
}

// Significant writes x with so many significant digits, closing zeros kept; for standard uncertainties and shares.
func Significant(x float64, digits int) string {
	if !finite(x) {
		return Dash
	}
	return rounded(x, decimalsFor(x, digits))
}

// Bytes writes a file size.
func Bytes(n int64) string {
	switch {
	case n < 10_000:
		return Fixed(float64(n), 0) + nbsp + "bytes"
	case n < 10_000_000:
		return Fixed(float64(n)/1000, 0) + nbsp + "kB"
	}
	return Fixed(float64(n)/1e6, 0) + nbsp + "MB"
}

// Share writes a part of the whole in percent; what would round to nothing is said to be below a thousandth.
func Share(f float64) string {
	switch {
	case !finite(f):
		return Dash
	case f == 0:
		return With("0", "%")
	case f < 0.001:
		return "below" + nbsp + With("0.1", "%")
	case f < 0.1:
		return With(Fixed(100*f, 1), "%")
	}
	return With(Fixed(100*f, 0), "%")
}

// Interval writes a 95 % interval with both ends at the decimal at which the expanded uncertainty is rounded.
func Interval(low, high, expanded float64, u string) string {
	l, _ := Rounded(low, expanded)
	h, _ := Rounded(high, expanded)
	return l + " to " + With(h, u)
}
