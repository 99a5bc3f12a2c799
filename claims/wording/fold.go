package wording

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// folded is a passage brought to the form in which terms are matched, with the way back to the original text.
//
// Compatibility characters are decomposed (NFKC: "m³" → "m3", "％" → "%"), case is folded, accents on Latin letters are
// dropped, all dashes are "-", all spaces " ", trade marks and soft hyphens are gone. Accents go because listings in
// capitals drop them too ("ÉLIMINE", "ELIMINE").
type folded struct {
	text     string
	from, to []int32 // per byte of text: start and end, in the original, of the character it came from
}

// folder holds the buffers that fold reuses from passage to passage.
type folder struct {
	buf      []byte
	from, to []int32
}

// fold folds text[lo:hi]. The offsets in the result are relative to lo. The result is valid until the next call.
func (f *folder) fold(text string, lo, hi int) folded {
	f.buf, f.from, f.to = f.buf[:0], f.from[:0], f.to[:0]
	s := text[lo:hi]
	for i := 0; i < len(s); {
		c := s[i]
		if c < utf8.RuneSelf && (i+1 == len(s) || s[i+1] < utf8.RuneSelf) {
			f.put(foldASCII(c), i, i+1)
			i++
			continue
		}
		// One rune with the combining marks that follow it.
		r, n := utf8.DecodeRuneInString(s[i:])
		if r == utf8.RuneError && n == 1 {
			f.put(' ', i, i+1) // not UTF-8: most often a Latin-1 space or an accented letter
			i++
			continue
		}
		end := i + n
		for marks := 0; end < len(s) && marks < 8; marks++ {
			m, k := utf8.DecodeRuneInString(s[end:])
			if !unicode.Is(unicode.Mn, m) && m != 'ﾞ' && m != 'ﾟ' {
				break
			}
			end += k
		}
		f.segment(r, s[i:end], i, end)
		i = end
	}
	return folded{string(f.buf), f.from, f.to}
}

func (f *folder) put(c byte, from, to int) {
	f.buf = append(f.buf, c)
	f.from = append(f.from, int32(from))
	f.to = append(f.to, int32(to))
}

func foldASCII(c byte) byte {
	switch {
	case c >= 'A' && c <= 'Z':
		return c + 'a' - 'A'
	case c < ' ' || c == 0x7f:
		return ' '
	}
	return c
}

func (f *folder) segment(first rune, seg string, from, to int) {
	switch {
	case first == '™' || first == '®' || first == '©' || first == '℠' || unicode.Is(unicode.Cf, first):
		return // trade marks, soft hyphens, joiners, zero-width spaces
	case strings.ContainsRune("⁰¹²³⁴⁵⁶⁷⁸⁹", first) && !f.afterUnit():
		f.put('*', from, to) // a footnote mark, not a digit of the number before it
		return
	}
	for _, r := range norm.NFKC.String(seg) {
		r = unicode.ToLower(r)
		switch {
		case unicode.IsSpace(r) || unicode.IsControl(r):
			f.put(' ', from, to)
		case unicode.Is(unicode.Pd, r) || r == '−' || r == '‐':
			f.put('-', from, to)
		case r == '’' || r == '‘' || r == '`' || r == '´' || r == '′':
			f.put('\'', from, to)
		case r == '“' || r == '”' || r == '„' || r == '«' || r == '»' || r == '「' || r == '」' || r == '″':
			f.put('"', from, to)
		case r == 'μ':
			f.put('u', from, to)
		case r == '•' || r == '·' || r == '⋅' || r == '●' || r == '▪' || r == '■' || r == '✓' || r == '✔':
			f.put(';', from, to)
		default:
			f.letters(r, from, to)
		}
	}
}

// afterUnit tells whether a superscript digit belongs to a unit such as m², ft³ or cm².
func (f *folder) afterUnit() bool {
	n := len(f.buf)
	if n == 0 || f.buf[n-1] != 'm' && f.buf[n-1] != 't' && f.buf[n-1] != 'n' {
		return false
	}
	i := n
	for i > 0 && f.buf[i-1] >= 'a' && f.buf[i-1] <= 'z' {
		i--
	}
	return n-i <= 2
}

var special = map[rune]string{'ß': "ss", 'æ': "ae", 'œ': "oe", 'ø': "o", 'ı': "i", 'ł': "l", 'đ': "d"}

func (f *folder) letters(r rune, from, to int) {
	if s, ok := special[r]; ok {
		for i := 0; i < len(s); i++ {
			f.put(s[i], from, to)
		}
		return
	}
	if r >= utf8.RuneSelf && (unicode.Is(unicode.Latin, r) || r >= 0x300 && r <= 0x36f) {
		for _, d := range norm.NFD.String(string(r)) {
			if d >= 0x300 && d <= 0x36f {
				continue
			}
			f.rune(d, from, to)
		}
		return
	}
	f.rune(r, from, to)
}

func (f *folder) rune(r rune, from, to int) {
	var b [utf8.UTFMax]byte
	for i, n := 0, utf8.EncodeRune(b[:], r); i < n; i++ {
		f.put(b[i], from, to)
	}
}

// foldTerm folds a term of a table.
func foldTerm(s string) string {
	changes := false
	for i := 0; i < len(s); i++ {
		if s[i] >= utf8.RuneSelf {
			return foldOnce(s)
		}
		changes = changes || foldASCII(s[i]) != s[i]
	}
	if !changes {
		return s
	}
	return foldOnce(s)
}

func foldOnce(s string) string {
	n := 2 * len(s)
	f := folder{make([]byte, 0, n), make([]int32, 0, n), make([]int32, 0, n)}
	return f.fold(s, 0, len(s)).text
}
