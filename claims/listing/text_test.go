package listing

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
	"testing"
	"unicode/utf16"
)

func TestReadRefuses(t *testing.T) {
	for _, c := range []struct{ name, file, in, want string }{
		{"empty", "a.txt", "", "a.txt: the file holds no visible text (0 bytes)"},
		{"blank", "a.txt", " \r\n\t\n", "no visible text"},
		{"nothing shown", "a.html", "<html><script>x</script><p hidden>340 m³/h</p>", "no visible text"},
		{"pdf", "a.pdf", "%PDF-1.7\n%\xe2\xe3", "found a PDF file that cannot be read as text"},
		{"zip", "a.docx", "PK\x03\x04\x14\x00", "found a zip archive or office document"},
		{"mhtml", "a.mhtml", "From: <Saved>\r\nMIME-Version: 1.0\r\nContent-Type: multipart/related;\r\n", "MIME"},
		{"rtf", "a.rtf", "{\\rtf1 hello}", "RTF"},
		{"invalid UTF-8", "a.txt", "line one é\ncaf\xe9 noise", `a.txt:2: column 4: the byte 0xE9 is not valid UTF-8 here`},
		{"zero bytes", "a.bin", "abc\x00\x01\x02", "a.bin:1: column 4: found a zero byte"},
		{"UTF-16 without mark", "a.txt", "N\x00o\x00i\x00s\x00e\x00", "byte-order mark"},
		{"controls", "a.txt", strings.Repeat("\x01\x02a", 50), "control characters"},
		{"UTF-16 cut", "a.txt", "\xff\xfeN\x00o", "odd number of bytes"},
		{"UTF-16 half pair", "a.txt", "\xff\xfe\x00\xd8N\x00", "surrogate"},
		{"page in a false character set", "a.html", "<html><meta charset=utf-8><p>caf\xe9</p>", "not valid UTF-8"},
		{"too much text", "a.txt", strings.Repeat("noise 50 dB and ", MaxText/16+1), "more than 1024 KiB of visible text"},
		{"too much text on a page", "a.html", "<p>" + strings.Repeat("noise 50 dB and ", MaxText/16+1), "more than 1024 KiB of visible text"},
	} {
		t.Run(c.name, func(t *testing.T) {
			x, err := Read(c.file, strings.NewReader(c.in))
			if err == nil {
				t.Fatalf("no error; body %q", x.Body)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %q, want %q in it", err, c.want)
			}
		})
	}
}

func TestReadTooLarge(t *testing.T) {
	_, err := Read("a.html", io.MultiReader(strings.NewReader("<html>"), io.LimitReader(spaces{}, MaxBytes)))
	if err == nil || !strings.Contains(err.Error(), "larger than 64 MiB") {
		t.Errorf("error %v, want the limit of 64 MiB", err)
	}
}

type spaces struct{}

func (spaces) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

func TestReadEncodings(t *testing.T) {
	const text = "Geräusch: 50 dB(A) bei 340 m³/h – 🌀\r\nzweite Zeile\rdritte"
	want := "Geräusch: 50 dB(A) bei 340 m³/h – 🌀\nzweite Zeile\ndritte"
	units := utf16.Encode([]rune(text))
	le, be := []byte{0xff, 0xfe}, []byte{0xfe, 0xff}
	for _, u := range units {
		le = append(le, byte(u), byte(u>>8))
		be = append(be, byte(u>>8), byte(u))
	}
	for name, raw := range map[string][]byte{"UTF-8": []byte(text), "UTF-8 with mark": []byte("\ufeff" + text), "UTF-16 LE": le, "UTF-16 BE": be} {
		x, err := Read("a.txt", bytes.NewReader(raw))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if x.Body != want {
			t.Errorf("%s: body %q, want %q", name, x.Body, want)
		}
		if l, c := x.At(strings.Index(x.Body, "Zeile")); l != 2 || c != 8 {
			t.Errorf("%s: place %d:%d, want 2:8", name, l, c)
		}
	}
	// The page says what it is: Windows-1252, the usual meaning of latin1 on the web (WHATWG Encoding Standard).
	x, err := Read("a.html", strings.NewReader("<html><meta charset=iso-8859-1><p>pi\xe8ces jusqu'\xe0 40 m\xb2</p>"))
	if err != nil || x.Body != "pièces jusqu'à 40 m²\n" {
		t.Errorf("declared character set: error %v, body %+v", err, x)
	}
}

