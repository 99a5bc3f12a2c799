package measure

import (
	"fmt"
	"math"

	"weighhouse/measure/uncertainty"
)

// MoistureUnknown is the flag of a carbon mass of which it is not known whether the carbon was dried.
const MoistureUnknown Flag = "moisture included"

// Carbon is the mass of carbon in g from weighing, u its standard uncertainty in g and, where known, the degrees of
// freedom of u (+Inf by default). Where u is not above zero or not a number, that of a kitchen scale of no stated accuracy
// stands in. A mass below zero or not a number is NotTestable.
func Carbon(grams, u float64, dof ...float64) Measurement {
	m := Measurement{Attribute: "carbon mass", Unit: "g"}
	if !finite(grams) || grams < 0 {
		m.Method = "No carbon mass."
		m.Warn(NotTestable, fmt.Sprintf("a mass of %g g: a weight from 0 is needed", grams))
		m.Expand()
		return m
	}
	m.Value = grams
	c := uncertainty.Component{Name: "weighing", U: u, DOF: math.Inf(1), Kind: "B", Note: "stated with the weight"}
	if len(dof) > 0 && dof[0] > 0 {
		c.DOF = dof[0]
	}
	if !finite(u) || u <= 0 {
		d := instrument("scale unknown")
		c.U, c.DOF, c.Note = d.U(grams), d.DOF(), d.note()
		m.Warn(AssumedAccuracy, "no uncertainty of the weight is stated; taken as: "+d.short())
	}
	m.Budget = uncertainty.Budget{c}
	m.Expand()
	m.Method = "Weight of the carbon, without fleece, frame and glue as far as they could be taken off."
	m.Warn(MoistureUnknown, "carbon takes up water from the air, which counts as carbon here unless it was dried at about 110 °C before weighing: say which")
	return m
}
