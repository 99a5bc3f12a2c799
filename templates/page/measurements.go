package page

import (
	"fmt"
	"math"

	"weighhouse/measure"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// measurementBlock is one result with its method, warnings, budget, runs and figures.
type measurementBlock struct {
	ID, Head, Value string
	Facts           facts
	Budget, Runs    *table
	BudgetTitle     string
	RunsTitle       string
	Figures         []drawing
}

func (v *view) measurements(a *verdict.Audit, n *anchors) {
	for i := range a.Measurements {
		m := &a.Measurements[i]
		b := measurementBlock{ID: n.measurement[i], Head: m.ID + " " + words.Upper(m.Attribute), Value: words.Measured(m)}
		for _, s := range []string{m.Setting, words.Particle(m.Particle)} {
			if s != "" {
				b.Head += ", " + s
			}
		}
		f := &b.Facts
		f.say("Method", m.Method)
		f.say("Uncertainty", uncertaintyOf(m))
		if m.Distance > 0 {
			f.say("Distance", numeral.With(numeral.Plain(m.Distance), "m"))
		}
		if m.Instrument != "" {
			at := ""
			if n.hasInstr {
				at = "instruments"
			}
			f.add("Instrument", link(m.Instrument, at))
		}
		for _, w := range m.Warnings {
			f.add("Take note", span{Text: string(w.Flag), Bold: true}, span{Text: ": " + w.Text})
		}
		var on []string
		for _, row := range a.Rows {
			if row.Measured != nil && row.Measured.ID == m.ID {
				on = append(on, row.Claim.ID)
			}
		}
		f.add("Bears on", n.claimsOf(on)...)
		b.Budget, b.BudgetTitle = budget(m, n), fmt.Sprintf("Budget of the uncertainty: %s", several(len(m.Budget), "component"))
		b.Runs, b.RunsTitle = runs(m, n), fmt.Sprintf("What it comes from: %s", several(len(m.Runs), "run or reading", "runs and readings"))
		for _, x := range figure.Decay(m) {
			if d, ok := n.draw(x); ok {
				b.Figures = append(b.Figures, d)
			}
		}
		v.Measurements = append(v.Measurements, b)
	}
}

func several(n int, noun string, plural ...string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case len(plural) > 0:
		return fmt.Sprintf("%d %s", n, plural[0])
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func uncertaintyOf(m *measure.Measurement) string {
	s := "u = " + numeral.With(numeral.Significant(m.Std, 2), m.Unit) + ", k = " + numeral.Short(m.K) + ", U = " + numeral.With(numeral.Significant(m.Expanded, 2), m.Unit) + ", ν = " + words.DOF(m.DOF)
	if m.Interval[0] < m.Interval[1] {
		s += "; 95 % interval " + numeral.Range(m.Interval[0], m.Interval[1], m.Unit)
	}
	return s
}

// budget sets the components, each with a bar for its share of the combined variance.
func budget(m *measure.Measurement, n *anchors) *table {
	if len(m.Budget) == 0 {
		return nil
	}
	t := n.table("budget", "Budget of "+m.ID, column{Head: "Component"}, column{Head: joinUnit("u", m.Unit), Num: true}, column{Head: "ν", Num: true}, column{Head: "Type"},
		column{Head: "Share"}, column{Head: "Found from", Wide: true})
	for i, c := range m.Budget {
		share := m.Budget.Share(i)
		t.add(plain(c.Name), plain(numeral.Significant(c.U, 2)), plain(words.DOF(c.DOF)), plain(c.Kind), plain(numeral.With(numeral.Fixed(100*share, 0), "%")), plain(c.Note))
		if !math.IsNaN(share) {
			t.Rows[i][4].Share = fmt.Sprintf("%.1f", 100*math.Min(1, math.Max(0, share)))
		}
	}
	return t.lean()
}

func joinUnit(name, unit string) string {
	if unit == "" {
		return name
	}
	return name + ", " + numeral.Unit(unit)
}

// lean leaves out the columns, after the first, in which nothing stands.
func (t *table) lean() *table {
	out := &table{ID: t.ID, Caption: t.Caption, Rows: make([][]cell, len(t.Rows))}
	for c, col := range t.Columns {
		used := c == 0
		for _, r := range t.Rows {
			for _, s := range r[c].Text {
				used = used || s.Text != ""
			}
		}
		if !used {
			continue
		}
		out.Columns = append(out.Columns, col)
		for i, r := range t.Rows {
			out.Rows[i] = append(out.Rows[i], r[c])
		}
	}
	return out
}

// runs sets the runs, readings or repeats behind a result.
func runs(m *measure.Measurement, n *anchors) *table {
	if len(m.Runs) == 0 {
		return nil
	}
	unit := ""
	for _, x := range m.Runs {
		if unit == "" {
			unit = x.Unit
		}
	}
	t := n.table("runs", "Runs and readings of "+m.ID, column{Head: "Run"}, column{Head: "Unit is"}, column{Head: joinUnit("Value", unit), Num: true}, column{Head: "u", Num: true},
		column{Head: "From"}, column{Head: "To"}, column{Head: "Readings", Num: true}, column{Head: "R²", Num: true}, column{Head: "Where it stands, and notes", Wide: true})
	for _, x := range m.Runs {
		value, _ := numeral.Rounded(x.Value, x.Std)
		if x.Unit != unit {
			value = numeral.With(value, x.Unit)
		}
		std, points, r2 := "", "", ""
		if x.Std != 0 {
			std = numeral.Significant(x.Std, 2)
		}
		if x.Points != 0 {
			points = numeral.Fixed(float64(x.Points), 0)
		}
		if !math.IsNaN(x.R2) && x.R2 != 0 {
			r2 = numeral.Fixed(x.R2, 4)
		}
		notes := x.Place
		for _, f := range x.Flags {
			if notes != "" {
				notes += "\n"
			}
			notes += f.Text
		}
		t.add(plain(x.Run), plain(x.State), plain(value), plain(std), plain(x.From), plain(x.To), plain(points), plain(r2), plain(notes))
	}
	return t.lean()
}

// costs draws and lists the running cost of each option.
func (v *view) costs(a *verdict.Audit, n *anchors) {
	if len(a.Costs) == 0 {
		return
	}
	if d, ok := n.draw(figure.Costs(a)); ok {
		v.CostsFigure = append(v.CostsFigure, d)
	}
	t := n.table("costs", "Running cost of each option for one year", column{Head: "Option"}, column{Head: "Energy, kWh", Num: true}, column{Head: "Electricity", Num: true},
		column{Head: "Filters", Num: true}, column{Head: "Total", Num: true}, column{Head: "Range of the total", Num: true}, column{Head: "1000 m³ of clean air", Num: true}, column{Head: "Basis", Wide: true})
	for _, c := range a.Costs {
		span95, clean := "", ""
		if c.Low < c.High {
			span95 = numeral.Fixed(c.Low, 2) + " to " + numeral.Fixed(c.High, 2)
		}
		if c.PerThousand > 0 {
			clean = numeral.PlusMinus(c.PerThousand, c.PerThousandU, c.Currency)
		}
		t.add(plain(orText(c.Option, "as tested")), plain(numeral.PlusMinus(c.EnergyKWh, c.EnergyU, "")), plain(numeral.Fixed(c.EnergyCost, 2)), plain(numeral.Fixed(c.FilterCost, 2)),
			[]span{{Text: numeral.With(numeral.Fixed(c.Total, 2), c.Currency), Bold: true}}, plain(span95), plain(clean), plain(c.Basis))
	}
	v.Costs = t.lean()
}
