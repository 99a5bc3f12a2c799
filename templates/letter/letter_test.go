package letter

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/source"
	"weighhouse/templates/internal/mossgate"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// The maker gets every one of its rows with words, value, limit, tolerance and its source, method and sample; it gets
// nothing else: no costs of other filters, no ranking, no history.
func TestMakerGetsItsOwnRows(t *testing.T) {
	a := mossgate.Audit()
	text := joinedLines(textOf(t, a, Options{To: ToMaker}))
	plain := func(s string) string { return joinedLines(strings.ReplaceAll(s, "\u00a0", " ")) }
	has := func(what, s string) {
		t.Helper()
		if s != "" && !strings.Contains(strings.ReplaceAll(text, " | ", " "), plain(s)) {
			t.Errorf("%s is not in the letter: %q", what, plain(s))
		}
	}
	for i := range a.Rows {
		r := &a.Rows[i]
		if len(r.Claim.Wording) < 70 { // longer ones are broken by the bar of a quotation
			has(r.Claim.ID+" wording", r.Claim.Wording)
		}
		has(r.Claim.ID+" verdict", r.Claim.ID+" "+words.Upper(words.Subject(r.Claim)))
		if r.Limit != nil {
			has(r.Claim.ID+" limit", words.LimitOf(r))
			has(r.Claim.ID+" tolerance", words.Sourced(r.Tolerance.Source, r.Tolerance.Mark))
		}
		if r.Measured != nil {
			has(r.Claim.ID+" result", words.Measured(r.Measured))
			has(r.Claim.ID+" method", r.Measured.Method)
		}
	}
	for _, f := range a.Findings {
		has("question of "+f.Rule, f.Ask)
		has("reason of "+f.Rule, f.Why)
		has("what settles "+f.Rule, f.Evidence)
		has("rule", "rule "+f.Rule)
	}
	has("sample", words.Field(a, "sample"))
	has("deadline", "no reply by 2031-03-28") // ten working days from Friday 2031-03-14
	has("promise", "Your reply will be printed in full")
	for _, c := range a.Cautions {
		has("caution", c)
	}
	for _, s := range []string{"third-party", "118", "111.17", "audit.json", a.History[0].Change} {
		if strings.Contains(text, s) {
			t.Errorf("the maker is sent %q", s)
		}
	}
}

// A dossier has the eleven elements in order, takes up what is contradicted, unclear or gravely worded, and names the rest.
func TestDossier(t *testing.T) {
	a := mossgate.Audit()
	for _, o := range kinds() {
		if o.To != ToAuthority {
			continue
		}
		l, err := Write(a, o)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, b := range l.Blocks {
			if b.Kind == Heading && strings.HasPrefix(b.Text.String(), fmt.Sprint(n+1)+" ") {
				n++
			}
		}
		if n != 11 {
			t.Errorf("%d numbered elements in order, want 11", n)
		}
		text := joinedLines(textOf(t, a, o))
		for _, r := range a.Rows {
			taken := strings.Contains(text, "| "+r.Claim.Wording) || len(r.Claim.Wording) >= 70
			if _, left, ok := strings.Cut(text, "outside the remit of this body"); ok { // named, with the reason, before the first element
				left, _, _ = strings.Cut(left, "1 Who complains")
				taken = taken || strings.Contains(left, r.Claim.ID+" ")
			}
			if (r.Verdict == verdict.Contradicted || r.Verdict == verdict.Unclear) && !taken {
				t.Errorf("%s is %s and not quoted", r.Claim.ID, r.Verdict)
			}
			if !strings.Contains(text, r.Claim.ID+" ") {
				t.Errorf("%s is not named", r.Claim.ID)
			}
		}
		for _, in := range a.Inputs {
			if !strings.Contains(text, in.SHA256) {
				t.Errorf("%s: its SHA-256 is not printed", in.Path)
			}
		}
		if !strings.Contains(text, "The report can be read at our office.") || !strings.Contains(text, "No reply by 2031-03-12 is on record") {
			t.Error("the replies are not printed in full, with the letter that had none")
		}
		for _, c := range a.Test.Complete {
			if !strings.Contains(text, c.Item[:min(len(c.Item), 20)]) {
				t.Errorf("item %s of the record is missing", c.Letter)
			}
		}
		if o.Body != nil {
			for _, p := range o.Body.Particulars {
				if p.Blank != "" && !strings.Contains(text, "[to be completed by the sender: "+string(p.Blank)+"]") {
					t.Errorf("%s: %q is not asked of the sender", o.Body.ID, p.Blank)
				}
			}
			if !strings.Contains(text, string(o.Body.Request)) {
				t.Errorf("%s: the request is missing", o.Body.ID)
			}
		}
	}
}

