package block

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"weighhouse/templates/figure"
)

func sample() *Doc {
	d := &Doc{Eyebrow: "Sample", Title: "A document", Creator: "weighhouse test", Created: time.Date(2031, 3, 14, 0, 0, 0, 0, time.UTC), Footer: "foot"}
	d.Add(Heading{Level: 1, Text: T("First part"), Anchor: "first"},
		Para{Text: Text{B("Bold "), P("and plain "), Link("#t2", "a link"), Link("javascript:alert(1)", "no link"), Link("https://maker.example/a b", "web")}},
		Facts{[]Fact{{"Label", T("text")}, {"Another label", T("more")}}},
		Table{Caption: "A table", Columns: []Column{{Head: "Name"}, {Head: "Value", Right: true}, {Head: "Remark"}}, Anchors: []string{"", "t2"},
			Rows: [][]Text{{T("background"), T("12.5"), T("the reading of the sensor in clean air")}, {T("漢字のセル"), T("3"), nil}}},
		List{Items: Texts([]string{"one", "two"}), Numbered: true}, Quote{T("what somebody wrote")},
		Group{Blocks: []Block{Heading{Level: 2, Text: T("Inner")}, Para{Text: T("inner text"), Small: true}}},
		Figures{[]figure.Figure{figure.New("fig", "A figure", "it shows a line", 100, 40, func(s figure.Surface) {
			s.Line(figure.Point{X: 0, Y: 0}, figure.Point{X: 100, Y: 40}, figure.Stroke{Width: 1, Tone: figure.Ink})
		})}}, Break{})
	return d
}

// Every word of the document stands in each of the three printers, in the same order.
func TestOneDocument(t *testing.T) {
	d := sample()
	var page, text bytes.Buffer
	if err := d.HTML(&page); err != nil {
		t.Fatal(err)
	}
	if err := d.Text(&text, Terminal{Width: 200}); err != nil {
		t.Fatal(err)
	}
	laid, err := d.Lay(Paper{})
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Fields("Sample A document First part Bold and plain Label text Another more Name Value Remark background 12.5 sensor 漢字のセル one two somebody Inner inner figure")
	for name, out := range map[string]string{"page": page.String(), "text": text.String(), "paper": laid.Recording()} {
		at := 0
		for _, w := range words {
			if name == "paper" && w == "漢字のセル" { // the built-in fonts lack it; a warning says so
				continue
			}
			i := strings.Index(out[at:], w)
			if i < 0 {
				t.Errorf("%s: %q is missing, or out of order", name, w)
				continue
			}
			if name != "page" { // a page's head repeats the title
				at += i
			}
		}
	}
}

// No line is wider than asked, wide characters counted twice, and no word that fits a line is broken.
func TestTextWidth(t *testing.T) {
	for width := 12; width < 120; width++ {
		var b bytes.Buffer
		if err := sample().Text(&b, Terminal{Width: width}); err != nil {
			t.Fatal(err)
		}
		for _, l := range strings.Split(b.String(), "\n") {
			if Columns(l) > width {
				t.Errorf("width %d: %q takes %d", width, l, Columns(l))
			}
		}
		if !strings.Contains(b.String(), "background") {
			t.Errorf("width %d: a word was broken:\n%s", width, b.String())
		}
	}
}

// Widths by Unicode Standard Annex 11: wide and full-width two, half-width one, combining marks none.
func TestColumns(t *testing.T) {
	for s, want := range map[string]int{"abc": 3, "漢字": 4, "ｶﾅ": 2, "Ａ": 2, "e\u0301": 1, "m³/h": 4, "": 0} {
		if got := Columns(s); got != want {
			t.Errorf("%q: %d columns, want %d", s, got, want)
		}
	}
}

// Foreign texts harm neither a page nor a terminal.
func TestHostile(t *testing.T) {
	bad := "</title><script>alert(1)</script>\x1b[31m\u202e\x00\xff&\""
	d := sample()
	d.Title = bad
	d.Add(Para{Text: Text{{Text: bad, To: "javascript:" + bad}, {Text: bad, To: "#\"><x>"}}}, Table{Caption: bad, Columns: []Column{{Head: bad}}, Rows: [][]Text{{T(bad)}}, Anchors: []string{bad}})
	var page, text, paper bytes.Buffer
	if err := d.HTML(&page); err != nil {
		t.Fatal(err)
	}
	n, err := html.Parse(&page)
	if err != nil {
		t.Fatal(err)
	}
	var look func(*html.Node)
	look = func(n *html.Node) {
		if n.Type == html.ElementNode && (n.Data == "script" || n.Data == "x") {
			t.Errorf("element %s", n.Data)
		}
		for _, a := range n.Attr {
			if strings.HasPrefix(a.Key, "on") || a.Key == "href" && !strings.HasPrefix(a.Val, "#") && !strings.HasPrefix(a.Val, "http") {
				t.Errorf("attribute %s=%q", a.Key, a.Val)
			}
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			look(c)
		}
	}
	look(n)
	if err := d.Text(&text, Terminal{}); err != nil {
		t.Fatal(err)
	}
	if strings.ContainsAny(text.String(), "\x1b\x00\u202e") {
		t.Errorf("the text holds what steers a terminal: %q", text.String())
	}
	if _, err := d.PDF(&paper, Paper{}); err != nil {
		t.Fatal(err)
	}
}

// Wrapping loses nothing but spaces, whatever the text and width.
func TestWrapKeepsText(t *testing.T) {
	const seed = 5
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	alphabet := []rune("ab cd  漢e\u0301 \n")
	for range 2000 {
		var s []rune
		for range r.IntN(40) {
			s = append(s, alphabet[r.IntN(len(alphabet))])
		}
		w := 1 + r.IntN(12)
		ls := Wrap(string(s), w)
		if got, want := strings.Join(strings.Fields(strings.Join(ls, " ")), ""), strings.Join(strings.Fields(string(s)), ""); got != want {
			t.Fatalf("%q at %d: %q", string(s), w, ls)
		}
	}
}

// The same document gives the same bytes.
func TestSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if _, err := sample().PDF(w, Paper{}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two PDFs of one document differ")
	}
}

func Example() {
	d := &Doc{Title: "Two settings"}
	d.Add(Table{Columns: []Column{{Head: "setting"}, {Head: "W", Right: true}}, Rows: [][]Text{{T("max"), T("46.9")}, {T("sleep"), T("3.1")}}})
	var b strings.Builder
	_ = d.Text(&b, Terminal{Width: 40})
	fmt.Print(b.String())
	// Output:
	// Two settings
	//
	// setting     W
	// max      46.9
	// sleep     3.1
}
