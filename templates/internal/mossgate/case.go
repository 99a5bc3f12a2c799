// Package mossgate is an invented audit for the tests of the writers: the Plumbrigg Town Library has one air cleaner of
// the Brindlecote Air Works tested. Library, maker, model and every number are made up; no such product exists.
//
// It has every verdict, results of every kind, long and foreign text, and a fault in most places where a writer could
// stumble. The probabilities are computed by the decision rule from the numbers given here; the rest is made to be
// printed, not to be right.
package mossgate

import (
	"math"
	"strings"

	"weighhouse/claims"
	"weighhouse/claims/wording"
	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/uncertainty"
	"weighhouse/verdict"
)

// Audit makes the audit anew, so that a test may change it.
func Audit() *verdict.Audit {
	a := &verdict.Audit{
		Version: "0.0.0-test", Issued: "2031-03-14", Case: "mossgate",
		Product: claims.Product{Maker: "Brindlecote Air Works", Model: "Fennow 40", Variant: "white, 2031 edition", Region: "EU",
			Price: "249.00", Currency: "EUR", Listing: "https://brindlecote.example/fennow-40"},
		Inputs: []sheet.Input{
			{Path: "spec.xlsx", Bytes: 18234, SHA256: strings.Repeat("3fa9c07be1", 6) + "77d2"},
			{Path: "lab.xlsx", Bytes: 91822, SHA256: strings.Repeat("b05517cc9e", 6) + "0a41"},
			{Path: "logs/decay-max-1.csv", Bytes: 212345, SHA256: strings.Repeat("9b8a7c6d5e", 6) + "4f3a"},
			{Path: "captures/listing-2031-01-20.png", Bytes: 1412345, SHA256: strings.Repeat("0c1d2e3f4a", 6) + "5b6c"},
		},
		Measurements: measurements(),
		Costs: []verdict.Cost{
			{Option: "maker's filter", EnergyKWh: 172.4, EnergyU: 6.1, EnergyCost: 55.17, FilterCost: 118, Total: 173.17, TotalU: 2, Low: 158.4, High: 189.2, HoursPerDay: 10.6, PerThousand: 0.193, PerThousandU: 0.014, TariffLow: 0.28, TariffHigh: 0.36, Currency: "EUR",
				Basis: "44.1 W for 10.6 h a day; 0.32 EUR a kWh; 2 filters a year", PerYear: 2, FilterPrice: 59},
			{Option: "third-party filter, bought in sets of three", EnergyKWh: 172.4, EnergyU: 6.1, EnergyCost: 55.17, FilterCost: 56, Total: 111.17, HoursPerDay: 10.6,
				Currency: "EUR", Basis: "44.1 W for 10.6 h a day; 0.32 EUR a kWh; 2 filters a year", PerYear: 2, FilterPrice: 28},
		},
		Replies: []claims.Reply{
			{Sent: "2031-02-20", Channel: "email to the address in the manual", Deadline: "2031-03-06", Received: "2031-03-04",
				Text: "Thank you for sending us your rows.\n\nOur delivery rate was determined in a 30 m³ chamber by an outside laboratory. We do not see why a library room should give the same number. The report can be read at our office.\nThe wording on the box will be looked at with the next print run."},
			{Sent: "2031-03-05", Channel: "email", Deadline: "2031-03-12"},
		},
		Test: test(),
		Rule: verdict.RuleStatement{Text: []string{
			"The limit is the claim moved by its tolerance to the maker's side. p is the probability that the true value of the unit tested meets the limit, from Student's t distribution with the effective degrees of freedom (JCGM 106:2012).",
			"Supported: p is 0.95 or more. Contradicted: p is 0.05 or less. Inconclusive: between. The guard band each side of the limit is w = t₀.₉₅(ν)·u.",
			"Results relate only to the item tested."}, Numeric: 12, AnyWrong: 1 - math.Pow(0.95, 12)},
		Room: &verdict.Room{Volume: 61.4, U: 0.6, Text: "reading room 2: 6.02 m × 4.25 m × 2.40 m"},
		Info: []verdict.InfoTable{
			{Title: "Room area that the measured delivery rate serves, by rule", Header: []string{"Rule", "Air changes per hour", "Area", "Source"},
				Rows: [][]string{{"steady state, 80 % less smoke", "4.8", "19.9 m²", "common practice, no source"}, {"ceiling 2.4 m", "2", "47.9 m²", "as claimed"}},
				Note: "The rules differ in what they ask of the air; none is wrong in itself."},
		},
		History: []verdict.Thread{{Attribute: "delivery rate", Source: "website, product page", Entries: []verdict.ThreadEntry{
			{Claim: "C1", Captured: "2030-11-02", Text: "CADR 350 m³/h", Evidence: "captures/site-2030-11-02.png"},
			{Claim: "C1", Captured: "2031-01-20", Text: "CADR up to 320 m³/h", Evidence: "captures/listing-2031-01-20.png"}},
			Change: "The number went from 350 to 320 m³/h, and the words \"up to\" were added."}},
		Notes: []string{"spec.xlsx: sheet claims, column M: unknown column \"colour\" was not read",
			"lab.xlsx: sheet decay, row 9: 3 blank values were left out",
			"spec.xlsx: sheet claims, cell C9: the unit \"" + strings.Repeat("months", 34) + "\" is not known"},
		Cautions: []string{
			"This report compares wording and numbers that were captured at the stated time with measurements of the stated items. It is general information, not legal advice, and makes no finding that any law was broken.",
			"A difference may have causes other than the claim. Results relate only to the items tested.",
			"Check current law and local codes, and take qualified advice before you publish or file.",
			"Work on mains voltage and exposure to ozone can hurt people: leave both to those who are trained for it."},
	}
	a.Rows = rows(a)
	a.Findings = findings()
	for i, f := range a.Findings {
		for j := range a.Rows {
			for _, c := range f.Claims {
				if a.Rows[j].Claim.ID == c {
					a.Rows[j].Findings = append(a.Rows[j].Findings, i)
				}
			}
		}
	}
	return a
}

