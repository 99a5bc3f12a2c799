package vetting

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"
	"sync"
	"unicode"

	"weighhouse/claims/listing"
	"weighhouse/templates/words"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

// page is read when the first page is written: other commands write none.
var page = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Funcs(template.FuncMap{
		"capital": capital, "what": what, "settled": settled, "display": display, "oneLine": oneLine, "join": strings.Join, "rules": rules, "room": roomText, "sourced": words.Sourced,
		"priceKind": priceKind, "priceValue": priceValue, "stated": statedText, "area": area, "tableID": tableID, "shorten": func(s string) string { return words.Shorten(s, maxPassed) },
	}).Parse(pageHTML))
})

// sheetOf is what the page's template is filled from.
type sheetOf struct {
	*Vetting
	Title, Tally, Generator string
	CSS                     template.CSS
	Facts                   [][2]string
	Counts                  []severityCount
	Short                   Summary
	Weighed, Defined        []foundAt
	AreaGroups              []areaGroup
	CostHeads               []string
	CostGroups              []costGroup
	About                   map[string]string
}

type severityCount struct {
	N    int
	Name string
}

// Place is where words stand in the listing.
func (s sheetOf) Place(line, col int) string { return place(s.Vetting, line, col) }

// WriteHTML writes the vetting as one page that loads nothing and runs no script; it follows a light or a dark screen, a
// narrow one, and paper. Whatever the listing holds is text on the page. The same vetting gives the same bytes.
func WriteHTML(w io.Writer, v *Vetting) error {
	s := sheetOf{Vetting: v, Title: title(v), Tally: words.Upper(tally(v)), Generator: strings.TrimSpace("weighhouse " + v.Version),
		Short: summary(v), CSS: template.CSS(pageCSS), Facts: facts(v), Weighed: anchored(v, weighed(v), "finding"), Defined: anchored(v, v.Fixed(), "fixed"), AreaGroups: areaGroups(v), CostHeads: costHeads, CostGroups: costGroups(v),
		About: map[string]string{"claims": aboutClaims, "findings": aboutFindings, "fixed": aboutFixed, "passed": aboutPassed, "implied": aboutImplied, "costs": aboutCosts, "asked": aboutAsked,
			"noClaims": noClaims, "noFindings": noFindings, "noCost": noCost}}
	n := bySeverity(v)
	for _, k := range Severities {
		s.Counts = append(s.Counts, severityCount{n[k], k})
	}
	var b bytes.Buffer
	if err := page().Execute(&b, s); err != nil {
		return err
	}
	_, err := io.WriteString(w, strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return unicode.ReplacementChar // HTML cannot hold it
		}
		return r // strings.Map gives U+FFFD for a byte that is not UTF-8
	}, b.String()))
	return err
}

// foundAt is a finding with an id for the page and its place in the listing.
type foundAt struct {
	listing.Found
	ID, At, Again string
}

func anchored(v *Vetting, fs []listing.Found, kind string) (out []foundAt) {
	for i, g := range gather(fs) {
		f := g.Found
		f.Claims = g.Claims
		out = append(out, foundAt{f, tableID(kind, i), place(v, f.Line, f.Col), again(v, g.Again)})
	}
	return out
}

// tableID makes the id of the i-th part of a kind.
func tableID(kind string, i int) string { return fmt.Sprintf("%s-%d", kind, i+1) }
