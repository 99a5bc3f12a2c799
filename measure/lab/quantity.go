package lab

import (
	"math"

	"weighhouse/measure/sheet"
	"weighhouse/measure/unit"
)

// std turns a stated ± into a standard uncertainty in the base unit: U/k, with k = 2 where no k column says otherwise; NaN
// where none is stated. of is the value that it belongs to, in the base unit, and ofUnit the unit in which that was
// written: a ± without a unit of its own has that one, a ± in % is a share of the value, but for a value in %.
func (r *reader) std(pm, k sheet.Number, of float64, ofUnit, base string) float64 {
	if !pm.Given {
		return math.NaN()
	}
	if pm.Value < 0 {
		r.ps.Add(pm.Place, "", "found %q; an uncertainty is not negative", pm.Text)
		return math.NaN()
	}
	factor := 2.0
	if r.bare(k, "a coverage factor is a plain number"); k.Given {
		if !(k.Value > 0) {
			r.ps.Add(k.Place, "", "found %q; a coverage factor is above 0", k.Text)
			return math.NaN()
		}
		factor = k.Value
	}
	text := pm.Unit
	if text == "" {
		text = ofUnit
	}
	if text == "" || unit.Same(text, base) {
		return pm.Value / factor
	}
	u, known := unit.Lookup(text)
	b, baseKnown := unit.Lookup(base)
	switch {
	case known && u.Dimension == unit.Ratio && b.Dimension != unit.Ratio && b.Dimension != unit.Level && !math.IsNaN(of):
		return math.Abs(of) * pm.Value * u.Factor / 100 / factor
	case !known || !baseKnown || u.Dimension != b.Dimension:
		r.ps.Add(pm.Place, "", "the uncertainty is in %q; expected the unit of its value, %s%s", text, orWord(base, "which has none"), share(b.Dimension, of))
		return math.NaN()
	}
	v, err := unit.Convert(pm.Value, text, base)
	if err != nil {
		r.ps.Add(pm.Place, "", "%v", err)
	}
	return v / factor
}

// share words that a ± in % is accepted too, where the value is known and no level.
func share(d unit.Dimension, of float64) string {
	if d == unit.Level || math.IsNaN(of) {
		return ""
	}
	return ", or % of it"
}

func orWord(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// bare refuses a unit where a number has none.
func (r *reader) bare(n sheet.Number, why string) {
	if n.Given && n.Unit != "" {
		r.ps.Add(n.Place, "", "found %q in %q; %s, without a unit", n.Text, n.Unit, why)
	}
}

// oneUnit is the unit of a number: that of the row's unit column, else its own or that of the header, else the fallback.
// Two that are not the same are a problem that names both.
func (r *reader) oneUnit(n sheet.Number, column sheet.Text, fallback string) string {
	switch {
	case column.Value == "" && n.Unit == "":
		return fallback
	case column.Value == "":
		return n.Unit
	case n.Unit != "" && !unit.Same(n.Unit, column.Value):
		where := "header"
		if n.InCell {
			where = "cell"
		}
		r.ps.Add(n.Place, "", "the unit column says %q and the %s of %s %q; keep one", column.Value, where, n.Place.Column, n.Unit)
	}
	return column.Value
}

// convert brings a number to a base unit; text is its unit, and fallback that of a number without one.
func (r *reader) convert(n sheet.Number, text, fallback, to string) float64 {
	if text == "" {
		text = n.Unit
	}
	if text == "" {
		text = fallback
	}
	v, err := unit.Convert(n.Value, text, to)
	if err != nil {
		if n.InCell {
			r.ps.Add(n.Place, "", "found %q: %v", n.Text, err)
			return math.NaN()
		}
		r.ps.Add(n.Place, "", "%v", err)
		return math.NaN()
	}
	return v
}

// factor is how many base units one of the row's units is.
func factor(unitText, header, fallback, to string) float64 {
	for _, s := range []string{unitText, header, fallback} {
		if s != "" {
			if v, err := unit.Convert(1, s, to); err == nil {
				return v
			}
			return math.NaN()
		}
	}
	return 1
}
