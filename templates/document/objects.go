package document

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"
	"sync"
)

// objects writes the objects of a PDF file (ISO 32000-1, 7.3.10) and its cross-reference table.
type objects struct {
	buf     []byte
	offsets []int // by number; 0: not written
	packer  *packer
}

// packer is a compressor with its megabyte of tables, which is kept for the next stream and the next document.
type packer struct {
	w   *zlib.Writer
	out bytes.Buffer
}

var packers = sync.Pool{New: func() any {
	w, err := zlib.NewWriterLevel(nil, zlib.BestSpeed) // the best level makes a report one part in ten smaller, in three times the time
	if err != nil {
		panic(err) // the level is one that there is
	}
	return &packer{w: w}
}}

// newObjects begins a file in which the numbers below first are spoken for; size is about how many bytes it will have.
func newObjects(first, size int) *objects {
	o := &objects{offsets: make([]int, first, 2*first), packer: packers.Get().(*packer), buf: make([]byte, 0, size)}
	o.put("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n") // bytes beyond ASCII tell transfer programs that the file is binary
	return o
}

// free gives the compressor back.
func (o *objects) free() { packers.Put(o.packer) }

func (o *objects) reserve() int {
	o.offsets = append(o.offsets, 0)
	return len(o.offsets) - 1
}

func (o *objects) put(ss ...string) {
	for _, s := range ss {
		o.buf = append(o.buf, s...)
	}
}

func (o *objects) int(n int) { o.buf = strconv.AppendInt(o.buf, int64(n), 10) }

// ref writes a reference to an object and a space.
func (o *objects) ref(n int) {
	o.int(n)
	o.put(" 0 R ")
}

// begin and end enclose the body of object n.
func (o *objects) begin(n int) {
	o.offsets[n] = len(o.buf)
	o.int(n)
	o.put(" 0 obj\n")
}

func (o *objects) end() { o.put("\nendobj\n") }

// object writes an object under a number.
func (o *objects) object(n int, body []byte) {
	o.begin(n)
	o.buf = append(o.buf, body...)
	o.end()
}

// packed is what a stream holds, compressed where that makes it smaller.
type packed struct {
	data     []byte
	deflated bool
}

// pack compresses data. What it gives is good until the next call, and as long as data is.
func (p *packer) pack(data []byte) packed {
	p.out.Reset()
	p.w.Reset(&p.out)
	_, _ = p.w.Write(data) // a bytes.Buffer does not fail
	_ = p.w.Close()
	if p.out.Len() >= len(data) {
		return packed{data: data}
	}
	return packed{data: p.out.Bytes(), deflated: true}
}

// stream writes a stream object, compressed where that makes it smaller; dict is its dictionary without the brackets,
// the length and the filter.
func (o *objects) stream(n int, dict string, data []byte) {
	o.packedStream(n, dict, o.packer.pack(data))
}

// packedStream writes a stream object of what is packed already.
func (o *objects) packedStream(n int, dict string, p packed) {
	if p.deflated {
		dict += "/Filter/FlateDecode"
	}
	o.plainStream(n, dict, p.data)
}

// plainStream writes a stream object as it is.
func (o *objects) plainStream(n int, dict string, data []byte) {
	o.begin(n)
	o.put("<<", dict, "/Length ")
	o.int(len(data))
	o.put(">>\nstream\n")
	o.buf = append(o.buf, data...)
	o.put("\nendstream")
	o.end()
}

// close writes the cross-reference table and the trailer; the information dictionary stands before the catalog.
func (o *objects) close(catalog int) []byte {
	sum := sha256.Sum256(o.buf)
	id := hex.EncodeToString(sum[:16]) // of the content, so that the same content has the same identifier
	start := len(o.buf)
	o.put("xref\n0 ")
	o.int(len(o.offsets))
	o.put("\n0000000000 65535 f \n")
	for _, at := range o.offsets[1:] {
		const digits = "0000000000"
		s := strconv.Itoa(at)
		o.put(digits[:len(digits)-len(s)], s, " 00000 n \n")
	}
	o.buf = fmt.Appendf(o.buf, "trailer\n<</Size %d/Root %d 0 R/Info %d 0 R/ID[<%s><%s>]>>\nstartxref\n%d\n%%%%EOF\n", len(o.offsets), catalog, catalog-1, id, id, start)
	return o.buf
}
