package figure

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

const (
	costsTop  = 8.0
	costsRow  = 30.0
	costsLeft = 138.0
	costsEnd  = Full - 74
)

// Costs draws the running cost of each option for one year as a bar of two parts, electricity and filters, with the
// total at its end. Options in different currencies are not set on one axis: each currency has its own scale, and its
// name stands at the total. The Height is 0 where there is nothing to draw.
func Costs(a *verdict.Audit) Figure {
	most := map[string]float64{}
	var cs []verdict.Cost
	var desc []string
	for _, c := range a.Costs {
		if math.IsNaN(c.Total) || math.IsInf(c.Total, 0) || c.Total < 0 || c.EnergyCost < 0 || c.FilterCost < 0 {
			continue
		}
		cs = append(cs, c)
		most[c.Currency] = math.Max(most[c.Currency], c.Total)
		desc = append(desc, fmt.Sprintf("%s: electricity %s, filters %s, together %s a year.", OptionName(c), money(c.EnergyCost, c.Currency),
			money(c.FilterCost, c.Currency), money(c.Total, c.Currency)))
	}
	if len(cs) == 0 {
		return Figure{ID: "fig-costs"}
	}
	return New("fig-costs", "Running cost for one year", "Running cost for one year. "+strings.Join(desc, " "), Full, costsTop+costsRow*float64(len(cs)), func(s Surface) {
		for i, c := range cs {
			ax := axis{lo: 0, hi: math.Max(most[c.Currency], 1e-9), from: costsLeft, to: costsEnd}
			drawCost(s, ax, costsTop+costsRow*(float64(i)+0.5), c)
		}
	})
}

func drawCost(s Surface, ax axis, y float64, c verdict.Cost) {
	name := OptionName(c)
	if use := ", " + numeral.With(numeral.Plain(c.HoursPerDay), "h a day"); c.HoursPerDay > 0 {
		name = name[:len(name)-len(use)]
		s.Text(Point{0, y + 10}, use[2:], text(small, Soft, Start))
	}
	s.Text(Point{0, y + 2.5}, fit(name, Type{Size: label}, costsLeft-8), text(label, Ink, Start))
	split, end := ax.at(c.EnergyCost), ax.at(c.EnergyCost+c.FilterCost)
	edge := Stroke{0.6, Ink, Solid}
	s.Polygon(box(ax.from, y-6, split, y+6), Mid, edge)
	s.Polygon(box(split, y-6, end, y+6), Wash, edge)
	s.Text(Point{end + 6, y + 2.5}, money(c.Total, c.Currency), bold)
	// the name of a part stands over its bar, from its left edge; two that would touch are pushed apart
	e, f := "electricity "+money(c.EnergyCost, ""), "filters "+money(c.FilterCost, "")
	t := text(small, Soft, Start)
	x := math.Max(split, ax.from+t.Face.Width(e, t.Size)+8)
	s.Text(Point{ax.from, y - 8.5}, e, t)
	s.Text(Point{x, y - 8.5}, f, t)
}

// OptionName names an option of the running cost with the hours a day it is for.
func OptionName(c verdict.Cost) string {
	s := c.Option
	if s == "" {
		s = "as tested"
	}
	if c.HoursPerDay > 0 {
		s += ", " + numeral.With(numeral.Plain(c.HoursPerDay), "h a day")
	}
	return s
}

// money writes an amount with two decimals and its currency as the book names it.
func money(x float64, currency string) string {
	return numeral.With(numeral.Fixed(x, 2), currency)
}
