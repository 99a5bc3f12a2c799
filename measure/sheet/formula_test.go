package sheet

import (
	"bytes"
	"encoding/csv"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// The cases are those of OWASP, CSV Injection (from memory): signs, tab and carriage return at the head of a cell, and
// separators and quotes by which a cell begins within a cell.
func TestGuarded(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", ""}, {"plain", "plain"}, {"a=b", "a=b"}, {"300 m³/h", "300 m³/h"}, {"6-8", "6-8"}, {"a@b.example", "a@b.example"}, {"‘quoted’", "‘quoted’"},
		{"=1+1", "'=1+1"}, {"+1+1", "'+1+1"}, {"-1+1", "'-1+1"}, {"@SUM(1)", "'@SUM(1)"}, {"\t=1", "'\t'=1"}, {"\tx", "'\tx"}, {"\rx", "'\rx"}, {"\nx", "'\nx"},
		{"=", "'="}, {"-", "'-"}, {"- a point", "'- a point"},
		// full-width, small and raised signs: NFKC folds them
		{"＝1", "'＝1"}, {"＋1", "'＋1"}, {"－1", "'－1"}, {"＠x", "'＠x"}, {"﹦1", "'﹦1"}, {"⁺1", "'⁺1"},
		// what stands before the sign and is passed over or not seen
		{" =1", "' =1"}, {"\u00a0=1", "'\u00a0=1"}, {"\u3000＝1", "'\u3000＝1"}, {"\u200b=1", "'\u200b=1"}, {"\ufeff=1", "'\ufeff=1"}, {"\u202e=1", "'\u202e=1"},
		{"\x00=1", "'\x00=1"}, {"\x1b=1", "'\x1b=1"}, {"\u0085=1", "'\u0085=1"}, {`"=1`, `'"=1`}, {`""" =1`, `'""" =1`}, {"“=1”", "'“=1”"}, {"\xff=1", "'\xff=1"},
		// an apostrophe of the text's own
		{"'=1", "''=1"}, {"''=1", "'''=1"}, {"'-5", "''-5"}, {"'quoted'", "'quoted'"},
		// numbers
		{"-3.5", "-3.5"}, {"+12", "'+12"}, {"-1e-3", "-1e-3"}, {"-3,5", "-3,5"}, {"-.5", "-.5"}, {"-5 %", "'-5 %"}, {"-1-1", "'-1-1"}, {"--1", "'--1"}, {"-inf", "'-inf"},
		{"+-1", "'+-1"}, {"-1e", "'-1e"}, {"-1;2", "-1;2"}, {"-1;=2", "-1;'=2"},
		// cells within the cell
		{"a;=1", "a;'=1"}, {"a\t=1;b", "a\t'=1;b"}, {"a\n-1", "a\n-1"}, {"a\n- b", "a\n'- b"}, {`a; "＝1`, `a;' "＝1`}, {"a;;=1", "a;;'=1"}, {";=1", ";'=1"}, {";x", ";x"}, {"a,=1", "a,=1"},
	} {
		if got := Guarded(c.text); got != c.want {
			t.Errorf("Guarded(%q) = %q, want %q", c.text, got, c.want)
		}
		if got := unguarded(c.want); got != c.text {
			t.Errorf("unguarded(%q) = %q, want %q", c.want, got, c.text)
		}
	}
}

// opens looks for the head of a formula as TestGuarded's source describes it, written on its own: after a separator and
// what is not seen, a sign.
func opens(cell string) bool {
	for _, part := range strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(";\t\r\n", r) }) {
		if strings.HasPrefix(part, "'") { // what a spreadsheet takes for a mark of text
			continue
		}
		part = strings.TrimFunc(norm.NFKC.String(part), func(r rune) bool {
			return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("=+-@.,;()%", r)
		})
		if part != "" && strings.ContainsAny(part[:1], "=+-@") && !strings.ContainsAny(part[1:], "0123456789") {
			return true
		}
	}
	return cell != "" && strings.ContainsAny(cell[:1], "=@\t\r\n")
}

// Texts made of the characters that matter, at random: guarded ones open no formula, and the program's own reader gives
// back what was guarded.
func TestGuardedRoundTrip(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	alphabet := []rune("''''\"==++--@@\t\n;;, .,e15ab\u200b\ufeff\u00a0＝＋－＠\u202e’")
	for range 200_000 {
		var b strings.Builder
		for range 1 + rng.IntN(9) {
			b.WriteRune(alphabet[rng.IntN(len(alphabet))])
		}
		s := b.String()
		g := Guarded(s)
		if opens(g) {
			t.Fatalf("Guarded(%q) = %q opens a formula", s, g)
		}
		if back := unguarded(g); back != s {
			t.Fatalf("%q guarded is %q and read as %q", s, g, back)
		}
	}
	var file bytes.Buffer
	w := csv.NewWriter(&file)
	rows := [][]string{{"=head", "b"}, {"\uff1d1+1", "'x'"}, {"a;=b\n- c", "-5"}, {"'=1", "''"}}
	for _, r := range rows {
		if err := w.Write([]string{Guarded(r[0]), Guarded(r[1])}); err != nil {
			t.Fatal(err)
		}
	}
	w.Flush()
	raw, _, _, ps := readCSV(file.Bytes(), Place{Book: "t.csv"})
	if len(ps) > 0 || len(raw) != len(rows) {
		t.Fatalf("%d rows, %v", len(raw), ps)
	}
	for i, r := range raw {
		for k, c := range r.cells {
			if c.text != rows[i][k] {
				t.Errorf("row %d, cell %d: read %q, written %q", i, k, c.text, rows[i][k])
			}
		}
	}
}

func FuzzGuarded(f *testing.F) {
	for _, s := range []string{"=1", "'=1", "a;=1", "-5", "\uff1d1", "\t\r\n=1", "\xff\xfe-"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		g := Guarded(s)
		if back := unguarded(g); back != s {
			t.Errorf("%q guarded is %q and read as %q", s, g, back)
		}
		if len(g) > 0 && strings.ContainsAny(g[:1], "=@\t\r\n") {
			t.Errorf("%q guarded is %q", s, g)
		}
	})
}
