package pdf

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"weighhouse/claims"
	"weighhouse/claims/wording"
	"weighhouse/templates/document"
	"weighhouse/templates/internal/mossgate"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

var (
	update = flag.Bool("update", false, "write the goldens anew")
	keep   = flag.String("keep", "", "folder to leave the test reports in, to be looked at")
)

// recording lays an audit out and lists what is drawn, page by page.
func recording(t *testing.T, a *verdict.Audit, o Options) []string {
	t.Helper()
	d, err := build(a, o)
	if err != nil {
		t.Fatal(err)
	}
	return regexp.MustCompile(`(?m)^page \d+$`).Split(d.Recording(), -1)[1:]
}

var drawn = regexp.MustCompile(`(?m)^text .*? ("(?:[^"\\]|\\.)*")$`)

// said is the texts of a page, in the order in which they are drawn.
func said(page string) string {
	var out []string
	for _, m := range drawn.FindAllStringSubmatch(page, -1) {
		var s string
		if _, err := fmt.Sscanf(m[1], "%q", &s); err == nil {
			out = append(out, strings.Join(strings.Fields(s), " ")) // Fields takes the unbreakable space as a space too
		}
	}
	return strings.Join(out, " ")
}

// The first page in every detail, and the words of the others.
func TestGolden(t *testing.T) {
	ps := recording(t, mossgate.Audit(), Options{})
	var b strings.Builder
	b.WriteString(ps[0])
	for i, p := range ps[1:] {
		fmt.Fprintf(&b, "\npage %d\n", i+2)
		for _, m := range drawn.FindAllStringSubmatch(p, -1) {
			b.WriteString(m[1] + "\n")
		}
	}
	path := filepath.Join("testdata", "report.golden")
	if *update {
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), b.String()); d != "" {
		t.Errorf("the report differs from its golden (go test -update writes it anew):\n%s", d)
	}
}

// Page 1 holds the answer: what was tested, every claim with its numbers and verdict, three findings, what to ask.
func TestFirstPageIsTheAnswer(t *testing.T) {
	for _, paper := range []string{"a4", "letter"} {
		a := mossgate.Audit()
		ps := recording(t, a, Options{Paper: paper})
		one := said(ps[0])
		for _, want := range []string{"Brindlecote Air Works Fennow 40", "serial FN40-007731", "Wren & Alder Bench", "2031-02-10", "5 supported", "3 contradicted", "3 inconclusive",
			"2 untested", "1 unclear", "231 ± 16 m³/h", "≥ 288 m³/h", "up to 320 m³/h", "cleans 28 % less air than claimed", "almost certainly misses it",
			"True HEPA H13 grade", "captures 99.97%", "What to ask the maker", "not legal advice"} {
			if !strings.Contains(one, want) {
				t.Errorf("%s: page 1 does not say %q:\n%s", paper, want, one)
			}
		}
		for _, r := range a.Rows {
			if !strings.Contains(ps[0], "#"+claimAnchor(r.Claim.ID)) {
				t.Errorf("%s: page 1 has no link to claim %s", paper, r.Claim.ID)
			}
		}
		if strings.Contains(said(ps[1]), "What to ask the maker") || !strings.Contains(said(ps[1]), "How the claims were judged") {
			t.Errorf("%s: the answer does not end with page 1", paper)
		}
	}
}

// The rule stands before the results in detail (ISO/IEC 17025:2017, 7.8.6), and every part of the audit is printed.
func TestEverythingIsPrintedInOrder(t *testing.T) {
	a := mossgate.Audit()
	var all strings.Builder
	for _, p := range recording(t, a, Options{}) {
		all.WriteString(said(p) + " ")
	}
	text := all.String()
	at := 0
	for _, want := range []string{"How the claims were judged", "JCGM 106:2012", "Claimed and measured at a glance", "Sound pressure level by setting", "Claim by claim", "C1 Delivery rate", "GB/T 18801", "What the words leave open",
		"EN 1822-1:2019", "Measurements, method and uncertainty", "M1 Delivery rate", "scatter of the runs", "Run D1, unit on", "M11", "What it costs to run", "What follows from the results", "19.9 m²", "What was printed when",
		"CADR 350 m³/h", "Test record", "OP-2217", "Completeness of the record: 14 of 16 items", "Inputs", a.Inputs[0].SHA256, "What the maker was asked", "Thank you for sending us your rows.", "no reply by 2031-03-12",
		"Notes on reading", "Cautions", "End of report"} {
		i := strings.Index(text[at:], want)
		if i < 0 {
			t.Fatalf("%q is missing, or not in its place", want)
		}
		at += i
	}
	for _, bad := range []string{"false", "fake", "fraud", "illegal", " lie ", "%!"} {
		if strings.Contains(strings.ToLower(text), bad) {
			t.Errorf("the report says %q", bad)
		}
	}
	if m := regexp.MustCompile(`\b[+-]?(NaN|Inf)\b`).FindString(text); m != "" {
		t.Errorf("the report says %q", m)
	}
}