// Ozone comes before the first element where it is claimed, and is not spoken of first where nothing bears on it.
func TestOzoneFirst(t *testing.T) {
	a := mossgate.Audit()
	var rest []verdict.Row
	for _, r := range a.Rows {
		if r.Claim.Attribute != claims.Ozone {
			rest = append(rest, r)
		}
	}
	a.Rows = rest
	if strings.Contains(textOf(t, a, Options{To: ToAuthority}), "Safety first") {
		t.Error("speaks of ozone first in a case without it")
	}
	a.Rows = append(a.Rows, verdict.Row{Claim: claims.Claim{ID: "C50", Attribute: claims.Ozone, Wording: "no ozone at all"}, Verdict: verdict.Unclear})
	if strings.Contains(textOf(t, a, Options{To: ToAuthority}), "Safety first") {
		t.Error("warns of a danger that was not tested")
	}
	ozone := &a.Rows[len(a.Rows)-1]
	ozone.Measured, ozone.Limit = &measure.Measurement{ID: "M50", Attribute: "ozone", Value: 80, Unit: "ppb", Std: 2, Expanded: 4, K: 2}, &verdict.Limit{Value: 5, High: 5, Unit: "ppb"}
	text := textOf(t, a, Options{To: ToAuthority})
	at, first := strings.Index(text, "Safety first: ozone"), strings.Index(text, "1 Who complains")
	if at < 0 || at > first || !strings.Contains(text[at:first], "no ozone at all") {
		t.Errorf("ozone does not come first: at %d, the first element at %d", at, first)
	}
}

// Lines keep to 78 columns whatever the case holds, and no text of the case is lost.
func TestTextWidth(t *testing.T) {
	a := mossgate.Audit()
	long := strings.Repeat("verylongword", 30)
	a.Rows[0].Claim.Wording = "滤网寿命六至八个月" + strings.Repeat("空气净化", 40) + " " + long
	a.Product.Model = long
	a.Rows[1].Claim.ID = "C-" + strings.Repeat("x", 90)
	for kind, o := range kinds() {
		text := textOf(t, a, o)
		for i, l := range strings.Split(text, "\n") {
			if columns(l) > textWidth || strings.HasSuffix(l, " ") || strings.ContainsAny(l, "\t\r\u00a0") {
				t.Errorf("%s: line %d takes %d columns: %q", kind, i+1, columns(l), l)
			}
		}
		if n := strings.Count(regexp.MustCompile(`[\s|]`).ReplaceAllString(text, ""), long); n == 0 {
			t.Errorf("%s: the long word is lost", kind)
		}
	}
}

// Text of a case is never markup: whatever a claim says, the letter has the same blocks.
func TestCaseTextIsNoMarkup(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 2))
	parts := []string{"# ", "## x", "= a | b", "| a | b |", "\n", "\r\n", "- ", "! ", "> ", "---", "1. ", "{{.Claims}}", "\x01", "\x02", "\x03", "\x04", "\v", "word ", "ü", "\u202e", "\xff", "[to be completed by the sender: x]"}
	shape := func(said string) (kinds []Kind, cells []int) {
		a := mossgate.Audit()
		for i := range a.Rows {
			a.Rows[i].Claim.Wording, a.Rows[i].Claim.Source = said, said
		}
		a.Product.Maker, a.Replies[0].Text = said, said
		for i := range a.Test.Fields {
			a.Test.Fields[i].Value = said
		}
		for _, to := range []Addressee{ToMaker, ToAuthority} {
			l, err := Write(a, Options{To: to})
			if err != nil {
				t.Fatalf("%q: %v", said, err)
			}
			for _, b := range l.Blocks {
				kinds, cells = append(kinds, b.Kind), append(cells, len(b.Cells))
				if s := b.Text.String(); strings.ContainsAny(s, "\x01\x02\x03\x04\v\r\u202e") {
					t.Fatalf("%q leaves a mark in %q", said, s)
				}
			}
		}
		return kinds, cells
	}
	kinds, cells := shape("plain words")
	for range 40 {
		said := "x"
		for range 1 + rnd.IntN(12) {
			said += parts[rnd.IntN(len(parts))]
		}
		said = said[1:] + "."
		k, c := shape(said)
		if !reflect.DeepEqual(k, kinds) || !reflect.DeepEqual(c, cells) {
			t.Errorf("%q changes the blocks of the letter", said)
		}
	}
}

// A quotation keeps its lines.
func TestReplyInFull(t *testing.T) {
	a := mossgate.Audit()
	text := textOf(t, a, Options{To: ToAuthority})
	at := strings.Index(text, "  | Thank you for sending us your rows.\n  |\n  | Our delivery rate")
	if at < 0 {
		t.Errorf("the paragraphs of the reply are not kept:\n%s", text[strings.Index(text, "9 What the trader"):])
	}
}

