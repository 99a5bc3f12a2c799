package wording

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// passageCap bounds the length of one passage in bytes, so that work on a text without full stops stays linear.
const passageCap = 4000

// span is a passage: a sentence, a bullet or a line of the text, as byte offsets.
type span struct {
	lo, hi   int
	question bool // it ends with a question mark: it asks and asserts nothing
}

// abbreviations after which a full stop ends no sentence.
var abbreviations = map[string]bool{"no": true, "nr": true, "approx": true, "min": true, "max": true, "e.g": true, "i.e": true,
	"eg": true, "ie": true, "sq": true, "ft": true, "ca": true, "z.b": true, "in": true, "w.g": true, "hr": true, "hrs": true, "vs": true,
	"std": true, "incl": true, "etc": true, "mo": true, "yr": true, "art": true, "fig": true, "env": true, "p.ex": true, "bzw": true, "cu": true}

// passages cuts text at full stops, question and exclamation marks, and at line ends that are no mere wrapping, and
// calls emit for each piece.
func passages(text string, emit func(span)) {
	lo, line := 0, 0 // starts of the passage and of the line
	cut := func(hi, next int, question bool) {
		if strings.TrimSpace(text[lo:hi]) != "" {
			emit(span{lo, hi, question})
		}
		lo = next
	}
	for i := 0; i < len(text); {
		r, n := rune(text[i]), 1
		if r >= utf8.RuneSelf {
			r, n = utf8.DecodeRuneInString(text[i:])
		}
		end := i + n
		switch r {
		case '\n', '\r', '\u2028', '\u2029':
			if r == '\r' && end < len(text) && text[end] == '\n' {
				break // the line feed ends the line
			}
			if !wrapped(text, line, i, end) {
				cut(i, end, false)
			}
			line = end
		case '。', '！', '｡':
			cut(end, end, false)
		case '？':
			cut(end, end, true)
		case '.', '!', '?':
			if end == len(text) || isBreak(text[end:]) {
				if r != '.' || !abbreviated(text[lo:i]) {
					cut(end, end, r == '?')
				}
			}
		}
		if end-lo > passageCap && (r == ' ' || end-lo > passageCap+200) {
			cut(end, end, false)
		}
		i = end
	}
	cut(len(text), len(text), false)
}

// isBreak tells whether what follows a full stop may begin a new sentence.
func isBreak(rest string) bool {
	r, _ := utf8.DecodeRuneInString(rest)
	return unicode.IsSpace(r) || unicode.Is(unicode.Han, r) || strings.ContainsRune(`"'”’»)*_`, r)
}

func abbreviated(before string) bool {
	all := before
	if len(before) > 12 {
		before = before[len(before)-12:]
	}
	i := strings.LastIndexFunc(before, func(r rune) bool { return !unicode.IsLetter(r) && r != '.' })
	if i >= 0 {
		_, n := utf8.DecodeRuneInString(before[i:])
		before = before[i+n:]
	}
	w := strings.ToLower(before)
	if len(w) == 1 && i >= 0 && strings.ContainsRune("/0123456789", unitBefore(all, len(w))) {
		return false // "340 m³/h." and "45 W." end with a unit
	}
	return abbreviations[w] || utf8.RuneCountInString(w) == 1 && unicode.IsLetter(rune(w[0]))
}

// unitBefore is the rune before the last n bytes of s, spaces passed over.
func unitBefore(s string, n int) rune {
	r, _ := utf8.DecodeLastRuneInString(strings.TrimRight(s[:len(s)-n], " \u00a0"))
	return r
}

// wrapped tells whether the line end at i only wraps a sentence: the next line goes on in lower case, or this line is
// long, ends without punctuation, and no bullet follows.
func wrapped(text string, line, i, next int) bool {
	const long = 56 // bytes; shorter lines are bullets, headings or table cells
	rest := strings.TrimLeft(text[next:min(len(text), next+64)], " \t")
	if rest == "" || rest[0] == '\n' || rest[0] == '\r' {
		return false
	}
	r, _ := utf8.DecodeRuneInString(rest)
	if unicode.IsLower(r) {
		return true
	}
	body := strings.TrimRight(text[line:i], " \t\r")
	if len(body) < long {
		return false
	}
	last, _ := utf8.DecodeLastRuneInString(body)
	return !strings.ContainsRune(".!?:;。！？", last) && (unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("≥≤<>(\"“", r))
}
