package index

import (
	"bytes"
	"encoding/csv"
	"io"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"weighhouse/verdict"
)

func rows() []Row {
	return []Row{
		{Case: "b", Folder: "b", State: Audited, Maker: "Brindlecote", Model: "Fennow 40", Issued: "2026-08-03", Version: "0.1.0", Marked: "indicative: C1", Claims: 3,
			Counts: map[verdict.Outcome]int{verdict.Supported: 2, verdict.Contradicted: 1}, Findings: 4, Files: []string{"audit.pdf", "audit.json"}},
		{Case: "a", Folder: "x/a", State: Failed, Problem: "spec.xlsx: sheet claims, cell B2: found \"\x1b[31mred\"\nspec.xlsx: sheet claims, cell B3: blank"},
		{Case: "=cmd|' /C calc'!A0", Folder: "javascript:alert(1)", State: Audited, Maker: `<script>alert("x")</script>`, Model: "+1", Issued: "2026-08-03", Version: "0.1.0",
			Claims: 1, Counts: map[verdict.Outcome]int{verdict.Unclear: 1}, Files: []string{"audit.html"}},
		{Case: "c", Folder: "//host/c #?%41", State: Audited, Issued: "2026-08-04", Counts: map[verdict.Outcome]int{}, Files: []string{"audit.xlsx", "audit.json"}},
		{Case: "d\xff", Folder: ".", State: Absent},
	}
}

// The order in which rows come does not show: the same bytes.
func TestOrder(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	rng := rand.New(rand.NewPCG(seed, 1))
	write := func(rows []Row) (string, string) {
		var a, b bytes.Buffer
		if err := WriteCSV(&a, rows); err != nil {
			t.Fatal(err)
		}
		if err := WriteHTML(&b, rows, "0.1.0"); err != nil {
			t.Fatal(err)
		}
		return a.String(), b.String()
	}
	table, page := write(rows())
	for range 20 {
		rs := rows()
		rng.Shuffle(len(rs), func(i, j int) { rs[i], rs[j] = rs[j], rs[i] })
		if a, b := write(rs); a != table || b != page {
			t.Fatalf("seed %d: another order of the rows gives other bytes", seed)
		}
	}
}

// No cell of the table is a formula, counts stand only where there are any, and paths are relative to the index.
func TestCSV(t *testing.T) {
	var b bytes.Buffer
	if err := WriteCSV(&b, rows()); err != nil {
		t.Fatal(err)
	}
	all, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	got := map[string][]string{}
	for _, r := range all[1:] {
		for i, cell := range r {
			if cell != "" && strings.ContainsRune("=+-@", rune(cell[0])) || strings.ContainsAny(cell, "\x1b\n\r") {
				t.Errorf("column %s: %q", all[0][i], cell)
			}
		}
		got[r[0]] = r
	}
	want := map[string][]string{
		"b":                   {"b", "b", "audited", "Brindlecote", "Fennow 40", "", "2026-08-03", "0.1.0", "3", "2", "1", "0", "0", "0", "4", "b/audit.pdf", "b/audit.json", "", "", "", "indicative: C1"},
		"a":                   {"a", "x/a", "failed", "", "", "", "", "", "", "", "", "", "", "", "", "", "", "", "", `spec.xlsx: sheet claims, cell B2: found " [31mred"; spec.xlsx: sheet claims, cell B3: blank`, ""},
		"'=cmd|' /C calc'!A0": {"'=cmd|' /C calc'!A0", "javascript:alert(1)", "audited", `<script>alert("x")</script>`, "'+1", "", "2026-08-03", "0.1.0", "1", "0", "0", "0", "0", "1", "0", "", "", "javascript:alert(1)/audit.html", "", "", ""},
	}
	for name, w := range want {
		if !reflect.DeepEqual(got[name], w) {
			t.Errorf("%s:\n got %q\nwant %q", name, got[name], w)
		}
	}
}

// Nothing of an input becomes markup: every element of the page is one of the template's, links are relative paths, each
// has a name that tells it from the others, and the table's heads say what they head.
func TestHTML(t *testing.T) {
	var b bytes.Buffer
	if err := WriteHTML(&b, rows(), "0.1.0"); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	if strings.ContainsAny(text, "\x1b\x00") || !strings.Contains(text, "2 without an audit") {
		t.Error("the page holds control characters, or does not count the cases without an audit")
	}
	known := map[string]bool{}
	for _, n := range strings.Fields("html head meta title style body header h1 p main table caption thead tbody tfoot tr th td span small b a section h2 ul li footer") {
		known[n] = true
	}
	names := map[string]bool{}
	links := 0
	z := html.NewTokenizer(&b)
	for {
		tt := z.Next()
		if tt == html.ErrorToken {
			if z.Err() != io.EOF {
				t.Fatal(z.Err())
			}
			break
		}
		if tt != html.StartTagToken && tt != html.SelfClosingTagToken {
			continue
		}
		tok := z.Token()
		if !known[tok.Data] {
			t.Errorf("the page holds <%s>", tok.Data)
		}
		attr := map[string]string{}
		for _, a := range tok.Attr {
			attr[a.Key] = a.Val
			if strings.HasPrefix(a.Key, "on") {
				t.Errorf("<%s %s>", tok.Data, a.Key)
			}
		}
		switch tok.Data {
		case "a":
			links++
			if h := attr["href"]; strings.HasPrefix(h, "//") || strings.Contains(strings.SplitN(h, "/", 2)[0], ":") || strings.ContainsAny(h, "#? ") {
				t.Errorf("the link %q is no relative path", h)
			}
			if names[attr["aria-label"]] || attr["aria-label"] == "" {
				t.Errorf("two links are named %q", attr["aria-label"])
			}
			names[attr["aria-label"]] = true
		case "th":
			if attr["scope"] == "" {
				t.Error("a head of the table does not say what it heads")
			}
		}
	}
	if links != 5 {
		t.Errorf("%d links, wanted 5", links)
	}
}
