// Package typeface holds the typefaces that every figure and report is set in, and their metrics.
//
// The faces are the Go fonts (golang.org/x/image/font/gofont, BSD licence), embedded by that module; they cover Latin,
// Greek and Cyrillic and the mathematical signs that a test report needs. A reader's own TrueType font can be added
// for what they lack.
package typeface

import (
	"errors"
	"fmt"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Face is one of the embedded faces.
type Face uint8

// The faces.
const (
	Regular Face = iota
	Bold
	Italic
	Mono
)

// Faces is how many embedded faces there are.
const Faces = 4

// String names the face; documents use it as the name of the font.
func (f Face) String() string {
	return [Faces]string{"regular", "bold", "italic", "mono"}[f]
}

var files = [Faces][]byte{goregular.TTF, gobold.TTF, goitalic.TTF, gomono.TTF}

var metrics [Faces]func() *Metrics

func init() {
	for i := range metrics {
		metrics[i] = sync.OnceValue(func() *Metrics {
			m, err := Parse(files[i])
			if err != nil {
				panic(fmt.Sprintf("embedded font %s: %v", Face(i), err))
			}
			return m
		})
	}
}

// TTF is the face's file. It is shared: clone it before handing it to a writer that changes what it is given.
func (f Face) TTF() []byte { return files[f] }

// Metrics gives the face's widths and coverage; the same value each time.
func (f Face) Metrics() *Metrics { return metrics[f]() }

// Width is the width of a line of text set in the face, in the unit of size (the em).
func (f Face) Width(s string, size float64) float64 { return f.Metrics().Width(s, size) }

// Covers reports whether the face has a glyph for the rune.
func (f Face) Covers(r rune) bool { return f.Metrics().Advance(r) >= 0 }

// Metrics is what setting text needs to know of a font: which runes it has and how wide they are. Its methods may be
// called from several goroutines.
type Metrics struct {
	font  *sfnt.Font
	low   [0x530]float32 // Latin, Greek, Cyrillic: thousandths of an em, -1 where there is no glyph
	mu    sync.Mutex
	cache map[rune]float32
	buf   sfnt.Buffer
}

// perEm is the grid on which advances are read: 1000 to the em, as PDF counts widths.
const perEm = 1000

// maxFont is the largest font file that Parse takes, 64 MiB: fonts for all of CJK stay below 30.
const maxFont = 64 << 20

// Parse reads a TrueType font. Collections (.ttc) and fonts with PostScript outlines (.otf) are refused, because the
// PDF writer cannot embed them.
func Parse(ttf []byte) (m *Metrics, err error) {
	if len(ttf) > maxFont {
		return nil, fmt.Errorf("font file of %d bytes: at most %d are read", len(ttf), maxFont)
	}
	if len(ttf) < 12 {
		return nil, errors.New("not a font file: too short")
	}
	switch tag := string(ttf[:4]); tag {
	case "\x00\x01\x00\x00", "true":
	case "OTTO":
		return nil, errors.New("font with PostScript outlines (OTF): a TrueType font (TTF) would do")
	case "ttcf":
		return nil, errors.New("font collection (TTC): a single TrueType font (TTF) would do")
	default:
		return nil, fmt.Errorf("not a TrueType font: the file begins with %q", tag)
	}
	defer func() { // a stranger's file: the parser is good, but nothing is lost by a guard at the boundary
		if r := recover(); r != nil {
			m, err = nil, fmt.Errorf("broken font file: %v", r)
		}
	}()
	f, err := sfnt.Parse(ttf)
	if err != nil {
		return nil, fmt.Errorf("broken font file: %w", err)
	}
	m = &Metrics{font: f, cache: map[rune]float32{}}
	for r := range m.low {
		m.low[r] = m.look(rune(r))
	}
	return m, nil
}

func (m *Metrics) look(r rune) float32 {
	i, err := m.font.GlyphIndex(&m.buf, r)
	if err != nil || i == 0 {
		return -1
	}
	a, err := m.font.GlyphAdvance(&m.buf, i, fixed.I(perEm), font.HintingNone)
	if err != nil {
		return -1
	}
	return float32(a) / 64
}

// Glyph is the number of a rune's glyph, 0 where the font has none.
func (m *Metrics) Glyph(r rune) uint16 {
	m.mu.Lock()
	defer m.mu.Unlock()
	i, err := m.font.GlyphIndex(&m.buf, r)
	if err != nil {
		return 0
	}
	return uint16(i)
}

// Advance is how far a rune moves the pen, in thousandths of an em, or -1 where the font has no glyph for it.
func (m *Metrics) Advance(r rune) float64 {
	if uint32(r) < uint32(len(m.low)) {
		return float64(m.low[r])
	}
	return m.far(r)
}

// far is Advance beyond the table of the common runes.
func (m *Metrics) far(r rune) float64 {
	m.mu.Lock()
	defer m.mu.Unlock()
	a, ok := m.cache[r]
	if !ok {
		a = m.look(r)
		m.cache[r] = a
	}
	return float64(a)
}

// Width is the width of a line of text in the unit of size (the em). A rune without a glyph counts as half an em.
func (m *Metrics) Width(s string, size float64) float64 {
	w := 0.0
	for _, r := range s {
		a := m.Advance(r)
		if a < 0 {
			a = perEm / 2
		}
		w += a
	}
	return w * size / perEm
}
