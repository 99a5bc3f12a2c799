// Package qualification writes what a room book says of its room: a report on paper, as a page and as text, and a
// workbook whose formulas can be followed.
package qualification

import (
	"fmt"
	"math"
	"strings"
	"time"

	model "weighhouse/measure/qualification"
	"weighhouse/measure/uncertainty"
	"weighhouse/templates/block"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
	"weighhouse/verdict/room"
)

// Doc is the report on a qualification.
func Doc(q *room.Qualification, version string) (*block.Doc, error) {
	day, err := time.Parse(time.DateOnly, q.Day)
	if err != nil {
		return nil, fmt.Errorf("day %q: a date such as 2031-03-14 would do", q.Day)
	}
	d := &block.Doc{Eyebrow: "Qualification of a test room · as of " + q.Day, Title: title(q), Subject: "What an ordinary room adds to a delivery rate, from units with certificates",
		Creator: strings.TrimSpace("weighhouse " + version), Created: day, Footer: title(q) + " · as of " + q.Day, Closing: "End of report"}
	answer(d, q)
	d.Add(block.Heading{Level: 1, Text: block.T("Reference units"), Anchor: "units"})
	units(d, q)
	if q.Model != nil {
		d.Add(block.Figures{Figures: []figure.Figure{figure.Shift(q)}})
		numbers(d, q)
	}
	watches(d, q)
	d.Add(block.Heading{Level: 1, Text: block.T("How it was found"), Anchor: "method"}, block.List{Items: block.Texts(method)})
	if len(q.Notes) > 0 {
		d.Add(block.Heading{Level: 1, Text: block.T("Notes on reading the inputs")}, block.List{Items: block.Texts(q.Notes)})
	}
	d.Add(block.Heading{Level: 1, Text: block.T("Caution")}, block.List{Items: block.Texts(verdict.Cautions)})
	return d, nil
}

var method = []string{
	"For each reference unit d = ln(measured/certified). The model is d = φ + ψ·(x − mean x) + δ + e: x is the unit's own air changes an hour, δ the scatter between unit and room with standard deviation τ, e what the test's repeats and the certificate leave open (DerSimonian and Laird 1986; Paule and Mandel 1982; predictive form of Higgins, Thompson and Spiegelhalter 2009).",
	"Weak knowledge to start from, a judgement: τ half-normal with scale 5 %, φ normal with 10 %, ψ normal with 1.25 % for each air change an hour. It matters where units are few.",
	"Where the shift is less than twice its own uncertainty nothing is corrected and the shift is part of the uncertainty (GUM F.2.4.5; cited from memory); else a rate is divided by the factor.",
	"With fewer than 8 units a correction that lowers a rate contradicts no claim that the uncorrected rate does not contradict.",
	"Certificates count for their own specimen alone, for 12 months and 20 hours of running, and with U up to 10 % (judgement).",
}

