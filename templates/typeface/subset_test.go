package typeface

import (
	"bytes"
	"encoding/binary"
	"slices"
	"testing"
)

// A subset has the same outlines and advances under the same numbers, the parts of composite glyphs, and nothing else.
func TestSubset(t *testing.T) {
	for f := range Face(Faces) {
		m := f.Metrics()
		var want []uint16
		for _, r := range "é ½Ω≤Ж°µ" {
			want = append(want, m.Glyph(r))
		}
		cut, err := Subset(f.TTF(), want)
		if err != nil {
			t.Fatal(err)
		}
		if len(cut) > len(f.TTF())/3 {
			t.Errorf("%s: %d bytes of %d for %d glyphs", f, len(cut), len(f.TTF()), len(want))
		}
		if got := sum(cut); got != 0xb1b0afba { // OpenType 1.9, head: what the whole file's words add up to
			t.Errorf("%s: check sum %x", f, got)
		}
		old, now := open(t, f.TTF()), open(t, cut)
		needed, err := old.closure(want)
		if err != nil {
			t.Fatal(err)
		}
		parts := 0
		for g := range uint16(now.total) {
			a, err := old.outline(g)
			if err != nil {
				t.Fatal(err)
			}
			b, err := now.outline(g)
			if err != nil {
				t.Fatal(err)
			}
			if slices.Contains(needed, g) {
				parts++
				if !bytes.HasPrefix(b, a) || len(b)-len(a) > 3 || advance(old, g) != advance(now, g) {
					t.Errorf("%s: glyph %d has %d bytes and advance %d, want %d and %d", f, g, len(b), advance(now, g), len(a), advance(old, g))
				}
			} else if len(b) > 0 {
				t.Errorf("%s: glyph %d is there and not used", f, g)
			}
		}
		if parts != len(needed) || parts <= len(want) { // é and ½ are composed in the Go fonts
			t.Errorf("%s: %d glyphs, want %d, more than the %d asked for", f, parts, len(needed), len(want))
		}
	}
}

func open(t *testing.T, ttf []byte) *subsetter {
	t.Helper()
	ts, err := tables(ttf)
	if err != nil {
		t.Fatal(err)
	}
	return &subsetter{ts: ts, long: binary.BigEndian.Uint16(ts["head"][50:]) == 1, total: int(binary.BigEndian.Uint16(ts["maxp"][4:]))}
}

// advance reads a glyph's advance from hmtx (OpenType 1.9): beyond the long entries that of the last.
func advance(s *subsetter, g uint16) uint16 {
	full := binary.BigEndian.Uint16(s.ts["hhea"][34:])
	return binary.BigEndian.Uint16(s.ts["hmtx"][4*int(min(g, full-1)):])
}

func TestSubsetRefuses(t *testing.T) {
	ttf := bytes.Clone(Regular.TTF())
	if _, err := Subset(ttf, []uint16{60000}); err == nil {
		t.Error("a glyph that the font does not have was cut out of it")
	}
	if _, err := Subset(ttf[:100], nil); err == nil {
		t.Error("a cut font was taken")
	}
	ts, err := tables(ttf)
	if err != nil {
		t.Fatal(err)
	}
	binary.BigEndian.PutUint16(ts["OS/2"][8:], 2) // a view into ttf
	if _, err := Subset(ttf, nil); err == nil {
		t.Error("a font of a restricted licence was embedded")
	}
}

// No font file makes the subsetter panic.
func FuzzSubset(f *testing.F) {
	f.Add(Regular.TTF(), uint16(40))
	f.Add(Mono.TTF()[:2000], uint16(1))
	f.Fuzz(func(t *testing.T, ttf []byte, g uint16) {
		_, _ = Subset(ttf, []uint16{g, g + 1})
		_, _ = ShapeOf(ttf)
	})
}
