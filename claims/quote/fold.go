package quote

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
	"golang.org/x/text/unicode/norm"
)

// piece is one character of a text with its offset in the file; raised where it stands above the line.
type piece struct {
	r      rune
	off    int
	raised bool
}

type pieces []piece

// gapRune parts what stands in two elements of a page.
const gapRune = '\u2029'

func (p *pieces) add(s string, off int, raised bool) {
	for i, r := range s {
		*p = append(*p, piece{r, off + i, raised})
	}
}

func (p *pieces) gap(off int) { *p = append(*p, piece{gapRune, off, false}) }

// flat adds text that has no place of its own in the file, such as a decoded attribute.
func (p *pieces) flat(s string, off int) {
	if strings.TrimSpace(s) == "" {
		return
	}
	p.gap(off)
	for _, r := range s {
		*p = append(*p, piece{r, off, false})
	}
	p.gap(off)
}

// entities adds text with its character references decoded.
func (p *pieces) entities(s string, off int, raised bool) {
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		if r == '&' {
			n = reference(s[i:])
			for _, d := range html.UnescapeString(s[i : i+n]) {
				*p = append(*p, piece{d, off + i, raised})
			}
		} else {
			*p = append(*p, piece{r, off + i, raised})
		}
		i += n
	}
}

// reference is the length of the character reference that s begins with, 1 where it is a bare ampersand.
func reference(s string) int {
	for i := 1; i < len(s) && i < 33; i++ {
		switch c := s[i]; {
		case c == ';':
			return i + 1
		case c == '#' && i == 1, c >= '0' && c <= '9', c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z':
		default:
			return 1
		}
	}
	return 1
}

// folded is a text as it is compared: letters, digits and the signs that carry meaning, of one case and form, without
// marks over letters; white space, quotes, dashes, hyphens and other punctuation are left out.
type folded struct {
	text  string
	back  []int  // offset in the file of each byte of text
	apart []bool // whether something stood between this character and the one before
}

// variants gives the text with what stands raised, and without raised digits that are no powers of a unit: the marks of
// notes, which a copy may or may not hold.
func (p pieces) variants() []folded {
	a, b := p.fold(false), p.fold(true)
	if a.text == b.text {
		return []folded{a}
	}
	return []folded{a, b}
}

func (p pieces) fold(noMarks bool) folded {
	f := folded{}
	var b strings.Builder
	apart, last := true, rune(0)
	for i, x := range p {
		if noMarks && isNoteMark(p, i) {
			continue
		}
		kept := false
		for _, r := range norm.NFKD.String(string(x.r)) {
			r = unicode.ToLower(r)
			switch {
			case unicode.IsLetter(r), unicode.IsDigit(r):
			case r == '.' || r == ',':
				if !unicode.IsDigit(last) || apart || i+1 >= len(p) || !unicode.IsDigit(p[i+1].r) {
					continue
				}
			case unicode.Is(unicode.Mn, r):
				kept = true // part of the letter before
				continue
			case strings.ContainsRune("%<>≤≥≈~±+°€$£", r):
			default:
				continue
			}
			n := utf8.RuneLen(r)
			b.WriteRune(r)
			for range n {
				f.back, f.apart = append(f.back, x.off), append(f.apart, apart)
			}
			apart, last, kept = false, r, true
		}
		if !kept && !invisible(x.r) {
			apart = true
		}
	}
	f.text = b.String()
	return f
}

// invisible are characters that show nothing and part nothing: soft hyphens, zero-width and direction marks.
func invisible(r rune) bool {
	return r == '\u00ad' || r == '\ufeff' || r >= '\u200b' && r <= '\u200f' || r >= '\u202a' && r <= '\u202e' || r >= '\u2060' && r <= '\u2064' || r >= '\ufe00' && r <= '\ufe0f'
}

// powers are the units that a raised digit belongs to.
var powers = map[string]bool{"m": true, "cm": true, "dm": true, "mm": true, "km": true, "ft": true, "in": true, "sqm": true}

// isNoteMark reports whether a raised or superscript digit marks a note: it follows neither a unit that has powers nor
// another digit.
func isNoteMark(p pieces, i int) bool {
	r := p[i].r
	super := strings.ContainsRune("¹²³⁰⁴⁵⁶⁷⁸⁹", r)
	if !super && !(p[i].raised && unicode.IsDigit(r)) {
		return false
	}
	unit := ""
	for j := i - 1; j >= 0 && len(unit) < 8; j-- {
		if unit == "" && (unicode.IsDigit(p[j].r) || p[j].raised) {
			return isNoteMark(p, j)
		}
		if !unicode.IsLetter(p[j].r) {
			break
		}
		unit = string(p[j].r) + unit
	}
	return !powers[strings.ToLower(unit)]
}

// of folds a text of its own.
func of(s string) []folded {
	var p pieces
	p.add(s, 0, false)
	return p.variants()
}

// find gives the offset in f of a folded text from a place on, at the borders of words and numbers; -1 where it is not.
func (f *folded) find(want string, from int) int {
	for at := from; want != ""; {
		i := strings.Index(f.text[at:], want)
		if i < 0 {
			return -1
		}
		i += at
		first, n := utf8.DecodeRuneInString(want)
		last, _ := utf8.DecodeLastRuneInString(want)
		end := i + len(want)
		if !f.joined(i, first) && !(end < len(f.text) && f.joinedAt(end, last)) {
			return i
		}
		at = i + n
	}
	return -1
}

// joined reports whether the character at i goes on a word or number before it.
func (f *folded) joined(i int, r rune) bool {
	if i == 0 || f.apart[i] {
		return false
	}
	before, _ := utf8.DecodeLastRuneInString(f.text[:i])
	return sameRun(before, r)
}

// joinedAt reports whether the character at end goes on the word or number whose last character is r.
func (f *folded) joinedAt(end int, r rune) bool {
	if f.apart[end] {
		return false
	}
	after, _ := utf8.DecodeRuneInString(f.text[end:])
	return sameRun(r, after)
}

func sameRun(a, b rune) bool {
	if unicode.In(a, unicode.Han, unicode.Hiragana, unicode.Katakana) || unicode.In(b, unicode.Han, unicode.Hiragana, unicode.Katakana) {
		return false
	}
	number := func(r rune) bool { return unicode.IsDigit(r) || r == '.' || r == ',' }
	return unicode.IsLetter(a) && unicode.IsLetter(b) || number(a) && number(b)
}
