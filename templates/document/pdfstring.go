package document

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf16"
)

// textString writes a PDF text string: in brackets where it is plain ASCII, else as UTF-16 in hexadecimal.
func textString(s string) string {
	s = strings.ToValidUTF8(s, string(replacement))
	if plain(s) {
		return "(" + strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`, "\n", `\n`).Replace(s) + ")"
	}
	var b strings.Builder
	b.WriteString("<FEFF")
	fmt.Fprintf(&b, "%X>", utf16BE(s))
	return b.String()
}

// utf16BE is a text in UTF-16, the higher byte first.
func utf16BE(s string) []byte {
	var b []byte
	for _, u := range utf16.Encode([]rune(s)) {
		b = append(b, byte(u>>8), byte(u))
	}
	return b
}

// name writes a PDF name, with what a name cannot hold as hexadecimal.
func name(s string) string {
	var b strings.Builder
	b.WriteByte('/')
	for _, c := range []byte(s) {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '.' || c == '+' {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "#%02X", c)
		}
	}
	return b.String()
}

func pdfDate(t time.Time) string { return t.UTC().Format("D:20060102150405Z") }
