package measure

import (
	"math"

	"weighhouse/measure/uncertainty"
)

// Weighing is one row of the weights table: grams of carbon and the standard uncertainty of the balance (NaN if none is
// stated).
type Weighing struct {
	Grams, U float64
	Place    string
}

// ReduceWeighings makes the carbon mass from one weighing or from repeats. Of repeats the mean counts; their spread gives
// s/√n with n − 1 degrees of freedom, beside the balance, whose error they share and which therefore does not average out.
func ReduceWeighings(ws []Weighing) ([]Measurement, []RunProblem) {
	var grams []float64
	u := 0.0
	for _, w := range ws {
		if !finite(w.Grams) || w.Grams < 0 {
			return nil, []RunProblem{{Place: w.Place, Text: "a mass from 0 is needed"}}
		}
		grams = append(grams, w.Grams)
		u = math.Max(u, w.U) // NaN stays NaN: no uncertainty stated
	}
	if len(grams) == 0 {
		return nil, nil
	}
	mean, sd := meanSD(grams)
	m := Carbon(mean, u)
	if n := float64(len(grams)); n > 1 {
		m.Budget = append(m.Budget, uncertainty.Component{Name: "repeats", U: sd / math.Sqrt(n), DOF: n - 1, Kind: "A", Note: "spread of the repeats over the root of their number"})
		m.Expand()
	}
	for _, w := range ws {
		m.Runs = append(m.Runs, Run{Value: w.Grams, Unit: "g", Std: w.U, Points: 1, R2: math.NaN(), Place: w.Place})
	}
	return []Measurement{m}, nil
}
