package typeface

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math/bits"
	"slices"
)

// kept are the tables that a TrueType font needs within a PDF (ISO 32000-1, 9.9, table 126), in the order of their
// tags; what maps characters and names the font stands in the PDF itself.
var kept = []string{"cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep"}

// tables finds the tables of a TrueType font by their tags (OpenType 1.9, "Organization of an OpenType font").
func tables(ttf []byte) (map[string][]byte, error) {
	broken := errors.New("broken font file: its table directory does not fit it")
	if len(ttf) < 12 {
		return nil, broken
	}
	n := int(binary.BigEndian.Uint16(ttf[4:]))
	if len(ttf) < 12+16*n {
		return nil, broken
	}
	out := make(map[string][]byte, n)
	for i := range n {
		rec := ttf[12+16*i:]
		from, size := uint64(binary.BigEndian.Uint32(rec[8:])), uint64(binary.BigEndian.Uint32(rec[12:]))
		if from+size > uint64(len(ttf)) {
			return nil, broken
		}
		out[string(rec[:4])] = ttf[from : from+size]
	}
	for tag, least := range map[string]int{"head": 54, "hhea": 36, "maxp": 6, "loca": 2, "glyf": 0, "hmtx": 4} {
		if t, ok := out[tag]; !ok || len(t) < least {
			return nil, fmt.Errorf("broken font file: table %s is missing or cut", tag)
		}
	}
	return out, nil
}

// Subset cuts a TrueType font down to glyphs, with those that they are composed of. The glyphs keep their numbers, so
// that a text needs no other encoding for it; what is not used is empty. A font whose maker does not let it be embedded
// is refused.
func Subset(ttf []byte, glyphs []uint16) ([]byte, error) {
	ts, err := tables(ttf)
	if err != nil {
		return nil, err
	}
	if os2 := ts["OS/2"]; len(os2) >= 10 { // fsType (OpenType 1.9, OS/2): 2 alone is a restricted licence
		if t := binary.BigEndian.Uint16(os2[8:]); t&0xf == 2 || t&0x300 != 0 {
			return nil, errors.New("the font's own licence bits (OS/2 fsType) do not allow it to be embedded as a subset")
		}
	}
	s := subsetter{ts: ts, long: binary.BigEndian.Uint16(ts["head"][50:]) == 1, total: int(binary.BigEndian.Uint16(ts["maxp"][4:]))}
	if s.used, err = s.closure(glyphs); err != nil {
		return nil, err
	}
	return s.file()
}

type subsetter struct {
	ts    map[string][]byte
	long  bool // loca has 32-bit offsets
	total int  // glyphs of the font
	used  []uint16
}

// outline is the description of a glyph; empty for one that draws nothing.
func (s *subsetter) outline(g uint16) ([]byte, error) {
	loca, glyf := s.ts["loca"], s.ts["glyf"]
	at := func(i int) (uint64, bool) {
		if s.long {
			if len(loca) < 4*i+4 {
				return 0, false
			}
			return uint64(binary.BigEndian.Uint32(loca[4*i:])), true
		}
		if len(loca) < 2*i+2 {
			return 0, false
		}
		return 2 * uint64(binary.BigEndian.Uint16(loca[2*i:])), true
	}
	from, ok := at(int(g))
	to, ok2 := at(int(g) + 1)
	if !ok || !ok2 || int(g) >= s.total || from > to || to > uint64(len(glyf)) {
		return nil, fmt.Errorf("broken font file: glyph %d is not where the font says", g)
	}
	return glyf[from:to], nil
}

// closure adds glyph 0 and the parts of composite glyphs, and sorts.
func (s *subsetter) closure(glyphs []uint16) ([]uint16, error) {
	seen := map[uint16]bool{}
	open := append([]uint16{0}, glyphs...)
	var out []uint16
	for len(open) > 0 {
		g := open[len(open)-1]
		open = open[:len(open)-1]
		if seen[g] {
			continue
		}
		seen[g] = true
		out = append(out, g)
		b, err := s.outline(g)
		if err != nil {
			return nil, err
		}
		parts, err := components(b)
		if err != nil {
			return nil, fmt.Errorf("broken font file: glyph %d: %w", g, err)
		}
		open = append(open, parts...)
	}
	slices.Sort(out)
	return out, nil
}

// components lists the glyphs that a composite glyph is made of (OpenType 1.9, glyf, "Composite glyph description").
func components(b []byte) ([]uint16, error) {
	const (
		words    = 0x0001
		scale    = 0x0008
		more     = 0x0020
		xyScale  = 0x0040
		twoByTwo = 0x0080
	)
	if len(b) == 0 {
		return nil, nil
	}
	if len(b) < 10 {
		return nil, errors.New("it is cut")
	}
	if int16(binary.BigEndian.Uint16(b)) >= 0 {
		return nil, nil
	}
	var out []uint16
	for b = b[10:]; ; {
		if len(b) < 4 {
			return nil, errors.New("it is cut")
		}
		flags := binary.BigEndian.Uint16(b)
		out = append(out, binary.BigEndian.Uint16(b[2:]))
		n := 6
		if flags&words != 0 {
			n += 2
		}
		switch {
		case flags&scale != 0:
			n += 2
		case flags&xyScale != 0:
			n += 4
		case flags&twoByTwo != 0:
			n += 8
		}
		if flags&more == 0 {
			return out, nil
		}
		if len(b) < n {
			return nil, errors.New("it is cut")
		}
		b = b[n:]
	}
}

