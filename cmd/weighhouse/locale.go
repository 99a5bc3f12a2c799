package main

import (
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"golang.org/x/term"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/htmlindex"
)

// What people read is UTF-8. On a terminal whose locale says that it shows another encoding it is brought to that, and what
// that lacks to what comes nearest. Files and pipes are UTF-8 always.

// recoded writes to a terminal that does not show UTF-8.
type recoded struct {
	file *os.File
	to   *charset
}

// charset is an encoding that is not UTF-8; a nil encoder stands for ASCII.
type charset struct {
	to  *encoding.Encoder
	iso bool // the bytes 0x80 to 0x9F are controls, whatever WHATWG says that pages mean by them
}

// shown is standard output or standard error as the locale of the terminal wants it.
func shown(f *os.File) io.Writer {
	if !term.IsTerminal(int(f.Fd())) {
		return f
	}
	if to := charsetOf(os.Getenv); to != nil {
		return &recoded{f, to}
	}
	return f
}

// charsetOf finds the encoding that the locale names, nil for UTF-8: LC_ALL before LC_CTYPE before LANG, as POSIX has it
// (Base Definitions, 8.2). Where none is set, or none names an encoding, UTF-8 is taken, as terminals are today; C and
// POSIX are ASCII.
func charsetOf(getenv func(string) string) *charset {
	locale := ""
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if locale = getenv(name); locale != "" {
			break
		}
	}
	locale, _, _ = strings.Cut(locale, "@")
	_, name, named := strings.Cut(locale, ".")
	if !named {
		if locale == "C" || locale == "POSIX" {
			return &charset{}
		}
		return nil
	}
	folded := strings.ToLower(strings.NewReplacer("-", "", "_", "").Replace(name))
	part, iso := strings.CutPrefix(folded, "iso8859")
	switch {
	case folded == "utf8":
		return nil
	case iso: // glibc writes ISO-8859-1, others ISO8859-1
		name = "iso-8859-" + part
	case strings.HasPrefix(folded, "ansix3") || folded == "usascii" || folded == "ascii": // a page that says so means Windows-1252
		return &charset{}
	}
	if e, err := htmlindex.Get(name); err == nil {
		return &charset{e.NewEncoder(), iso}
	}
	return &charset{}
}

func (r *recoded) Write(p []byte) (int, error) {
	if _, err := io.WriteString(r.file, r.to.recode(string(p))); err != nil {
		return 0, err
	}
	return len(p), nil
}

// recode brings a text to the encoding.
func (c *charset) recode(text string) string {
	var b strings.Builder
	for _, r := range text {
		s, ok := plainWords[r]
		if !ok {
			s = "?"
		}
		if r < utf8.RuneSelf {
			s = string(r)
		} else if c.to != nil {
			if own, err := c.to.String(string(r)); err == nil && !(c.iso && own[0] < 0xa0) {
				s = own
			}
		}
		b.WriteString(s)
	}
	return b.String()
}

// plainWords stand for characters of our own that an encoding lacks. The marks of the verdicts stand beside their words.
var plainWords = map[rune]string{
	'±': "+/-", '²': "2", '³': "3", 'µ': "u", 'μ': "u", '·': "-", '×': "x", '÷': "/", '−': "-", '–': "-", '—': "-", '‑': "-", '…': "...", '∞': "inf", '≤': "<=", '≥': ">=",
	'“': `"`, '”': `"`, '‘': "'", '’': "'", '°': " deg ", '√': "sqrt", '→': "->", '\u00a0': " ", '\u2009': " ", '\u202f': " ",
	'■': "+", '☒': "x", '◪': "/", '□': "o", '◇': "?", '█': "#", '░': ".", '│': "|", '└': "+", '─': "-",
}
