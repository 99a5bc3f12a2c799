package listing

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A number word of the table: what it stands for, and how it joins with its neighbours.
type numeral struct {
	value float64
	scale bool // "hundred", "thousand": multiplies what stands before
}

// numeral looks up a number word of a language by its folded spelling.
func (l *lexicon) numeral(lang, word string) (numeral, bool) {
	n, ok := l.numbers[lang][word]
	if !ok && lang == "de" {
		v, found := germanNumber(l.numbers[lang], word)
		return numeral{value: v}, found
	}
	return n, ok
}

// germanNumber reads a number that German writes as one word: fünfundzwanzig, dreihundertzehn.
func germanNumber(words map[string]numeral, w string) (float64, bool) {
	if n, ok := words[w]; ok && !n.scale {
		return n.value, true
	}
	part := func(s string, empty float64) (float64, bool) {
		if s == "" {
			return empty, true
		}
		return germanNumber(words, s)
	}
	for _, s := range []struct {
		word  string
		value float64
	}{{"tausend", 1000}, {"hundert", 100}} {
		if i := strings.Index(w, s.word); i >= 0 {
			a, ok1 := part(w[:i], 1)
			b, ok2 := part(strings.TrimPrefix(w[i+len(s.word):], "und"), 0)
			return a*s.value + b, ok1 && ok2 && b < s.value
		}
	}
	if i := strings.Index(w, "und"); i > 0 {
		a, ok1 := words[w[:i]]
		b, ok2 := words[w[i+3:]]
		return a.value + b.value, ok1 && ok2 && a.value < 10 && b.value >= 20 && math.Mod(b.value, 10) == 0
	}
	return 0, false
}

// maxNumberWord bounds the words that are looked up, in bytes.
const maxNumberWord = 48

// wordAt is the folded word of letters that begins at s[i], and its end.
func wordAt(s string, i int) (word string, end int) {
	for end = i; end < len(s) && end-i <= maxNumberWord; {
		r, n := utf8.DecodeRuneInString(s[end:])
		if !unicode.IsLetter(r) {
			break
		}
		end += n
	}
	return fold(s[i:end]), end
}

// startsWord reports whether a word may begin at s[i]: not within one, nor after a hyphen or an apostrophe in one.
func startsWord(s string, i int) bool {
	if i == 0 {
		return true
	}
	r, n := utf8.DecodeLastRuneInString(s[:i])
	if r == '-' || r == '‑' || r == '\'' || r == '’' {
		p, _ := utf8.DecodeLastRuneInString(s[:i-n])
		return !wordLike(p)
	}
	return !wordLike(r)
}

// scanNumberWord reads a number in words that begins at s[i]: "twenty-two", "three hundred and ten", "ninety-nine point
// nine five", "half a". Words join by a space or a hyphen.
func scanNumberWord(s string, i int, lang string) (number, bool) {
	l := vocabulary()
	if len(l.numbers[lang]) == 0 || !startsWord(s, i) {
		return number{}, false
	}
	var total, current float64
	var decimals strings.Builder
	found, point, joint := false, false, false
	end := i
	for at := i; ; {
		w, e := wordAt(s, at)
		if w == "" {
			break
		}
		n, ok := l.numeral(lang, w)
		kind := l.numberKind[lang][w]
		switch {
		case ok && point:
			if n.scale || n.value > 9 {
				w = ""
				break
			}
			decimals.WriteString(plain(n.value))
			end = e
		case ok && n.scale:
			if current == 0 && found || current >= n.value {
				w = ""
				break
			}
			current = math.Max(current, 1) * n.value
			if n.value >= 1000 {
				total, current = total+current, 0
			}
			found, joint, end = true, false, e
		case ok:
			if found && !joins(current, n.value) {
				w = ""
				break
			}
			current += n.value
			found, joint, end = true, false, e
		case kind == "point" && found && !point:
			point = true
		case kind == "joint" && found && !point && !joint && (lang != "en" || current >= 100 || total > 0):
			joint = true
		case kind == "half" && !found:
			return halfOf(s, at, e, lang)
		default:
			w = ""
		}
		if w == "" {
			break
		}
		at = next(s, e)
		if at < 0 {
			break
		}
	}
	if !found {
		return number{}, false
	}
	text := strconv.FormatFloat(total+current, 'f', -1, 64)
	if decimals.Len() > 0 {
		text += "." + decimals.String()
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || len(text) > 18 {
		return number{}, false
	}
	return number{value: v, half: half(text, v), start: i, end: end}, true
}

// joins reports whether a number word may follow what has been read: a unit after tens, anything below a hundred after
// hundreds.
func joins(current, v float64) bool {
	switch {
	case current == 0 || current >= 100 && math.Mod(current, 100) == 0:
		return v < 100
	case current >= 20 && math.Mod(current, 10) == 0:
		return v > 0 && v < 10
	}
	return false
}

// next is where the next word of a number may begin after end: past one space, line break or hyphen; -1 where none can.
func next(s string, end int) int {
	if end >= len(s) {
		return -1
	}
	r, n := utf8.DecodeRuneInString(s[end:])
	if r != ' ' && r != '\n' && r != '\u00a0' && r != '-' && r != '‑' {
		return -1
	}
	return end + n
}

// halfOf reads "half a" before a unit.
func halfOf(s string, start, end int, lang string) (number, bool) {
	if at := next(s, end); at >= 0 {
		if w, e := wordAt(s, at); vocabulary().numberKind[lang][w] == "article" {
			end = e
		}
	}
	return number{value: 0.5, half: 0.05, start: start, end: end}, true
}

// namesNumber is a quick look whether s holds a number word of the language.
func namesNumber(s, lang string) bool {
	l := vocabulary()
	if len(l.numbers[lang]) == 0 {
		return false
	}
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		if !unicode.IsLetter(r) {
			i += n
			continue
		}
		w, e := wordAt(s, i)
		if _, ok := l.numeral(lang, w); ok || l.numberKind[lang][w] == "half" {
			return true
		}
		i = max(e, i+n)
	}
	return false
}
