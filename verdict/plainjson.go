package verdict

import (
	"bytes"
	"encoding/json"
	"fmt"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// PlainJSON gives a value as indented JSON that may be shown on a terminal as it is: with "" for indent one line. Beside what
// JSON itself writes as \uXXXX, so are the characters that a terminal obeys or that turn the order of a line or stay unseen
// (C1 controls, DEL, format characters, line and paragraph separators). The value that is read from it is the same.
func PlainJSON(v any, indent string) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	if indent == "" {
		return Escaped(b.Bytes()), nil
	}
	return Escaped(indented(b.Bytes(), indent)), nil
}

// indented is json.Indent of what the encoder has written: that need not be checked again, which takes most of the time.
func indented(compact []byte, indent string) []byte {
	out := make([]byte, 0, 2*len(compact))
	depth := 0
	line := func() {
		out = append(out, '\n')
		for range depth {
			out = append(out, indent...)
		}
	}
	for i := 0; i < len(compact); i++ {
		switch c := compact[i]; c {
		case '"':
			end := i + 1
			for ; compact[end] != '"'; end++ {
				if compact[end] == '\\' {
					end++
				}
			}
			out = append(out, compact[i:end+1]...)
			i = end
		case '{', '[':
			out = append(out, c)
			if next := compact[i+1]; next == '}' || next == ']' {
				out = append(out, next)
				i++
				continue
			}
			depth++
			line()
		case '}', ']':
			depth--
			line()
			out = append(out, c)
		case ',':
			out = append(out, c)
			line()
		case ':':
			out = append(out, c, ' ')
		default:
			out = append(out, c)
		}
	}
	return out
}

// Escaped writes the characters of a JSON text that PlainJSON names as \uXXXX. Beyond ASCII a JSON text has characters in
// its strings alone, where an escape stands for the same.
func Escaped(text []byte) []byte {
	var out []byte
	from := 0 // up to here text is in out
	for i := 0; i < len(text); {
		if text[i] < 0x7f { // encoding/json escapes those below a space
			i++
			continue
		}
		r, n := utf8.DecodeRune(text[i:])
		if acts(r) {
			out = append(out, text[from:i]...)
			if r > 0xffff {
				high, low := utf16.EncodeRune(r)
				out = fmt.Appendf(out, `\u%04x\u%04x`, high, low)
			} else {
				out = fmt.Appendf(out, `\u%04x`, r)
			}
			from = i + n
		}
		i += n
	}
	if from == 0 {
		return text
	}
	return append(out, text[from:]...)
}

// acts reports whether a character does something else than being seen.
func acts(r rune) bool {
	if r >= 0xa0 && r < 0x600 { // most of what is not ASCII: letters, ±, ², ³; a soft hyphen is the one format character
		return r == '\u00ad'
	}
	return unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp)
}
