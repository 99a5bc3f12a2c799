package document

import (
	"bytes"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

func scratch(tb testing.TB) *Doc {
	d, err := New(Options{Created: time.Date(2031, 3, 14, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		tb.Fatal(err)
	}
	return d
}

func TestClean(t *testing.T) {
	for _, c := range []struct{ in, want, missing string }{
		{"plain", "plain", ""},
		{"caf\xe9", "caf\ufffd", ""},
		{"cafe\u0301", "café", ""},
		{"1\u20092\u202f3", "1\u00a02\u00a03", ""},
		{"a\u2011b\u00adc\u200bd", "a-bcd", ""},
		{"25\u2103", "25°C", ""},
		{"10 \u33a1", "10 m2", ""},
		{"漢", "\ufffd", "漢"},
		{"😀", "\ufffd", "😀"},
		{"a\x00b", "a\ufffdb", "\x00"},
		{"a\r\nb\tc", "a\nb c", ""},
		{"\u202eabc", "abc", ""},
	} {
		d := scratch(t)
		if got := d.clean(c.in); got != c.want {
			t.Errorf("clean(%q) = %q, want %q", c.in, got, c.want)
		}
		for _, r := range c.missing {
			if d.missing[r] != 1 {
				t.Errorf("clean(%q): %q was not counted as missing", c.in, r)
			}
		}
		if len(d.missing) != len([]rune(c.missing)) {
			t.Errorf("clean(%q): missing %v", c.in, d.missing)
		}
	}
}

func TestWarningsNameWhatIsMissing(t *testing.T) {
	d := scratch(t)
	d.Paragraph(Plain("漢 and 😀 and \xff"))
	w := strings.Join(d.Warnings(), "\n")
	for _, want := range []string{"漢 (U+6F22)", "😀 (U+1F600)", "not valid UTF-8"} {
		if !strings.Contains(w, want) {
			t.Errorf("warnings %q do not name %q", w, want)
		}
	}
	d = scratch(t)
	var many strings.Builder
	for r := rune(0x4e00); r < 0x4e00+40; r++ {
		many.WriteRune(r)
	}
	d.Paragraph(Plain(many.String()))
	if w := d.Warnings()[0]; !strings.Contains(w, "and 28 more") {
		t.Errorf("40 missing characters: %q", w)
	}
}

// FuzzClean: whatever comes in, what goes to the page can be printed.
func FuzzClean(f *testing.F) {
	for _, s := range []string{"a", "caf\xe9", "漢字", "😀\U0010ffff", "e\u0301\u0301", "\u2009\u202f\ufeff", "\x00\x1b[31m", "\u1100\u1161\u11a8", strings.Repeat("\u0300", 50)} {
		f.Add(s)
	}
	d := scratch(f)
	f.Fuzz(func(t *testing.T, s string) {
		got := d.clean(s)
		if !utf8.ValidString(got) {
			t.Fatalf("clean(%q) = %q is not valid UTF-8", s, got)
		}
		for _, r := range got {
			if r != '\n' && !d.printable(r) {
				t.Fatalf("clean(%q) leaves %q", s, r)
			}
		}
		if again := d.clean(got); norm.NFC.String(again) != norm.NFC.String(got) {
			t.Fatalf("clean is not stable: %q then %q", got, again)
		}
	})
}

// FuzzWrite: no text makes the library panic, in any place that text can stand.
func FuzzWrite(f *testing.F) {
	for _, s := range []string{"a (b) \\c", "caf\xe9", "漢字", "😀", "\n\n \n", "\u00a0\u00a0", "http://[::1", strings.Repeat("x", 3000)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > 20_000 {
			return
		}
		d, err := New(Options{Title: s, Author: s, Subject: s, Creator: s, Footer: s, Closing: s, Lang: s, Created: time.Unix(0, 0)})
		if err != nil {
			t.Fatal(err)
		}
		d.Title(s)
		d.Heading(1, s)
		d.Anchor(s)
		d.Paragraph(Plain(s), Bold(s), Mark(s), To(s, s), Web(s, s), Span{Text: s, Face: 2}, Mono(s))
		d.List(T(s))
		d.Table(Table{Columns: []Column{{Head: s}, {Head: s}}, Rows: [][]Text{{T(s), T(s)}}})
		if s != "" {
			if err := d.Attach(Attachment{Name: s, MIME: s, Description: s, Data: []byte(s)}); err != nil {
				t.Fatal(err)
			}
		}
		var b bytes.Buffer
		if _, err := d.Write(&b); err != nil {
			t.Fatal(err)
		}
	})
}
