package sheet

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// xmlScanner reads a part of a workbook token by token and checks that it is well formed to its end: every element
// closed by its own name, one root, sound attributes and references, no document type. Sheets that other readers cut
// short in silence are errors here. It keeps one token in memory.
type xmlScanner struct {
	what  string // for errors: "the sheet", or a part by its name
	r     io.Reader
	buf   []byte
	pos   int // of the next byte
	end   int // of what is read
	eof   bool
	rerr  error
	done  int64    // bytes before buf
	stack []string // names of the open elements
	names map[string]string
	short [256]string // names of one letter
	root  bool        // the root was seen
	seen  [][]byte    // names of the attributes of one tag

	// The current token.
	tok   tokenKind
	name  []byte // of a start or end tag, without its prefix
	attrs []byte // of a start tag, not parsed yet
	text  []byte // of a text, not decoded: valid until the next token
	raw   bool   // the text is a CDATA section
	selfE bool   // a start tag that closes itself: an end token follows
}

type tokenKind byte

const (
	tokStart tokenKind = iota
	tokEnd
	tokText
	tokEOF
)

// A part is read by xmlFirst bytes at first, since most are small, and by up to xmlBuffer then.
const (
	xmlFirst  = 8 << 10
	xmlBuffer = 256 << 10
)

func newXMLScanner(r io.Reader) *xmlScanner {
	return &xmlScanner{what: "the sheet", r: r, buf: make([]byte, xmlFirst), names: map[string]string{}}
}

// fault words a breach of well-formedness.
func (x *xmlScanner) fault(format string, args ...any) error {
	if x.rerr != nil {
		return fmt.Errorf("%s is damaged: %v", x.what, zipReason(x.rerr))
	}
	return fmt.Errorf("%s is damaged: %s (byte %d of the part)", x.what, fmt.Sprintf(format, args...), x.done+int64(x.pos))
}

// zipReason words what the zip reader finds at the end of a part.
func zipReason(err error) error {
	switch {
	case errors.Is(err, zip.ErrChecksum):
		return errors.New("its checksum is not that of what it holds")
	case errors.Is(err, zip.ErrFormat):
		return errors.New("it is not as long as the workbook says")
	}
	return err
}

// fill reads on, keeping what stands from pos; the buffer grows up to the limit for one text. False at the end.
func (x *xmlScanner) fill() bool {
	if x.eof {
		return false
	}
	if x.pos > 0 {
		to := x.buf
		if len(to) < xmlBuffer {
			to = make([]byte, 4*len(to))
		}
		copy(to, x.buf[x.pos:x.end])
		x.buf = to
		x.done += int64(x.pos)
		x.end -= x.pos
		x.pos = 0
	}
	if x.end == len(x.buf) {
		if x.end > MaxRowBytes {
			x.eof, x.rerr = true, fmt.Errorf("%s", tooLarge("bytes of one text", int64(x.end), MaxRowBytes))
			return false
		}
		x.buf = append(x.buf, make([]byte, len(x.buf))...)
	}
	for {
		n, err := x.r.Read(x.buf[x.end:])
		x.end += n
		if err != nil {
			x.eof = true
			if err != io.EOF {
				x.rerr = err
			}
		}
		if n > 0 {
			return true
		}
		if x.eof {
			return false
		}
	}
}

// index finds b from pos+from on, reading on as needed; -1 at the end of the part.
func (x *xmlScanner) index(b byte, from int) int {
	for {
		if i := bytes.IndexByte(x.buf[x.pos+from:x.end], b); i >= 0 {
			return from + i
		}
		from = x.end - x.pos
		if !x.fill() {
			return -1
		}
	}
}

