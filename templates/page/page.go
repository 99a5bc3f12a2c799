// Package page writes an audit as one web page that stands alone: no script, no outside resource, the figures inline.
// It reads on a telephone, on a desk and on paper, by light and by dark, and aloud.
//
// The order and the words are those of the PDF report: the answer first, then the rule, each claim with its evidence, the
// measurements with their budgets, and the record of the test. The package computes no result; numbers are rounded for
// reading and stand unrounded in audit.json.
package page

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
var layout = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Funcs(template.FuncMap{"mark": markOf}).Parse(pageHTML))
})

// Write writes the page in UTF-8. The same audit gives the same bytes. Whatever the audit's texts hold is text on the page:
// it is escaped, characters that HTML cannot hold become U+FFFD, and only a listing with an http or https address becomes
// a link to another site. On an error nothing has been written, unless w itself failed.
func Write(w io.Writer, a *verdict.Audit) error {
	var b bytes.Buffer
	if err := layout().Execute(&b, newView(a)); err != nil {
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
		return r // strings.Map gives U+FFFD for a byte that is not UTF-8
	}, strings.ReplaceAll(s, "\r\n", "\n"))
}

// markOf is the shape that stands for a verdict; the open square for one that is not known.
func markOf(o verdict.Outcome) string {
	for _, k := range verdict.Outcomes {
		if o == k {
			return "mark-" + string(o)
		}
	}
	return "mark-" + string(verdict.Untested)
}
