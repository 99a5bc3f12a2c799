package verdict

import (
	"strings"

	"weighhouse/measure"
)

// Marks are what weakens a row and is said wherever its verdict is listed: held open, indicative, a tolerance that is cited
// from memory, a setting that was assumed.
func (r *Row) Marks() []string {
	var out []string
	for i, holds := range []bool{
		len(r.Hold) > 0,
		r.Measured != nil && r.Measured.Has(measure.Indicative),
		r.Probability != nil && r.Tolerance.Mark == "memory" && r.Tolerance.Amount > 0,
		r.Assumed != "",
	} {
		if holds {
			out = append(out, markNames[i])
		}
	}
	return out
}

var markNames = []string{"held open", "indicative", "tolerance from memory", "no setting named, judged at the highest"}

// Marked is a mark with the claims that carry it.
type Marked struct {
	Mark   string   `json:"mark"`
	Claims []string `json:"claims"`
}

// Text is the mark with its claims: "held open: C5, C6".
func (m Marked) Text() string { return m.Mark + ": " + strings.Join(m.Claims, ", ") }

// marked groups the marks of all rows.
func marked(rows []Row) []Marked {
	var out []Marked
	for _, name := range markNames {
		m := Marked{Mark: name}
		for i := range rows {
			for _, x := range rows[i].Marks() {
				if x == name {
					m.Claims = append(m.Claims, rows[i].Claim.ID)
				}
			}
		}
		if m.Claims != nil {
			out = append(out, m)
		}
	}
	return out
}

// MarkedText is what weakens the verdicts of an audit in one line, "" where nothing does.
func MarkedText(ms []Marked) string {
	var out []string
	for _, m := range ms {
		out = append(out, m.Text())
	}
	return strings.Join(out, "; ")
}