// answer says in a few lines what the room is good for.
func answer(d *block.Doc, q *room.Qualification) {
	n, labs, makers := q.Counts()
	if q.Model == nil {
		d.Add(block.Para{Text: block.Text{block.B("The room is not qualified. "), block.P(sentence(q.Why) + " Audits of this room are made as in any ordinary room, and say so.")}})
	} else {
		c, _ := q.Model.For(q.Model.MeanX)
		k := uncertainty.Quantile(0.975, c.DOF)
		what := "no correction is made, and the shift is part of the uncertainty"
		if c.Applied {
			what = fmt.Sprintf("a rate is divided by %.3f", c.Factor)
		}
		d.Add(block.Para{Text: block.Text{block.B("The room is qualified. "), block.P(fmt.Sprintf("At %.2g air changes an hour it shifts a rate by %+.1f %% (± %.1f %%); %s. The room adds ± %.1f %% to a rate (about 95 %%). It holds from %.2g to %.2g air changes an hour, until %s.",
			c.X, 100*math.Expm1(c.M), 100*uncertainty.Quantile(0.975, c.DOF)*math.Hypot(c.ULine, c.ULab), what, 100*k*c.U, 0.8*q.Model.Low, 1.25*q.Model.High, q.ValidUntil))}})
	}
	facts := []block.Fact{{Label: "Reference units", Text: block.T(fmt.Sprintf("%d that count, of %s; %s, %s", n, numeral.Several(len(q.Specimens), "row"), numeral.Several(labs, "laboratory", "laboratories"), numeral.Several(makers, "maker")))}}
	id := q.Identity
	if id.Volume > 0 {
		facts = append(facts, block.Fact{Label: "Tested as", Text: block.T(strings.Join(nonEmpty(fmt.Sprintf("%.4g m³", id.Volume), id.Particle, prefixed("sensor ", id.Sensor), prefixed("mixing fan ", id.Mixing), prefixed("released: ", id.Released)), "; "))})
	}
	for _, f := range q.Facts {
		facts = append(facts, block.Fact{Label: f.Item, Text: block.T(f.Value)})
	}
	d.Add(block.Facts{Rows: facts})
	var items []block.Text
	for _, f := range q.Findings {
		items = append(items, block.Text{block.B(strings.ToUpper(f.Code[:1]) + f.Code[1:] + ". "), block.P(f.Text)})
	}
	if q.Model != nil {
		c, _ := q.Model.For(q.Model.MeanX)
		if one := q.Model.OneMore(q.Model.MeanX); one < c.UP {
			items = append(items, block.T(fmt.Sprintf("One more certificate of the usual kind near %.2g air changes an hour would bring the room's part from ± %.1f %% to about ± %.1f %%.",
				c.X, 200*math.Hypot(c.UP, c.ULab), 200*math.Hypot(one, c.ULab))))
		}
	}
	for _, w := range q.Watches {
		switch {
		case w.Chart == nil:
			items = append(items, block.Text{block.B("Check unit " + w.Unit + ". "), block.P(sentence(w.Why))})
		case w.Chart.Requalify:
			items = append(items, block.Text{block.B("Check unit " + w.Unit + ". "), block.P("Two sessions in a row beyond an action limit: qualify the room anew with three units at the least.")})
		case w.Chart.Out:
			items = append(items, block.Text{block.B("Check unit " + w.Unit + ". "), block.P("The last session is beyond an action limit: its results may contradict no claim. Find the cause.")})
		case w.Chart.Drifts:
			items = append(items, block.Text{block.B("Check unit " + w.Unit + ". "), block.P(fmt.Sprintf("It drifts by %+.2g %% a month (95 %% interval %+.2g to %+.2g).", 3044*w.Chart.Slope, 3044*w.Chart.SlopeLow, 3044*w.Chart.SlopeHigh))})
		}
	}
	if len(items) > 0 {
		d.Add(block.Heading{Level: 2, Text: block.T("To look at")}, block.List{Items: items})
	}
}

func units(d *block.Doc, q *room.Qualification) {
	t := block.Table{Caption: "Reference units", Size: 7.4, Columns: []block.Column{{Head: "Unit", Width: 20}, {Head: "Certificate", Width: 22}, {Head: "Certified, m³/h", Width: 12, Right: true},
		{Head: "Measured, m³/h", Width: 10, Right: true}, {Head: "Ratio", Width: 7, Right: true}, {Head: "Air changes", Width: 8, Right: true}, {Head: "z", Width: 6, Right: true}, {Head: "", Width: 20}}}
	for _, s := range q.Specimens {
		row := []block.Text{{block.B(s.Product), block.S("\n" + s.Serial)}, {block.P(s.Certificate), block.S("\n" + s.Laboratory + ", " + s.Date)},
			block.T(fmt.Sprintf("%.4g ± %.2g", s.Rate, 2*s.U)), nil, nil, nil, nil, nil}
		if s.Reference.Measured > 0 {
			row[3], row[4], row[5] = block.T(fmt.Sprintf("%.4g", s.Reference.Measured)), block.T(fmt.Sprintf("%.3f", math.Exp(s.Reference.D()))), block.T(fmt.Sprintf("%.3g", s.Reference.X))
		}
		if !math.IsNaN(s.Z) {
			row[6] = block.T(fmt.Sprintf("%.1f", s.Z))
		}
		switch {
		case s.Refused != "":
			row[7] = block.T("refused: " + s.Refused)
		case s.Excluded:
			row[7] = block.T("left out: " + s.Why)
		}
		t.Rows = append(t.Rows, row)
	}
	d.Add(t, block.Para{Small: true, Text: block.T("z sets a unit against what the others predict of it; beyond 3 it is looked into and kept.")})
}

