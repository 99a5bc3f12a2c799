package source

import (
	"slices"
	"testing"
)

func TestSplit(t *testing.T) {
	for _, x := range []struct {
		text, mark string
		want       []Part
		weakest    string
		cited      string
	}{
		{"EN 1822-1:2019; ISO 29463-1:2017", "second-hand", []Part{{"EN 1822-1:2019; ISO 29463-1:2017", "second-hand"}}, "second-hand", "EN 1822-1:2019; ISO 29463-1:2017; second-hand"},
		{"FIFRA 2(h), 2(q)(1) (read); EU 528/2012 (memory)", "memory", []Part{{"FIFRA 2(h), 2(q)(1)", "read"}, {"EU 528/2012", "memory"}}, "memory", "FIFRA 2(h), 2(q)(1) (read); EU 528/2012 (memory)"},
		{"A (x; y) (second-hand); B (read)", "second-hand", []Part{{"A (x; y)", "second-hand"}, {"B", "read"}}, "second-hand", "A (x; y) (second-hand); B (read)"},
		{"16 CFR 260.9(c)", "read", []Part{{"16 CFR 260.9(c)", "read"}}, "read", "16 CFR 260.9(c); read"},
		{"A ((read)", "read", []Part{{"A ((read)", "read"}}, "read", "A ((read); read"},
		{"", "", []Part{{"", ""}}, "", ""},
		{"", "read", []Part{{"", "read"}}, "read", "read"},
		{"given in the case", "case", []Part{{"given in the case", "case"}}, "", "given in the case; case"},
		{"a letter of the maker (read)", "case", []Part{{"a letter of the maker (read)", "case"}}, "", "a letter of the maker (read); case"},
		{"A) (read); B (judgement)", "judgement", []Part{{"A)", "read"}, {"B", "judgement"}}, "judgement", "A) (read); B (judgement)"},
	} {
		got := Split(x.text, x.mark)
		if !slices.Equal(got, x.want) {
			t.Errorf("%q: %q, want %q", x.text, got, x.want)
		}
		if w := Weakest(got); w != x.weakest {
			t.Errorf("%q: weakest %q, want %q", x.text, w, x.weakest)
		}
		if c := Cited(x.text, x.mark); c != x.cited {
			t.Errorf("%q: cited %q, want %q", x.text, c, x.cited)
		}
	}
}

func TestFault(t *testing.T) {
	for _, x := range []struct {
		text, mark string
		sound      bool
	}{
		{"A", "read", true}, {"A; B", "computed", true}, {"A (read); B (second-hand)", "second-hand", true}, {"A, its form from memory", "judgement", true},
		{"A", "memory", true}, {"A, from memory", "memory", false}, {"A as restated elsewhere", "second-hand", false}, {"A; the text was not read", "second-hand", false}, {"", "read", false}, {" ", "memory", false}, {"A", "", false}, {"A", "seen", false}, {"A", "case", false},
		{"A (memory)", "read", false}, {"A, its factor from memory", "read", false}, {"A (second-hand)", "read", false}, {"A, clause not re-read", "read", false},
		{"A, its numbers from memory", "second-hand", false}, {"A (read); B", "read", false}, {"A; B (memory)", "memory", false},
		{"A (read); B (memory)", "judgement", false}, {"A (second-hand); B (memory)", "second-hand", false}, {"A (computed); B (judgement)", "computed", false},
	} {
		if got := Fault(x.text, x.mark); (got == "") != x.sound {
			t.Errorf("%q, %s: %q", x.text, x.mark, got)
		}
	}
}
