package pdf

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
	"weighhouse/templates/internal/mossgate"
	"weighhouse/verdict"
)

const demoCase = "../../testdata/demo"

// demo is the audit of the project's invented demo case.
func demo(t testing.TB) *verdict.Audit {
	t.Helper()
	f, err := sheet.OpenFolder(demoCase)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	specBook, err := f.Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	labBook, err := f.Book("lab")
	if err != nil {
		t.Fatal(err)
	}
	spec, bad := claims.Read(specBook)
	if err := bad.Err(); err != nil {
		t.Fatal(err)
	}
	bench, bad := lab.Read(f, labBook)
	if err := bad.Err(); err != nil {
		t.Fatal(err)
	}
	return verdict.Build(verdict.Evidence{Version: "test", Issued: "2026-05-04", Case: "demo", Spec: spec, Bench: bench, Inputs: f.Inputs()})
}

// The demo's 22 claims have their answer on one page, in both papers, and no table of it is set below 7 points.
func TestDemoFirstPage(t *testing.T) {
	a := demo(t)
	for _, paper := range []string{"a4", "letter"} {
		ps := recording(t, a, Options{Paper: paper})
		if paper == "a4" && len(ps) > 21 {
			t.Errorf("%d pages, where 21 would do", len(ps))
		}
		for _, r := range a.Rows {
			if !strings.Contains(ps[0], "#"+claimAnchor(r.Claim.ID)) {
				t.Errorf("%s: page 1 has no link to claim %s", paper, r.Claim.ID)
			}
		}
		for i, p := range ps {
			for _, size := range []string{"6.8", "6.9"} { // figures have 6.5, everything else 7 and more
				if strings.Contains(p, "soft "+size) || strings.Contains(p, "ink "+size) {
					t.Errorf("%s: page %d has type of %s points", paper, i+1, size)
				}
			}
		}
	}
}

// Page 1 of the demo says what has happened since, and asks something of each contradicted claim; beside the claims stands
// what the maker answered, and what the captures say. No claim that is open looks as if nobody had answered.
func TestDemoAnswersAndQuestions(t *testing.T) {
	a := demo(t)
	ps := recording(t, a, Options{})
	one := said(ps[0])
	for _, want := range []string{"The maker has answered (2026-06-19) : its answer in full", "Later captures of the same source: C1 changed", "C22 not recorded again", "too few particles counted to tell",
		"4200 h est.", "by estimate, lasts 92 % longer than claimed", "about a tenth of what the claim allows", "at the measured watts, 4.5 % more a year than claimed", "What to ask the maker, where its answer does not settle it: ", "most of 25"} {
		if !strings.Contains(one, want) {
			t.Errorf("page 1 does not say %q", want)
		}
	}
	for _, paper := range []string{"a4"} {
		_, asked, _ := strings.Cut(said(recording(t, a, Options{Paper: paper})[0]), "where its answer does not settle it")
		for _, r := range a.Rows {
			if r.Verdict == verdict.Contradicted && r.Answer == "" && !strings.Contains(asked, r.Claim.ID) {
				t.Errorf("%s: page 1 asks nothing of %s", paper, r.Claim.ID)
			}
		}
	}
	all := said(strings.Join(ps, "\n"))
	for _, want := range []string{"measured with the radio module switched off", "no words on this claim were recognised in its answer", "the figure fell from 340 m³/h to 290 m³/h",
		"What the words state with a fixed meaning", "What the words leave open: 25 findings", "percentage points", "supply voltage is not recorded"} {
		if !strings.Contains(all, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	for _, bad := range []string{`"ioniser on" was not understood`, "≤ 5 ppb (the usual meaning"} {
		if strings.Contains(all, bad) {
			t.Errorf("the report says %q", bad)
		}
	}
}

// However many claims there are, page 1 has the counts and the findings that matter most; what follows is not pressed.
func TestFirstPageWithFewAndManyClaims(t *testing.T) {
	for _, n := range []int{1, 5, 14, 60} {
		for _, paper := range []string{"a4", "letter"} {
			a := mossgate.Audit()
			for i := len(a.Rows); i < n; i++ {
				r := a.Rows[i%14]
				r.Claim.ID = fmt.Sprintf("D%d", i)
				a.Rows = append(a.Rows, r)
			}
			a.Rows = a.Rows[:n]
			ps := recording(t, a, Options{Paper: paper})
			one := said(ps[0])
			for _, want := range []string{" supported", "the 3 that matter most", "True HEPA H13 grade", "not legal advice"} {
				if !strings.Contains(one, want) {
					t.Errorf("%d claims, %s: page 1 does not say %q", n, paper, want)
				}
			}
			links := strings.Count(ps[0], "#claim-")
			if n <= 14 && links < n {
				t.Errorf("%d claims, %s: page 1 has %d links to claims", n, paper, links)
			}
			if n == 60 && !strings.Contains(said(ps[1]), "Claim Claimed Measured ± U") {
				t.Errorf("%d claims, %s: the table's head is not repeated on page 2", n, paper)
			}
		}
	}
}

// The foot of the answer never slips to page 2, however close the sum of the parts comes to a full page: with so many
// claims, on both papers, with more and fewer contradicted ones.
func TestAnswerStaysOnItsPage(t *testing.T) {
	for n := 8; n <= 26; n++ {
		for _, paper := range []string{"a4", "letter"} {
			for _, bad := range []int{0, 3, 9} {
				a := mossgate.Audit()
				for i := len(a.Rows); i < n; i++ {
					r := a.Rows[i%14]
					r.Claim.ID = fmt.Sprintf("D%d", i)
					a.Rows = append(a.Rows, r)
				}
				a.Rows = a.Rows[:n]
				for i := range a.Rows[:min(bad, n)] {
					a.Rows[i].Verdict, a.Rows[i].Ask = verdict.Contradicted, fmt.Sprintf("Which report holds the figure of row %d?", i)
				}
				if one := said(recording(t, a, Options{Paper: paper})[0]); !strings.Contains(one, "not legal advice") {
					t.Errorf("%d claims, %d contradicted, %s: the foot of the answer is not on page 1", n, bad, paper)
				}
			}
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	a := mossgate.Audit()
	b.ReportAllocs()
	for b.Loop() {
		var out bytes.Buffer
		if _, err := Write(&out, a, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLayout is Write without fonts and file: what the layout alone costs.
func BenchmarkLayout(b *testing.B) {
	a := mossgate.Audit()
	for b.Loop() {
		if _, err := build(a, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDemo writes the demo's report with what the command attaches to it.
func BenchmarkDemo(b *testing.B) {
	a := demo(b)
	var js bytes.Buffer
	if err := a.WriteJSON(&js); err != nil {
		b.Fatal(err)
	}
	o := Options{Attach: []Attachment{{Name: "audit.json", MIME: "application/json", Relationship: "Data", Data: js.Bytes()}}}
	for _, n := range []string{"spec.xlsx", "lab.xlsx"} {
		book, err := os.ReadFile(demoCase + "/" + n)
		if err != nil {
			b.Fatal(err)
		}
		o.Attach = append(o.Attach, Attachment{Name: n, MIME: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", Relationship: "Source", Data: book})
	}
	b.ReportAllocs()
	for b.Loop() {
		var out bytes.Buffer
		if _, err := Write(&out, a, o); err != nil {
			b.Fatal(err)
		}
	}
}
