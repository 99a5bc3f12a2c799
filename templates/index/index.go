// Package index writes the list of many audits: one row a case with its verdict counts and links to its outputs, as a
// table for programs (CSV) and as a page for people (HTML). It computes no result.
package index

import (
	"net/url"
	"path"
	"sort"
	"strings"

	"weighhouse/verdict"
)

// State is what became of a case.
type State string

// The states of a case.
const (
	Audited State = "audited"
	Failed  State = "failed"      // its inputs could not be read, or its outputs not written
	Absent  State = "not audited" // a spec book, and no audit.json beside it
)

// Row is one case.
type Row struct {
	Case     string // the case folder's name
	Folder   string // of its outputs, seen from the index: forward slashes, "." for the index's own folder
	State    State
	Maker    string
	Model    string
	Variant  string
	Issued   string // YYYY-MM-DD
	Version  string // of the program
	Claims   int
	Counts   map[verdict.Outcome]int
	Findings int      // those that leave something open
	Files    []string // outputs in Folder: "audit.pdf"
	Marked   string   // what weakens verdicts, with the claims
	Problem  string   // what kept it from being audited
}

// FromReport fills a row from a written audit; folder and files are the caller's to set.
func FromReport(r verdict.Report) Row {
	row := Row{Case: r.Case, State: Audited, Maker: r.Product.Maker, Model: r.Product.Model, Variant: r.Product.Variant, Issued: r.Issued,
		Version: r.Tool.Version, Claims: len(r.Claims), Counts: map[verdict.Outcome]int{}, Marked: verdict.MarkedText(r.Marked)}
	for _, f := range r.Findings {
		if f.SameAs == "" && f.Class != "DEFINED" { // as the reports count: once, with all its rules, and only what leaves something open
			row.Findings++
		}
	}
	for _, o := range verdict.Outcomes {
		row.Counts[o] = r.Summary[string(o)]
	}
	return row
}

// FromAudit fills a row from an audit that was just made.
func FromAudit(a *verdict.Audit) Row {
	row := Row{Case: a.Case, State: Audited, Maker: a.Product.Maker, Model: a.Product.Model, Variant: a.Product.Variant, Issued: a.Issued,
		Version: a.Version, Claims: len(a.Rows), Counts: map[verdict.Outcome]int{}, Findings: a.Open(), Marked: verdict.MarkedText(a.Marked)}
	for _, o := range verdict.Outcomes {
		row.Counts[o] = a.Count(o)
	}
	return row
}

// sorted gives the rows by folder, then by case, so that the order in which they came does not show.
func sorted(rows []Row) []Row {
	out := append([]Row(nil), rows...)
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].Folder != out[j].Folder {
			return out[i].Folder < out[j].Folder
		}
		return out[i].Case < out[j].Case
	})
	return out
}

// link is the address of an output of the case, relative to the index; "" where it has none of that kind.
func (r Row) link(kind string) string {
	name := "audit." + kind
	for _, f := range r.Files {
		if f == name {
			return path.Join(r.Folder, name)
		}
	}
	return ""
}

// address brings a path to the form of a link: escaped, and never taken for a scheme or a host.
func address(p string) string {
	if p == "" {
		return ""
	}
	u := url.URL{Path: p}
	s := u.String()
	if strings.HasPrefix(s, "//") { // a path of two slashes would name a host
		s = "/." + s
	}
	return s
}
