package setting

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"weighhouse/measure"
)

// Mentioned lists the settings that a running text names, by their keys ("max" included), each once: phrases such as "top
// speed" or "sleep mode", numbered ones such as "speed 3", and of the bare words those that mean nothing else beside a
// number: max, turbo, boost, sleep. "Whisper quiet" or "high performance" name no setting.
func Mentioned(text string) []string { return mentioned(text, true) }

// Phrased is Mentioned without a bare "max" or "maximum", which may be the bound of a number: "max. 33 dB(A)".
func Phrased(text string) []string { return mentioned(text, false) }

func mentioned(text string, bareMax bool) []string {
	f := measure.Fold(text)
	var out []string
	add := func(key string) {
		for _, k := range out {
			if k == key {
				return
			}
		}
		out = append(out, key)
	}
	for i := range rows() {
		r := &rows()[i]
		for _, n := range r.Names {
			n = measure.Fold(n)
			switch {
			case r.Form == "ordinal":
				for _, after := range behind(f, n) {
					if k := strings.TrimLeft(after, " "); k != "" && k[0] >= '0' && k[0] <= '9' && (len(k) == 1 || !digitOrPoint(k[1])) {
						add(k[:1])
					}
				}
			case r.Form == "phrase" || r.Form == "bare" && (r.Rank > 0 && r.Rank < 9 && n != "highest" && (bareMax || r.Rank > 1) || n == "sleep"):
				if len(behind(f, n)) > 0 {
					add(r.Key)
				}
			}
		}
	}
	return out
}

// Ceiling reports whether a text says of its number that it holds at the highest setting too: "max. 52 dB", "up to", "at
// most", "at top speed".
func Ceiling(text string) bool {
	f := measure.Fold(text)
	for i := range rows() {
		r := &rows()[i]
		if r.Form != "ceiling" && !(r.Form == "phrase" && r.Class == Highest) {
			continue
		}
		for _, n := range r.Names {
			if len(behind(f, measure.Fold(n))) > 0 {
				return true
			}
		}
	}
	return false
}

func digitOrPoint(b byte) bool { return b >= '0' && b <= '9' || b == '.' || b == ',' }

// behind gives what stands behind each place of a word in a text, where neither letter nor digit joins it; characters of
// scripts without spaces join nothing.
func behind(text, word string) []string {
	var out []string
	for from := 0; ; {
		i := strings.Index(text[from:], word)
		if i < 0 {
			return out
		}
		a, b := from+i, from+i+len(word)
		from = a + 1
		for from < len(text) && !utf8.RuneStart(text[from]) {
			from++
		}
		before, _ := utf8.DecodeLastRuneInString(text[:a])
		after, _ := utf8.DecodeRuneInString(text[b:])
		first, _ := utf8.DecodeRuneInString(word)
		last, _ := utf8.DecodeLastRuneInString(word)
		if joins(before) && joins(first) || joins(after) && joins(last) {
			continue
		}
		out = append(out, text[b:])
	}
}

func joins(r rune) bool {
	return (unicode.IsLetter(r) || unicode.IsDigit(r)) && !unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana)
}
