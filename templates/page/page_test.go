package page

import (
	"bytes"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"weighhouse/templates/internal/mossgate"
	"weighhouse/verdict"
)

func written(t *testing.T, a *verdict.Audit) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, a); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWriteTwiceIsEqual(t *testing.T) {
	first := written(t, mossgate.Audit())
	if second := written(t, mossgate.Audit()); first != second {
		t.Error("the same audit gave other bytes the second time")
	}
}

// The answer stands first, the rule before the results in detail (ISO/IEC 17025:2017, 7.8.6), and every part is there.
func TestEverythingIsPrintedInOrder(t *testing.T) {
	a := mossgate.Audit()
	text := wordsOf(parse(t, written(t, a)))
	at := 0
	for _, want := range []string{"Brindlecote Air Works Fennow 40", "serial FN40-007731", "Wren & Alder Bench", "The answer", "5 supported", "3 contradicted", "3 inconclusive", "2 untested", "1 unclear",
		"a statistical outcome, no motive", "The maker has answered (2031-03-04)", "231 ± 16 m³/h", "≥ 288 m³/h", "cleans 28 % less air than claimed", "almost certainly misses it", "What the words leave open: the 3 that matter most of 5", "What to ask the maker", "not legal advice",
		"In this report", "How the claims were judged", "JCGM 106:2012", "Claimed and measured at a glance", "Sound pressure level by setting", "Claim by claim", "C1 Delivery rate", "GB/T 18801", "What the words leave open: 5 findings",
		"EN 1822-1:2019", "Measurements, method and uncertainty", "M1 Delivery rate", "Run D1, unit on", "scatter of the runs", "M11", "What it costs to run", "173.17 EUR", "What follows from the results", "19.9 m²", "What was printed when",
		"CADR 350 m³/h", "Test record", "OP-2217", "Completeness of the record: 14 of 16 items", "missing", "Inputs", a.Inputs[0].SHA256, "What the maker was asked", "Thank you for sending us your rows.", "no reply by 2031-03-12",
		"Notes on reading", "Cautions", "Check current law", "reproduced except in full", "End of report"} {
		i := strings.Index(text[at:], want)
		if i < 0 {
			t.Fatalf("%q is missing, or not in its place; after it: %.300q", want, text[at:])
		}
		at += i
	}
	for _, row := range a.Rows {
		if !strings.Contains(text, row.Claim.ID) {
			t.Errorf("claim %s is missing", row.Claim.ID)
		}
	}
	for _, bad := range []string{"false", "fake", "fraud", "illegal", " lie ", "%!", "<no value>"} {
		if strings.Contains(strings.ToLower(text), bad) {
			t.Errorf("the page says %q", bad)
		}
	}
}

func TestQuotesAreMarkedInTheirContext(t *testing.T) {
	a := mossgate.Audit()
	a.Findings[1].Quote = "words that stand nowhere"
	p := written(t, a)
	for _, want := range []string{`“<mark>True HEPA H13 grade</mark> filter with nano silver”`, `… <mark>words that stand nowhere</mark> …`, `“CADR <mark>up to</mark> 320 m³/h for smoke, tested by independent experts!”`,
		`“滤网<mark>寿命 6–8 个月</mark> (filter life 6–8 months)”`} {
		if !strings.Contains(p, want) {
			t.Errorf("the page does not hold %s", want)
		}
	}
}

// Audits that are nearly empty are written all the same, with no part left over that has nothing in it.
func TestSmallAudits(t *testing.T) {
	p := written(t, &verdict.Audit{Issued: "2031-03-14"})
	check(t, p)
	text := wordsOf(parse(t, p))
	for _, want := range []string{"product not named", "Nothing was measured", "0 contradicted", "Cautions"} {
		if !strings.Contains(text, want) {
			t.Errorf("an empty audit's page does not say %q", want)
		}
	}
	for _, bad := range []string{"Claim by claim", "Inputs", "Test record", "Every claim"} {
		if strings.Contains(text, bad) {
			t.Errorf("an empty audit's page says %q", bad)
		}
	}
	a := mossgate.Audit()
	a.Measurements, a.Costs, a.Test = nil, nil, verdict.TestRecord{}
	check(t, written(t, a)) // the rows still name measurements and instruments that are not there: no link may dangle
}

func TestWebAddress(t *testing.T) {
	for in, want := range map[string]string{
		"https://shop.example/a?b=1&c=2#d": "https://shop.example/a?b=1&c=2#d", " http://shop.example ": "http://shop.example", "HTTPS://shop.example/": "https://shop.example/",
		"javascript:alert(1)": "", "JaVaScRiPt:alert(1)": "", "data:text/html,x": "", "//shop.example/a": "", "shop.example": "", "file:///etc/passwd": "", "https:": "", "https:///x": "",
		"https://maker.example@other.example/": "", "ht\ntps://shop.example": "", "": "", "ftp://shop.example/a": "",
	} {
		if got := webAddress(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// parse reads a page as a browser would.
func parse(t *testing.T, p string) *html.Node {
	t.Helper()
	n, err := html.Parse(strings.NewReader(p))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// each visits a node and all below it.
func each(n *html.Node, visit func(*html.Node)) {
	visit(n)
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		each(c, visit)
	}
}

// wordsOf are the texts of a page in order, with single spaces.
func wordsOf(n *html.Node) string {
	var b strings.Builder
	each(n, func(n *html.Node) {
		if n.Type == html.TextNode && n.Parent.Data != "style" {
			b.WriteString(n.Data)
		}
	})
	return strings.Join(strings.Fields(strings.ReplaceAll(b.String(), "\u00a0", " ")), " ")
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func BenchmarkWrite(b *testing.B) {
	a := mossgate.Audit()
	b.ReportAllocs()
	for b.Loop() {
		var out bytes.Buffer
		if err := Write(&out, a); err != nil {
			b.Fatal(err)
		}
	}
}