func TestQuotesAreMarkedInTheirContext(t *testing.T) {
	r := report{a: mossgate.Audit()}
	for i, want := range []string{"“[True HEPA H13 grade] filter with nano silver”", "“Our filter [captures 99.97%] of everything in the air you breathe.”", "“CADR [up to] 320 m³/h for smoke, tested by independent experts!”",
		"“For rooms of [62 m² in 12 minutes]”", "“滤网[寿命 6–8 个月] (filter life 6–8 months)”"} {
		if got := marked(r.context(r.a.Findings[i])); got != want {
			t.Errorf("finding %d: %s, want %s", i, got, want)
		}
	}
	f := r.a.Findings[0]
	f.Quote = "words that stand nowhere"
	if got := marked(r.context(f)); got != "… [words that stand nowhere] …" {
		t.Errorf("a quote without context: %s", got)
	}
	f.Quote, f.Claims = "up to 320 m³/h | 62 m² in 12 minutes", []string{"C1", "C9"}
	if got, want := marked(r.context(f)), "C1\u00a0 “CADR [up to 320 m³/h] for smoke, tested by independent experts!”\nC9\u00a0 “For rooms of [62 m² in 12 minutes]”"; got != want {
		t.Errorf("a quote of two claims: %q, want %q", got, want)
	}
	row := r.a.Rows[0]
	row.Findings = []int{2, 2, 99, -1, 3}
	if got := marked(r.quoted(row)); got != "“CADR [up to] 320 m³/h for smoke, tested by independent experts!”" {
		t.Errorf("a claim's quotes: %s", got)
	}
}

func marked(t document.Text) string {
	var b strings.Builder
	for _, s := range t {
		if s.Marked {
			b.WriteString("[" + s.Text + "]")
		} else {
			b.WriteString(s.Text)
		}
	}
	return b.String()
}

func TestWriteTwiceIsEqual(t *testing.T) {
	o := Options{Attach: []Attachment{{Name: "audit.json", MIME: "application/json", Relationship: "Data", Description: "the audit as data", Data: []byte("{}")}}}
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if _, err := Write(w, mossgate.Audit(), o); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same audit gave other bytes the second time")
	}
}

func TestFileIsSoundAndTagged(t *testing.T) {
	for _, paper := range []string{"a4", "letter"} {
		var b bytes.Buffer
		ws, err := Write(&b, mossgate.Audit(), Options{Paper: paper, Attach: []Attachment{{Name: "audit.json", MIME: "application/json", Relationship: "Data", Description: "the audit as data", Data: []byte(`{"format":"x"}`)}}})
		if err != nil {
			t.Fatal(err)
		}
		if len(ws) != 1 || !strings.Contains(ws[0], "寿 (U+5BFF)") {
			t.Errorf("warnings %q, want one that names the ideographs", ws)
		}
		dir := t.TempDir()
		if *keep != "" {
			dir = *keep
		}
		f := filepath.Join(dir, paper+".pdf")
		if err := os.WriteFile(f, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			args []string
			want string
		}{{[]string{"qpdf", "--check", f}, "No syntax or stream encoding errors"}, {[]string{"pdfinfo", f}, "Tagged:          yes"},
			{[]string{"pdfinfo", f}, "Title:           Claims audit: Brindlecote Air Works Fennow 40"},
			{[]string{"qpdf", "--show-attachment=audit.json", f}, `{"format":"x"}`}, {[]string{"pdftotext", "-l", "1", f, "-"}, "contradicted"}} {
			p, err := exec.LookPath(c.args[0])
			if err != nil {
				if os.Getenv("CI") == "true" {
					t.Fatalf("%s is not installed", c.args[0])
				}
				t.Logf("%s is not installed: this check is left out", c.args[0])
				continue
			}
			out, err := exec.Command(p, c.args[1:]...).CombinedOutput()
			if err != nil || !strings.Contains(string(out), c.want) {
				t.Errorf("%v: %v, want %q:\n%.2000s", c.args, err, c.want, out)
			}
		}
	}
}

func TestWrongOptions(t *testing.T) {
	a := mossgate.Audit()
	a.Issued = "14 March"
	if _, err := Write(&bytes.Buffer{}, a, Options{}); err == nil || !strings.Contains(err.Error(), `"14 March"`) {
		t.Errorf("a wrong day of issue: %v", err)
	}
	var b bytes.Buffer
	if _, err := Write(&b, mossgate.Audit(), Options{Paper: "a3"}); err == nil || b.Len() > 0 {
		t.Errorf("paper a3: %v, %d bytes written", err, b.Len())
	}
	if _, err := Write(&b, mossgate.Audit(), Options{Font: []byte("no font")}); err == nil || b.Len() > 0 {
		t.Errorf("no font: %v, %d bytes written", err, b.Len())
	}
}

