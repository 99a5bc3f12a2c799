package page

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"weighhouse/templates/internal/mossgate"
	"weighhouse/verdict"
)

// void are the elements that have no end tag (HTML Living Standard, 13.1.2); the figures close theirs themselves.
var void = map[string]bool{"meta": true, "br": true, "img": true, "link": true, "input": true, "hr": true, "base": true, "col": true, "embed": true, "source": true, "wbr": true}

// elements and attributes are all that a page of ours is made of; anything else came from an input.
var (
	elements = set("html head meta title style body a div svg desc defs use polygon polyline path text rect header main footer nav section article p h1 h2 h3 dl dt dd ul ol li b mark span bdi table caption thead tbody tr th td " +
		"blockquote details summary figure figcaption code")
	attributes = set("lang charset http-equiv content name id class href rel dir tabindex role scope data-label xmlns viewbox width height fill stroke stroke-width stroke-opacity fill-opacity stroke-dasharray stroke-linecap " +
		"font-family font-size font-weight font-style text-anchor textlength lengthadjust points d x y style focusable preserveaspectratio aria-hidden aria-label aria-labelledby")
)

func set(s string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(s) {
		m[w] = true
	}
	return m
}

// check holds a page against what makes it sound and accessible; the rules are those of the HTML Living Standard and of
// WCAG 2.2 (1.1.1, 1.3.1, 2.4.1, 2.4.6, 3.1.1) as far as the markup alone shows them.
func check(t *testing.T, p string) {
	t.Helper()
	balanced(t, p)
	root := parse(t, p)
	ids := map[string]int{}
	n := map[string]int{}
	level := 0
	each(root, func(e *html.Node) {
		if e.Type != html.ElementNode {
			return
		}
		if e.Namespace == "" {
			n[e.Data]++
		}
		if !elements[e.Data] {
			t.Errorf("an element %s", e.Data)
		}
		for _, a := range e.Attr {
			if !attributes[strings.ToLower(a.Key)] {
				t.Errorf("%s has an attribute %s", e.Data, a.Key)
			}
			if a.Key == "id" {
				ids[a.Val]++
			}
			if a.Key == "style" && !styles[a.Val] {
				t.Errorf("%s has style %q", e.Data, a.Val)
			}
		}
		if len(e.Data) == 2 && e.Data[0] == 'h' && e.Data[1] >= '1' && e.Data[1] <= '6' {
			if l := int(e.Data[1] - '0'); l > level+1 {
				t.Errorf("a heading %s after one of level %d", e.Data, level)
			} else {
				level = l
			}
			if strings.TrimSpace(wordsOf(e)) == "" {
				t.Errorf("an empty %s", e.Data)
			}
		}
	})
	for id, k := range ids {
		if k > 1 || id == "" || strings.ContainsAny(id, " \t\n") {
			t.Errorf("id %q stands %d times", id, k)
		}
	}
	for _, one := range []string{"h1", "main", "header", "footer", "nav", "title"} {
		if n[one] != 1 {
			t.Errorf("%d elements %s", n[one], one)
		}
	}
	each(root, func(e *html.Node) { refer(t, e, ids) })
	if h := root.LastChild; attr(h, "lang") != "en" {
		t.Error("the page does not name its language")
	}
}

// styles are the custom properties that figures draw with.
var styles = set("fill:var(--accent,#0b5a78) stroke:var(--accent,#0b5a78) fill:var(--paper,#fff) stroke:var(--paper,#fff)")