// file puts the tables together, with the glyphs up to the last one that is used.
func (s *subsetter) file() ([]byte, error) {
	n := int(s.used[len(s.used)-1]) + 1
	head, hhea, maxp := slices.Clone(s.ts["head"]), slices.Clone(s.ts["hhea"]), slices.Clone(s.ts["maxp"])
	binary.BigEndian.PutUint16(head[50:], 1) // 32-bit offsets
	binary.BigEndian.PutUint32(head[8:], 0)  // the sum over the file, below
	binary.BigEndian.PutUint16(maxp[4:], uint16(n))
	full := min(int(binary.BigEndian.Uint16(hhea[34:])), n) // glyphs with an advance of their own
	old := s.ts["hmtx"]
	if full == 0 || len(old) < 4*full {
		return nil, errors.New("broken font file: table hmtx is cut")
	}
	binary.BigEndian.PutUint16(hhea[34:], uint16(full))
	hmtx := make([]byte, 4*full+2*(n-full))
	copy(hmtx[4*(full-1):], old[4*(full-1):4*full]) // it counts for all glyphs behind it
	loca := make([]byte, 4*(n+1))
	var glyf []byte
	next := 0
	for _, g := range s.used {
		b, err := s.outline(g)
		if err != nil {
			return nil, err
		}
		for ; next <= int(g); next++ {
			binary.BigEndian.PutUint32(loca[4*next:], uint32(len(glyf)))
		}
		glyf = append(glyf, b...)
		for len(glyf)%4 != 0 {
			glyf = append(glyf, 0)
		}
		at, size := 4*int(g), 4
		if int(g) >= full {
			at, size = 4*full+2*(int(g)-full), 2
		}
		if at+size <= len(old) {
			copy(hmtx[at:at+size], old[at:])
		}
	}
	binary.BigEndian.PutUint32(loca[4*n:], uint32(len(glyf)))
	made := map[string][]byte{"head": head, "hhea": hhea, "maxp": maxp, "hmtx": hmtx, "loca": loca, "glyf": glyf}
	for _, t := range []string{"cvt ", "fpgm", "prep"} {
		if b := s.ts[t]; len(b) > 0 {
			made[t] = b
		}
	}
	return assembled(made), nil
}

// assembled writes tables behind their directory, with the check sums that the format asks for.
func assembled(ts map[string][]byte) []byte {
	n := len(ts)
	log := bits.Len(uint(n)) - 1
	out := binary.BigEndian.AppendUint32(nil, 0x00010000)
	for _, x := range []int{n, 16 << log, log, 16 * (n - 1<<log)} {
		out = binary.BigEndian.AppendUint16(out, uint16(x))
	}
	at := len(out) + 16*n
	var body []byte
	adjust := 0
	for _, tag := range kept {
		b, ok := ts[tag]
		if !ok {
			continue
		}
		if tag == "head" {
			adjust = at + len(body) + 8
		}
		out = append(out, tag...)
		for _, x := range []uint32{sum(b), uint32(at + len(body)), uint32(len(b))} {
			out = binary.BigEndian.AppendUint32(out, x)
		}
		body = append(body, b...)
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	out = append(out, body...)
	binary.BigEndian.PutUint32(out[adjust:], 0xb1b0afba-sum(out)) // OpenType 1.9, head, checksumAdjustment
	return out
}

// sum is the check sum of a table: of its 32-bit words, the last filled with zeros.
func sum(b []byte) uint32 {
	var s uint32
	for ; len(b) >= 4; b = b[4:] {
		s += binary.BigEndian.Uint32(b)
	}
	if len(b) > 0 {
		var last [4]byte
		copy(last[:], b)
		s += binary.BigEndian.Uint32(last[:])
	}
	return s
}

// Shape is what a reader of a document must know of a font beside its widths, in thousandths of an em.
type Shape struct {
	Ascent, Descent, CapHeight int
	Box                        [4]int // that holds every glyph: left, bottom, right, top
	ItalicAngle                int    // degrees, counter-clockwise
	Fixed                      bool   // all advances are equal
}

// ShapeOf reads a TrueType font's shape. The height of capitals is the ascent where the font does not give it.
func ShapeOf(ttf []byte) (Shape, error) {
	ts, err := tables(ttf)
	if err != nil {
		return Shape{}, err
	}
	em := int(binary.BigEndian.Uint16(ts["head"][18:]))
	if em == 0 {
		return Shape{}, errors.New("broken font file: an em of no size")
	}
	at := func(tag string, i int) int { return int(int16(binary.BigEndian.Uint16(ts[tag][i:]))) * 1000 / em }
	s := Shape{Ascent: at("hhea", 4), Descent: at("hhea", 6), Box: [4]int{at("head", 36), at("head", 38), at("head", 40), at("head", 42)}}
	s.CapHeight = s.Ascent
	if os2 := ts["OS/2"]; len(os2) >= 90 && binary.BigEndian.Uint16(os2) >= 2 {
		s.CapHeight = at("OS/2", 88)
	}
	if post := ts["post"]; len(post) >= 16 {
		s.ItalicAngle = int(int16(binary.BigEndian.Uint16(post[4:])))
		s.Fixed = binary.BigEndian.Uint32(post[12:]) != 0
	}
	return s, nil
}
