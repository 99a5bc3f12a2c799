package document

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
	"strings"

	"weighhouse/templates/typeface"
)

// font is a typeface as the file has it: cut to the glyphs that are used, which stand in texts by their numbers
// (Identity-H, ISO 32000-1, 9.7.5.2).
type font struct {
	name    string // among the resources: /F0
	base    string // its name for readers
	ttf     []byte
	metrics *typeface.Metrics
	glyphs  map[rune]uint16
	latin   [0x180]uint16 // of glyphs, for speed; 0 where they do not say
}

// font gives the font of a face, or the extra one.
func (r *renderer) font(face typeface.Face, other bool) *font {
	family, ttf, m := face.String(), face.TTF(), face.Metrics()
	if other {
		family, ttf, m = "extra", r.d.opt.Font, r.d.extra
	}
	f := r.fonts[family]
	if f == nil {
		f = &font{name: fmt.Sprintf("/F%d", len(r.fonts)), base: "Go-" + strings.ToUpper(family[:1]) + family[1:], ttf: ttf, metrics: m, glyphs: map[rune]uint16{}}
		if other {
			f.base = "Added"
		}
		r.fonts[family] = f
	}
	return f
}

// glyph is the number of a character's glyph.
func (f *font) glyph(c rune) uint16 {
	low := uint32(c) < uint32(len(f.latin))
	if low && f.latin[c] != 0 {
		return f.latin[c]
	}
	g, ok := f.glyphs[c]
	if !ok {
		g = f.metrics.Glyph(c)
		f.glyphs[c] = g
	}
	if low {
		f.latin[c] = g
	}
	return g
}

// resources writes the fonts and returns the dictionary of what pages draw with.
func (d *Doc) resources(o *objects, fonts map[string]*font) (string, error) {
	var b strings.Builder
	b.WriteString("<</Font<<")
	for _, f := range slices.SortedFunc(maps.Values(fonts), func(a, b *font) int { return strings.Compare(a.name, b.name) }) {
		n, err := f.write(o)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(&b, "%s %d 0 R", f.name, n)
	}
	b.WriteString(">>>>")
	return b.String(), nil
}

// write writes the font: a composite font of one TrueType font, with the widths of its glyphs and the characters that
// they stand for. It returns the object's number.
func (f *font) write(o *objects) (int, error) {
	chars := map[uint16]rune{} // a glyph that stands for several characters is read as the first
	for _, c := range slices.Sorted(maps.Keys(f.glyphs)) {
		if g := f.glyphs[c]; chars[g] == 0 {
			chars[g] = c
		}
	}
	glyphs := slices.Sorted(maps.Keys(chars))
	cut, err := typeface.Subset(f.ttf, glyphs)
	if err != nil {
		return 0, err
	}
	shape, err := typeface.ShapeOf(f.ttf)
	if err != nil {
		return 0, err
	}
	base := subsetTag(cut) + "+" + f.base
	top, descendant, descriptor, program, unicode := o.reserve(), o.reserve(), o.reserve(), o.reserve(), o.reserve()
	o.object(top, fmt.Appendf(nil, "<</Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H/DescendantFonts[%d 0 R]/ToUnicode %d 0 R>>", base, descendant, unicode))
	w := fmt.Appendf(nil, "<</Type/Font/Subtype/CIDFontType2/BaseFont/%s/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/CIDToGIDMap/Identity/FontDescriptor %d 0 R/W[", base, descriptor)
	for i, g := range glyphs {
		if i == 0 || glyphs[i-1]+1 != g {
			if i > 0 {
				w = append(w, ']')
			}
			w = fmt.Appendf(w, "%d[", g)
		} else {
			w = append(w, ' ')
		}
		w = appendHundredths(w, max(0, f.metrics.Advance(chars[g])))
	}
	if len(glyphs) > 0 {
		w = append(w, ']')
	}
	o.object(descendant, append(w, "]>>"...))
	const symbolic, fixed, italic = 1 << 2, 1, 1 << 6 // ISO 32000-1, table 123
	flags := symbolic
	if shape.Fixed {
		flags |= fixed
	}
	if shape.ItalicAngle != 0 {
		flags |= italic
	}
	o.object(descriptor, fmt.Appendf(nil, "<</Type/FontDescriptor/FontName/%s/Flags %d/FontBBox[%d %d %d %d]/ItalicAngle %d/Ascent %d/Descent %d/CapHeight %d/StemV 80/FontFile2 %d 0 R>>",
		base, flags, shape.Box[0], shape.Box[1], shape.Box[2], shape.Box[3], shape.ItalicAngle, shape.Ascent, shape.Descent, shape.CapHeight, program))
	o.stream(program, fmt.Sprintf("/Length1 %d", len(cut)), cut)
	o.stream(unicode, "", toUnicode(glyphs, chars))
	return top, nil
}

// subsetTag is six capital letters that tell one subset of a font from another (ISO 32000-1, 9.6.4).
func subsetTag(cut []byte) string {
	sum := sha256.Sum256(cut)
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	return string(tag)
}

// toUnicode is the map from glyphs to characters by which a reader copies and searches text (ISO 32000-1, 9.10.3).
func toUnicode(glyphs []uint16, chars map[uint16]rune) []byte {
	var b []byte
	b = append(b, "/CIDInit/ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo<</Registry(Adobe)/Ordering(UCS)/Supplement 0>>def\n/CMapName/Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000><FFFF>\nendcodespacerange\n"...)
	const most = 100 // in one block
	for rest := glyphs; len(rest) > 0; rest = rest[min(most, len(rest)):] {
		block := rest[:min(most, len(rest))]
		b = fmt.Appendf(b, "%d beginbfchar\n", len(block))
		for _, g := range block {
			b = fmt.Appendf(b, "<%04X><%X>\n", g, utf16BE(string(chars[g])))
		}
		b = append(b, "endbfchar\n"...)
	}
	return append(b, "endcmap\nCMapName currentdict/CMap defineresource pop\nend\nend"...)
}
