// Package workbook writes an audit as an .xlsx workbook with live formulas, so that a reader who trusts nobody can
// follow every step from the logged readings to the verdicts, and change a number to see what hangs on it.
//
// The package computes nothing that the audit does not hold, except what a formula shows to the reader. A formula stands
// only where it gives the audit's own number; where it would not, because the log is thinned or the step is no formula of
// a spreadsheet, the number itself stands there in blue and the cell beside it says why.
package workbook

import (
	"fmt"
	"io"
	"strings"

	"weighhouse/measure"
	"weighhouse/templates/xlsx"
	"weighhouse/verdict"
)

// Options are what a reader may choose.
type Options struct {
	Paper string // for printing: "A4" (also for "") or "Letter"
}

// The names of the sheets.
const (
	summaryName  = "Summary"
	claimsName   = "Claims"
	resultsName  = "Measurements"
	budgetsName  = "Budgets"
	meansName    = "Means"
	runsName     = "Runs"
	fitsName     = "Fits"
	logsName     = "Logs"
	findingsName = "Findings"
	costsName    = "Costs"
	recordName   = "Record"
	inputsName   = "Inputs"
	readMeName   = "Read me"
)

// Write writes the audit as a workbook. The same audit and options give the same bytes.
func Write(w io.Writer, a *verdict.Audit, o Options) error {
	b := newBook(a)
	title := strings.TrimSpace(a.Product.Maker + " " + a.Product.Model)
	if title == "" {
		title = a.Case
	}
	file := &xlsx.Book{
		Title: "Claims audit: " + title, Subject: "claims, measurements and verdicts, with formulas",
		Date: a.Issued, Paper: o.Paper, Header: "Claims audit: " + title,
		Sheets: []*xlsx.Sheet{
			b.summary(), b.claims(), b.results(), b.budgets(), b.meansSheet(), b.runsSheet(), b.fitsSheet(), b.logsSheet(),
			b.findings(), b.costs(), b.record(), b.inputs(), b.readMe(),
		},
	}
	if err := file.Write(w); err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	return nil
}

// book knows where everything stands before any sheet is laid out, for sheets refer to each other.
type book struct {
	a     *verdict.Audit
	all   []*result
	runs  []*run
	means []*mean
	logs  []*logged

	yesRow, noRow int // rows of Summary with the thresholds of the decision rule; set by summary, which is laid out first
}

// result is a measurement with its place: its row on Measurements, and its first and last row on Budgets.
type result struct {
	m        *measure.Measurement
	row      int
	from, to int // rows of its budget; to < from where it has none
	means    []*mean
	claim    *verdict.Row // the first claim that it bears on, nil if none
	baseOf   *result      // the result that this one is computed from, nil if none
}

// mean is the runs of one result in one state, which stand in adjacent rows of Runs.
type mean struct {
	of       *result
	state    string
	row      int // on Means
	from, to int // rows of Runs
	runs     []*run
}

// run is one run with its row on Runs.
type run struct {
	of  *result
	r   measure.Run
	row int
	log *logged // nil where there is no curve
}

// logged is a reduced log: its row on Fits, and its rows on Logs. Results may share one, as all settings share the runs
// with the unit off.
type logged struct {
	id       string
	r        measure.Run
	row      int
	from, to int
	fit      lineFit
}

// first is the row below the heads, on every sheet of rows.
const first = 2

func newBook(a *verdict.Audit) *book {
	b := &book{a: a}
	budget := first
	seen := map[string]*logged{}
	logRow := first
	for i := range a.Measurements {
		m := &a.Measurements[i]
		r := &result{m: m, row: first + i, from: budget, to: budget + len(m.Budget) - 1}
		budget += len(m.Budget)
		for j := range a.Rows {
			if x := a.Rows[j].Measured; x != nil && x.ID == m.ID && r.claim == nil {
				r.claim = &a.Rows[j]
			}
		}
		b.all = append(b.all, r)
		for _, state := range states(m.Runs) {
			g := &mean{of: r, state: state, row: first + len(b.means), from: first + len(b.runs)}
			for _, one := range m.Runs {
				if one.State != state {
					continue
				}
				x := &run{of: r, r: one, row: first + len(b.runs)}
				if c := one.Curve; c != nil && len(c.Hours) > 0 && len(c.Hours) == len(c.Value) {
					key := fmt.Sprintf("%s\x00%s\x00%s\x00%d\x00%v\x00%v\x00%v", one.Place, one.Run, one.State, len(c.Hours), c.Background, c.From, c.To)
					l := seen[key]
					if l == nil {
						l = &logged{id: fmt.Sprintf("L%d", len(b.logs)+1), r: one, row: first + len(b.logs), from: logRow, to: logRow + len(c.Hours) - 1}
						logRow = l.to + 1
						l.fit = fitOf(c)
						seen[key] = l
						b.logs = append(b.logs, l)
					}
					x.log = l
				}
				g.runs = append(g.runs, x)
				b.runs = append(b.runs, x)
			}
			g.to = first + len(b.runs) - 1
			r.means = append(r.means, g)
			b.means = append(b.means, g)
		}
	}
	return b
}

// states lists the states of runs in order of first appearance.
func states(rs []measure.Run) []string {
	var out []string
	seen := map[string]bool{}
	for _, r := range rs {
		if !seen[r.State] {
			seen[r.State] = true
			out = append(out, r.State)
		}
	}
	return out
}

// find is the result with an id, nil if the audit has none.
func (b *book) find(id string) *result {
	for _, r := range b.all {
		if r.m.ID == id {
			return r
		}
	}
	return nil
}

// cell is the address of a column of the result on Measurements, from any sheet.
func (r *result) cell(col int) string { return xlsx.On(resultsName, xlsx.At(col, r.row)) }
