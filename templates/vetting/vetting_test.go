package vetting

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"

	"weighhouse/claims/listing"
	"weighhouse/measure/sheet"
)

const corpus = "../../testdata/listings"

func read(t testing.TB, name, body string) *Vetting {
	t.Helper()
	x, err := listing.Read(name, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	return &Vetting{Report: listing.Vet(x), Issued: "2026-03-02", Version: "1.2.3",
		Input: sheet.Input{Path: name, Bytes: int64(len(body)), SHA256: strings.Repeat("0a", 32)}}
}

// all reads every listing of the corpus.
func all(t testing.TB) (out []*Vetting) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(corpus, "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if filepath.Ext(f) == ".csv" {
			continue
		}
		raw, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, read(t, filepath.Base(f), string(raw)))
	}
	if len(out) < 20 {
		t.Fatalf("the corpus holds %d listings", len(out))
	}
	return out
}

func plainText(t testing.TB, v *Vetting, o TextOptions) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteText(&b, v, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// squash makes text of any layout comparable: white space, non-breaking too, collapsed.
func squash(s string) string { return strings.Join(strings.FieldsFunc(s, unicode.IsSpace), " ") }

// TestTextHoldsAll: every claim with its quote and place, every finding, every question and caution, at two widths.
func TestTextHoldsAll(t *testing.T) {
	for _, v := range all(t) {
		for _, width := range []int{60, 100} {
			out := squash(plainText(t, v, TextOptions{Width: width}))
			want := append(append([]string{}, v.Questions...), v.Cautions...)
			for _, d := range v.Claims {
				want = append(want, d.Claim.ID+" “"+oneLine(printable(d.Quote))+"”", place(v, d.Line, d.Col))
			}
			for _, f := range v.Findings {
				want = append(want, f.Rule, f.Why, f.Ask, place(v, f.Line, f.Col))
			}
			for _, w := range want {
				if !strings.Contains(out, squash(printable(w))) {
					t.Errorf("%s at width %d: the text lacks %q", v.Listing, width, w)
				}
			}
		}
	}
}

// TestTextWidth: no line is longer than the width, unless one word or table cell alone is.
func TestTextWidth(t *testing.T) {
	for _, v := range all(t) {
		for _, line := range strings.Split(plainText(t, v, TextOptions{Width: 100}), "\n") {
			if utf8.RuneCountInString(line) > 100 && len(strings.Fields(line)) > 1 {
				t.Errorf("%s: %d characters: %q", v.Listing, utf8.RuneCountInString(line), line)
			}
		}
	}
}

// TestTerminal: weight where it is asked for and nowhere else; no control or direction characters of a listing get through.
func TestTerminal(t *testing.T) {
	v := read(t, "a.txt", "Noise: 50 dB(A)\x1b[31m on \u202eturbo, whisper\u200b quiet\a\n")
	if out := plainText(t, v, TextOptions{}); strings.ContainsFunc(out, func(r rune) bool { return r != '\n' && unicode.IsControl(r) || unicode.Is(unicode.Cf, r) }) {
		t.Errorf("control characters in %q", out)
	}
	if out := plainText(t, v, TextOptions{Bold: true}); !strings.Contains(out, "\x1b[1mWHAT IT CLAIMS\x1b[0m") || strings.Contains(out, "\x1b[31m") {
		t.Errorf("weight: %q", out)
	}
}

// verdicts are words that no form may say of its own.
var verdicts = regexp.MustCompile(`(?i)\b(?:false|fake|fraud|lies?|illegal|bad product|good product|recommend(?:ed)? (?:buy|product)|trustworthy|scam|misleading)\b`)

func TestNoJudgement(t *testing.T) {
	for _, v := range all(t) {
		var b bytes.Buffer
		if err := WriteHTML(&b, v); err != nil {
			t.Fatal(err)
		}
		for _, out := range []string{plainText(t, v, TextOptions{}), b.String()} {
			if w := verdicts.FindString(out); w != "" {
				t.Errorf("%s: the report says %q", v.Listing, w)
			}
			if !strings.Contains(squash(out), "nothing here says whether the product is good or bad") {
				t.Errorf("%s: the caution is missing", v.Listing)
			}
		}
	}
}

// TestPage: markup in a listing stays text, ids are unique, every link into the page has its target, nothing is loaded.
func TestPage(t *testing.T) {
	vs := append(all(t), read(t, "x\"><script>1</script>.txt",
		"Brand: <script>alert(1)</script>\nNoise: 50 dB(A) <img src=x onerror=alert(1)> \"onload=\" javascript:alert(1) on turbo\n<b>HEPA-type</b> & true HEPA\n"))
	for _, v := range vs {
		var b, again bytes.Buffer
		if err := WriteHTML(&b, v); err != nil {
			t.Fatal(err)
		}
		if err := WriteHTML(&again, v); err != nil || again.String() != b.String() {
			t.Errorf("%s: two pages differ (%v)", v.Listing, err)
		}
		doc, err := html.Parse(&b)
		if err != nil {
			t.Fatal(err)
		}
		ids, links := map[string]bool{}, []string{}
		for n := range doc.Descendants() {
			switch n.Data {
			case "script", "img", "iframe", "link", "object", "base", "form":
				if n.Type == html.ElementNode {
					t.Errorf("%s: the page holds <%s>", v.Listing, n.Data)
				}
			}
			for _, a := range n.Attr {
				switch {
				case a.Key == "id" && ids[a.Val]:
					t.Errorf("%s: id %q twice", v.Listing, a.Val)
				case a.Key == "id":
					ids[a.Val] = true
				case a.Key == "href":
					links = append(links, a.Val)
				case strings.HasPrefix(a.Key, "on") || a.Key == "src":
					t.Errorf("%s: attribute %s", v.Listing, a.Key)
				}
			}
		}
		for _, l := range links {
			if id, ok := strings.CutPrefix(l, "#"); !ok || !ids[id] {
				t.Errorf("%s: the link %q leads nowhere", v.Listing, l)
			}
		}
	}
}

func TestPDF(t *testing.T) {
	for _, v := range all(t) {
		var b, again bytes.Buffer
		if _, err := WritePDF(&b, v, Options{}); err != nil {
			t.Fatalf("%s: %v", v.Listing, err)
		}
		if _, err := WritePDF(&again, v, Options{}); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
			t.Errorf("%s: two PDFs differ (%v)", v.Listing, err)
		}
		d, err := build(v, Options{})
		if err != nil {
			t.Fatal(err)
		}
		rec := d.Recording()
		for _, want := range []string{"What it claims", "What the words leave open", "Questions to send to the seller", "Cautions"} {
			if !strings.Contains(rec, want) {
				t.Errorf("%s: the PDF lacks %q", v.Listing, want)
			}
		}
	}
	v := read(t, "a.txt", "Noise: 50 dB(A) on turbo\n")
	v.Issued = "yesterday"
	if _, err := WritePDF(&bytes.Buffer{}, v, Options{}); err == nil {
		t.Error("a day of issue that is none was taken")
	}
	if _, err := WritePDF(&bytes.Buffer{}, read(t, "a.txt", "x 50 dB"), Options{Paper: "a7"}); err == nil {
		t.Error("an unknown paper was taken")
	}
}

