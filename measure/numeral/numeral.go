// Package numeral rounds numbers for reading. It is the only place of the program that does: the statement, the terminal,
// the tables, the figures and the workbook print what it gives, so that one result reads the same wherever it stands. Its
// digits are plain text; how they are set in print is the writers' affair. It decides nothing.
package numeral

import (
	"math"
	"strconv"
	"strings"
)

// Unknown is printed for what is no finite number.
const Unknown = "not known"

// Beyond these a number is written with a power of ten: 2.5e+300.
const (
	huge = 1e12
	tiny = 1e-7
)

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// Decimals is how many decimals show x with so many significant digits; below zero: round left of the point. A carry into
// a new digit counts: 0.0996 to two digits is 0.10, one digit after its first.
func Decimals(x float64, digits int) int {
	if x == 0 || !finite(x) {
		return 0
	}
	s := strconv.FormatFloat(math.Abs(x), 'e', digits-1, 64) // rounded, so that a carry is in its exponent
	_, e, _ := strings.Cut(s, "e")
	exponent, _ := strconv.Atoi(e)
	return digits - 1 - exponent
}

// Fixed writes x at a decimal, which may lie left of the point (−1: tens). Zero has no sign. It writes Unknown for what is
// not finite, and a power of ten from 10¹² on and where more than ten decimals would be needed.
func Fixed(x float64, decimals int) string {
	if !finite(x) {
		return Unknown
	}
	if math.Abs(x) >= huge || x != 0 && math.Abs(x) < tiny && decimals > 7 {
		return strconv.FormatFloat(x, 'g', 3, 64)
	}
	if decimals < 0 {
		p := math.Pow(10, float64(-decimals))
		x = math.Round(x/p) * p
	}
	s := strconv.FormatFloat(x, 'f', min(max(decimals, 0), 10), 64)
	if s[0] == '-' && strings.Trim(s, "-0.") == "" {
		return s[1:]
	}
	return s
}

// Significant writes x with so many significant digits, closing zeros kept.
func Significant(x float64, digits int) string { return Fixed(x, Decimals(x, digits)) }

// Short writes x with at most so many significant digits and no closing zeros; whole numbers keep all their digits.
func Short(x float64, digits int) string {
	if finite(x) && x == math.Trunc(x) {
		return Fixed(x, 0)
	}
	s := Fixed(x, max(Decimals(x, digits), 0))
	if strings.Contains(s, ".") && !strings.Contains(s, "e") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Of writes a number that carries no uncertainty of its own, such as a claim or a limit: four significant digits without
// closing zeros, and of a percentage between 90 and 100, where what is let through counts, two digits of that more where
// they are needed: 99.9995 %, not 100 %.
func Of(x float64, unit string) string {
	if unit == "%" && x > 90 && x < 100 {
		s := strconv.FormatFloat(x, 'f', min(max(Decimals(100-x, 2), 2), 9), 64)
		return strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return Short(x, 4)
}

// Rounded gives a value and its expanded uncertainty, both at the decimal at which the uncertainty has two significant
// digits (GUM 7.2.6: at most two), the uncertainty rounded to the nearest: with two digits that never takes off the 5 %
// from which EA-4/02 asks for the next digit up (clause from memory). Where the uncertainty is nothing or not finite, the
// value stands alone as Of writes it, and the second result is "".
func Rounded(value, expanded float64) (v, u string) {
	if !finite(value) || !finite(expanded) || expanded <= 0 {
		return Of(value, ""), ""
	}
	d := Decimals(expanded, 2)
	return Fixed(value, d), Fixed(expanded, d)
}

// Percent writes a percentage of a difference: whole from 10 on, with one decimal below.
func Percent(x float64) string {
	if math.Abs(x) < 9.95 {
		return Fixed(x, 1)
	}
	return Fixed(x, 0)
}

// Signed puts a plus sign before a written number that is above zero.
func Signed(s string) string {
	if s == "" || s[0] == '-' || s == Unknown || strings.Trim(s, "0.") == "" {
		return s
	}
	return "+" + s
}
