package index

import (
	"bytes"
	_ "embed"
	"html/template"
	"io"
	"strings"
	"sync"
	"unicode"

	"weighhouse/verdict"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

// layout is parsed when the first page is written, not at every start of the program.
var layout = sync.OnceValue(func() *template.Template { return template.Must(template.New("index").Parse(pageHTML)) })

// marks are the shapes that stand beside the words of the verdicts.
var marks = map[verdict.Outcome]string{verdict.Supported: "■", verdict.Contradicted: "☒", verdict.Inconclusive: "◪", verdict.Untested: "□", verdict.Unclear: "◇"}

// view is what the page's template is filled from.
type view struct {
	Version  string
	CSS      template.CSS
	Heads    []head
	Rows     []line
	Audited  int
	Others   int // cases without an audit
	Totals   []int
	Findings int
	Issued   string // of all audits, "" where they differ
	Cautions []string
}

type head struct{ Mark, Word string }

type line struct {
	Row
	Counts   []count
	Links    []link
	Problems []string
}

type count struct {
	N    int
	Head head
}

type link struct{ Kind, Address string }

// WriteHTML writes one page that loads nothing and runs no script. version is that of the program that writes it. Foreign
// text is escaped; links lead only to the cases' own outputs, relative to the page. The same rows give the same bytes, in
// whatever order they come.
func WriteHTML(w io.Writer, rows []Row, version string) error {
	v := view{Version: version, CSS: template.CSS(pageCSS), Totals: make([]int, len(verdict.Outcomes)), Cautions: verdict.Cautions} // our own style sheet, no input in it
	for _, o := range verdict.Outcomes {
		v.Heads = append(v.Heads, head{marks[o], string(o)})
	}
	issued := map[string]bool{}
	for _, r := range sorted(rows) {
		l := line{Row: r}
		if r.State == Audited {
			v.Audited++
			v.Findings += r.Findings
			issued[r.Issued] = true
			v.Issued = r.Issued
			for i, o := range verdict.Outcomes {
				l.Counts = append(l.Counts, count{r.Counts[o], v.Heads[i]})
				v.Totals[i] += r.Counts[o]
			}
		} else {
			v.Others++
		}
		for _, k := range kinds {
			if p := r.link(k); p != "" {
				l.Links = append(l.Links, link{strings.ToUpper(k), address(p)})
			}
		}
		if r.Problem != "" {
			l.Problems = strings.Split(r.Problem, "\n")
		}
		v.Rows = append(v.Rows, l)
	}
	if len(issued) > 1 {
		v.Issued = ""
	}
	var b bytes.Buffer
	if err := layout().Execute(&b, v); err != nil {
		return err
	}
	_, err := io.WriteString(w, printable(b.String()))
	return err
}

// printable makes a page fit for a parser: valid UTF-8 without control characters other than line break and tab.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return unicode.ReplacementChar
		}
		return r
	}, s)
}