// TestPDFSound: qpdf, a reference reader, finds no fault, and the JSON is attached whole.
func TestPDFSound(t *testing.T) {
	if _, err := exec.LookPath("qpdf"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("qpdf is needed where CI=true")
		}
		t.Skip("qpdf is not installed")
	}
	raw, err := os.ReadFile(filepath.Join(corpus, "shop.html"))
	if err != nil {
		t.Fatal(err)
	}
	v := read(t, "shop.html", string(raw))
	path := filepath.Join(t.TempDir(), "a.pdf")
	var b, js bytes.Buffer
	if _, err := WritePDF(&b, v, Options{Paper: "letter"}); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("qpdf", "--check", path).CombinedOutput(); err != nil {
		t.Errorf("qpdf: %v\n%s", err, out)
	}
	got, err := exec.Command("qpdf", "--show-attachment=vet.json", path).Output()
	if err := WriteJSON(&js, v); err != nil {
		t.Fatal(err)
	}
	if err != nil || !bytes.Equal(got, js.Bytes()) {
		t.Errorf("the attachment is not the JSON (%v)", err)
	}
}

// TestJSON: the lists are never null, and the identification is there.
func TestJSON(t *testing.T) {
	for _, v := range append(all(t), read(t, "a.txt", "Nothing at all.")) {
		var b bytes.Buffer
		if err := WriteJSON(&b, v); err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		if err := json.Unmarshal(b.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		for _, key := range []string{"claims", "prices", "stated", "findings", "rooms", "areas", "times", "costs", "questions", "notes", "cautions"} {
			if _, ok := got[key].([]any); !ok {
				t.Errorf("%s: %s is %v, want a list", v.Listing, key, got[key])
			}
		}
		if got["format"] != Format || got["issued"] != "2026-03-02" || got["input"].(map[string]any)["path"] != v.Listing {
			t.Errorf("%s: identification %v %v %v", v.Listing, got["format"], got["issued"], got["input"])
		}
		if regexp.MustCompile(`"(?:notes|basis|also_at|meets|misses|claims)": null`).MatchString(b.String()) {
			t.Errorf("%s: a list is null", v.Listing)
		}
	}
}

// TestCostsInTwoCurrencies: money of two currencies stands side by side, each with its own, and is never added.
func TestCostsInTwoCurrencies(t *testing.T) {
	v := read(t, "a.txt", "Power: 45 W\nElectricity: 0.30 €/kWh\nReplacement filter: $30\nFilter life: 3000 h\n")
	g := costGroups(v)
	if len(g) != 1 || len(g[0].Rows) == 0 {
		t.Fatalf("groups %+v", g)
	}
	// 45 W all day for a year is 394.2 kWh, at 0.30 a kWh 118.26; 8760 h need 2.92 filters, at 30 each 87.60 (arithmetic).
	if r := squash(strings.Join(g[0].Rows[0], " | ")); r != "24 | 394 | 118.26 EUR | 2.92 | 87.60 $ | –" {
		t.Errorf("row %q", r)
	}
}

func BenchmarkHTML(b *testing.B) {
	bench(b, func(v *Vetting) error { return WriteHTML(&bytes.Buffer{}, v) })
}
func BenchmarkPDF(b *testing.B) {
	bench(b, func(v *Vetting) error { _, err := WritePDF(&bytes.Buffer{}, v, Options{}); return err })
}

func bench(b *testing.B, write func(*Vetting) error) {
	raw, err := os.ReadFile(filepath.Join(corpus, "shop.html"))
	if err != nil {
		b.Fatal(err)
	}
	v := read(b, "shop.html", string(raw))
	for b.Loop() {
		if err := write(v); err != nil {
			b.Fatal(err)
		}
	}
}
