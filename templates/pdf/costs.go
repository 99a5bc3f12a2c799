package pdf

import (
	"strings"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// costs draws and lists the running cost of each option.
func (r *report) costs() {
	if len(r.a.Costs) == 0 {
		return
	}
	r.KeepTogether(func() {
		r.Heading(1, "What it costs to run for one year")
		r.Figure(figure.Costs(r.a))
		r.small("The total stands at the middle of the tariff, with its expanded uncertainty; below it the range over the tariff and the measured energy. ± is an expanded uncertainty, about 95 %.")
		t := document.Table{Size: 7.4, Tight: true, RowHeads: true, Columns: []document.Column{{Head: "Option", Width: 16}, {Head: "Energy, kWh", Width: 11, Align: document.Right},
			{Head: "Electricity", Width: 9, Align: document.Right}, {Head: "Filters", Width: 11, Align: document.Right}, {Head: "Total and range", Width: 16, Align: document.Right},
			{Head: "1000 m³ of clean air", Width: 14, Align: document.Right}, {Head: "Basis", Width: 30}}}
		for _, c := range r.a.Costs {
			t.Rows = append(t.Rows, costRow(c))
		}
		r.Table(t)
	})
}

func costRow(c verdict.Cost) []document.Text {
	total := document.Text{document.Bold(amount(c.Total, c.TotalU, c.Currency))}
	if c.Low < c.High {
		total = append(total, document.Plain("\n"+numeral.Fixed(c.Low, 2)+" to "+numeral.Fixed(c.High, 2)))
	}
	air := numeral.Dash
	if c.PerThousand > 0 {
		air = numeral.PlusMinus(c.PerThousand, c.PerThousandU, "") // the currency stands at the total
	}
	basis := numeral.Prose(c.Basis)
	if c.Whole > 0 && c.Whole != c.PerYear && !strings.Contains(basis, "bought whole") {
		basis += "; bought whole: " + numeral.Short(c.Whole)
	}
	if c.TariffHigh > 0 && !strings.Contains(basis, "kWh") {
		basis += "; " + numeral.Range(c.TariffLow, c.TariffHigh, c.Currency) + " a kWh"
	}
	filters := document.T(numeral.Fixed(c.FilterCost, 2))
	if c.FilterLow < c.FilterHigh {
		filters = append(filters, document.Plain("\n"+numeral.Fixed(c.FilterLow, 2)+" to "+numeral.Fixed(c.FilterHigh, 2)))
	}
	return []document.Text{document.T(figure.OptionName(c)), document.T(numeral.PlusMinus(c.EnergyKWh, c.EnergyU, "")), document.T(numeral.Fixed(c.EnergyCost, 2)), filters,
		total, document.T(air), document.T(basis)}
}

// amount is money with its expanded uncertainty, both to the hundredth; without one it stands alone.
func amount(x, u float64, currency string) string {
	s := numeral.Fixed(x, 2)
	if e := numeral.Fixed(u, 2); u > 0 && e != numeral.Dash {
		s += "\u00a0±\u00a0" + e
	}
	return numeral.With(s, currency)
}