// Audits that are nearly empty, or far too full, are written all the same.
func TestSmallAndLargeAudits(t *testing.T) {
	if _, err := Write(&bytes.Buffer{}, &verdict.Audit{Issued: "2031-03-14"}, Options{}); err != nil {
		t.Errorf("an empty audit: %v", err)
	}
	wordsAlone := mossgate.Audit()
	wordsAlone.Measurements, wordsAlone.Costs, wordsAlone.Test = nil, nil, verdict.TestRecord{}
	for i := range wordsAlone.Rows {
		r := &wordsAlone.Rows[i]
		r.Measured, r.Probability, r.Gap, r.Guard, r.GapWords = nil, nil, nil, 0, ""
	}
	if ps := recording(t, wordsAlone, Options{}); !strings.Contains(said(ps[0]), "nothing was measured") {
		t.Error("an audit without measurements does not say so on page 1")
	}
	large := mossgate.Audit()
	for i := range 60 {
		r := large.Rows[i%14]
		r.Claim.ID = fmt.Sprintf("D%d", i)
		large.Rows = append(large.Rows, r)
	}
	text := strings.Join(recording(t, large, Options{}), "")
	for i := range 60 {
		if !strings.Contains(text, fmt.Sprintf("\"D%d\"", i)) && !strings.Contains(text, fmt.Sprintf("\"D%d ", i)) {
			t.Errorf("claim D%d was lost", i)
		}
	}
}

// Whatever stands in an audit's texts and numbers, the report is written.
func TestHostileAudits(t *testing.T) {
	for _, s := range []string{"caf\xe9\xff", "😀\U0010ffff", "漢字 (x) \\n", "", strings.Repeat("long", 150), "\x00\x1b[0m\n\n", "<b>&amp;", "%s %d %!"} {
		a := mossgate.Audit()
		spoil(reflect.ValueOf(a).Elem(), s, math.NaN())
		a.Issued = "2031-03-14"
		if _, err := Write(&bytes.Buffer{}, a, Options{}); err != nil {
			t.Errorf("texts %.20q: %v", s, err)
		}
	}
	for _, x := range []float64{math.Inf(1), math.Inf(-1), -1, 0, 1e300} {
		a := mossgate.Audit()
		spoil(reflect.ValueOf(a).Elem(), "x", x)
		a.Issued = "2031-03-14"
		if _, err := Write(&bytes.Buffer{}, a, Options{}); err != nil {
			t.Errorf("numbers %v: %v", x, err)
		}
	}
}

// spoil sets every text and every number that can be reached.
func spoil(v reflect.Value, s string, x float64) {
	switch v.Kind() {
	case reflect.String:
		if v.CanSet() {
			v.SetString(s)
		}
	case reflect.Float64:
		if v.CanSet() {
			v.SetFloat(x)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			spoil(v.Elem(), s, x)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			spoil(v.Field(i), s, x)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			spoil(v.Index(i), s, x)
		}
	}
}

func finding(rule string, also ...string) verdict.Finding {
	return verdict.Finding{Finding: wording.Finding{Rule: rule, Also: also}}
}

func TestWords(t *testing.T) {
	c := func(b claims.Bound, low, high float64, text string) claims.Claim {
		return claims.Claim{Bound: b, Claimed: &claims.Range{Low: low, High: high, Unit: "m3/h", Text: text}}
	}
	for _, x := range []struct{ got, want string }{
		{words.Claimed(c(claims.AtLeast, 300, 300, "")), "≥ 300 m³/h"}, {words.Claimed(c(claims.AtMost, 300, 300, "")), "≤ 300 m³/h"}, {words.Claimed(c(claims.About, 300, 300, "")), "about 300 m³/h"},
		{words.Claimed(c(claims.AtLeast, 6, 8, "")), "6 to 8 m³/h"}, {words.Claimed(claims.Claim{}), "–"},
		{words.AsWritten(c("", 300, 300, "300 M³ / h")), ""}, {words.AsWritten(c("", 300, 300, "176.6 cfm")), "176.6 cfm"}, {words.AsWritten(c("", 300, 300, "300 m3/h")), ""},
		{words.Sentence("the figure fell"), "The figure fell."}, {words.Sentence("Done."), "Done."}, {words.Sentence(""), ""},
		{words.Shorten("one two three four", 10), "one two…"}, {words.Shorten("short", 10), "short"}, {words.Shorten(strings.Repeat("x", 30), 10), "xxxxxxxxx…"},
		{words.Subject(claims.Claim{Attribute: "standby power", Setting: "standby"}), "standby power"}, {words.Subject(claims.Claim{Attribute: "filter efficiency", Particle: "0.3 um"}), "filter efficiency, 0.3 µm"},
		{words.DOF(math.Inf(1)), "∞"}, {words.DOF(7), "7"}, {words.Upper("é"), "É"}, {words.Upper(""), ""},
		{tolerance(verdict.Tolerance{Value: 10, Unit: "%", Amount: 30}, "m3/h"), " with 10 % (30 m³/h) in the maker's favour"},
		{ruleName(finding("FG-11", "R6")), "FG-11 (also R6)"}, {ruleName(finding("FG-11")), "FG-11"}, {words.Upper("kWh a year"), "kWh a year"},
	} {
		if got := strings.ReplaceAll(x.got, "\u00a0", " "); got != x.want {
			t.Errorf("got %q, want %q", got, x.want)
		}
	}
}