func findings() []verdict.Finding {
	return []verdict.Finding{
		{Finding: wording.Finding{Rule: "FG-04", Class: "UNDEFINED", Severity: "high", Quote: "True HEPA H13 grade", Start: 0, End: 19,
			Why: "\"True HEPA\" is no class of any standard, and \"H13\" is one only with the standard, the flow and the particle size at which it was tested.",
			Ask: "Which standard and edition was the filter tested to, at what air flow, and may we see the report?", Evidence: "a classification report to EN 1822-1 or ISO 29463-1",
			Source: "EN 1822-1:2019; ISO 29463-1:2017", Mark: "second-hand"}, Claims: []string{"C6"}, Place: "spec.xlsx: sheet claims, cell I7"},
		{Finding: wording.Finding{Rule: "PE-01", Also: []string{"R14"}, Class: "INCOMPLETE", Severity: "high", Quote: "captures 99.97%", Start: 0, End: 0,
			Why: "A percentage without the particle size and the air flow describes no filter: every filter reaches it at some size.",
			Ask: "At which particle size and which air flow does the filter, as built in, reach this figure?", Source: "ISO 29463-1:2017", Mark: "second-hand"},
			Claims: []string{"C7"}, Place: "spec.xlsx: sheet claims, cell I8"},
		{Finding: wording.Finding{Rule: "R2", Class: "AMBIGUOUS", Severity: "medium", Quote: "up to", Start: 5, End: 10,
			Why: "\"Up to\" names the best case and promises no typical one; readers take the number as what they will get.",
			Ask: "What does the unit reach in ordinary use, at which setting?", Source: "US FTC, statement on \"up to\" claims, 29 June 2012", Mark: "read"},
			Claims: []string{"C1", "C14"}, Place: "spec.xlsx: sheet claims, cell I2"},
		{Finding: wording.Finding{Rule: "CX-03", Class: "CONTRADICTION", Severity: "medium", Quote: "62 m² in 12 minutes",
			Why: "The claimed room and the claimed time ask for more air than the claimed delivery rate brings.",
			Ask: "For which room volume and which share of particles removed does the time hold?", Source: "first-order decay; computed", Mark: "computed"},
			Claims: []string{"C1", "C9", "C10"}, Place: "spec.xlsx: sheet claims"},
		{Finding: wording.Finding{Rule: "R17", Class: "INCOMPLETE", Severity: "low", Quote: "寿命 6–8 个月",
			Why: "Filter life in months depends on hours a day and on the load of the air; neither is stated.",
			Ask: "For how many hours a day and what dust load is the filter life meant?", Source: "common practice, no source", Mark: "judgement"},
			Claims: []string{"C8"}, Place: "spec.xlsx: sheet claims, cell I9"},
	}
}

