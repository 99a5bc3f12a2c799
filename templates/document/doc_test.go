package document_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/typeface"
)

var day = time.Date(2031, 3, 14, 0, 0, 0, 0, time.UTC)

func begin(t *testing.T, o document.Options) *document.Doc {
	t.Helper()
	if o.Created.IsZero() {
		o.Created = day
	}
	d, err := document.New(o)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func write(t *testing.T, d *document.Doc) ([]byte, []string) {
	t.Helper()
	var b bytes.Buffer
	ws, err := d.Write(&b)
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), ws
}

// tool gives the path of an outside program; without it the test is skipped, and fails where CI=true.
func tool(t *testing.T, name string) string {
	t.Helper()
	p, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed: this check is left out", name)
	}
	return p
}

func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(tool(t, name), args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

func saved(t *testing.T, pdf []byte) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(p, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	return p
}

// sample uses everything once, over several pages.
func sample(t *testing.T, o document.Options) *document.Doc {
	o.Title, o.Author, o.Lang, o.Footer, o.Closing, o.Creator = "A sample (with brackets) \\ and Ünïcode", "N. N.", "en-GB", "sample", "End of report", "weighhouse test"
	d := begin(t, o)
	d.Title("A sample")
	d.Paragraph(document.Plain("See "), document.To("last", "the last table"), document.Plain(" or "), document.Web("https://example.org/a(b)c", "the site"), document.Plain("."))
	d.Heading(1, "Lists")
	d.List(document.T("one"), document.T("two"))
	d.Numbered(document.T("first"), document.T("second"))
	d.Heading(2, "A figure")
	d.Figure(figure.New("f", "Square", "a square", 100, 50, func(s figure.Surface) {
		s.Polygon([]figure.Point{{X: 1, Y: 1}, {X: 40, Y: 1}, {X: 40, Y: 40}, {X: 1, Y: 40}}, figure.Wash, figure.Stroke{Width: 1, Tone: figure.Ink})
		s.Dots([]figure.Point{{X: 5, Y: 5}}, 3, figure.Accent)
		s.Text(figure.Point{X: 50, Y: 20}, "middle", figure.Type{Size: 8, Tone: figure.Ink, Anchor: figure.Middle})
	}))
	d.Heading(1, "A long table")
	rows := [][]document.Text{}
	for i := range 120 {
		rows = append(rows, []document.Text{document.T(fmt.Sprintf("row %d", i)), document.T(strings.Repeat("some words ", 12)), document.T("9")})
	}
	d.Anchor("last")
	d.Table(document.Table{Columns: []document.Column{{Head: "Name"}, {Head: "What"}, {Head: "Number", Align: document.Right}}, Rows: rows, RowHeads: true})
	if err := d.Attach(document.Attachment{Name: "books/lab ü.csv", MIME: "text/csv", Relationship: "Source", Description: "the lab book", Data: []byte("a,b\n1,2\n")}); err != nil {
		t.Fatal(err)
	}
	if err := d.Attach(document.Attachment{Name: "audit.json", MIME: "application/json", Relationship: "Data", Data: []byte("{}")}); err != nil {
		t.Fatal(err)
	}
	return d
}

// outline is an entry of the outline as qpdf prints it.
type outline struct {
	Title string
	Page  int `json:"destpageposfrom1"`
	Kids  []outline
}

// home is the page that the bookmark of a title leads to; 0 where there is none.
func home(title string, os []outline) int {
	for _, o := range os {
		if o.Title == title {
			return o.Page
		}
		if p := home(title, o.Kids); p > 0 {
			return p
		}
	}
	return 0
}

func TestEveryPageIsNumberedAndTheEndIsMarked(t *testing.T) {
	d := sample(t, document.Options{})
	rec := d.Recording()
	n := d.Pages()
	if n < 3 {
		t.Fatalf("%d pages", n)
	}
	for i := 1; i <= n; i++ {
		if !strings.Contains(rec, fmt.Sprintf("%q", fmt.Sprintf("page %d of %d", i, n))) {
			t.Errorf("page %d has no number", i)
		}
	}
	last := rec[strings.LastIndex(rec, "\npage "):]
	if !strings.Contains(last, `"End of report"`) {
		t.Error("the last page has no closing line")
	}
}

// pages splits a recording into what is drawn on each page.
func pages(rec string) []string {
	return regexp.MustCompile(`(?m)^page \d+$`).Split(rec, -1)[1:]
}

func TestTableHeadsRepeatAndRowsAreWhole(t *testing.T) {
	d := sample(t, document.Options{})
	row := regexp.MustCompile(`"row (\d+)"`)
	seen := 0
	for i, p := range pages(d.Recording()) {
		rows := row.FindAllString(p, -1)
		if len(rows) > 0 && !strings.Contains(p, `"Number"`) {
			t.Errorf("page %d continues the table without its head", i+1)
		}
		seen += len(rows)
		// each row has two lines in its second column; a row that was cut would leave an odd one
		if lines := strings.Count(p, "some words"); len(rows) > 0 && strings.Count(p, "/TD")+lines == 0 {
			t.Errorf("page %d has rows without cells", i+1)
		}
		if a, b := strings.Count(p, `"9"`), len(rows); a != b {
			t.Errorf("page %d: %d rows but %d last cells", i+1, b, a)
		}
	}
	if seen != 120 {
		t.Errorf("%d rows of 120 were drawn", seen)
	}
}

// Nothing may be drawn outside the margins, whatever the words are like.
func TestLongWordsStayWithinTheColumn(t *testing.T) {
	d := begin(t, document.Options{})
	long := strings.Repeat("monthsmonths", 40)
	d.Heading(1, long)
	d.Paragraph(document.Plain("a "+long+" b"), document.Bold(long))
	d.List(document.T(long))
	d.Table(document.Table{Columns: []document.Column{{Head: long}, {Head: "b"}, {Head: "c", Align: document.Right}}, Rows: [][]document.Text{{document.T(long), document.T(long), document.T("9\u00a0" + long)}}})
	op := regexp.MustCompile(`(?m)^text (\w+) \w+ ([\d.]+) \w+ ([-\d.]+),([-\d.]+) (".*")$`)
	faces := map[string]typeface.Face{"regular": typeface.Regular, "bold": typeface.Bold}
	letters := 0
	for _, m := range op.FindAllStringSubmatch(d.Recording(), -1) {
		var size, x, y float64
		var s string
		if _, err := fmt.Sscan(m[2]+" "+m[3]+" "+m[4], &size, &x, &y); err != nil {
			t.Fatal(err)
		}
		if _, err := fmt.Sscanf(m[5], "%q", &s); err != nil {
			t.Fatal(err)
		}
		if end := x + faces[m[1]].Width(strings.TrimRight(s, " "), size); x < 53.9 || end > 595.28-53.5 {
			t.Errorf("%q runs from %.1f to %.1f", s, x, end)
		}
		letters += strings.Count(s, "m")
	}
	if want := 80 * 8; letters != want { // eight times the word, 80 m each
		t.Errorf("%d letters m were drawn, want %d: text was lost", letters, want)
	}
}

func TestRowHigherThanAPage(t *testing.T) {
	d := begin(t, document.Options{})
	var long strings.Builder
	for i := range 300 {
		fmt.Fprintf(&long, "line %d.\n", i)
	}
	d.KeepTogether(func() {
		d.Table(document.Table{Columns: []document.Column{{Head: "A"}, {Head: "B"}}, Rows: [][]document.Text{{document.T("x"), document.T(long.String())}}})
		d.Styled(document.Style{Whole: true, KeepNext: true}, document.Plain(long.String()))
	})
	rec := d.Recording()
	for i := range 300 {
		if n := strings.Count(rec, fmt.Sprintf(`"line %d."`, i)); n != 2 {
			t.Fatalf("line %d was drawn %d times, want 2", i, n)
		}
	}
	for _, m := range regexp.MustCompile(`(?m)^text .*? [-\d.]+,([-\d.]+) "line`).FindAllStringSubmatch(rec, -1) {
		var y float64
		if _, err := fmt.Sscan(m[1], &y); err != nil || y > 841.89-58 {
			t.Fatalf("a line stands at %v, below the foot", y)
		}
	}
}

func TestHeadHigherThanAPage(t *testing.T) {
	d := begin(t, document.Options{})
	d.Table(document.Table{Columns: []document.Column{{Head: strings.Repeat("head ", 400), Width: 5}, {Head: "B", Width: 95}},
		Rows: [][]document.Text{{document.T(strings.Repeat("cell ", 400)), document.T("b")}}})
	rec := d.Recording()
	if a, b := strings.Count(rec, "head"), strings.Count(rec, "cell"); a != 400 || b != 400 {
		t.Errorf("%d words of the head and %d of the row were drawn, want 400 each", a, b)
	}
	if d.Pages() > 30 {
		t.Errorf("%d pages", d.Pages())
	}
}

func TestKeepTogether(t *testing.T) {
	for lines := range 60 {
		d := begin(t, document.Options{})
		for range lines {
			d.Styled(document.Style{After: -1}, document.Plain("filler"))
		}
		d.KeepTogether(func() {
			d.Heading(2, "kept heading")
			d.Paragraph(document.Plain("kept text"))
			d.Table(document.Table{Columns: []document.Column{{Head: "kept head"}}, Rows: [][]document.Text{{document.T("kept row")}}})
		})
		d.Heading(1, "late heading")
		d.Paragraph(document.Plain("late text"))
		for _, p := range pages(d.Recording()) {
			if k := strings.Count(p, `"kept text`) + strings.Count(p, `"kept head"`) + strings.Count(p, `"kept row`); k != 0 && k != 3 {
				t.Fatalf("after %d lines a kept block was cut: %d of 3 on one page", lines, k)
			}
			if h := regexp.MustCompile(`(?m)^text .*"late heading"`).MatchString(p); h != strings.Contains(p, `"late text"`) {
				t.Fatalf("after %d lines a heading stands apart from its text", lines)
			}
		}
	}
}

func TestWrongOptions(t *testing.T) {
	if _, err := document.New(document.Options{Paper: "a5"}); err == nil || !strings.Contains(err.Error(), `"a5"`) {
		t.Errorf("paper a5: %v", err)
	}
	if _, err := document.New(document.Options{Font: []byte("no font at all")}); err == nil {
		t.Error("a text was taken as a font")
	}
	d := begin(t, document.Options{})
	for _, a := range []document.Attachment{{}, {Name: "a", Relationship: "Cousin"}} {
		if d.Attach(a) == nil {
			t.Errorf("attachment %+v was taken", a)
		}
	}
	if d.Attach(document.Attachment{Name: "a"}) != nil || d.Attach(document.Attachment{Name: "a"}) == nil {
		t.Error("one attachment must be taken, a second of its name refused")
	}
}

func TestEmptyDocument(t *testing.T) {
	pdf, _ := write(t, begin(t, document.Options{}))
	run(t, "qpdf", "--check", saved(t, pdf))
}
