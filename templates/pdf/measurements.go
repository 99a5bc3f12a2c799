package pdf

import (
	"math"
	"strings"

	"weighhouse/measure"
	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// measurements sets each result with its method, warnings, runs, figures and budget.
func (r *report) measurements() {
	if len(r.a.Measurements) == 0 {
		return
	}
	r.Heading(1, "Measurements, method and uncertainty")
	r.small("u is a standard uncertainty, U = k·u the expanded one, at about 95 %. A share is a component's part of the combined variance u².")
	for i := range r.a.Measurements {
		r.measurement(&r.a.Measurements[i])
	}
}

func (r *report) measurement(m *measure.Measurement) {
	head := m.ID + " " + upper(m.Attribute)
	for _, s := range []string{m.Setting, particle(m.Particle)} {
		if s != "" && !strings.Contains(m.Attribute, s) {
			head += ", " + s
		}
	}
	r.KeepTogether(func() {
		r.Anchor(measurementAnchor(m.ID))
		r.HeadingText(2, head, document.Plain(strings.Replace(head, " ", "\u00a0\u00a0", 1)+":\u00a0 "+measured(m)))
		t := facts()
		t.After = 5
		say := func(name string, v ...document.Span) {
			t.Rows = append(t.Rows, []document.Text{document.T(name), v})
		}
		if m.Method != "" {
			say("Method", document.Plain(m.Method))
		}
		s := "u = " + numeral.With(numeral.Significant(m.Std, 2), m.Unit) + ", k = " + numeral.Short(m.K) + ", U = " + numeral.With(numeral.Significant(m.Expanded, 2), m.Unit) + ", ν = " + dof(m.DOF)
		if m.Interval[0] < m.Interval[1] {
			s += "; 95 % interval " + numeral.Interval(m.Interval[0], m.Interval[1], m.Expanded, m.Unit)
		}
		say("Uncertainty", document.Plain(s))
		if m.Distance > 0 {
			say("Distance", document.Plain(numeral.With(numeral.Plain(m.Distance), "m")))
		}
		if m.Instrument != "" {
			say("Instrument", document.To("instruments", m.Instrument))
		}
		for _, w := range m.Warnings {
			say("Take note", document.Bold(string(w.Flag)), document.Plain(": "+w.Text))
		}
		var cs document.Text
		for i, c := range r.judgedBy(m.ID) {
			if i > 0 {
				cs = append(cs, document.Plain(", "))
			}
			cs = append(cs, document.To(claimAnchor(c.ID), c.ID))
		}
		if len(cs) > 0 {
			say("Bears on", cs...)
		}
		r.Table(t)
		r.budget(m)
	})
	r.runs(m)
	r.Figures(figure.Decay(m)...)
}

// budget sets the components, each with a bar for its share.
func (r *report) budget(m *measure.Measurement) {
	if len(m.Budget) == 0 {
		return
	}
	notes := false
	for _, c := range m.Budget {
		notes = notes || c.Note != ""
	}
	t := document.Table{Size: 7.4, Tight: true, RowHeads: true, After: 6, Columns: []document.Column{{Head: "Component", Width: 24}, {Head: "u, " + numeral.Unit(m.Unit), Width: 11, Align: document.Right},
		{Head: "ν", Width: 7, Align: document.Right}, {Head: "Type", Width: 6}, {Head: "Share", Width: 20}}}
	if notes {
		t.Columns = append(t.Columns, document.Column{Head: "Found from", Width: 32})
	}
	for i, c := range m.Budget {
		share := m.Budget.Share(i)
		row := []document.Text{document.T(c.Name), document.T(numeral.Significant(c.U, 2)), document.T(dof(c.DOF)), document.T(c.Kind),
			{document.Inline(bar(share, 60)), document.Plain("\u00a0\u00a0" + numeral.Share(share))}}
		if notes {
			row = append(row, document.T(c.Note))
		}
		t.Rows = append(t.Rows, row)
	}
	r.Table(t)
}

// bar is a share as a bar within a frame of the whole.
func bar(share, width float64) figure.Figure {
	return figure.New("share", "share", "a bar", width, 5, func(s figure.Surface) {
		rect := func(w float64) []figure.Point {
			return []figure.Point{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: 5}, {X: 0, Y: 5}}
		}
		s.Polygon(rect(width), figure.Wash, figure.Stroke{})
		s.Polygon(rect(width*math.Min(1, math.Max(0, share))), figure.Soft, figure.Stroke{})
	})
}

