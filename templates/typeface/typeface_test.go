package typeface

import (
	"strings"
	"testing"
)

// Every rune that the reports rely on without a further font must be there; the list is that of the notes on the Go
// fonts: Latin, Greek, Cyrillic, and the signs of a test report.
func TestCoverage(t *testing.T) {
	for f := range Face(Faces) {
		for _, r := range "AZaz09äöüßéçøåŁžñ ΔσνµκΩ Жю ≤≥±×·−–—…“”‘’€£½≈√°²³→∞÷\u00a0\ufffd" {
			if r != ' ' && !f.Covers(r) {
				t.Errorf("%s lacks %q", f, r)
			}
		}
		for _, r := range "✓⚠℃漢ع\u2009😀" {
			if f.Covers(r) {
				t.Errorf("%s is said to have %q", f, r)
			}
		}
	}
}

func TestWidth(t *testing.T) {
	// a face of equal widths: any ten characters are as wide as any other ten, Go Mono's are 0.6 em (hmtx of the font)
	if a, b := Mono.Width("iiiiiiiiii", 10), Mono.Width("WWWWWWWWWW", 10); a != b || a < 59.5 || a > 60.5 {
		t.Errorf("ten characters of Go Mono at 10 pt are %v and %v wide, want 60", a, b)
	}
	if Bold.Width("Wide", 10) <= Regular.Width("Wide", 10) {
		t.Error("bold text is no wider than regular text")
	}
	if got := Regular.Width("漢", 10); got != 5 {
		t.Errorf("a rune without a glyph is %v wide, want half an em", got)
	}
}

func TestParseRefuses(t *testing.T) {
	for name, c := range map[string]struct{ data, want string }{
		"short":      {"\x00\x01", "too short"},
		"text":       {"hello, this is no font", "not a TrueType font"},
		"opentype":   {"OTTO" + strings.Repeat("\x00", 64), "PostScript outlines"},
		"collection": {"ttcf" + strings.Repeat("\x00", 64), "collection"},
		"broken":     {"\x00\x01\x00\x00" + strings.Repeat("\xff", 64), "broken font"},
	} {
		if _, err := Parse([]byte(c.data)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one that says %q", name, err, c.want)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add(Regular.TTF()[:2000])
	f.Add([]byte("OTTO"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if m, err := Parse(b); err == nil {
			m.Width("abc漢", 9)
		}
	})
}
