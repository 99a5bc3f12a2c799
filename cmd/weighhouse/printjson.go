package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"unicode"
	"unicode/utf16"
)

// printJSON writes a value as JSON to where people and other programs read, indented unless indent is "". Characters that
// a terminal obeys or that turn the order of a line are written as escapes: JSON leaves some of them as they are, and the
// value is the same.
func printJSON(w io.Writer, v any, indent string) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", indent)
	if err := e.Encode(v); err != nil {
		return err
	}
	_, err := w.Write(escapeControls(b.Bytes()))
	return err
}

// escapeControls writes control and formatting characters, which stand in the strings of a JSON text alone, as \uXXXX.
func escapeControls(text []byte) []byte {
	acts := func(r rune) bool {
		return r != '\n' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp))
	}
	if bytes.IndexFunc(text, acts) < 0 {
		return text
	}
	out := make([]byte, 0, len(text)+len(text)/8)
	for _, r := range string(text) {
		switch {
		case !acts(r):
			out = append(out, string(r)...)
		case r > 0xffff:
			hi, lo := utf16.EncodeRune(r)
			out = fmt.Appendf(out, `\u%04x\u%04x`, hi, lo)
		default:
			out = fmt.Appendf(out, `\u%04x`, r)
		}
	}
	return out
}
