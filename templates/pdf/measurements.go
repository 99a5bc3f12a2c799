package pdf

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
)

// printed is what the measurements before one have printed already, so that it is referred to and not printed again.
type printed struct {
	runs  map[string]string // natural decays, by what tells them apart: the measurement
	notes map[string]string // what a component was found from, with its name: the measurement
}

// measurements sets each result with its method, warnings, runs, figures and budget.
func (r *report) measurements() {
	if len(r.a.Measurements) == 0 {
		return
	}
	r.Heading(1, "Measurements, method and uncertainty")
	r.small(words.AboutResults)
	p := printed{map[string]string{}, map[string]string{}}
	for i := range r.a.Measurements {
		r.measurement(&r.a.Measurements[i], p)
	}
}

func (r *report) measurement(m *measure.Measurement, p printed) {
	head := m.ID + " " + words.Upper(m.Attribute)
	for _, s := range []string{m.Setting, words.Particle(m.Particle)} {
		if s != "" && !strings.Contains(m.Attribute, s) {
			head += ", " + s
		}
	}
	own, before := p.split(m)
	plain := simple(own)
	long := slices.ContainsFunc(own, func(x *measure.Run) bool { return x.Curve != nil }) // more than a page is worth keeping on one
	budget := func() {
		if len(m.Budget) > 1 {
			r.KeepTogether(func() { r.budget(m, p) })
		}
	}
	r.KeepTogether(func() {
		r.Anchor(measurementAnchor(m.ID))
		r.HeadingText(2, head, document.Plain(strings.Replace(head, " ", "\u00a0\u00a0", 1)+":\u00a0 "+words.Measured(m)))
		t := facts()
		t.After = 4
		say := func(name string, v ...document.Span) {
			t.Rows = append(t.Rows, []document.Text{document.T(name), v})
		}
		if m.Method != "" {
			say("Method", document.Plain(numeral.Prose(m.Method)))
		}
		s := "u = " + numeral.With(numeral.Significant(m.Std, 2), m.Unit) + ", k = " + numeral.Short(m.K) + ", U = " + numeral.With(numeral.Significant(m.Expanded, 2), m.Unit) + ", ν = " + words.DOF(m.DOF)
		if m.Interval[0] < m.Interval[1] {
			s += "; 95 % interval " + words.Interval(m)
		}
		if len(m.Budget) == 1 {
			c := m.Budget[0]
			s += "; from one component, " + c.Name + " (type " + c.Kind + ")"
			if c.Note != "" {
				s += ": " + numeral.Prose(c.Note)
			}
		}
		say("Uncertainty", document.Plain(s))
		if plain {
			say("Readings", document.Plain(readings(m)))
		}
		for _, w := range m.Warnings {
			say("Take note", document.Bold(string(w.Flag)), document.Plain(": "+numeral.Prose(w.Text)))
		}
		if b := r.bearings(m); len(b) > 0 {
			say("Bears on", b...)
		}
		r.Table(t)
		if !long {
			budget()
		}
	})
	if long {
		budget()
	}
	if !plain {
		r.runs(own)
	}
	for _, id := range before {
		r.Styled(document.Style{Size: 7.7, After: 6}, document.Plain("The runs with the unit off are those of "), document.To(measurementAnchor(id), "measurement "+id), document.Plain(", listed and drawn there."))
	}
	drawn := map[*measure.Run]bool{}
	for _, x := range own {
		drawn[x] = true
	}
	r.Figures(figure.DecayRuns(m, figure.Third, func(x *measure.Run) bool { return drawn[x] })...)
}

// split gives the runs of a measurement that are printed with it, and the measurements that the others, natural decays,
// were printed with.
func (p printed) split(m *measure.Measurement) (own []*measure.Run, before []string) {
	for i := range m.Runs {
		x := &m.Runs[i]
		if x.State == "off" {
			key := fmt.Sprint(m.Particle, x.Run, x.Place, x.Value, x.Std)
			if id, ok := p.runs[key]; ok {
				if n := len(before); n == 0 || before[n-1] != id {
					before = append(before, id)
				}
				continue
			}
			p.runs[key] = m.ID
		}
		own = append(own, x)
	}
	return own, before
}

// bearings are what a result hangs on and what rests on it: distance, instrument, claims.
func (r *report) bearings(m *measure.Measurement) document.Text {
	var t document.Text
	for i, c := range r.judgedBy(m.ID) {
		if i > 0 {
			t = append(t, document.Plain(", "))
		}
		t = append(t, document.To(claimAnchor(c.ID), c.ID))
	}
	if len(t) == 0 {
		t = append(t, document.Plain("no claim"))
	}
	if m.Instrument != "" {
		t = append(t, document.Plain("; instrument "), document.To("instruments", m.Instrument))
	}
	if m.Distance > 0 {
		t = append(t, document.Plain("; distance "+numeral.With(numeral.Plain(m.Distance), "m")))
	}
	return t
}

// budget sets the components, each with a bar for its share.
func (r *report) budget(m *measure.Measurement, p printed) {
	notes := false
	for _, c := range m.Budget {
		notes = notes || c.Note != ""
	}
	t := document.Table{Size: 7.3, Tight: true, RowHeads: true, After: 5, Columns: []document.Column{{Head: "Component", Width: 25}, {Head: "u, " + numeral.Unit(m.Unit), Width: 9, Align: document.Decimal},
		{Head: "ν", Width: 5, Align: document.Decimal}, {Head: "Type", Width: 5}, {Head: "Share of u²", Width: 17}}}
	if notes {
		t.Columns = append(t.Columns, document.Column{Head: "Found from", Width: 39})
	}
	for i, c := range m.Budget {
		share := m.Budget.Share(i)
		row := []document.Text{document.T(c.Name), document.T(numeral.Significant(c.U, 2)), document.T(words.DOF(c.DOF)), document.T(c.Kind),
			{document.Inline(bar(share, 34)), document.Plain("\u00a0" + numeral.Share(share))}}
		if notes {
			row = append(row, p.note(m.ID, c.Name, c.Note))
		}
		t.Rows = append(t.Rows, row)
	}
	r.Table(t)
}

// note is what a component was found from; where a component of that name said the same at length before, it refers to
// it. The component of a derived result has the name of the result that it comes from before its own.
func (p printed) note(id, component, note string) document.Text {
	const short = 36
	if i := strings.LastIndex(component, ": "); i >= 0 {
		component = component[i+2:]
	}
	key := component + "\n" + note
	if first, ok := p.notes[key]; ok && first != id && len(note) > short {
		return document.Text{document.Plain("as in "), document.To(measurementAnchor(first), first)}
	}
	p.notes[key] = id
	return document.T(numeral.Prose(note))
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

// judgedBy lists the claims that rest on a measurement.
func (r *report) judgedBy(id string) []claims.Claim {
	var out []claims.Claim
	for _, row := range r.a.Rows {
		if row.Measured != nil && row.Measured.ID == id {
			out = append(out, row.Claim)
		}
	}
	return out
}
