package claims

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure/sheet"
	"weighhouse/measure/unit"
)

// asWritten is a claim's number with its unit, which may stand in the cell already.
func asWritten(v sheet.Span, unit string) string {
	if v.InCell {
		return v.Text
	}
	return strings.TrimSpace(v.Text + " " + unit)
}

// quantity reads the value and unit of a row into the attribute's own unit.
func (c *Claim) quantity(r claimRow, info Info, ps *sheet.Problems) {
	text, at := r.Unit.Value, r.Unit.Place
	if text == "" {
		text, at = r.Value.Unit, r.Value.Place
	}
	if n := r.Value; r.Unit.Value != "" && n.Unit != "" && !unit.Same(n.Unit, r.Unit.Value) {
		where := "header"
		if n.InCell {
			where = "cell"
		}
		ps.Add(n.Place, "", "the unit column says %q and the %s of %s %q; keep one", r.Unit.Value, where, n.Place.Column, n.Unit)
		return
	}
	c.UnitText, c.Written = text, [2]float64{r.Value.Low, r.Value.High}
	if info.Dimension == "" {
		c.Claimed = &Range{Low: r.Value.Low, High: r.Value.High, Unit: text, Text: asWritten(r.Value, text)}
		c.Notes = append(c.Notes, "a filter grade is judged by its words; the number was not used")
		return
	}
	if text == "" {
		c.Claimed = &Range{Low: r.Value.Low, High: r.Value.High, Text: r.Value.Text}
		c.Notes = append(c.Notes, fmt.Sprintf("the claim has no unit; one of %s would make it testable", info.Accepted))
		return
	}
	u, ok := unit.Lookup(text)
	if !ok || u.Dimension != info.Dimension {
		what := "is no unit that is known here"
		if ok {
			what = fmt.Sprintf("is a unit of %s", u.Dimension)
		}
		ps.Add(at, "", "%q %s; for %s give one of %s", text, what, info.Name, info.Accepted)
		return
	}
	lo, err1 := unit.Convert(r.Value.Low, u.Name, info.Unit)
	hi, err2 := unit.Convert(r.Value.High, u.Name, info.Unit)
	switch {
	case err1 != nil || err2 != nil:
		ps.Add(at, "", "%q cannot be brought to %s", text, info.Unit)
		return
	case lo > hi:
		ps.Add(r.Value.Place, "", "found %q; the range begins above its end", r.Value.Text)
		return
	case lo < 0:
		ps.Add(r.Value.Place, "", "found %q; a claim of %s is not negative", r.Value.Text, info.Name)
		return
	case math.IsInf(hi, 0) || math.IsNaN(hi):
		ps.Add(r.Value.Place, "", "found %q; the number is too large", r.Value.Text)
		return
	}
	c.Claimed = &Range{Low: lo, High: hi, Unit: info.Unit, Text: asWritten(r.Value, text)}
	switch info.Name {
	case Noise:
		c.Weighting = u.Name == "dB(A)"
		if !c.Weighting {
			c.Notes = append(c.Notes, "the claim says dB without its weighting; it was read as dB(A)")
		}
	case FilterLife:
		c.Calendar = u.Name != "h" && u.Factor >= unit.Must("day").Factor
		if h := c.Basis.HoursPerDay; c.Calendar && h > 0 {
			c.Claimed.Low, c.Claimed.High = lo*h/24, hi*h/24
			c.Notes = append(c.Notes, fmt.Sprintf("%s at %g h/day are %.0f running hours", c.Claimed.Text, h, c.Claimed.High))
		}
	}
}
