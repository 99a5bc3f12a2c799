package pdf

import (
	"math"
	"strings"

	"weighhouse/measure"
	"weighhouse/templates/document"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
)

// simple reports whether runs are single readings that one line can list: no window, no line fitted, nothing to note.
func simple(runs []*measure.Run) bool {
	for _, x := range runs {
		if x.From != "" || x.To != "" || x.State != "" || len(x.Flags) > 0 || !math.IsNaN(x.R2) && x.R2 != 0 || x.Curve != nil {
			return false
		}
	}
	return len(runs) > 0
}

// readings lists single readings with where they stand: "54.6, 53.5 dB(A); lab.xlsx: sheet sound, row 2, row 3".
func readings(m *measure.Measurement) string {
	var b strings.Builder
	last := "" // the table that the reading before stands in
	for i, x := range m.Runs {
		v, u := numeral.Rounded(x.Value, x.Std)
		if u != "" {
			v += "\u00a0±\u00a0" + u + " (u)"
		}
		if x.Unit != m.Unit || i == len(m.Runs)-1 {
			v = numeral.With(v, x.Unit)
		}
		if i > 0 {
			b.WriteString("; ")
		}
		if x.Run != "" && x.Run != m.Setting && x.Run != m.Particle {
			b.WriteString(words.Particle(x.Run) + " ")
		}
		b.WriteString(v)
		if x.Points > 1 {
			b.WriteString(" from " + numeral.Fixed(float64(x.Points), 0) + " counts")
		}
		table, row, ok := strings.Cut(x.Place, ", row ")
		switch {
		case x.Place == "":
		case ok && table == last:
			b.WriteString(" (row\u00a0" + row + ")")
		default:
			b.WriteString(" (" + unbroken(x.Place) + ")")
		}
		last = table
	}
	return b.String()
}

// runs sets the runs behind a result; columns that would be empty are left out, and what is to be said of single runs
// stands below.
func (r *report) runs(runs []*measure.Run) {
	if len(runs) == 0 {
		return
	}
	type col struct {
		document.Column
		text func(*measure.Run) string
	}
	unit := ""
	for _, x := range runs {
		if unit == "" {
			unit = x.Unit
		}
	}
	value := func(x *measure.Run) string {
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
		{document.Column{Head: "Run", Width: 9}, func(x *measure.Run) string { return x.Run }},
		{document.Column{Head: "Unit is", Width: 9}, func(x *measure.Run) string { return x.State }},
		{document.Column{Head: head, Width: 14, Align: document.Decimal}, value},
		{document.Column{Head: "u", Width: 8, Align: document.Decimal}, func(x *measure.Run) string {
			if x.Std == 0 {
				return ""
			}
			return numeral.Significant(x.Std, 2)
		}},
		{document.Column{Head: "From", Width: 11}, func(x *measure.Run) string { return x.From }},
		{document.Column{Head: "To", Width: 11}, func(x *measure.Run) string { return x.To }},
		{document.Column{Head: "Readings", Width: 9, Align: document.Decimal}, func(x *measure.Run) string {
			if x.Points == 0 {
				return ""
			}
			return numeral.Fixed(float64(x.Points), 0)
		}},
		{document.Column{Head: "R²", Width: 9, Align: document.Decimal}, func(x *measure.Run) string {
			if math.IsNaN(x.R2) || x.R2 == 0 {
				return ""
			}
			return numeral.Fixed(x.R2, 4)
		}},
		{document.Column{Head: "Where it stands", Width: 30}, func(x *measure.Run) string { return unbroken(x.Place) }},
	}
	var notes []document.Text
	for _, x := range runs {
		for _, f := range x.Flags {
			notes = append(notes, document.Text{document.Bold(x.Run), document.Plain(": " + words.Sentence(numeral.Prose(f.Text)))})
		}
	}
	t := document.Table{Size: 7.3, Tight: true, RowHeads: true, After: 5, Rows: make([][]document.Text, len(runs))}
	if len(notes) > 0 {
		t.After = 3
	}
	for _, c := range cols {
		any := false
		for _, x := range runs {
			any = any || c.text(x) != ""
		}
		if !any {
			continue
		}
		t.Columns = append(t.Columns, c.Column)
		for i, x := range runs {
			t.Rows[i] = append(t.Rows[i], document.T(c.text(x)))
		}
	}
	r.Table(t)
	r.SmallList(7.3, notes...)
}
