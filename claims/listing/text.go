// Package listing reads what a seller prints about a room air cleaner, as plain text or as a saved web page, and finds
// the claims in it: each with the exact words, their place in the source and what was understood. It judges nothing.
package listing

import (
	"bytes"
	"fmt"
	"io"
	"path"
	"sort"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/net/html/charset"

	"weighhouse/measure/sheet"
)

// The limits on a stranger's file.
const (
	MaxBytes = 64 << 20 // of a source file: a saved page with its pictures inside can be large
	MaxText  = 1 << 20  // of visible text: a listing is a few thousand words
)

// Text is the visible text of a listing.
type Text struct {
	Name   string // as errors and places name it
	HTML   bool
	Body   string // UTF-8, LF line ends; a table row is a line "label: value"
	Lang   string // the language that it is read in: en, de, fr, es, it, zh, ja
	Unread int    // characters that a page hides by its own style or attributes and that were not read: folds, other variants
	marks  []mark // where each stretch of Body stands in the source, by offset
	// struck are the stretches of Body that the page shows struck through, such as a former price.
	struck [][2]int

	unread string  // the language that it seems to be in, where that is one that is not read
	Asides []Aside // what speaks of something else than the unit on offer, in order
	offer  string  // Body with the asides blanked
	parts  []Aside // asides that the page itself sets apart
	heads  []head
	refs   []ref
	notes  []note
}

// head is a heading of a page, Body[start:end], and the end of the part of the page that it heads.
type head struct{ start, end, until int }

// mark says that Body from off on was copied from line:col of the source. A flat mark covers text that has no
// one-to-one place, such as a decoded attribute: all of it stands at line:col.
type mark struct {
	off, line, col int
	flat           bool
}

// At is the place in the source, line and column counted from 1 in characters, of the byte Body[off].
func (t *Text) At(off int) (line, col int) {
	if off < 0 || off > len(t.Body) || len(t.marks) == 0 {
		return 1, 1
	}
	i := sort.Search(len(t.marks), func(i int) bool { return t.marks[i].off > off }) - 1
	if i < 0 {
		return 1, 1
	}
	m := t.marks[i]
	line, col = m.line, m.col
	if m.flat {
		return line, col
	}
	for _, r := range t.Body[m.off:off] {
		if r == '\n' {
			line, col = line+1, 1
		} else {
			col++
		}
	}
	return line, col
}

// Place is the place of Body[off] as errors and claims carry it.
func (t *Text) Place(off int) sheet.Place {
	l, c := t.At(off)
	return sheet.Place{Book: t.Name, Row: l, Col: c}
}

// isStruck reports whether the page shows Body[start:end] struck through.
func (t *Text) isStruck(start, end int) bool {
	for _, s := range t.struck {
		if start < s[1] && s[0] < end {
			return true
		}
	}
	return false
}

// Read reads a listing from r: plain text or HTML, told apart by content and by the ending of name; UTF-8, UTF-16 with
// a byte-order mark, or for HTML the character set that the page declares. What a browser would not show is left out.
// A file that is empty, too large, not text, or not in the encoding it claims is an error that names the place.
func Read(name string, r io.Reader) (*Text, error) {
	fail := func(row, col int, hint, format string, args ...any) (*Text, error) {
		return nil, sheet.Problem{Place: sheet.Place{Book: name, Row: row, Col: col}, Text: fmt.Sprintf(format, args...), Hint: hint}
	}
	raw, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(raw) > MaxBytes {
		return fail(0, 0, "save the listing's text alone, without pictures", "the file is larger than %d MiB, the most that a listing may have", MaxBytes>>20)
	}
	if what := otherFormat(raw); what != "" {
		return fail(0, 0, "save the page as HTML, or copy its text into a .txt file", "found %s, want plain text or a saved HTML page", what)
	}
	src, isHTML, err := decode(name, raw)
	if err != nil {
		return nil, err
	}
	t := &Text{Name: name, HTML: isHTML}
	if t.HTML {
		err = t.readHTML(src)
	} else {
		err = t.readPlain(src)
	}
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(t.Body) == "" {
		return fail(0, 0, "check that the file was saved whole", "the file holds no visible text (%d bytes)", len(raw))
	}
	t.Lang, t.unread = language(t.Body)
	t.offer = t.Body
	t.findNotes()
	t.apartFromOffer()
	return t, nil
}