func TestHTMLText(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"inline and blocks", "<p>a <b>b</b>c<br>d</p><div>e</div>f", "a bc\nd\ne\nf\n"},
		{"white space", "<p>a\n   b&nbsp;c  </p>\n\n<p> d", "a b\u00a0c\nd\n"},
		{"entities", "<p>5&thinsp;&lt; 6 &amp; m&sup2; AT&T &#8211; &zzz;</p>", "5\u2009< 6 & m² AT&T – &zzz;\n"},
		{"hidden", `<p>a<span hidden>b</span><span aria-hidden="true">c</span><span style="display : none">d</span><i style="VISIBILITY:hidden">e</i>f</p>`, "af\n"},
		{"not shown", "<style>a</style><script>b</script><noscript>c</noscript><template><p>d</template><svg><title>e</title></svg><p>f", "f\n"},
		{"alt text", `<p>a<img src=x alt="300 g &amp; more">b<img alt="">c`, "a\n300 g & more\nbc\n"},
		{"comment", "<!-- 99 dB --><p>a<!-- 98 dB -->b", "ab\n"},
		{"list without end tags", "<ul><li>a<li>b<li>c</ul>d", "a\nb\nc\nd\n"},
		{"label and value", "<table><tr><th>Noise:</th><td>50 dB</td></tr><tr><td>Power<td>45 W</table>", "Noise: 50 dB\nPower: 45 W\n"},
		{"columns", "<table><tr><th></th><th>Low</th><th>High</th><tr><td>Noise<td>24 dB<td>50 dB</table>", "Low | High\nNoise, Low: 24 dB\nNoise, High: 50 dB\n"},
		{"pairs in a row", "<table><tr><td>Noise</td><td>50 dB</td><td>Power</td><td>45 W</td></tr></table>", "Noise: 50 dB\nPower: 45 W\n"},
		{"table for layout", "<table><tr><td><p>Title<td><table><tr><td>Noise<td>50 dB</table></table>", "Title\nNoise: 50 dB\n"},
		{"description list", "<dl><dt>Noise<dd>50 dB<dt>Power<dd>45 W</dl>", "Noise: 50 dB\nPower: 45 W\n"},
		{"style sheet", `<style>/* .v{display:none} */ .x,p#q{display : none;color:red} @media print{.y{display:none}} .z{display:none} .z{display:block} b .w{display:none}</style>` +
			`<p class="n x">a</p><p id=q>b</p><p class=y>c</p><p class=z>d</p><p class=w>e</p><p class=v>f</p>`, "a\nb\nc\nd\ne\nf\n"},
		{"hidden row", `<table><tr><td>Noise<td>50 dB<tr style="display:none"><td>Power<td>45 W</table>`, "Noise: 50 dB\n"},
		{"unclosed", "<div><b>a<div>b", "a\nb\n"},
		{"stray end tags", "</p></div>a</td></table>b", "ab\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			x, err := Read("a.html", strings.NewReader("<html>"+c.in))
			if err != nil {
				t.Fatal(err)
			}
			if c.name == "style sheet" && strings.Join(strings.Fields(x.offer), " ") != "c d e f" {
				t.Errorf("offer %q: what the page hides is none of it", x.offer)
			}
			if x.Body != c.want {
				t.Errorf("body %q, want %q", x.Body, c.want)
			}
		})
	}
}

// TestHTMLPlaces: every character of the body that stands unencoded in the source is found there.
func TestHTMLPlaces(t *testing.T) {
	for _, name := range listings(t) {
		x := readFile(t, name)
		if !x.HTML {
			continue
		}
		raw, _ := os.ReadFile(filepath.Join(corpus, name))
		lines := strings.Split(string(raw), "\n")
		checked := 0
		for i, r := range x.Body {
			l, c := x.At(i)
			if l < 1 || l > len(lines) || c < 1 || c > len([]rune(lines[l-1]))+1 {
				t.Fatalf("%s: byte %d stands at %d:%d, outside the source", name, i, l, c)
			}
			line := []rune(lines[l-1])
			if k := sort.Search(len(x.marks), func(k int) bool { return x.marks[k].off > i }) - 1; x.marks[k].flat {
				continue // repeated from the head of a column: it stands at the place of its row
			}
			if r == '\n' || r == ':' || r == ',' || r == ' ' || r == '|' || c > len(line) || line[c-1] == '&' {
				continue // line ends and the punctuation of table rows
			}
			checked++
			if line[c-1] != r {
				t.Fatalf("%s: %q stands at %d:%d, where the source has %q", name, r, l, c, line[c-1])
			}
		}
		if checked < 100 {
			t.Errorf("%s: only %d characters checked", name, checked)
		}
	}
}