func test() verdict.TestRecord {
	t := verdict.TestRecord{
		Fields: []verdict.Field{{Name: "tester", Value: "Wren & Alder Bench, 3 Tanner Row, Plumbrigg"}, {Name: "date", Value: "2031-02-10 to 2031-02-14"},
			{Name: "sample", Value: "serial FN40-007731, bought anonymously at retail on 2031-01-28"}, {Name: "method", Value: "room"}, {Name: "temperature", Value: "21.5 °C"},
			{Name: "humidity", Value: "44 %"}, {Name: "notes", Value: "Reading room 2 with doors and vents taped. Mixing fan on at all times."}},
		Instruments: []verdict.Instrument{
			{ID: "P1", Measures: "PM2.5", Serial: "OP-2217", Calibrated: "2030-09-01", Accuracy: "5 %", Note: "optical; smoke factor not applied"},
			{ID: "S1", Measures: "sound level", Serial: "SL-0091", Calibrated: "2030-12-11", Accuracy: "1.4 dB"},
			{ID: "W1", Measures: "power", Serial: "PW-4410", Calibrated: "2030-10-02", Accuracy: "1 % + 0.2 W"}},
	}
	items := []string{"title", "laboratory name and address", "place of the activities", "unique identification of the report and a clear end", "customer", "method",
		"description and condition of the item", "dates of receipt and sampling", "dates of performance", "date of issue", "sampling plan and method",
		"results relate only to the items tested", "results with units", "additions, deviations, exclusions", "person authorising", "results of external providers marked"}
	for i, s := range items {
		from := "report"
		present := i != 4 && i != 14
		if !present {
			from = ""
		}
		t.Complete = append(t.Complete, verdict.RecordItem{Letter: string(rune('a' + i)), Item: s, From: from, Present: present})
	}
	return t
}

// row makes a row with its limit, gap and probability; tolerance is in percent of the claim unless unit says else.
func row(c claims.Claim, m *measure.Measurement, tol verdict.Tolerance, v verdict.Outcome, words, ask string, notes ...string) verdict.Row {
	r := verdict.Row{Claim: c, Measured: m, Tolerance: tol, Verdict: v, GapWords: words, Ask: ask, Notes: notes}
	if c.Claimed == nil {
		return r
	}
	ref := c.Claimed.Low
	r.Tolerance.Amount = tol.Value
	if tol.Unit == "%" {
		r.Tolerance.Amount = ref * tol.Value / 100
	}
	l := verdict.Limit{Low: ref - r.Tolerance.Amount, High: math.Inf(1), Unit: c.Claimed.Unit}
	if c.Bound == claims.AtMost {
		l.Low, l.High = math.Inf(-1), c.Claimed.High+r.Tolerance.Amount
	}
	l.Value = l.Low
	if c.Bound == claims.AtMost {
		l.Value = l.High
	}
	r.Limit = &l
	if m != nil {
		r.Gap = &verdict.Gap{Value: m.Value - ref, Unit: m.Unit, Percent: 100 * (m.Value - ref) / ref}
		z := (m.Value - l.Value) / m.Std
		if c.Bound == claims.AtMost {
			z = -z
		}
		p := uncertainty.CDF(z, m.DOF)
		r.Probability = &p
		r.Guard = uncertainty.Quantile(0.95, m.DOF) * m.Std
	}
	return r
}
