package ranking

import (
	"bytes"
	_ "embed"
	"html/template"
	"io"
	"strings"
	"sync"

	"weighhouse/verdict/rank"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

// page is parsed when the first page is written, not at every start of the program.
var page = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Funcs(template.FuncMap{
		"capital": capital, "unit": unitText, "value": value, "interval": interval, "effect": effect, "effectHead": effectHead, "p": pText,
		"dof": dof, "outcome": outcome, "ties": ties, "facts": unitFacts, "dash": dash, "better": better, "lower": func(s string) string { return strings.ToLower(s[:1]) + s[1:] },
		"t": func(p rank.Pair) string { return statistic(p.T, 2) }, "anchor": anchor, "tied": func() string { return tied },
	}).Parse(pageHTML))
})

// view is what the page's template is filled from.
type view struct {
	*rank.Ranking
	Title      string
	CSS        template.CSS
	Conditions [][2]string
	ByName     []named
}

// named is a unit with its entry under each criterion.
type named struct {
	rank.Unit
	Cells []cell
}

type cell struct {
	C    rank.Criterion
	E    rank.Entry
	More int
}

// WriteHTML writes the ranking as one page that loads nothing and runs no script; it follows a light or a dark screen and
// a narrow one. The same ranking gives the same bytes.
func WriteHTML(w io.Writer, r *rank.Ranking) error {
	s := view{Ranking: r, Title: title(r), CSS: template.CSS(pageCSS), Conditions: conditions(r)} // our own style sheet, no input in it
	for _, i := range order(r) {
		n := named{Unit: r.Units[i]}
		for _, c := range r.Criteria {
			e, more := glance(c, i)
			n.Cells = append(n.Cells, cell{c, e, more})
		}
		s.ByName = append(s.ByName, n)
	}
	var b bytes.Buffer
	if err := page().Execute(&b, s); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

// Strip is an entry's interval on its criterion's scale, in hundredths of the strip's width; nil where it has none.
func (s view) Strip(c rank.Criterion, e rank.Entry) *bar {
	lo, hi, ok := scaleOf(c)
	if !ok || e.Value == nil || e.Measure != "" {
		return nil
	}
	at := func(x *float64) float64 {
		if x == nil {
			x = e.Value
		}
		return 2 + 96*(*x-lo)/(hi-lo)
	}
	return &bar{at(e.Interval[0]), at(e.Interval[1]), at(e.Value)}
}

type bar struct{ From, To, At float64 }

// anchor makes an id of a criterion's title.
func anchor(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, s)
}
