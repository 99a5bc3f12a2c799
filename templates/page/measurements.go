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
	drawn := map[string]string{} // runs with the unit off, and the measurement that they are drawn with
	for i := range a.Measurements {
		m := &a.Measurements[i]
		b := measurementBlock{ID: n.measurement[i], Head: m.ID + " " + words.Upper(m.Attribute), Value: words.Measured(m)}
		for _, s := range []string{m.Setting, words.Particle(m.Particle)} {
			if s != "" {
				b.Head += ", " + s
			}
		}
		f := &b.Facts
		f.say("Method", numeral.Prose(m.Method))
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
			f.add("Take note", span{Text: string(w.Flag), Bold: true}, span{Text: ": " + numeral.Prose(w.Text)})
		}
		var on []string
		for _, row := range a.Rows {
			if row.Measured != nil && row.Measured.ID == m.ID {
				on = append(on, row.Claim.ID)
			}
		}
		f.add("Bears on", n.claimsOf(on)...)
		b.Budget, b.BudgetTitle = budget(m, n), fmt.Sprintf("Budget of the uncertainty: %s", numeral.Several(len(m.Budget), "component"))
		b.Runs, b.RunsTitle = runs(m, n), fmt.Sprintf("What it comes from: %s", numeral.Several(len(m.Runs), "run or reading", "runs and readings"))
		// a natural decay serves several results; it is drawn with the first
		before := ""
		for _, x := range figure.DecayRuns(m, figure.Half, func(r *measure.Run) bool {
			if r.State != "off" {
				return true
			}
			key := fmt.Sprint(m.Particle, r.Run, r.Place, r.Value, r.Std)
			if at, ok := drawn[key]; ok && at != m.ID {
				before = at
				return false
			}
			drawn[key] = m.ID
			return true
		}) {
			if d, ok := n.draw(x); ok {
				b.Figures = append(b.Figures, d)
			}
		}
		if before != "" {
			f.add("Unit off", span{Text: "those runs are drawn with "}, link("measurement "+before, n.measuredAt[before]))
		}
		v.Measurements = append(v.Measurements, b)
	}
}

func uncertaintyOf(m *measure.Measurement) string {
	s := "u = " + numeral.With(numeral.Significant(m.Std, 2), m.Unit) + ", k = " + numeral.Short(m.K) + ", U = " + numeral.With(numeral.Significant(m.Expanded, 2), m.Unit) + ", ν = " + words.DOF(m.DOF)
	if m.Interval[0] < m.Interval[1] {
		s += "; 95 % interval " + words.Interval(m)
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
		t.add(plain(c.Name), plain(numeral.Significant(c.U, 2)), plain(words.DOF(c.DOF)), plain(c.Kind), plain(numeral.With(numeral.Fixed(100*share, 0), "%")), plain(numeral.Prose(c.Note)))
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
	for i, x := range m.Runs {
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
			notes += numeral.Prose(f.Text)
		}
		t.add(plain(numeral.Prose(orText(x.Run, fmt.Sprint(i+1)))), plain(x.State), plain(value), plain(std), plain(x.From), plain(x.To), plain(points), plain(r2), plain(notes))
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
		column{Head: "Filters", Num: true}, column{Head: "Total and range", Num: true}, column{Head: "1000 m³ of clean air", Num: true}, column{Head: "Basis", Wide: true})
	for _, c := range a.Costs {
		total, between, clean := numeral.Fixed(c.Total, 2), "", ""
		if c.TotalU > 0 && !math.IsInf(c.TotalU, 0) {
			total += "\u00a0±\u00a0" + numeral.Fixed(c.TotalU, 2)
		}
		total = numeral.With(total, c.Currency)
		if c.Low < c.High {
			between = "\n" + numeral.Fixed(c.Low, 2) + " to " + numeral.Fixed(c.High, 2)
		}
		if c.PerThousand > 0 {
			clean = numeral.PlusMinus(c.PerThousand, c.PerThousandU, c.Currency)
		}
		t.add(plain(orText(c.Option, "as tested")), plain(numeral.PlusMinus(c.EnergyKWh, c.EnergyU, "")), plain(numeral.Fixed(c.EnergyCost, 2)), plain(numeral.Fixed(c.FilterCost, 2)),
			[]span{{Text: total, Bold: true}, {Text: between}}, plain(clean), plain(numeral.Prose(c.Basis)))
	}
	v.Costs = t.lean()
}
