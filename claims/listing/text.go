// Package listing reads what a seller prints about a room air cleaner, as plain text or as a saved web page, and finds
// the claims in it: each with the exact words, their place in the source and what was understood. It judges nothing.
package listing

import (
	"bytes"
	"fmt"
	"io"
	"sort"
	"strings"

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
	PDF    bool   // the text of a PDF: places are lines of that text
	Old    bool   // it was in Windows-1252
	Body   string // UTF-8, LF line ends; a table row is a line "label: value"
	Lang   string // the language that it is read in: en, de, fr, es, it, zh, ja
	Unread int    // characters that a page hides by its own style or attributes and that were not read: folds, other variants
	marks  []mark // where each stretch of Body stands in the source, by offset
	// struck are the stretches of Body that the page shows struck through, such as a former price.
	struck [][2]int

	settings []string // the names of fan settings that a table heads as such
	passed   int      // bytes of the asides
	unread   string   // the language that it seems to be in, where that is one that is not read
	Title    string   // the first heading of a page; "" where it has none
	Asides   []Aside  // what speaks of something else than the unit on offer, in order
	offer    string   // Body with the asides blanked
	parts    []Aside  // asides that the page itself sets apart
	heads    []head
	refs     []ref
	notes    []note
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
	t := &Text{Name: name}
	var src string
	if bytes.HasPrefix(raw, []byte("%PDF")) {
		if src, err = textOfPDF(raw); err != nil {
			return fail(0, 0, "open it, select all, copy, and paste into a .txt file; of a scanned manual type the page of data", "found a PDF file that cannot be read as text: %v", err)
		}
		t.PDF = true
	} else if src, t.HTML, t.Old, err = decode(name, raw); err != nil {
		return nil, err
	}
	if t.HTML {
		err = t.readHTML(src)
	} else {
		err = t.readPlain(src)
	}
	if err != nil {
		return nil, err
	}
	if t.shown() == 0 {
		hint := "check that the file was saved whole"
		if t.HTML {
			hint = "a page that a script builds holds no words when saved: select all of it in the browser, copy, paste into a .txt file"
		}
		return fail(0, 0, hint, "the file holds no visible text (%d bytes)", len(raw))
	}
	t.Lang, t.unread = language(t.Body)
	t.offer = t.Body
	t.keysAndValues()
	t.findNotes()
	t.apartFromOffer()
	return t, nil
}

// shown is how many bytes of the body a page shows, white space apart.
func (t *Text) shown() int {
	n := len(strings.Join(strings.Fields(t.Body), ""))
	for _, p := range t.parts {
		if p.Of == ofHidden {
			n -= len(strings.Join(strings.Fields(t.Body[p.start:p.end]), ""))
		}
	}
	return max(n, 0)
}

// maxTitle is how many lines may stand over a leaflet's columns.
const maxTitle = 4

// readPlain keeps the text as it is, CRLF and lone CR made LF. A table drawn with bars or tabs is written as a page's
// table is: a line for each value, with what stands before and above it.
func (t *Text) readPlain(src string) error {
	if len(src) > MaxText {
		return t.tooLong()
	}
	src = narrowed(strings.ReplaceAll(strings.ReplaceAll(src, "\r\n", "\n"), "\r", "\n"))
	lines := strings.Split(src, "\n")
	p := &pageReader{t: t, fresh: true}
	for i := 0; i < len(lines) && !p.full; {
		if n, cuts := columnBlock(lines[i:]); n > 0 && i <= maxTitle {
			p.columns(lines[i:i+n], i+1, cuts)
			i += n
			continue
		}
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
