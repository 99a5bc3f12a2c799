package numeral

import "strings"

// tokens are the unit symbols and signs that stand in running text as a keyboard has them.
var tokens = map[string]string{
	"m2": "m²", "m3": "m³", "cm2": "cm²", "cm3": "cm³", "ft2": "ft²", "ft3": "ft³",
}

// Prose gives the units within a program's own sentence their printed form: "340 m3/h" becomes "340 m³/h", "10 ug/m3"
// becomes "10 µg/m³", "0.3 um" becomes "0.3 µm", and an x between spaces becomes ×. A maker's words are quoted as they
// stand and do not go through it.
func Prose(s string) string {
	var b strings.Builder
	done := 0 // of s that is written
	for i := 0; i < len(s); {
		if n := between(s[i:]); n > 0 {
			i += n
			continue
		}
		j := i
		for j < len(s) && between(s[j:]) == 0 {
			j++
		}
		token, print := s[i:j], ""
		switch t := tokens[token]; {
		case t != "" && !joined(s, i):
			print = t
		case token == "ug" && strings.HasPrefix(s[j:], "/"):
			print = "µg"
		case token == "um" && afterNumber(s[:i]):
			print = "µm"
		case token == "x" && i > 0 && s[i-1] == ' ' && strings.HasPrefix(s[j:], " "):
			print = "×"
		}
		if print != "" {
			b.WriteString(s[done:i])
			b.WriteString(print)
			done = j
		}
		i = j
	}
	if done == 0 {
		return s
	}
	b.WriteString(s[done:])
	return b.String()
}

// between is the length of what a text begins with where that is no part of a word; letters and digits of ASCII, and
// what lies beyond it but the unbreakable space, are.
func between(s string) int {
	c := s[0]
	switch {
	case strings.HasPrefix(s, nbsp):
		return len(nbsp)
	case c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= 0x80:
		return 0
	}
	return 1
}

// joined reports whether the token at i is the end of a name, as in off-m3 or log_m2.
func joined(s string, i int) bool {
	return i > 0 && strings.IndexByte("-_.", s[i-1]) >= 0
}

// afterNumber reports whether a text ends with a digit, with or without one space behind it.
func afterNumber(s string) bool {
	s = strings.TrimSuffix(strings.TrimSuffix(s, " "), nbsp)
	return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9'
}