// refer checks what an element points at, and what its kind must have.
func refer(t *testing.T, e *html.Node, ids map[string]int) {
	t.Helper()
	if e.Type != html.ElementNode {
		return
	}
	if h := attr(e, "href"); h != "" || e.Data == "a" {
		switch {
		case strings.HasPrefix(h, "#"):
			if ids[h[1:]] == 0 {
				t.Errorf("%s leads to %s, which is not there", e.Data, h)
			}
		case strings.HasPrefix(h, "https://"), strings.HasPrefix(h, "http://"):
			if e.Data != "a" || !strings.Contains(attr(e, "rel"), "noopener") {
				t.Errorf("%s leads away to %s with rel %q", e.Data, h, attr(e, "rel"))
			}
		default:
			t.Errorf("%s has href %q", e.Data, h)
		}
	}
	for _, id := range strings.Fields(attr(e, "aria-labelledby")) {
		if ids[id] == 0 {
			t.Errorf("%s is labelled by %s, which is not there", e.Data, id)
		}
	}
	if attr(e, "tabindex") != "" && attr(e, "aria-label") == "" && attr(e, "aria-labelledby") == "" {
		t.Errorf("%s takes the focus and has no label", e.Data)
	}
	has := map[string]int{}
	each(e, func(c *html.Node) {
		if c.Type == html.ElementNode {
			has[c.Data]++
		}
	})
	switch e.Data {
	case "table":
		if has["caption"] != 1 || has["thead"] != 1 {
			t.Error("a table without caption or head")
		}
	case "tr":
		if has["th"] == 0 {
			t.Error("a row without a head")
		}
	case "th":
		if s := attr(e, "scope"); s != "row" && s != "col" {
			t.Errorf("a th with scope %q", s)
		}
		if s := attr(e, "scope"); s == "row" && wordsOf(e) == "" {
			t.Error("a row with an empty head")
		}
	case "svg":
		if attr(e, "aria-hidden") != "true" && (attr(e, "role") != "img" || has["title"] != 1 || has["desc"] != 1) {
			t.Error("a figure without role, title or description")
		}
	case "details":
		if has["summary"] != 1 {
			t.Error("details without a summary")
		}
	}
}

// balanced checks that every start tag has its end tag in its place, as the page writes them all.
func balanced(t *testing.T, p string) {
	t.Helper()
	z := html.NewTokenizer(strings.NewReader(p))
	var open []string
	for {
		switch z.Next() {
		case html.ErrorToken:
			if len(open) > 0 {
				t.Errorf("not closed: %v", open)
			}
			return
		case html.StartTagToken:
			if name, _ := z.TagName(); !void[string(name)] {
				open = append(open, string(name))
			}
		case html.EndTagToken:
			name, _ := z.TagName()
			if len(open) == 0 || open[len(open)-1] != string(name) {
				t.Fatalf("</%s> within %v", name, open)
			}
			open = open[:len(open)-1]
		}
	}
}

func TestStructure(t *testing.T) {
	p := written(t, mossgate.Audit())
	check(t, p)
	for _, want := range []string{"<!DOCTYPE html>\n<html lang=\"en\">", "default-src 'none'", `<a class="skip" href="#answer">`, `name="viewport"`} {
		if !strings.Contains(p, want) {
			t.Errorf("the page has no %s", want)
		}
	}
	for _, bad := range []string{"<script", "@import", "url(", "src=", "<link", "<iframe", "<img"} {
		if strings.Contains(p, bad) {
			t.Errorf("the page has %s", bad)
		}
	}
}

// Every claim leads from the table to its block and back.
func TestTableLeadsToBlocks(t *testing.T) {
	a := mossgate.Audit()
	p := written(t, a)
	for _, row := range a.Rows {
		id := row.Claim.ID
		for _, want := range []string{`<a href="#claim-` + id + `">` + id + `</a>`, `<article id="claim-` + id + `"`, `<tr role="row" id="row-` + id + `">`, `<a href="#row-` + id + `">`} {
			if !strings.Contains(p, want) {
				t.Errorf("%s: no %s", id, want)
			}
		}
	}
}

// hostile texts try to leave the place where they stand.
var hostile = []string{
	`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `' onmouseover='alert(1)`, `javascript:alert(1)`, `data:text/html,<script>alert(1)</script>`, `</title></style></head><body onload=alert(1)>`,
	`--><!-- <svg/onload=alert(1)>`, `</desc></svg><script>alert(1)</script>`, `]]><x>`, `{{.CSS}}{{define "x"}}`, `&lt;b&gt;&#60;i&#62;&nbsp`, `https://a.example/"onclick="alert(1)`, "caf\xe9\xff", "😀\U0010ffff漢字",
	"\x00\x01\x1b[0m\r\n\n", "\u202egnp.exe\u2066", `<b`, `%s %d %!`, `"a b" #c?d/e`, "https://maker.example/\u202e<x>", strings.Repeat("long", 400), " ", "",
}

