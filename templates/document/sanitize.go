package document

import (
	"fmt"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"weighhouse/templates/typeface"
)

// replacement is printed for what cannot be printed.
const replacement = '\ufffd'

// nbsp is the space at which no line breaks.
const nbsp = '\u00a0'

// clean makes any text fit to be set: valid UTF-8, composed (NFC), without control and format characters, and with
// spaces and hyphens that the fonts have. What neither the Go fonts nor the extra font can print becomes U+FFFD and is
// counted for Warnings. Line breaks stay. Every text of a document passes through here.
func (d *Doc) clean(s string) string {
	if plain(s) {
		return s
	}
	if !utf8.ValidString(s) {
		d.repaired++
		s = strings.ToValidUTF8(s, string(replacement))
	}
	s = norm.NFC.String(strings.ReplaceAll(s, "\r\n", "\n"))
	var b strings.Builder
	b.Grow(len(s))
	for _, r := range s {
		d.cleanRune(&b, r)
	}
	return b.String()
}

// plain reports whether a text is printable ASCII with line breaks: most are, and need no work.
func plain(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; (c < 0x20 || c > 0x7e) && c != '\n' {
			return false
		}
	}
	return true
}

func (d *Doc) cleanRune(b *strings.Builder, r rune) {
	switch {
	case r >= 0x20 && r < 0x7f: // as in plain
		b.WriteByte(byte(r))
	case r == '\n', r == '\u2028', r == '\u2029', r == '\r':
		b.WriteByte('\n')
	case r == '\t', r == '\u3000':
		b.WriteByte(' ')
	case r >= 0x2000 && r <= 0x200a, r == '\u202f', r == '\u205f':
		b.WriteRune(nbsp)
	case r == '\u2010', r == '\u2011':
		b.WriteByte('-')
	case r == replacement:
		b.WriteRune(r)
	case unicode.Is(unicode.Cf, r), unicode.Is(unicode.Variation_Selector, r):
		// joiners, soft hyphens, direction marks: nothing of them would be seen
	case d.printable(r):
		b.WriteRune(r)
	default:
		// a compatibility character such as ℃ or ㎡ is printed as what it stands for, where that can be printed
		if alt := norm.NFKC.String(string(r)); alt != string(r) && d.allPrintable(alt) {
			b.WriteString(alt)
			return
		}
		d.missing[r]++
		b.WriteRune(replacement)
	}
}

// printable reports whether a font in use has the rune. Runes beyond U+FFFF cannot be written by the PDF library.
func (d *Doc) printable(r rune) bool {
	if r < 0x20 || r > 0xffff {
		return false
	}
	return typeface.Regular.Covers(r) || d.extra != nil && d.extra.Advance(r) >= 0
}

// oneLine is clean for text that stands alone, such as a label in a figure.
func (d *Doc) oneLine(s string) string { return strings.ReplaceAll(d.clean(s), "\n", " ") }

func (d *Doc) allPrintable(s string) bool {
	for _, r := range s {
		if !d.printable(r) {
			return false
		}
	}
	return true
}

// maxNamed is how many missing characters a warning names.
const maxNamed = 12

// Warnings says what could not be printed as it was handed in.
func (d *Doc) Warnings() []string {
	out := append([]string(nil), d.warnings...)
	if d.repaired > 0 {
		out = append(out, fmt.Sprintf("%d texts were not valid UTF-8; the bytes that are no character are printed as %c", d.repaired, replacement))
	}
	if len(d.missing) == 0 {
		return out
	}
	rs := make([]rune, 0, len(d.missing))
	for r := range d.missing {
		rs = append(rs, r)
	}
	sort.Slice(rs, func(i, j int) bool { return rs[i] < rs[j] })
	var names []string
	for i, r := range rs {
		if i == maxNamed {
			names = append(names, fmt.Sprintf("and %d more", len(rs)-maxNamed))
			break
		}
		if unicode.IsControl(r) {
			names = append(names, fmt.Sprintf("U+%04X", r))
		} else {
			names = append(names, fmt.Sprintf("%c (U+%04X)", r, r))
		}
	}
	what := "--font FILE.ttf takes a TrueType font that has them"
	if d.extra != nil {
		what = "the font given does not have them, or they are beyond U+FFFF"
	}
	return append(out, fmt.Sprintf("no glyph for %s; printed as %c: %s", strings.Join(names, ", "), replacement, what))
}
