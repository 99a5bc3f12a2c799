package sheet

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// FoldName brings a name of a table, column, attribute or setting to the form in which names are compared: compatibility
// characters decomposed, lower case, space, "-" and "_" alike, runs of them one space, none at the ends, and no colon or star
// there. "+/-" is "±".
func FoldName(s string) string {
	if folded(s) {
		return s
	}
	s = norm.NFKC.String(s)
	s = strings.ReplaceAll(s, "+/-", "±")
	s = strings.ReplaceAll(s, "+-", "±")
	var b strings.Builder
	gap := false
	for _, r := range s {
		switch {
		case unicode.IsSpace(r), r == '-', r == '_', r == '\u2010', r == '\u2011', r == '\u2012', r == '\u2013', r == '\u2212':
			gap = b.Len() > 0
			continue
		case invisible(r):
			continue
		}
		if gap {
			b.WriteByte(' ')
			gap = false
		}
		b.WriteRune(unicode.ToLower(r))
	}
	if s = b.String(); strings.ContainsAny(s, ":*") {
		if bare := strings.Trim(s, ":* "); bare != "" {
			return bare
		}
	}
	return s
}

// folded reports whether a name has that form already, as most have: ASCII letters in lower case, digits and signs.
func folded(s string) bool {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == ' ':
			if i == 0 || i == len(s)-1 || s[i+1] == ' ' {
				return false
			}
		case c < ' ', c == ':', c == '*', c == '+', c == '-', c == '_', 'A' <= c && c <= 'Z', c >= 0x80:
			return false
		}
	}
	return true
}

// invisible reports characters that leave no mark on the page and come along when text is copied.
func invisible(r rune) bool {
	switch r {
	case '\u00ad', '\u200b', '\u200c', '\u200d', '\u2060', '\ufeff':
		return true
	}
	return false
}

// splitHeader parts a header into its folded name and the unit in its brackets, as written:
// `level [dB(A)]` → "level", "dB(A)"; `Time(s)` → "time", "s". The bracket must close the header.
func splitHeader(h string) (name, unit string) {
	h = strings.TrimSpace(h)
	if h == "" {
		return "", ""
	}
	var opener, closer rune
	switch h[len(h)-1] {
	case ']':
		opener, closer = '[', ']'
	case ')':
		opener, closer = '(', ')'
	default:
		return FoldName(h), ""
	}
	depth := 0
	rs := []rune(h)
	for i := len(rs) - 1; i >= 0; i-- {
		switch rs[i] {
		case closer:
			depth++
		case opener:
			depth--
			if depth == 0 {
				n := strings.TrimSpace(string(rs[:i]))
				if n == "" {
					return FoldName(h), ""
				}
				return FoldName(n), strings.TrimSpace(string(rs[i+1 : len(rs)-1]))
			}
		}
	}
	return FoldName(h), ""
}

// clean trims a cell's text for comparison and use: spaces and invisible characters at its ends go.
func clean(s string) string {
	return strings.TrimFunc(s, func(r rune) bool { return unicode.IsSpace(r) || invisible(r) })
}
