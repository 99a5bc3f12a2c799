package listing

import (
	"bytes"
	"fmt"
	"path"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/net/html/charset"
	"golang.org/x/text/encoding/charmap"

	"weighhouse/measure/sheet"
)

// otherFormat names the format of a file that is no text, by its first bytes; "" where none is known.
func otherFormat(raw []byte) string {
	head := raw[:min(len(raw), 4096)]
	for _, f := range []struct{ magic, name string }{
		{"PK\x03\x04", "a zip archive or office document"}, {"{\\rtf", "an RTF document"},
		{"\x89PNG", "a PNG picture"}, {"\xff\xd8\xff", "a JPEG picture"}, {"GIF8", "a GIF picture"},
		{"\x1f\x8b", "a gzip archive"}, {"\xd0\xcf\x11\xe0", "an office document"},
	} {
		if bytes.HasPrefix(head, []byte(f.magic)) {
			return f.name
		}
	}
	low := bytes.ToLower(head)
	if bytes.Contains(low, []byte("mime-version:")) && bytes.Contains(low, []byte("content-type:")) {
		return "a web archive or mail (MIME) file"
	}
	return ""
}

// decode turns the bytes into UTF-8 without a byte-order mark, and says whether they are HTML, and whether they were in Windows-1252.
func decode(name string, raw []byte) (src string, isHTML, isOld bool, err error) {
	problem := func(at sheet.Place, hint, format string, args ...any) error {
		return sheet.Problem{Place: at, Text: fmt.Sprintf(format, args...), Hint: hint}
	}
	whole := sheet.Place{Book: name}
	const hint = "save the file as UTF-8 and try again"
	switch {
	case bytes.HasPrefix(raw, []byte("\xef\xbb\xbf")):
		raw = raw[3:]
	case bytes.HasPrefix(raw, []byte("\xff\xfe")), bytes.HasPrefix(raw, []byte("\xfe\xff")):
		if raw, err = fromUTF16(raw); err != nil {
			return "", false, false, problem(whole, hint, "%v", err)
		}
	}
	isHTML = looksHTML(name, raw)
	if isHTML && !utf8.Valid(raw) {
		declared := bytes.Contains(bytes.ToLower(raw[:min(len(raw), 1024)]), []byte("charset"))
		if e, label, _ := charset.DetermineEncoding(raw, ""); declared && label != "utf-8" {
			out, err := e.NewDecoder().Bytes(raw)
			if err != nil {
				return "", false, false, problem(whole, hint, "the page says that its character set is %q, but it cannot be read as that: %v", label, err)
			}
			raw = out
		}
	}
	if !declaredUTF8(raw) && isWindows1252(raw) {
		if out, err := charmap.Windows1252.NewDecoder().Bytes(raw); err == nil {
			raw, isOld = out, true
		}
	}
	if i := bytes.IndexByte(raw, 0); i >= 0 {
		l, c := lineCol(raw, i)
		return "", false, false, problem(sheet.Place{Book: name, Row: l, Col: c}, "a UTF-16 file needs its byte-order mark; otherwise save it as UTF-8",
			"found a zero byte, so this is not text in UTF-8")
	}
	if i := invalidAt(raw); i >= 0 {
		l, c := lineCol(raw, i)
		return "", false, false, problem(sheet.Place{Book: name, Row: l, Col: c}, hint, "the byte 0x%02X is not valid UTF-8 here", raw[i])
	}
	if n := controls(raw); n*10 > len(raw) {
		return "", false, false, problem(whole, hint, "%d of %d bytes are control characters, so this is not text", n, len(raw))
	}
	return string(raw), isHTML, isOld, nil
}

// declaredUTF8 reports whether a page says that it is in UTF-8.
func declaredUTF8(raw []byte) bool {
	head := bytes.ToLower(raw[:min(len(raw), 1024)])
	return bytes.Contains(head, []byte("charset")) && bytes.Contains(head, []byte("utf-8"))
}

// isWindows1252 reports whether text that is no UTF-8 may be in the older code of Western Europe: few of its bytes are above ASCII,
// none is one that the code leaves open, and none begins a character of UTF-8.
func isWindows1252(raw []byte) bool {
	if utf8.Valid(raw) || bytes.IndexByte(raw, 0) >= 0 {
		return false
	}
	high := 0
	for i, b := range raw {
		switch {
		case b < 0x80:
			continue
		case b == 0x81 || b == 0x8d || b == 0x8f || b == 0x90 || b == 0x9d:
			return false
		}
		high++
		if r, n := utf8.DecodeRune(raw[i:]); r != utf8.RuneError && n > 1 {
			return false // a text in UTF-8 with a slip in it
		}
	}
	return high*5 < len(raw)
}

func fromUTF16(raw []byte) ([]byte, error) {
	if len(raw)%2 != 0 {
		return nil, fmt.Errorf("a UTF-16 file of an odd number of bytes (%d) is cut", len(raw))
	}
	big := raw[0] == 0xfe
	unit := func(i int) rune {
		if big {
			return rune(raw[i])<<8 | rune(raw[i+1])
		}
		return rune(raw[i+1])<<8 | rune(raw[i])
	}
	out := make([]byte, 0, len(raw))
	for i := 2; i < len(raw); i += 2 {
		u := unit(i)
		if utf16.IsSurrogate(u) {
			if i+3 >= len(raw) || utf16.DecodeRune(u, unit(i+2)) == utf8.RuneError {
				return nil, fmt.Errorf("byte %d: half a UTF-16 surrogate pair", i)
			}
			u = utf16.DecodeRune(u, unit(i+2))
			i += 2
		}
		out = utf8.AppendRune(out, u)
	}
	return out, nil
}

// looksHTML tells HTML from text: by its opening, by the ending of its name, or by a tag that only a page has.
func looksHTML(name string, raw []byte) bool {
	head := strings.ToLower(string(raw[:min(len(raw), 8192)]))
	head = strings.TrimLeft(head, " \t\r\n\ufeff")
	for _, p := range []string{"<!doctype", "<html", "<?xml", "<!--", "<head", "<body"} {
		if strings.HasPrefix(head, p) {
			return true
		}
	}
	switch strings.ToLower(path.Ext(name)) {
	case ".htm", ".html", ".xhtml":
		return true
	case ".txt", ".md", ".text":
		return false
	}
	for _, tag := range []string{"<html", "<body", "<div", "</p>", "</ul>", "</li>", "</table>", "</span>", "</h1>"} {
		if strings.Contains(head, tag) {
			return true
		}
	}
	return false
}

// invalidAt is the offset of the first byte that is no valid UTF-8, -1 where there is none.
func invalidAt(raw []byte) int {
	if utf8.Valid(raw) {
		return -1
	}
	for i := 0; i < len(raw); {
		r, n := utf8.DecodeRune(raw[i:])
		if r == utf8.RuneError && n <= 1 {
			return i
		}
		i += n
	}
	return -1
}

func controls(raw []byte) int {
	n := 0
	for _, b := range raw {
		if b < 0x20 && b != '\n' && b != '\r' && b != '\t' && b != '\f' || b == 0x7f {
			n++
		}
	}
	return n
}

func lineCol(raw []byte, off int) (line, col int) {
	line = 1 + bytes.Count(raw[:off], []byte{'\n'})
	return line, 1 + utf8.RuneCount(raw[bytes.LastIndexByte(raw[:off], '\n')+1:off])
}
