package ranking

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"weighhouse/verdict/rank"
)

func at(x float64) *float64 { return &x }

// made is a ranking with a chain of ties, something not measured, something not ranked, and text that wants escaping.
func made() *rank.Ranking {
	entry := func(i int, label string, v, u float64, text, letters string) rank.Entry {
		return rank.Entry{Label: label, Unit: i, Value: at(v), Expanded: at(u), Interval: [2]*float64{at(v - u), at(v + u)}, RankLow: 1, RankHigh: 2, Rank: text, Letters: letters}
	}
	labels := []string{`Zeta <b>One</b>`, "Alpha Two", "=Mid Three"}
	r := &rank.Ranking{Format: rank.Format, Tool: rank.Tool{Version: "9.9"}, Issued: "2031-03-14", Alpha: 0.05, Room: rank.Room{Volume: 45.1446, U: 0.2372, Text: "5.01 x 3.59 x 2.51 m"},
		Tester: "Bench & Co", Method: "room", Particle: "0.3 um", Rules: []string{"Rule text."}, Notes: []string{"A note."}, Cautions: []string{"Not legal advice."}}
	for i, l := range labels {
		r.Units = append(r.Units, rank.Unit{Label: l, Case: []string{"z", "a", "m"}[i], Setting: "max", RunsOn: 3, RunsOff: 3, Watts: at(47), WattsU: at(0.36), Price: at(189), Currency: "EUR", Flags: []string{"few points"}})
	}
	r.Criteria = []rank.Criterion{
		{ID: "delivery rate", Title: "Delivery rate", Unit: "m3/h", Better: "higher", Ranked: true, Basis: "Basis.",
			Entries: []rank.Entry{entry(0, labels[0], 263.834, 27.755, "1–2", "a"), entry(1, labels[1], 250.123, 20.4, "1–3", "ab"), entry(2, labels[2], 204.176, 20.5, "2–3", "b")},
			Groups:  []rank.Group{{Letter: "a", Members: labels[:2]}, {Letter: "b", Members: labels[1:]}},
			Pairs: []rank.Pair{{A: labels[0], B: labels[2], Method: "paired t on ln k", Ratio: at(1.29176), Interval: [2]*float64{at(1.24876), at(1.33623)}, T: at(24.047), DOF: at(3), P: at(0.000158), Adjusted: at(0.0475), Different: true},
				{A: labels[0], B: labels[1], Method: "paired t on ln k", Ratio: at(1.05), Interval: [2]*float64{at(0.9), at(1.2)}, T: at(1.1), DOF: at(3), P: at(0.35), Adjusted: at(0.7), Indicative: true}}},
		{ID: "rate per price", Title: "Delivery rate per price", Unit: "m3/h per price", Better: "higher", Why: "the prices are in EUR and USD; currencies are never mixed",
			Entries: []rank.Entry{{Label: labels[1], Unit: 1, Value: at(1.4), Expanded: at(0.15), Measure: "m3/h per EUR"}, {Label: labels[2], Unit: 2, Note: "no price stated"}, {Label: labels[0], Unit: 0, Value: at(1.1), Expanded: at(0.1), Measure: "m3/h per USD"}}},
	}
	return r
}

func html(t *testing.T, r *rank.Ranking) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteHTML(&b, r); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func pdf(t *testing.T, r *rank.Ranking, o Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if warnings, err := WritePDF(&b, r, o); err != nil || len(warnings) > 0 {
		t.Fatal(err, warnings)
	}
	return b.Bytes()
}

