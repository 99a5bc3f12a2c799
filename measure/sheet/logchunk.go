package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// chunkSize is how much of a log is read at a time.
const chunkSize = 256 << 10

// chunks reads a log ahead of its parser, in a goroutine of its own: it hashes (by the reader under it), decodes, checks
// the text and hands on whole lines. A chunk ends with a line feed, but for the last one.
type chunks struct {
	size int // of the buffers
	ch   chan chunk
	free chan []byte
	quit chan struct{}
	done chan struct{}
}

type chunk struct {
	data []byte
	err  error // after data; io.EOF at the end
	line int   // of the error, counted from the first line of this chunk; 0 for none
	foul bool  // some line of data is no sound UTF-8, or holds a NUL byte
}

// readChunks begins to read a log of about size bytes.
func readChunks(r io.Reader, size int64) *chunks {
	c := &chunks{size: int(min(chunkSize, size+512)), ch: make(chan chunk, 2), free: make(chan []byte, 4), quit: make(chan struct{}), done: make(chan struct{})}
	go c.fill(r)
	return c
}

// next gives the next chunk; the one before may be used again then.
func (c *chunks) next(done []byte) chunk {
	if done != nil {
		select {
		case c.free <- done:
		default:
		}
	}
	return <-c.ch
}

// close ends the reading goroutine and waits for it, so that the file under it can be closed.
func (c *chunks) close() {
	close(c.quit)
	<-c.done
}

func (c *chunks) send(k chunk) bool {
	select {
	case c.ch <- k:
		return true
	case <-c.quit:
		return false
	}
}

func (c *chunks) buffer(n int) []byte {
	select {
	case b := <-c.free:
		if cap(b) >= n {
			return b[:0]
		}
	default:
	}
	return make([]byte, 0, n)
}

func (c *chunks) fill(r io.Reader) {
	defer close(c.done)
	var carry []byte
	head := make([]byte, 3)
	n, err := readFull(r, head)
	head = head[:n]
	wide := utf16BOM(head)
	switch {
	case err != nil && err != io.EOF:
		c.send(chunk{err: err})
		return
	case wide:
		r = transform.NewReader(io.MultiReader(bytes.NewReader(head), r), unicode.BOMOverride(transform.Nop))
	case bytes.Equal(head, []byte("\xef\xbb\xbf")):
	default:
		carry = head
	}
	for first, cr := true, false; ; first = false {
		buf := append(c.buffer(max(c.size, 2*len(carry))), carry...)
		fresh := len(buf)
		n, err := readFull(r, buf[fresh:cap(buf)])
		buf = buf[:fresh+n]
		if first {
			fresh = 0
			cr = bytes.IndexByte(buf, '\n') < 0 && bytes.IndexByte(buf, '\r') >= 0 // line ends of old Macs
		}
		for i := fresh; cr && i < len(buf); i++ {
			if buf[i] == '\r' {
				buf[i] = '\n'
			}
		}
		data := buf
		if err == nil {
			i := bytes.LastIndexByte(buf, '\n')
			if i < 0 && len(buf) > MaxRowBytes {
				c.send(chunk{err: errors.New(tooLarge("bytes of one line", int64(len(buf)), MaxRowBytes)), line: 1})
				return
			}
			data = buf[:i+1]
			carry = append(carry[:0], buf[i+1:]...)
		} else {
			carry = nil
		}
		k := chunk{data: data, err: err}
		if line, why := badBytes(data); why != "" && !wide {
			k.foul = true
		} else if why != "" {
			k = chunk{data: cutLines(data, line), err: errors.New(why), line: line}
		} else if wide && bytes.Contains(data, []byte("\uFFFD")) {
			line := 1 + bytes.Count(data[:bytes.Index(data, []byte("\uFFFD"))], []byte("\n"))
			k = chunk{data: cutLines(data, line), err: fmt.Errorf("the text is no sound UTF-16"), line: line}
		}
		if len(k.data) == 0 && k.err == nil {
			continue
		}
		if !c.send(k) || k.err != nil {
			return
		}
	}
}

// readFull fills b as far as the reader gives; io.EOF at the end, also with bytes.
func readFull(r io.Reader, b []byte) (int, error) {
	n := 0
	for n < len(b) {
		k, err := r.Read(b[n:])
		n += k
		if err != nil {
			return n, err
		}
	}
	return n, nil
}

// cutLines gives the lines before line, counted from 1.
func cutLines(data []byte, line int) []byte {
	end := 0
	for ; line > 1; line-- {
		i := bytes.IndexByte(data[end:], '\n')
		if i < 0 {
			break
		}
		end += i + 1
	}
	return data[:end]
}

// reader gives the rest of a log, from rest on, as one stream. The error that ended it is in failed.
type chunkReader struct {
	c      *chunks
	rest   []byte
	last   []byte
	end    error
	lines  int // line feeds handed on
	failed *chunk
	foul   *bool
}

func (r *chunkReader) Read(b []byte) (int, error) {
	for len(r.rest) == 0 {
		if r.end != nil {
			return 0, io.EOF
		}
		k := r.c.next(r.last)
		r.rest, r.last, r.end = k.data, k.data, k.err
		*r.foul = *r.foul || k.foul
		if k.err != nil && k.err != io.EOF {
			k.line += r.lines
			r.failed = &k
		}
	}
	n := copy(b, r.rest)
	r.lines += bytes.Count(r.rest[:n], []byte("\n"))
	r.rest = r.rest[n:]
	return n, nil
}