// otherFormat names the format of a file that is no text, by its first bytes; "" where none is known.
func otherFormat(raw []byte) string {
	head := raw[:min(len(raw), 4096)]
	for _, f := range []struct{ magic, name string }{
		{"%PDF", "a PDF file"}, {"PK\x03\x04", "a zip archive or office document"}, {"{\\rtf", "an RTF document"},
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

// decode turns the bytes into UTF-8 without a byte-order mark, and says whether they are HTML.
func decode(name string, raw []byte) (src string, isHTML bool, err error) {
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
			return "", false, problem(whole, hint, "%v", err)
		}
	}
	isHTML = looksHTML(name, raw)
	if isHTML && !utf8.Valid(raw) {
		declared := bytes.Contains(bytes.ToLower(raw[:min(len(raw), 1024)]), []byte("charset"))
		if e, label, _ := charset.DetermineEncoding(raw, ""); declared && label != "utf-8" {
			out, err := e.NewDecoder().Bytes(raw)
			if err != nil {
				return "", false, problem(whole, hint, "the page says that its character set is %q, but it cannot be read as that: %v", label, err)
			}
			raw = out
		}
	}
	if i := bytes.IndexByte(raw, 0); i >= 0 {
		l, c := lineCol(raw, i)
		return "", false, problem(sheet.Place{Book: name, Row: l, Col: c}, "a UTF-16 file needs its byte-order mark; otherwise save it as UTF-8",
			"found a zero byte, so this is not text in UTF-8")
	}
	if i := invalidAt(raw); i >= 0 {
		l, c := lineCol(raw, i)
		return "", false, problem(sheet.Place{Book: name, Row: l, Col: c}, hint, "the byte 0x%02X is not valid UTF-8 here", raw[i])
	}
	if n := controls(raw); n*10 > len(raw) {
		return "", false, problem(whole, hint, "%d of %d bytes are control characters, so this is not text", n, len(raw))
	}
	return string(raw), isHTML, nil
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

// readPlain keeps the text as it is, CRLF and lone CR made LF. A table drawn with bars or tabs is written as a page's
// table is: a line for each value, with what stands before and above it.
func (t *Text) readPlain(src string) error {
	if len(src) > MaxText {
		return t.tooLong()
	}
	src = strings.ReplaceAll(strings.ReplaceAll(src, "\r\n", "\n"), "\r", "\n")
	lines := strings.Split(src, "\n")
	p := &pageReader{t: t, fresh: true}
	for i := 0; i < len(lines) && !p.full; {
		if n := tableLines(lines[i:]); n > 0 {
			p.plainTable(lines[i:i+n], i+1)
			i += n
			continue
		}
		t.copyLine(&p.body, lines[i], i+1)
		if i++; i < len(lines) {
			p.body.WriteByte('\n')
		}
		p.fresh = true
	}
	if p.full {
		return t.tooLong()
	}
	t.Body = p.body.String()
	return nil
}

// copyLine writes a line with a mark at its start and, so that a place is found quickly, within a long one.
func (t *Text) copyLine(b *strings.Builder, s string, line int) {
	start, col, last := b.Len(), 1, 0
	t.marks = append(t.marks, mark{off: start, line: line, col: 1})
	for i := range s {
		if i-last >= 1024 {
			t.marks = append(t.marks, mark{off: start + i, line: line, col: col})
			last = i
		}
		col++
	}
	b.WriteString(s)
}

func (t *Text) tooLong() error {
	return sheet.Problem{Place: sheet.Place{Book: t.Name}, Hint: "save the part of the page that is about one product",
		Text: fmt.Sprintf("more than %d KiB of visible text, the most that a listing may have", MaxText>>10)}
}