// runs sets the runs, readings or repeats behind a result; columns that would be empty are left out.
func (r *report) runs(m *measure.Measurement) {
	if len(m.Runs) == 0 {
		return
	}
	type col struct {
		document.Column
		text func(measure.Run) string
	}
	unit := ""
	for _, x := range m.Runs {
		if unit == "" {
			unit = x.Unit
		}
	}
	value := func(x measure.Run) string {
		v, _ := numeral.Rounded(x.Value, x.Std)
		if x.Unit != unit {
			return numeral.With(v, x.Unit)
		}
		return v
	}
	head := "Value"
	if unit != "" {
		head += ", " + numeral.Unit(unit)
	}
	cols := []col{
		{document.Column{Head: "Run", Width: 9}, func(x measure.Run) string { return x.Run }},
		{document.Column{Head: "Unit is", Width: 8}, func(x measure.Run) string { return x.State }},
		{document.Column{Head: head, Width: 14, Align: document.Right}, func(x measure.Run) string { return value(x) }},
		{document.Column{Head: "u", Width: 9, Align: document.Right}, func(x measure.Run) string {
			if x.Std == 0 {
				return ""
			}
			return numeral.Significant(x.Std, 2)
		}},
		{document.Column{Head: "From", Width: 13}, func(x measure.Run) string { return x.From }},
		{document.Column{Head: "To", Width: 13}, func(x measure.Run) string { return x.To }},
		{document.Column{Head: "Readings", Width: 12, Align: document.Right}, func(x measure.Run) string {
			if x.Points == 0 {
				return ""
			}
			return numeral.Fixed(float64(x.Points), 0)
		}},
		{document.Column{Head: "R²", Width: 10, Align: document.Right}, func(x measure.Run) string {
			if math.IsNaN(x.R2) || x.R2 == 0 {
				return ""
			}
			return numeral.Fixed(x.R2, 4)
		}},
		{document.Column{Head: "Where it stands, and notes", Width: 34}, func(x measure.Run) string {
			out := []string{x.Place}
			for _, f := range x.Flags {
				out = append(out, f.Text)
			}
			return joined(out...)
		}},
	}
	t := document.Table{Size: 7.4, Tight: true, RowHeads: true, After: 6, Rows: make([][]document.Text, len(m.Runs))}
	for _, c := range cols {
		any := false
		for _, x := range m.Runs {
			any = any || c.text(x) != ""
		}
		if !any {
			continue
		}
		t.Columns = append(t.Columns, c.Column)
		for i, x := range m.Runs {
			t.Rows[i] = append(t.Rows[i], document.T(c.text(x)))
		}
	}
	r.Table(t)
}

func costRow(c verdict.Cost) []document.Text {
	total := document.Text{document.Bold(numeral.With(numeral.Fixed(c.Total, 2), c.Currency))}
	if c.Low < c.High {
		total = append(total, document.Plain("\n"+numeral.Fixed(c.Low, 2)+" to "+numeral.Fixed(c.High, 2)))
	}
	air := numeral.Dash
	if c.PerThousand > 0 {
		air = numeral.PlusMinus(c.PerThousand, c.PerThousandU, c.Currency)
	}
	return []document.Text{document.T(figure.OptionName(c)), document.T(numeral.PlusMinus(c.EnergyKWh, c.EnergyU, "")), document.T(numeral.Fixed(c.EnergyCost, 2)), document.T(numeral.Fixed(c.FilterCost, 2)),
		total, document.T(air), document.T(c.Basis)}
}
