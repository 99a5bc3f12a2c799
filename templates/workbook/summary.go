package workbook

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/templates/words"
	"weighhouse/templates/xlsx"
	"weighhouse/verdict"
)

// meanings say what each verdict is, for a reader of the counts.
var meanings = map[verdict.Outcome]string{
	verdict.Supported:    "the true value meets the limit with a probability of 95 % or more",
	verdict.Contradicted: "beyond the limit with a probability of at least 95 %, on the unit tested",
	verdict.Inconclusive: "between the two",
	verdict.Untested:     "nothing that was measured bears on it",
	verdict.Unclear:      "the claim as worded cannot be tested",
}

func (b *book) summary() *xlsx.Sheet {
	a := b.a
	s := &xlsx.Sheet{Name: summaryName, Portrait: true}
	s.Widths(34, 16, 96)
	s.AddTitle("Claims audit: " + strings.TrimSpace(a.Product.Maker+" "+a.Product.Model))
	for _, f := range [][2]string{{"maker", a.Product.Maker}, {"model", a.Product.Model}, {"variant", a.Product.Variant},
		{"region", a.Product.Region}, {"price", strings.TrimSpace(a.Product.Price + " " + a.Product.Currency)},
		{"listing", a.Product.Listing}, {"case", a.Case}, {"issued", a.Issued}} {
		s.Add(label(f[0]), xlsx.Text(f[1]))
	}
	s.Add()
	s.Head("verdict", "claims", "what it means")
	from := s.Next()
	for _, o := range verdict.Outcomes {
		n := 0
		for _, r := range a.Rows {
			if r.Verdict == o {
				n++
			}
		}
		s.Add(label(string(o)), count(fmt.Sprintf("COUNTIF(%s,%s)", b.column(claimsName, claVerdict, len(a.Rows)), xlsx.At(1, s.Next())), n),
			xlsx.Wrapped(meanings[o]))
	}
	s.Add(label("claims in all"), count(fmt.Sprintf("SUM(%s)", xlsx.Down(2, from, s.Next()-1)), len(a.Rows)))
	found := len(a.Findings)
	s.Add(label("findings on the wording"), count(fmt.Sprintf(`COUNTA(%s)-COUNTIF(%s,"DEFINED")`, b.column(findingsName, 1, found), b.column(findingsName, 2, found)), a.Open()),
		xlsx.Wrapped("that leave something open; of words with a fixed meaning only the evidence is asked for"))
	if left := words.LeftOut(a); left != "" {
		s.Add(label("left out"), xlsx.Text(""), xlsx.Wrapped(left+": see the record"))
	}
	s.Head("decision rule", "", "")
	b.yesRow, b.noRow = s.Next(), s.Next()+1
	s.Add(label("supported at a probability from"), formatted(given(1-verdict.Risk), "0.00"), xlsx.Text("change these two to see what hangs on them"))
	s.Add(label("contradicted at a probability up to"), formatted(given(verdict.Risk), "0.00"))
	numeric := 0
	for _, r := range a.Rows {
		if r.Probability != nil {
			numeric++
		}
	}
	s.Add(label("claims judged by a number"), count(fmt.Sprintf("COUNT(%s)", b.column(claimsName, claProbability, len(a.Rows))), numeric))
	wrong := 1 - math.Pow(1-verdict.Risk, float64(numeric))
	s.Add(label("chance of one wrong “contradicted”"), formatted(formula(fmt.Sprintf("1-(1-B%d)^B%d", b.noRow, s.Next()-1), wrong), "0%"),
		xlsx.Wrapped("if every one of them lay exactly at its limit"))
	for _, t := range a.Rule.Text {
		s.AddWide(t, 3, xlsx.Look{})
	}
	s.Add()
	s.Head("claim", "verdict", "in a sentence")
	at := s.Next()
	for i, r := range a.Rows {
		text := r.Statement
		if text == "" {
			text = strings.Join(r.Notes, " ")
		}
		s.Add(label(strings.TrimSpace(r.Claim.ID+"  "+string(r.Claim.Attribute))),
			xlsx.Cell{Formula: xlsx.On(claimsName, xlsx.At(claVerdict, first+i)), Value: string(r.Verdict)}, xlsx.Wrapped(text))
	}
	if len(a.Rows) > 0 {
		area := xlsx.Down(2, at, s.Next()-1)
		s.Emphasis = []xlsx.Emphasis{{Range: area, Word: string(verdict.Contradicted)}, {Range: area, Word: string(verdict.Supported)},
			{Range: area, Word: string(verdict.Inconclusive), Italic: true}}
	}
	s.Add()
	s.Head("cautions", "", "")
	for _, c := range a.Cautions {
		s.AddWide(c, 3, xlsx.Look{})
	}
	s.Add()
	s.AddWide("How to read this workbook: see the sheet “"+readMeName+"”. weighhouse "+a.Version+".", 3, xlsx.Look{Grey: true})
	return s
}

