package verdict

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"testing"
	"unicode"
)

// Every character that Unicode has: those of the categories Cc, Cf, Zl and Zp are escaped, all others stand as
// encoding/json writes them, and the value that is read is the same.
func TestPlainJSON(t *testing.T) {
	for r := rune(0); r <= unicode.MaxRune; r++ {
		s := "a" + string(r) + "b"
		got, err := PlainJSON(map[string]string{"k": s}, "")
		if err != nil {
			t.Fatal(err)
		}
		var back map[string]string
		if err := json.Unmarshal(got, &back); err != nil {
			t.Fatalf("%U: %v", r, err)
		}
		if want := string([]rune(s)); back["k"] != want {
			t.Fatalf("%U: read %q, written %q", r, back["k"], want)
		}
		escaped := !bytes.ContainsRune(got, r)
		if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) && !escaped && r != '\n' { // a line end ends the text
			t.Errorf("%U stands as it is: %s", r, got)
		}
		if r > 0x7f && escaped && !unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) && utf8Valid(r) {
			t.Errorf("%U is escaped: %s", r, got)
		}
	}
	rng := rand.New(rand.NewPCG(20261125, 1)) // what is made of chance is of this seed
	for range 2000 {
		got, err := PlainJSON(anyValue(rng, 4), "  ")
		if err != nil {
			t.Fatal(err)
		}
		var want bytes.Buffer
		if err := json.Indent(&want, got, "", "  "); err != nil {
			t.Fatal(err)
		}
		if got := string(got); got != want.String() {
			t.Fatalf("%s\nis indented otherwise than by encoding/json:\n%s", got, want.String())
		}
	}
	long := bytes.Repeat([]byte(`{"wording":"plain text ± 5 m³/h"}`), 100)
	if got := Escaped(long); &got[0] != &long[0] {
		t.Error("a text without such characters was copied")
	}
}

// anyValue is a value of chance, up to so many levels deep.
func anyValue(rng *rand.Rand, levels int) any {
	text := []string{"", "a", `"`, `\`, `\"`, `{"a":[1,2]}`, "m³/h, [x]: {}", "\n", "a\\", `\\"`}
	switch n := rng.IntN(8); {
	case n == 0:
		return nil
	case n == 1:
		return rng.NormFloat64()
	case n < 4 || levels == 0:
		return text[rng.IntN(len(text))]
	case n < 6:
		list := make([]any, rng.IntN(4))
		for i := range list {
			list[i] = anyValue(rng, levels-1)
		}
		return list
	}
	object := map[string]any{}
	for range rng.IntN(4) {
		object[text[rng.IntN(len(text))]] = anyValue(rng, levels-1)
	}
	return object
}

// utf8Valid leaves out surrogates, which no UTF-8 text holds, and U+FFFD, which encoding/json may write as an escape.
func utf8Valid(r rune) bool { return (r < 0xd800 || r > 0xdfff) && r != '\ufffd' }

func BenchmarkEscaped(b *testing.B) {
	text := bytes.Repeat([]byte(`  "wording": "a rate of up to 300 m³/h, measured 262 ± 12 m³/h in a room of 45 m³",`+"\n"), 1200)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		Escaped(text)
	}
}

func FuzzPlainJSON(f *testing.F) {
	for _, s := range []string{"a\u009b31mb", "\u202e\u2028\x7f", "\U000e0041", "\xc2", "m³/h", `"\u0085"`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		plain, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		got, err := PlainJSON(s, "  ")
		if err != nil {
			t.Fatal(err)
		}
		var want, back string
		if json.Unmarshal(plain, &want) != nil || json.Unmarshal(got, &back) != nil || back != want {
			t.Errorf("%q is written %q and read %q", s, got, back)
		}
		for _, r := range string(got[:len(got)-1]) {
			if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
				t.Errorf("%q is written %q", s, got)
			}
		}
	})
}
