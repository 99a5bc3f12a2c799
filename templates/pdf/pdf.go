// Package pdf writes an audit as a PDF report: the answer on the first page, then the decision rule, each claim with
// its evidence, the measurements with their budgets, and the record of the test.
//
// It reads a verdict.Audit and computes no result; the numbers are rounded for reading (package numeral) and stand
// unrounded in audit.json, which can be attached. The typesetting is that of package document.
package pdf

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// Options say how the report is made.
type Options struct {
	Paper  string                // "a4", which is also meant by "", or "letter"
	Font   []byte                // a TrueType font for characters that the Go fonts lack; may be nil
	Attach []document.Attachment // audit.json and the books
	Lang   string                // of the report's own words; "en" where empty
}

// Attachment is a file that the report carries.
type Attachment = document.Attachment

// Write writes the report that Bytes makes. On an error nothing has been written.
func Write(w io.Writer, a *verdict.Audit, o Options) (warnings []string, err error) {
	d, err := build(a, o)
	if err != nil {
		return nil, err
	}
	return d.Write(w)
}

// Bytes makes the report. The dates of the file are the audit's day of issue, so that the same audit and options give
// the same bytes. The warnings name what could not be printed as it stands.
func Bytes(a *verdict.Audit, o Options) (file []byte, warnings []string, err error) {
	d, err := build(a, o)
	if err != nil {
		return nil, nil, err
	}
	return d.Bytes()
}

// report is an audit on its way into a document.
type report struct {
	*document.Doc
	a *verdict.Audit
}

func build(a *verdict.Audit, o Options) (*document.Doc, error) {
	day, err := time.Parse(time.DateOnly, a.Issued)
	if err != nil {
		return nil, fmt.Errorf("day of issue %q: a date such as 2031-03-14 would do", a.Issued)
	}
	name := productName(a)
	d, err := document.New(document.Options{
		Paper: o.Paper, Font: o.Font, Lang: o.Lang, Created: day,
		Title: "Claims audit: " + name, Author: words.Field(a, "tester"), Creator: strings.TrimSpace("weighhouse " + a.Version),
		Subject: "What its maker says of the " + name + ", set against what was measured",
		Footer:  footer(a, name), Closing: "End of report",
	})
	if err != nil {
		return nil, err
	}
	for _, at := range o.Attach {
		if err := d.Attach(at); err != nil {
			return nil, err
		}
	}
	r := report{Doc: d, a: a}
	r.answer()
	r.rule()
	r.overview()
	r.claims()
	r.findings()
	r.measurements()
	r.costs()
	r.information()
	r.history()
	r.record()
	r.inputs(o.Attach)
	r.replies()
	r.notes()
	r.cautions()
	return d, nil
}

// footer is what every page says of the report that it is a part of (ISO/IEC 17025:2017, 7.8.2.1 d).
func footer(a *verdict.Audit, name string) string {
	s := "Claims audit: " + name + " · issued " + a.Issued
	if a.ID != "" {
		s += " · report " + a.ID
	}
	return s
}

// productName is maker and model, or what there is of them.
func productName(a *verdict.Audit) string {
	s := strings.TrimSpace(a.Product.Maker + " " + a.Product.Model)
	if s == "" {
		return "product not named"
	}
	return s
}

// overview draws all claims on one axis, and noise and power by setting.
func (r *report) overview() {
	f := figure.Claims(r.a)
	if !slices.ContainsFunc(r.a.Rows, func(row verdict.Row) bool { return row.Measured != nil }) {
		f = figure.Figure{} // claims alone have nothing to be set against
	}
	ls := figure.Levels(r.a)
	if f.Height == 0 && len(ls) == 0 {
		return
	}
	r.Heading(1, "Claimed and measured at a glance")
	if f.Height > 0 {
		r.small(words.AboutOverview)
		r.Figure(f)
	}
	r.Figures(ls...)
}

// small sets a paragraph of explanation in smaller grey type, on the page of what follows it.
func (r *report) small(s string) {
	r.Styled(document.Style{Size: 8, Tone: figure.Soft, KeepNext: true, Whole: true}, document.Plain(s))
}