func numbers(d *block.Doc, q *room.Qualification) {
	m, h := q.Model, q.Model.Heterogeneity()
	d.Add(block.Heading{Level: 1, Text: block.T("The model"), Anchor: "model"}, block.Facts{Rows: []block.Fact{
		{Label: "Shift at " + fmt.Sprintf("%.3g", m.MeanX) + " an hour", Text: block.T(fmt.Sprintf("φ = %+.4f, u = %.4f", m.Phi, m.UPhi))},
		{Label: "Slope", Text: block.T(fmt.Sprintf("ψ = %+.5f an air change an hour, u = %.5f, ratio %.1f", m.Psi, m.UPsi, m.Psi/m.UPsi))},
		{Label: "Scatter", Text: block.T(fmt.Sprintf("τ = %.1f %%", 100*m.Tau))},
		{Label: "Shared by certificates", Text: block.T(fmt.Sprintf("%.2f %%", 100*m.ULab))},
		{Label: "Homogeneity", Text: block.T(fmt.Sprintf("Q = %.2f with %.0f degrees of freedom, p = %.2g; I² = %.0f %%", h.Q, h.DOF, h.P, 100*h.I2))},
	}})
	t := block.Table{Caption: "What the room does to a rate", Columns: []block.Column{{Head: "Air changes an hour"}, {Head: "Shift, %", Right: true}, {Head: "z", Right: true}, {Head: "Factor", Right: true}, {Head: "Use"}, {Head: "u of the room, %", Right: true}, {Head: "ν", Right: true}}}
	for _, u := range q.Uses() {
		use := "corrected"
		if u.Tenable {
			use = "not corrected; a factor of 1 is tenable"
		}
		t.Rows = append(t.Rows, []block.Text{block.T(fmt.Sprintf("%.3g", u.X)), block.T(fmt.Sprintf("%+.1f", 100*math.Expm1(u.M))), block.T(fmt.Sprintf("%.1f", u.Z)), block.T(fmt.Sprintf("%.3f", u.Factor)),
			block.T(use), block.T(fmt.Sprintf("%.1f", 100*u.U)), block.T(fmt.Sprintf("%.0f", u.DOF))})
	}
	d.Add(t)
	if q.WithAll != nil {
		a, b := m.Predict(m.MeanX), q.WithAll.Predict(m.MeanX)
		d.Add(block.Para{Text: block.T(fmt.Sprintf("With the rows that were left out the shift at %.3g air changes an hour would be %+.1f %% in place of %+.1f %%.", m.MeanX, 100*math.Expm1(b.M), 100*math.Expm1(a.M)))})
	}
}

func watches(d *block.Doc, q *room.Qualification) {
	head := false
	for _, w := range q.Watches {
		if w.Chart == nil {
			continue
		}
		if !head {
			d.Add(block.Heading{Level: 1, Text: block.T("Watching the room"), Anchor: "watch"})
			head = true
		}
		d.Add(block.Figures{Figures: []figure.Figure{figure.Control(w)}})
		t := block.Table{Caption: "Sessions of " + w.Unit, Columns: []block.Column{{Head: "Session"}, {Head: "m³/h", Right: true}, {Head: "Action limits", Right: true}, {Head: ""}}}
		for _, p := range w.Chart.Points {
			limits := ""
			if !math.IsNaN(p.High) {
				limits = fmt.Sprintf("%.4g to %.4g", math.Exp(p.LowAction), math.Exp(p.High))
			}
			t.Rows = append(t.Rows, []block.Text{block.T(p.Name), block.T(fmt.Sprintf("%.4g", p.Rate)), block.T(limits), block.T(stateWords[p.State])})
		}
		d.Add(t)
	}
}

var stateWords = map[model.State]string{model.Base: "sets the limits", model.Inside: "within", model.Warning: "beyond the warning limit", model.Action: "beyond the action limit"}

func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}

// title names the room as its book does.
func title(q *room.Qualification) string {
	for _, f := range q.Facts {
		if f.Item == "name" && f.Value != "" {
			return f.Value
		}
	}
	return "Test room, book " + q.Book
}

func prefixed(head, s string) string {
	if s == "" {
		return ""
	}
	return head + s
}

func nonEmpty(ss ...string) (out []string) {
	for _, s := range ss {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}