// What the maker's answer says of a claim stands with the claim in both letters, and is not judged.
func TestAnswersStandWithTheirClaims(t *testing.T) {
	a := mossgate.Audit()
	for i := range a.Rows {
		if a.Rows[i].Verdict == verdict.Contradicted {
			a.Rows[i].Answer = "Our figure of " + a.Rows[i].Claim.ID + " is of another unit."
		}
	}
	for to, wants := range map[Addressee][]string{ToMaker: {"Your answer so far", "You have answered before."}, ToAuthority: {"The trader's answer on it: “", "The trader has answered"}} {
		s := strings.Join(strings.Fields(textOf(t, a, Options{To: to})), " ")
		for _, r := range a.Rows {
			if r.Answer != "" && !strings.Contains(s, r.Answer) {
				t.Errorf("%s: %q is missing", to, r.Answer)
			}
		}
		for _, want := range wants {
			if !strings.Contains(s, want) {
				t.Errorf("%s: %q is missing", to, want)
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	for kind, o := range kinds() {
		var out [2]bytes.Buffer
		for i := range out {
			l, err := Write(mossgate.Audit(), o)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := l.WritePDF(&out[i], PDFOptions{}); err != nil {
				t.Fatal(err)
			}
			if err := l.WriteText(&out[i]); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(out[0].Bytes(), out[1].Bytes()) {
			t.Errorf("%s: two letters differ", kind)
		}
	}
}

// The PDF draws every word of the blocks.
func TestPDFHasEveryWord(t *testing.T) {
	l, err := Write(mossgate.Audit(), Options{To: ToMaker})
	if err != nil {
		t.Fatal(err)
	}
	d, err := l.document(PDFOptions{})
	if err != nil {
		t.Fatal(err)
	}
	drawn := d.Recording()
	for _, b := range l.Blocks {
		for _, line := range append([]Line{b.Text}, b.Cells...) {
			for _, w := range strings.Fields(line.String()) {
				if len(w) > 3 && len(w) < 12 && regexp.MustCompile(`^[a-z]+$`).MatchString(w) && !strings.Contains(drawn, w) {
					t.Errorf("%q is not drawn", w)
				}
			}
		}
	}
}

// Made files are the first exhibits.
func TestExhibits(t *testing.T) {
	sum := strings.Repeat("ab", 32)
	text := joinedLines(textOf(t, mossgate.Audit(), Options{To: ToAuthority, Made: []Made{{sheet.Input{Path: "audit.pdf", Bytes: 5, SHA256: sum}, "the report"}}}))
	for _, s := range []string{"E1 audit.pdf: the report; 5 bytes; SHA-256 " + sum, "E2 captures/listing-2031-01-20.png: capture of 2031-01-20", "E3 spec.xlsx: what is claimed"} {
		if !strings.Contains(text, s) {
			t.Errorf("missing: %q", s)
		}
	}
}

// Every row of the tables has a source and a mark that is no stronger than it; ids are plain words; each attribute has what settles it.
func TestTables(t *testing.T) {
	for _, tab := range Tables() {
		n := len(tab.Header)
		if tab.Header[n-2] != "source" || tab.Header[n-1] != "mark" || len(tab.Rows) == 0 {
			t.Errorf("%s: header %v, %d rows", tab.Name, tab.Header, len(tab.Rows))
		}
		for _, r := range tab.Rows {
			if why := source.Fault(r[n-2], r[n-1]); why != "" {
				t.Errorf("%s: %v: %s", tab.Name, r, why)
			}
		}
	}
	v := &View{audit: mossgate.Audit()}
	for _, b := range Bodies() {
		if !regexp.MustCompile(`^[a-z]+$`).MatchString(b.ID) || len(b.Particulars) == 0 || len(b.Duties) == 0 || b.Request == "" {
			t.Errorf("%+v", b)
		}
		for _, p := range b.Particulars {
			if p.Known == "" && p.Blank == "" {
				t.Errorf("%s: nothing answers %q", b.ID, p.Item)
			}
			switch p.Known {
			case "", "listing", "price", "captures", "germs", "ozone", "sample", "model", "seen", "objection", "replies", "articles", "test":
				v.Known(p.Known)
			default:
				t.Errorf("%s: %q is no key of Known", b.ID, p.Known)
			}
		}
	}
	for _, a := range claims.Attributes() {
		if load().settle[string(a.Name)] == "" {
			t.Errorf("nothing settles %s", a.Name)
		}
	}
	if _, err := FindBody("nobody"); err == nil || !strings.Contains(err.Error(), "ftc, states, epa, carb, asa, cma, eu, germany, france, switzerland, japan, canada, healthcanada, australia") {
		t.Error(err)
	}
	if b, err := FindBody(" EU "); err != nil || b.ID != "eu" {
		t.Error(b, err)
	}
}

func FuzzParse(f *testing.F) {
	f.Add("# a\n= b | c\n| d | e |\n1. x\n---\n\x01q\n|\x02 | \x03z\x04")
	f.Fuzz(func(t *testing.T, s string) {
		blocks, err := parse(s)
		if err != nil {
			return
		}
		l := &Letter{Blocks: blocks}
		var b strings.Builder
		if err := l.WriteText(&b); err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if columns(line) > textWidth+1 { // a wide character in a column of one
				t.Fatalf("%d columns: %q", columns(line), line)
			}
		}
	})
}
