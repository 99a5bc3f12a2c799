package pdf

import (
	"strings"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// information sets the tables that inform and judge nothing.
func (r *report) information() {
	if len(r.a.Info) == 0 {
		return
	}
	r.Heading(1, "What follows from the results")
	r.small(words.AboutInfo)
	for i := range r.a.Info {
		const blank, head = 0.22, 6 // of a page that keeping a table together may cost; else heading, head and a few rows
		r.KeepUnlessBlank(blank, head, func() { r.informs(&r.a.Info[i]) })
	}
}

func (r *report) informs(i *verdict.InfoTable) {
	r.Heading(3, i.Title)
	t := document.Table{Size: 7.7, RowHeads: true, Tight: true, Snug: true, After: 5}
	for j, h := range i.Header {
		c := document.Column{Head: words.Upper(numeral.Prose(strings.Replace(h, ", 1/h", ", per hour", 1)))}
		if j > 0 && numbers(i.Rows, j) {
			c.Align = document.Decimal
		}
		t.Columns = append(t.Columns, c)
	}
	for _, row := range i.Rows {
		var cells []document.Text
		for _, c := range row {
			cells = append(cells, document.T(numeral.Prose(c)))
		}
		t.Rows = append(t.Rows, cells)
	}
	r.Table(t)
	if i.Note != "" {
		r.Styled(document.Style{Size: 7.7, Tone: figure.Soft}, document.Plain(numeral.Prose(i.Note)))
	}
}

// numbers reports whether a column of a table holds numbers: short cells, each with a digit near its beginning, or
// empty.
func numbers(rows [][]string, j int) bool {
	const short, near = 24, 11 // "more than 99.9 %" is a number too
	any := false
	for _, r := range rows {
		if j >= len(r) || r[j] == "" || r[j] == numeral.Dash {
			continue
		}
		at := strings.IndexAny(r[j], "0123456789")
		if at < 0 || at > near || len([]rune(r[j])) > short || strings.ContainsAny(r[j][:at], "/:;()") {
			return false
		}
		any = true
	}
	return any
}
