// Package quote sets a claim's number against its words, and its words against the capture that they were taken from.
package quote

import (
	"bytes"
	"io"
	"path"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/net/html"
	"golang.org/x/net/html/charset"

	"weighhouse/claims"
)

// maxCode is the most bytes of a page whose code is searched too.
const maxCode = 4 << 20

// source is the whole source of a page as it is compared, nil where it is not searched.
func (c *capture) source() *folded {
	if c.code == nil && c.html && len(c.src) <= maxCode {
		whole := pieces{}
		whole.entities(c.src, 0, false)
		f := whole.fold(false)
		c.code = &f
	}
	return c.code
}

// MaxCapture is the most bytes of a capture that is searched; a larger one is kept by its hash and not searched.
const MaxCapture = 16 << 20

// capture is a capture that can be searched: its text as it is compared, with the way back to the file.
type capture struct {
	path    string
	src     string // the file's text in UTF-8
	visible []folded
	html    bool
	code    *folded // the whole source of a page, entities decoded; nil until it is asked for
	lines   []string
	starts  []int // of each of lines, in src
}

// open reads a capture that is plain text or HTML. The text is why it cannot be searched, "" where it can.
func open(name string, raw []byte) (*capture, string) {
	if why := otherBytes(name, raw); why != "" {
		return nil, why
	}
	src := decoded(name, raw)
	if strings.ContainsRune(src, 0) {
		return nil, "the capture is no text or HTML"
	}
	c := &capture{path: name, src: src}
	if !isHTML(name, src) {
		all := pieces{}
		all.add(src, 0, false)
		c.visible = all.variants()
		c.passages(all)
		return c, ""
	}
	shown := page(src)
	c.visible = shown.variants()
	c.passages(shown)
	c.html = true
	return c, ""
}

// OtherKind says what a file is that is no text or HTML by the ending of its name, "" where it may be one.
func OtherKind(name string) string {
	switch ext := strings.ToLower(path.Ext(name)); ext {
	case ".png", ".jpg", ".jpeg", ".gif", ".webp", ".heic", ".heif", ".tif", ".tiff", ".bmp", ".avif":
		return "the capture is a picture"
	case ".pdf":
		return "the capture is a PDF"
	case ".mht", ".mhtml", ".warc", ".gz", ".zip", ".docx", ".xlsx", ".odt", ".mp4", ".mov":
		return "the capture is a " + ext + " file"
	}
	return ""
}

func otherBytes(name string, raw []byte) string {
	if why := OtherKind(name); why != "" {
		return why
	}
	for _, m := range []struct{ magic, what string }{{"%PDF", "a PDF"}, {"\x89PNG", "a picture"}, {"\xff\xd8\xff", "a picture"}, {"GIF8", "a picture"}, {"PK\x03\x04", "an archive"}, {"\x1f\x8b", "an archive"}} {
		if bytes.HasPrefix(raw, []byte(m.magic)) {
			return "the capture is " + m.what
		}
	}
	if len(bytes.TrimSpace(raw)) == 0 {
		return "the capture is empty"
	}
	return ""
}

// decoded is the file's text in UTF-8: by its byte-order mark, as UTF-8 where it is that, else by the character set that a
// page declares, else as Windows-1252.
func decoded(name string, raw []byte) string {
	switch {
	case bytes.HasPrefix(raw, []byte("\xef\xbb\xbf")):
		raw = raw[3:]
	case bytes.HasPrefix(raw, []byte("\xff\xfe")), bytes.HasPrefix(raw, []byte("\xfe\xff")):
		big := raw[0] == 0xfe
		var u []uint16
		for i := 2; i+1 < len(raw); i += 2 {
			if big {
				u = append(u, uint16(raw[i])<<8|uint16(raw[i+1]))
			} else {
				u = append(u, uint16(raw[i+1])<<8|uint16(raw[i]))
			}
		}
		return string(utf16.Decode(u))
	}
	if utf8.Valid(raw) {
		return string(raw)
	}
	e, _, _ := charset.DetermineEncoding(raw, "")
	if out, err := e.NewDecoder().Bytes(raw); err == nil {
		return string(out)
	}
	return strings.ToValidUTF8(string(raw), "\ufffd")
}

func isHTML(name, src string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".htm", ".html", ".xhtml":
		return true
	case ".txt", ".md", ".text", ".csv", ".json":
		return false
	}
	head := strings.ToLower(src[:min(len(src), 8192)])
	for _, t := range []string{"<!doctype", "<html", "<body", "<div", "</p>", "</li>", "</td>"} {
		if strings.Contains(head, t) {
			return true
		}
	}
	return false
}

// page takes the text of a page in the order of its source: what it shows or may show, the words that stand for pictures,
// its title and description; no scripts and no styles.
func page(src string) pieces {
	var out pieces
	z := html.NewTokenizer(strings.NewReader(src))
	off, silent, raised := 0, 0, false
	for {
		kind := z.Next()
		if kind == html.ErrorToken && z.Err() != nil {
			if z.Err() == io.EOF {
				return out
			}
			return out
		}
		raw := string(z.Raw())
		at := off
		off += len(raw)
		switch kind {
		case html.TextToken:
			if silent == 0 {
				out.entities(raw, at, raised)
			}
		case html.StartTagToken, html.SelfClosingTagToken, html.EndTagToken:
			name, more := z.TagName()
			tag := string(name)
			switch {
			case (tag == "script" || tag == "style") && kind == html.StartTagToken:
				silent++
			case (tag == "script" || tag == "style") && kind == html.EndTagToken:
				silent = max(0, silent-1)
			case tag == "sup":
				raised = kind == html.StartTagToken
			}
			if !inline[tag] {
				out.gap(at)
			}
			for more {
				var k, v []byte
				k, v, more = z.TagAttr()
				switch string(k) {
				case "alt", "title", "aria-label", "content", "placeholder":
					out.flat(string(v), at)
				}
			}
		}
	}
}

// inline are elements within a word or a line; any other parts what stands before it from what stands behind.
var inline = map[string]bool{"a": true, "abbr": true, "b": true, "bdi": true, "bdo": true, "em": true, "font": true, "i": true, "mark": true, "s": true, "small": true,
	"span": true, "strong": true, "sub": true, "sup": true, "u": true, "wbr": true, "q": true, "ins": true, "del": true}

// spot gives the place of a byte of the file's text.
func (c *capture) spot(off int) claims.Spot {
	off = min(max(off, 0), len(c.src))
	before := c.src[:off]
	return claims.Spot{Path: c.path, Line: 1 + strings.Count(before, "\n"), Column: 1 + utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:]), Offset: off}
}

// passages cuts the visible text into lines and sentences, which a changed wording is looked for in.
func (c *capture) passages(p pieces) {
	var b strings.Builder
	start := -1
	end := func() {
		if s := strings.Join(strings.Fields(b.String()), " "); s != "" {
			c.lines, c.starts = append(c.lines, s), append(c.starts, start)
		}
		b.Reset()
		start = -1
	}
	var last rune
	for i, x := range p {
		if x.r == gapRune || x.r == '\n' && (last == '\n' || i > 0 && last == '.') || (last == '.' || last == '!' || last == '?') && unicode.IsSpace(x.r) {
			end()
		}
		if start < 0 && !unicode.IsSpace(x.r) && x.r != gapRune {
			start = x.off
		}
		if x.r != gapRune {
			b.WriteRune(x.r)
		}
		last = x.r
	}
	end()
}
