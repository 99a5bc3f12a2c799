package sheet

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

const utf8Hint = "open it in the program that wrote it, or in a spreadsheet, and save it as CSV UTF-8"

// utf16BOM reports a byte order mark of UTF-16 at the head of a file.
func utf16BOM(b []byte) bool {
	return bytes.HasPrefix(b, []byte{0xFF, 0xFE}) || bytes.HasPrefix(b, []byte{0xFE, 0xFF})
}

// decodeText turns the bytes of a CSV file into UTF-8 without a byte order mark and with LF or CRLF line ends. The
// problem, if any, has its line.
func decodeText(data []byte) (text []byte, line int, why string) {
	if !utf16BOM(data) {
		if line, why = badBytes(data); why != "" {
			return nil, line, why
		}
	}
	text, _, err := transform.Bytes(unicode.BOMOverride(transform.Nop), data)
	if err != nil {
		return nil, 0, fmt.Sprintf("the text cannot be decoded: %v", err)
	}
	if utf16BOM(data) {
		if i := bytes.Index(text, []byte("\uFFFD")); i >= 0 || len(data)%2 == 1 {
			return nil, 1 + bytes.Count(text[:max(i, 0)], []byte("\n")), "the text is no sound UTF-16"
		}
		if line, why = badBytes(text); why != "" {
			return nil, line, why
		}
	}
	if bytes.IndexByte(text, '\r') >= 0 {
		if bytes.IndexByte(text, '\n') < 0 { // line ends of old Macs
			return bytes.ReplaceAll(text, []byte("\r"), []byte("\n")), 0, ""
		}
		text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
		if i := bytes.IndexByte(text, '\r'); i >= 0 {
			return nil, 1 + bytes.Count(text[:i], []byte("\n")), "found a carriage return without a line feed, accepted are line ends of one kind (LF, CRLF or CR)"
		}
	}
	return text, 0, ""
}

const nulReason = "found a NUL byte: this is no CSV text, or UTF-16 without a byte order mark"

// badBytes finds the first byte that no UTF-8 text holds.
func badBytes(b []byte) (line int, why string) {
	if i := bytes.IndexByte(b, 0); i >= 0 {
		return 1 + bytes.Count(b[:i], []byte("\n")), nulReason
	}
	if utf8.Valid(b) {
		return 0, ""
	}
	for i := 0; i < len(b); {
		r, n := utf8.DecodeRune(b[i:])
		if r == utf8.RuneError && n <= 1 {
			return 1 + bytes.Count(b[:i], []byte("\n")), fmt.Sprintf("found the byte 0x%02X, which is no UTF-8 (the file is in another encoding, such as Windows-1252 or GB 18030), accepted is UTF-8, or UTF-16 with a byte order mark", b[i])
		}
		i += n
	}
	return 0, ""
}

// delimiters in the order in which they are preferred where a header line tells nothing.
const delimiters = "\t;,"

// countOutside counts the delimiters of a line that stand outside quotes.
func countOutside(line string) (n [len(delimiters)]int) {
	quoted := false
	for i := 0; i < len(line); i++ {
		if line[i] == '"' {
			quoted = !quoted
			continue
		}
		if quoted {
			continue
		}
		if k := strings.IndexByte(delimiters, line[i]); k >= 0 {
			n[k]++
		}
	}
	return n
}

// headerLines are the first line that has a delimiter as often as the line below it, and that line: titles above it have
// none, or not as often. Where there is no such line, they are the first two lines that are not blank.
func headerLines(text []byte) (header, next string) {
	var lines []string
	for rest := text; len(rest) > 0 && len(lines) < 2+mostTitles; {
		line, more, _ := bytes.Cut(rest, []byte("\n"))
		rest = more
		if s := string(line); clean(s) != "" {
			lines = append(lines, s)
		}
	}
	for i := 0; i+1 < len(lines); i++ {
		a, b := countOutside(lines[i]), countOutside(lines[i+1])
		bars := strings.Count(lines[i], "|")
		for k := range delimiters {
			if a[k] > 0 && a[k] == b[k] || bars > 0 && bars == strings.Count(lines[i+1], "|") {
				return lines[i], lines[i+1]
			}
		}
	}
	return firstLines(text)
}

// findDelimiter finds the delimiter from the header line: the one that stands there most often outside quotes; where
// two stand equally often, the one that stands as often in the next line.
func findDelimiter(header, next string) byte {
	h, n := countOutside(header), countOutside(next)
	best := -1
	for k := range delimiters {
		switch {
		case h[k] == 0:
		case best < 0, h[k] > h[best], h[k] == h[best] && n[k] == h[k] && n[best] != h[best]:
			best = k
		}
	}
	if best < 0 {
		return ','
	}
	return delimiters[best]
}