// TestLargePage reads 50 MiB of page, most of it markup and pictures, and holds the memory.
func TestLargePage(t *testing.T) {
	if testing.Short() {
		t.Skip("50 MiB page: not in short mode")
	}
	var b bytes.Buffer
	b.WriteString("<html><body><h1>Nonesuch</h1>")
	for b.Len() < 50<<20 {
		b.WriteString(`<div class="` + strings.Repeat("x", 200) + `"><img src="data:image/png;base64,` + strings.Repeat("QUJD", 20000) + `"><script>` +
			strings.Repeat("var a=1;", 1000) + `</script></div>`)
	}
	b.WriteString("<p>CADR 340 m³/h</p>")
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	x, err := Read("big.html", &b)
	if err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	if e := x.Extract(); len(e.Claims) != 1 || e.Claims[0].Claim.Claimed.Low != 340 {
		t.Errorf("claims %v, want the one of 340 m3/h", e.Claims)
	}
	// All that was ever allocated bounds the peak; reading a stream into memory by doubling takes most of it.
	taken := after.TotalAlloc - before.TotalAlloc
	t.Logf("%d MiB allocated in all for a page of 50 MiB", taken>>20)
	if taken > 600<<20 {
		t.Errorf("%d MiB allocated for a page of 50 MiB", taken>>20)
	}
}

// TestDeepPage: nesting far beyond what a page has neither fails nor loses the text.
func TestDeepPage(t *testing.T) {
	n := 200000
	x, err := Read("deep.html", strings.NewReader("<html>"+strings.Repeat("<div>", n)+"noise 50 dB"+strings.Repeat("</div>", n)+"<p>power 45 W"))
	if err != nil {
		t.Fatal(err)
	}
	if x.Body != "noise 50 dB\npower 45 W\n" {
		t.Errorf("body %q", x.Body)
	}
}

func FuzzRead(f *testing.F) {
	for _, name := range listings(f) {
		raw, err := os.ReadFile(filepath.Join(corpus, name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(name, raw)
	}
	f.Add("a.txt", []byte("5 W 5 W/5 W–6 W: (W) 5, 99,999,9 % 0,,5 1.2.3 €5 5€ ±5 dB"))
	f.Add("a.html", []byte("<table><td><table><dl><dd>5 W<dt>x<tr><th>5<td>6<li></table></b><img alt='5 W'>"))
	f.Fuzz(func(t *testing.T, name string, raw []byte) {
		if len(raw) > 1<<16 {
			return
		}
		x, err := Read(name, bytes.NewReader(raw))
		if err != nil {
			return
		}
		e := x.Extract()
		checkPlaces(t, x, e)
		r := Vet(x)
		if _, err := json.Marshal(r); err != nil {
			t.Error(err)
		}
		for _, f := range r.Findings {
			if x.Body[f.Start:f.End] != f.Quote {
				t.Errorf("finding %s: Body[%d:%d] is %q, quote %q", f.Rule, f.Start, f.End, x.Body[f.Start:f.End], f.Quote)
			}
		}
		for _, row := range r.Spec().Claims {
			if len(row) != len(ClaimColumns) {
				t.Errorf("spec row of %d cells", len(row))
			}
		}
		lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(string(raw), "\ufeff")), "\n")
		for _, d := range e.Claims {
			if x.HTML || x.Old || x.PDF || len(raw) > 1 && (raw[0] >= 0xfe) {
				break
			}
			if ofTable(lines[d.Line-1]) {
				continue
			}
			first, _, _ := strings.Cut(d.Quote, "\n")
			if at := string([]rune(lines[d.Line-1])[d.Col-1:]); !strings.HasPrefix(narrowed(at), first) {
				t.Errorf("%d:%d: the source has %q, the quote is %q", d.Line, d.Col, at, first)
			}
		}
	})
}

func BenchmarkVet(b *testing.B) {
	x := readFile(b, "shop.html")
	b.SetBytes(int64(len(x.Body)))
	for b.Loop() {
		Vet(x)
	}
}

// BenchmarkVetFull vets as much text as a listing may have: one megabyte of the corpus's prose, repeated.
func BenchmarkVetFull(b *testing.B) {
	one := readFile(b, "prose.txt").Body + "\n\n"
	x, err := Read("full.txt", strings.NewReader(strings.Repeat(one, MaxText/len(one))))
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(x.Body)))
	for b.Loop() {
		Vet(x)
	}
}