// Whatever stands in an audit's texts, it is text on the page: no element, attribute or address comes of it.
func TestHostileTexts(t *testing.T) {
	for _, s := range hostile {
		t.Run(fmt.Sprintf("%.20q", s), func(t *testing.T) {
			a := mossgate.Audit()
			spoil(reflect.ValueOf(a).Elem(), s, 1)
			p := written(t, a)
			check(t, p)
			want := strings.Join(strings.Fields(printable(s)), " ")
			if got := wordsOf(parse(t, p)); !strings.Contains(got, strings.ReplaceAll(want, "\u00a0", " ")) {
				t.Errorf("the page lost the text %q", want)
			}
		})
	}
}

// Each kind of text alone, among texts that are as they should be: a fault that a spoilt neighbour hides shows here.
func TestHostileTextsKindByKind(t *testing.T) {
	light := func() *verdict.Audit {
		a := mossgate.Audit()
		for i := range a.Measurements {
			for j := range a.Measurements[i].Runs {
				a.Measurements[i].Runs[j].Curve = nil // many points, no texts
			}
		}
		return a
	}
	kinds := map[string]bool{}
	walk(reflect.ValueOf(light()).Elem(), "", func(kind string, f reflect.Value) { kinds[kind] = kinds[kind] || f.Kind() == reflect.String })
	for kind, text := range kinds {
		if !text {
			continue
		}
		a := light()
		walk(reflect.ValueOf(a).Elem(), "", func(k string, f reflect.Value) {
			if k == kind {
				f.SetString(`"'></style></title></desc><script>alert(1)</script><a href=javascript:x onclick=y>`)
			}
		})
		check(t, written(t, a))
		if t.Failed() {
			t.Fatalf("with %s", kind)
		}
	}
}

func TestHostileNumbers(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 0, 1e300, 5e-324} {
		a := mossgate.Audit()
		spoil(reflect.ValueOf(a).Elem(), "x", x)
		p := written(t, a)
		check(t, p)
		for _, bad := range []string{"NaN", "Inf", "%!"} {
			if strings.Contains(wordsOf(parse(t, p)), bad) {
				t.Errorf("numbers %v: the page says %s", x, bad)
			}
		}
	}
}

// Claims and measurements of one name keep anchors apart.
func TestAnchorsAreUnique(t *testing.T) {
	a := mossgate.Audit()
	for i := range a.Rows {
		a.Rows[i].Claim.ID = []string{"C 1", "C/1", "C-1", "C-1-head", "C-1-2", "é", ""}[i%7]
	}
	for i := range a.Measurements {
		a.Measurements[i].ID = []string{"M 1", "M/1", "M-1-title"}[i%3]
	}
	check(t, written(t, a))
	a.Findings[0].Claims = []string{"not there"}
	a.Rows[0].Findings = []int{-1, 99, 0, 0}
	check(t, written(t, a))
}

// spoil sets every text and every number that can be reached.
func spoil(v reflect.Value, s string, x float64) {
	walk(v, "", func(_ string, f reflect.Value) {
		if f.Kind() == reflect.String {
			f.SetString(s)
		} else {
			f.SetFloat(x)
		}
	})
}

// walk visits the texts and numbers that can be set; kind names the type and field that hold one.
func walk(v reflect.Value, kind string, visit func(string, reflect.Value)) {
	switch v.Kind() {
	case reflect.String, reflect.Float64:
		if v.CanSet() {
			visit(kind, v)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			walk(v.Elem(), kind, visit)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			walk(v.Field(i), v.Type().String()+"."+v.Type().Field(i).Name, visit)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			walk(v.Index(i), kind, visit)
		}
	}
}

func TestUnknownVerdict(t *testing.T) {
	if got := markOf(verdict.Outcome("x y")); got != "mark-untested" {
		t.Errorf("an unknown verdict has the shape %s", got)
	}
}
