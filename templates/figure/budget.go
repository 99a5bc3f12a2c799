package figure

import (
	"fmt"
	"strings"

	"weighhouse/measure"
	"weighhouse/templates/numeral"
)

const (
	budgetRow  = 13.0
	budgetLeft = 150.0
	budgetEnd  = Full - 40
)

// Budget draws what each component of a result's uncertainty brings of the combined variance, as bars. The Height is 0
// where the result has no budget.
func Budget(m *measure.Measurement) Figure {
	id := "fig-budget-" + anchor(m.ID)
	if len(m.Budget) == 0 {
		return Figure{ID: id}
	}
	desc := []string{"Share of the combined variance by component."}
	for i, c := range m.Budget {
		desc = append(desc, fmt.Sprintf("%s: %s.", c.Name, numeral.Share(m.Budget.Share(i))))
	}
	title := "What the uncertainty of " + m.ID + " is made of"
	return New(id, title, strings.Join(desc, " "), Full, 4+budgetRow*float64(len(m.Budget)), func(s Surface) {
		ax := axis{lo: 0, hi: 1, from: budgetLeft, to: budgetEnd}
		for i, c := range m.Budget {
			y := 4 + budgetRow*(float64(i)+0.5)
			f := m.Budget.Share(i)
			s.Text(Point{budgetLeft - 6, y + 2}, fit(c.Name, Type{Size: small}, budgetLeft-8), text(small, Ink, End))
			s.Line(Point{ax.from, y}, Point{ax.to, y}, Stroke{0.3, Faint, Solid})
			s.Polygon(box(ax.from, y-3, ax.at(f), y+3), Soft, Stroke{})
			s.Text(Point{ax.at(f) + 4, y + 2}, numeral.Share(f), text(small, Soft, Start))
		}
		s.Line(Point{ax.from, 4}, Point{ax.from, 4 + budgetRow*float64(len(m.Budget))}, Stroke{0.5, Mid, Solid})
	})
}
