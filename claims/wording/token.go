package wording

import (
	"strings"
	"unicode"
	"unicode/utf8"

	reading "weighhouse/claims/text"
)

type tokenKind uint8

const (
	wordToken   tokenKind = iota // letters and digits that begin with a letter; one CJK character
	numberToken                  // 99.97, 1,482, 0,3
	markToken                    // punctuation
)

// token is one word, number or mark of a folded passage. Spaces, hyphens, apostrophes and quotation marks only part
// tokens, so that "HEPA-type", "HEPA type" and “HEPA” type all read alike.
type token struct {
	kind   tokenKind
	text   string
	lo, hi int     // byte offsets in the folded text
	hyphen bool    // a hyphen without spaces stands between this token and the one before
	spaced bool    // a space stands before it
	value  float64 // of a number
	q      int     // 1 + index of the quantity that begins here, 0 for none
	stop   bool    // a gap must end here: punctuation, "and" and the like
	c      int     // 1 + index of the filter class that begins here, 0 for none
}

// glued lists what is written without a space after HEPA; see the set "glue".
const gluedTo = "hepa"

func tokenize(s string, out []token) []token { return tokenizeIn(s, false, out) }

// tokenizeIn is tokenize for a text whose language may write 1.234,5.
func tokenizeIn(s string, decimalComma bool, out []token) []token {
	spaced, hyphen := false, false
	stops := rules().sets["stop"]
	add := func(k tokenKind, lo, hi int) {
		t := token{kind: k, text: s[lo:hi], lo: lo, hi: hi, hyphen: hyphen, spaced: spaced}
		if k == numberToken {
			t.value = reading.Value(t.text, decimalComma)
		}
		t.stop = k == markToken || k == wordToken && stops.has(t.text)
		out = append(out, t)
		spaced, hyphen = false, false
	}
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == ' ':
			spaced, hyphen = true, false
		case r == '-':
			hyphen = !spaced
		case r == '\'' || r == '"' || r == '_':
			spaced = true
		case r >= '0' && r <= '9':
			end := numberEnd(s, i)
			if k := len(out) - 1; k >= 0 && groups(s, out[k], i, end) {
				out[k].hi, out[k].text = end, s[out[k].lo:end] // "12 000"
				out[k].value = reading.Value(strings.ReplaceAll(out[k].text, " ", ""), decimalComma)
			} else {
				add(numberToken, i, end)
			}
			i = end
			continue
		case isCJK(r):
			add(wordToken, i, i+n)
		case unicode.IsLetter(r):
			end := wordEnd(s, i)
			if cut := glueCut(s[i:end]); cut > 0 {
				add(wordToken, i, i+cut)
				if s[i+cut] >= '0' && s[i+cut] <= '9' {
					add(numberToken, i+cut, end)
				} else {
					add(wordToken, i+cut, end)
				}
			} else {
				add(wordToken, i, end)
			}
			i = end
			continue
		default:
			add(markToken, i, i+n)
		}
		i += n
	}
	return out
}

// groups tells whether the digits s[i:end] are a group of thousands of the number t: "12 000".
func groups(s string, t token, i, end int) bool {
	return t.kind == numberToken && end-i == 3 && t.hi == i-1 && s[t.hi] == ' ' && len(t.text) <= 3 && t.value >= 1 &&
		!strings.ContainsAny(t.text, ".,") && !strings.HasPrefix(s[end:], ",")
}

// glueCut returns where a word such as "hepatype" or "hepa13" is cut into "hepa" and the rest, 0 for nowhere.
func glueCut(w string) int {
	if len(w) > len(gluedTo) && strings.HasPrefix(w, gluedTo) && rules().sets["glue"].has(w[len(gluedTo):]) {
		return len(gluedTo)
	}
	return 0
}

func numberEnd(s string, i int) int {
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
		if i+1 < len(s) && (s[i] == '.' || s[i] == ',' || s[i] == '\'') && s[i+1] >= '0' && s[i+1] <= '9' {
			i++
		}
	}
	return i
}

// wordEnd keeps the decimal of names such as "pm2.5", "h13.5" and "v2.0" with the word.
func wordEnd(s string, i int) int {
	digit := false
	for i < len(s) {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r >= '0' && r <= '9':
			digit = true
		case digit && (r == '.' || r == ',' && i >= 2 && s[i-2] == 'm') && i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9':
		case unicode.IsLetter(r) && !isCJK(r), unicode.Is(unicode.Mn, r):
			digit = false
		default:
			return i
		}
		i += n
	}
	return i
}

func isCJK(r rune) bool {
	return r >= 0x2e80 && (unicode.Is(unicode.Han, r) || unicode.Is(unicode.Hiragana, r) || unicode.Is(unicode.Katakana, r) || r == 'ー' || unicode.Is(unicode.Hangul, r))
}

func thousands(s string, sep byte) bool {
	parts := strings.Split(s, string(sep))
	if parts[0] == "" || len(parts[0]) > 3 || parts[0] == "0" {
		return false
	}
	for _, p := range parts[1:] {
		if len(p) != 3 {
			return false
		}
	}
	return true
}