// The page is well formed, loads nothing, and gives foreign text as text.
func TestPage(t *testing.T) {
	s := html(t, made())
	d := xml.NewDecoder(strings.NewReader(s))
	d.Strict, d.AutoClose, d.Entity = false, []string{"meta", "br"}, xml.HTMLEntity
	depth := 0
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch x := tok.(type) {
		case xml.StartElement:
			depth++
			for _, a := range x.Attr {
				if (a.Name.Local == "href" && !strings.HasPrefix(a.Value, "#")) || a.Name.Local == "src" || strings.HasPrefix(a.Name.Local, "on") {
					t.Errorf("<%s %s=%q> reaches out of the page", x.Name.Local, a.Name.Local, a.Value)
				}
			}
			if x.Name.Local == "script" || x.Name.Local == "link" {
				t.Errorf("<%s> in the page", x.Name.Local)
			}
		case xml.EndElement:
			depth--
		}
	}
	if depth != 0 {
		t.Errorf("%d elements are not closed", depth)
	}
	for _, want := range []string{"Zeta &lt;b&gt;One&lt;/b&gt;", "264\u00a0±\u00a028", "1.292 (1.249\u00a0to\u00a01.336)", "0.3\u00a0µm", "not measured", "not ranked",
		"Not ranked:</b> the prices are in EUR and USD", "indistinguishable at this uncertainty; indicative", "Not legal advice.", `<td class="rank" data-head="Rank">1–3</td>`} {
		if !strings.Contains(s, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Contains(s, "<b>One") {
		t.Error("foreign text became markup")
	}
}

// Every link within the page has its target.
func TestPageLinks(t *testing.T) {
	s := html(t, made())
	for _, m := range regexp.MustCompile(`(?:href="#|aria-labelledby=")([^"]*)"`).FindAllStringSubmatch(s, -1) {
		if n := strings.Count(s, `id="`+m[1]+`"`); n != 1 {
			t.Errorf("%d elements are named %q", n, m[1])
		}
	}
}

// Units stand by name where they are not ranked, whatever their values.
func TestByName(t *testing.T) {
	s := html(t, made())
	s = s[strings.Index(s, `class="glance"`):strings.Index(s, `id="ranks"`)]
	if !(strings.Index(s, "=Mid") < strings.Index(s, "Alpha") && strings.Index(s, "Alpha") < strings.Index(s, "Zeta")) {
		t.Error("the table of all units is not by name")
	}
}

func TestCSV(t *testing.T) {
	var b bytes.Buffer
	if err := WriteCSV(&b, made()); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range map[int][]string{
		1: {"delivery rate", "Delivery rate", "m3/h", "higher", "1–2", "1", "2", "a", "Zeta <b>One</b>", "z", "", "263.834", "27.755", "236.079", "291.589", ""},
		5: {"rate per price", "Delivery rate per price", "m3/h per price", "higher", "", "", "", "", "'=Mid Three", "m", "", "", "", "", "", "no price stated; not ranked: the prices are in EUR and USD; currencies are never mixed"},
	} {
		if !reflect.DeepEqual(rows[i], want) {
			t.Errorf("row %d: got %q, want %q", i, rows[i], want)
		}
	}
	if len(rows) != 7 {
		t.Errorf("%d rows, want 7", len(rows))
	}
}

func TestPDF(t *testing.T) {
	out := pdf(t, made(), Options{})
	if again := pdf(t, made(), Options{}); !bytes.Equal(out, again) {
		t.Error("the same ranking gave other bytes the second time")
	}
	var b bytes.Buffer
	r := made()
	r.Issued = "today"
	if _, err := WritePDF(&b, r, Options{}); err == nil || b.Len() > 0 {
		t.Errorf("a day of issue %q: error %v, %d bytes written", r.Issued, err, b.Len())
	}
	if _, err := exec.LookPath("pdftotext"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("pdftotext is needed where CI=true")
		}
		t.Skip("pdftotext is not installed: the PDF's text was not looked at")
	}
	f := filepath.Join(t.TempDir(), "ranking.pdf")
	if err := os.WriteFile(f, out, 0o600); err != nil {
		t.Fatal(err)
	}
	got, err := exec.Command("pdftotext", "-layout", f, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(got)), " ")
	for _, want := range []string{"3 units compared in one room", "Zeta <b>One</b>", "264 ± 28", "rank 1–2", "1.292", "(1.249 to 1.336)", "< 0.001", "0.048", "Not legal advice.", "End of comparison", "Not ranked: the prices are in EUR and USD"} {
		if !strings.Contains(text, want) {
			t.Errorf("the PDF lacks %q:\n%s", want, got)
		}
	}
	neverWritten(t, "PDF", text)
	neverWritten(t, "page", html(t, made()))
}

// neverWritten looks for words that no output holds.
func neverWritten(t *testing.T, where, text string) {
	t.Helper()
	if m := regexp.MustCompile(`(?i)\b(false|fake|fraud\w*|lie|lies|illegal\w*|meaningless|winner|loser|%!)`).FindString(text); m != "" {
		t.Errorf("the %s holds %q", where, m)
	}
}

// A ranking with nothing in it is written all the same.
func TestEmpty(t *testing.T) {
	r := &rank.Ranking{Issued: "2031-03-14"}
	html(t, r)
	pdf(t, r, Options{Paper: "letter"})
	var b bytes.Buffer
	if err := WriteCSV(&b, r); err != nil {
		t.Fatal(err)
	}
}
