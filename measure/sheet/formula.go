package sheet

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Guarded keeps a spreadsheet from reading text that stands in a CSV file as a formula. It puts an apostrophe
//
//   - before a cell that begins with =, +, - or @, whatever their width, or with a tab or a line end, after any number of
//     spaces, quotes, apostrophes, control characters and characters that are not seen;
//   - before such a sign that follows a semicolon, a tab or a line end within the cell: a spreadsheet that splits lines at
//     semicolons takes what comes after one for a cell of its own, and minds no quotes that do not begin a cell.
//
// A cell, or a part of one, that is a negative number and nothing else stays a number; a number with a plus would
// lose that. Books that are read as CSV lose these apostrophes again, and no other one: what was guarded is read as what
// it was.
//
// Source: OWASP, CSV Injection (cells that begin with = + - @, tab or carriage return; separators and quotes that begin a
// new cell; an apostrophe before the cell), from memory. Full-width signs, and the rest that NFKC folds to them: judgement.
func Guarded(s string) string {
	if !mayAct(s) {
		return s
	}
	var b strings.Builder
	for i, part := range cellParts(s) {
		if acts(part, i == 0) {
			b.WriteByte('\'')
		}
		b.WriteString(part)
	}
	return b.String()
}

// unguarded takes the apostrophes of Guarded away.
func unguarded(s string) string {
	if strings.IndexByte(s, '\'') < 0 || !mayAct(s) {
		return s
	}
	var b strings.Builder
	for i, part := range cellParts(s) {
		if rest, ok := strings.CutPrefix(part, "'"); ok && acts(rest, i == 0) {
			part = rest
		}
		b.WriteString(part)
	}
	return b.String()
}

// mayAct is a quick look: most cells hold nothing that could make a formula.
// PlainCell is Guarded for text of an output: control characters become spaces, bytes that are not UTF-8 U+FFFD, and there is
// no space at its ends.
func PlainCell(s string) string {
	return Guarded(strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)))
}

func mayAct(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c >= utf8.RuneSelf || c == '=' || c == '+' || c == '-' || c == '@' || c == '\t' || c == '\r' || c == '\n' {
			return true
		}
	}
	return false
}

// ends are what a spreadsheet may end a cell at, the comma of our own files aside.
const ends = ";\t\r\n"

// cellParts splits a text after each separator.
func cellParts(s string) (out []string) {
	for {
		i := strings.IndexAny(s, ends)
		if i < 0 {
			return append(out, s)
		}
		out, s = append(out, s[:i+1]), s[i+1:]
	}
}

// acts reports whether a part would be read as a formula. The first one also does where nothing stands before its tab or
// line end.
func acts(part string, first bool) bool {
	rest := strings.TrimLeftFunc(part, passed)
	switch {
	case rest == "":
		return false
	case strings.IndexByte(ends, rest[0]) >= 0:
		return first && rest[0] != ';'
	}
	return sign(rest) && !bare(strings.TrimRight(part, ends))
}

// passed reports whether a spreadsheet, or what a spreadsheet's file goes through on its way, may pass over a character at
// the head of a cell.
func passed(r rune) bool {
	switch r {
	case '\t', '\r', '\n':
		return false
	case '"', '\'', '`', '‘', '’', '“', '”', '„', '«', '»', '＂', '＇', 'ʼ':
		return true
	}
	return unicode.IsSpace(r) || unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zs, unicode.Variation_Selector) || r == utf8.RuneError || r == '\u3164' || r == '\u115f' || r == '\u1160' || r == '\uffa0'
}

// sign reports whether a text begins with one of = + - @ in any width.
func sign(s string) bool {
	r, n := utf8.DecodeRuneInString(s)
	if r >= utf8.RuneSelf {
		r, _ = utf8.DecodeRuneInString(norm.NFKC.String(s[:n]))
	}
	return r == '=' || r == '+' || r == '-' || r == '@'
}

// bare reports whether a text is a negative decimal number and nothing else: -3.5, -1e-3.
func bare(s string) bool {
	s, negative := strings.CutPrefix(s, "-")
	if !negative {
		return false
	}
	digits := func() (found bool) {
		n := len(s)
		s = strings.TrimLeft(s, "0123456789")
		return len(s) < n
	}
	number := digits()
	if s != "" && (s[0] == '.' || s[0] == ',') {
		s = s[1:]
		number = digits() || number
	}
	if number && s != "" && (s[0] == 'e' || s[0] == 'E') {
		s = s[1:]
		if s != "" && (s[0] == '+' || s[0] == '-') {
			s = s[1:]
		}
		number = digits()
	}
	return number && s == ""
}
