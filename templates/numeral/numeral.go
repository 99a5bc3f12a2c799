// Package numeral sets numbers, units and probabilities as people read them in print: a true minus, digit groups, a unit
// with its superscripts, a probability in words. The digits are those of measure/numeral, which alone rounds.
package numeral

import (
	"math"
	"strings"

	"weighhouse/measure/numeral"
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

var superscript = strings.NewReplacer("-", "⁻", "+", "", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

// Set gives a rounded number its printed form: a true minus sign, digit groups from five digits on, a power of ten with
// its exponent raised, and Dash for what is not known.
func Set(s string) string {
	if s == "" || s == numeral.Unknown {
		return Dash
	}
	sign := ""
	switch s[0] {
	case '-':
		sign, s = "−", s[1:]
	case '+':
		sign, s = "+", s[1:]
	}
	if m, e, ok := strings.Cut(s, "e"); ok {
		e = strings.TrimLeft(strings.TrimPrefix(e, "+"), "0")
		if rest, minus := strings.CutPrefix(e, "-"); minus {
			e = "-" + strings.TrimLeft(rest, "0")
		}
		return sign + m + nbsp + "×" + nbsp + "10" + superscript.Replace(e)
	}
	whole, frac, dot := strings.Cut(s, ".")
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
	if dot {
		whole += "." + frac
	}
	return sign + whole
}

// Fixed writes x with so many decimals.
func Fixed(x float64, decimals int) string { return Set(numeral.Fixed(x, decimals)) }

// Plain writes x with at most four significant digits and no closing zeros: 300, 0.25, 7.213. Whole numbers keep all
// their digits.
func Plain(x float64) string { return Set(numeral.Short(x, 4)) }

// Of is a claim or a limit with its unit: Plain, with more digits for a percentage near 100.
func Of(x float64, u string) string { return With(Set(numeral.Of(x, u)), u) }

// Short is Plain with three significant digits.
func Short(x float64) string { return Set(numeral.Short(x, 3)) }

// With joins a written number and a unit by a space that does not break; a percent sign takes one too (ISO 80000-1).
func With(number, u string) string {
	if u == "" || number == Dash {
		return number
	}
	return number + nbsp + Unit(u)
}

// Rounded gives a value and its expanded uncertainty, both at the decimal at which the uncertainty has two significant
// digits. Where the uncertainty is nothing or not finite, the value stands alone and the second result is empty.
func Rounded(value, expanded float64) (v, u string) {
	v, u = numeral.Rounded(value, expanded)
	if u != "" {
		u = Set(u)
	}
	return Set(v), u
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
		return Of(low, u)
	case !finite(low):
		return Of(high, u)
	}
	return Set(numeral.Of(low, u)) + " to " + Of(high, u)
}

// Limit writes the side on which a limit stands: "≥ 270 m³/h", "≤ 53 dB(A)", "27 to 33 W".
func Limit(low, high float64, u string) string {
	switch {
	case finite(low) && finite(high):
		return Range(low, high, u)
	case finite(low):
		return "≥" + nbsp + Of(low, u)
	case finite(high):
		return "≤" + nbsp + Of(high, u)
	}
	return Dash
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
	return Set(numeral.Significant(x, digits))
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
