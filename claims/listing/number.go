package listing

import reading "weighhouse/claims/text"

// number is a number as it stands in a sentence.
type number struct {
	value      float64
	half       float64 // how far rounding may reach
	start, end int
}

// scanNumber reads the number that begins at s[i], as every reader of texts does.
func scanNumber(s string, i int, decimalComma bool) (number, bool) {
	n, ok := reading.Scan(s, i, decimalComma)
	return number{n.Value, n.Half, n.Start, n.End}, ok
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func half(text string, v float64) float64 { return reading.Half(text, v) }

func narrow(r rune) rune { return reading.Narrow(r) }

func narrowed(s string) string { return reading.Narrowed(s) }