// next moves to the next start tag, end tag, or text; at the end of a sound part to tokEOF.
func (x *xmlScanner) next() error {
	if x.selfE { // the end that belongs to a tag that closed itself
		x.selfE = false
		x.tok = tokEnd
		x.stack = x.stack[:len(x.stack)-1]
		return nil
	}
	for {
		if x.pos == x.end && !x.fill() {
			if x.rerr != nil || !x.root || len(x.stack) > 0 {
				if n := len(x.stack); n > 0 {
					return x.fault("it ends inside <%s>", x.stack[n-1])
				}
				return x.fault("it is empty")
			}
			x.tok = tokEOF
			return nil
		}
		if x.buf[x.pos] != '<' {
			text, skip, err := x.readText()
			if err != nil {
				return err
			}
			if skip {
				continue
			}
			x.tok, x.text, x.raw = tokText, text, false
			return nil
		}
		if x.end-x.pos < 2 && !x.fill() {
			return x.fault("it ends inside a tag")
		}
		switch x.buf[x.pos+1] {
		case '/':
			return x.endTag()
		case '?':
			if err := x.skipPast("?>", 3, "a processing instruction"); err != nil {
				return err
			}
		case '!':
			done, err := x.bang()
			if err != nil || done {
				return err
			}
		default:
			return x.startTag()
		}
	}
}

// readText takes the text up to the next tag. Outside the root only space may stand, which is skipped.
func (x *xmlScanner) readText() (text []byte, skip bool, err error) {
	n := x.index('<', 0)
	if n < 0 {
		n = x.end - x.pos
	}
	text = x.buf[x.pos : x.pos+n]
	if len(x.stack) == 0 {
		if !x.root && x.done == 0 && x.pos == 0 {
			text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
		}
		if len(bytes.TrimSpace(text)) > 0 {
			return nil, false, x.fault("text stands outside its root element")
		}
		x.pos += n
		return nil, true, nil
	}
	if err := x.check(text); err != nil {
		return nil, false, err
	}
	if bytes.Contains(text, []byte("]]>")) {
		return nil, false, x.fault("]]> stands in a text")
	}
	x.pos += n
	return text, false, nil
}

// check refuses bytes that no XML text holds.
func (x *xmlScanner) check(b []byte) error {
	high := false
	for _, c := range b {
		if c < 0x20 && c != '\t' && c != '\n' && c != '\r' {
			return x.fault("it holds the control character 0x%02X", c)
		}
		if c >= 0x80 {
			high = true
		}
	}
	if high && !utf8.Valid(b) {
		return x.fault("it holds bytes that are no UTF-8")
	}
	return nil
}

// skipPast moves past the end mark, whose last byte stands at least at index least of the token.
func (x *xmlScanner) skipPast(end string, least int, what string) error {
	from := 2
	for {
		i := x.index(end[len(end)-1], from)
		if i < 0 {
			return x.fault("it ends inside %s", what)
		}
		b := x.buf[x.pos : x.pos+i+1]
		if i >= least && bytes.HasSuffix(b, []byte(end)) {
			if what == "a processing instruction" && bytes.HasPrefix(b, []byte("<?xml ")) {
				if e := bytes.ToLower(b); bytes.Contains(e, []byte("encoding")) && !bytes.Contains(e, []byte("utf-8")) {
					return x.fault("its encoding is not UTF-8")
				}
			}
			x.text = b
			x.pos += i + 1
			return nil
		}
		from = i + 1
	}
}

// bang reads a comment, which is skipped, or a CDATA section, which is a text; a document type is refused.
func (x *xmlScanner) bang() (token bool, err error) {
	for x.end-x.pos < 9 && x.fill() {
	}
	b := x.buf[x.pos:x.end]
	switch {
	case bytes.HasPrefix(b, []byte("<!--")):
		return false, x.skipPast("-->", 6, "a comment")
	case bytes.HasPrefix(b, []byte("<![CDATA[")):
		if len(x.stack) == 0 {
			return false, x.fault("text stands outside its root element")
		}
		if err := x.skipPast("]]>", 11, "a CDATA section"); err != nil {
			return false, err
		}
		x.tok, x.text, x.raw = tokText, x.text[9:len(x.text)-3], true
		return true, x.check(x.text)
	}
	return false, x.fault("it holds a document type or another declaration, which no workbook needs")
}