// label is the name of a value beside it.
func label(s string) xlsx.Cell { return xlsx.Cell{Value: s, Look: xlsx.Look{Bold: true}} }

// column is the range of n rows of a sheet's column, at least one row.
func (b *book) column(name string, col, n int) string {
	return xlsx.On(name, xlsx.Down(col, first, first+max(n, 1)-1))
}

func (b *book) readMe() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: readMeName, Portrait: true}
	s.Widths(20, 100)
	s.AddTitle("How to read this workbook")
	for _, t := range []string{
		"Every number is either put in or calculated here. Numbers in blue were put in: readings, claims, tolerances, and results of steps that a spreadsheet cannot repeat; the cell beside such a result says why. Numbers in black are formulas. Change a blue number and everything that hangs on it follows.",
		"The formulas give the numbers of audit.json to about ten digits; audit.json holds them unrounded.",
		"The way from a reading to a verdict: Logs (ln of the reading less its background) → Fits (slope over the window, scatter about the line) → Runs → Means (mean and spread of the runs) → Measurements (result, with Budgets: combined standard uncertainty, effective degrees of freedom, coverage factor) → Claims (limit, probability, verdict) → Summary (counts).",
		"What is put in as a number: where the window of a fit begins and ends (two passes over the whole log), the effect of the background's uncertainty, degrees of freedom of single components, exact intervals of particle counts, and whatever rests on a log that is thinned here to 2,000 readings.",
	} {
		s.AddWide(t, 2, xlsx.Look{})
		s.Add()
	}
	s.Head("sheet", "what stands there")
	for _, r := range [][2]string{
		{summaryName, "the counts of verdicts, the decision rule and its two thresholds, each claim in a sentence, the cautions"},
		{claimsName, "each claim: limit = claim moved by its tolerance to the maker's side; probability that the true value meets it; gap = measured less claimed"},
		{resultsName, "each result: u = √Σuᵢ²; ν = 1/Σ(shareᵢ²/νᵢ), truncated; k = Student's t for 95 % and ν; U = k·u"},
		{budgetsName, "the components of each u, in the unit of the result; share = (uᵢ/u)²"},
		{meansName, "the mean of the runs of each result and state, and two measures of its uncertainty: the spread between runs and the scatter within them"},
		{runsName, "each run, reading or repeat"},
		{fitsName, "the straight line through ln(C − background) of each log: k, its standard error, and the inflation for serial correlation of the residuals"},
		{logsName, "the readings, thinned where there are more than 2,000 a run, with logarithm, fitted line and residual"},
		{findingsName, "what the wording of the claims leaves open, with the question to ask"},
		{costsName, "running cost for a year"},
		{recordName, "the test record, instruments, history of captures, replies, and tables that inform but judge nothing"},
		{inputsName, "every file that was read, with its SHA-256"},
	} {
		s.Add(label(r[0]), xlsx.Wrapped(r[1]))
	}
	s.Add()
	s.AddWide("Functions used: SLOPE, INTERCEPT, RSQ, DEVSQ, SUMSQ, SUMPRODUCT, STDEV, T.DIST, T.INV.2T, NORM.S.DIST, NORM.S.INV, COUNTIF. They need a spreadsheet of 2010 or later.", 2, xlsx.Look{Grey: true})
	return s
}
