package measure

import (
	_ "embed"
	"sync"
)

//go:embed thresholds.csv
var thresholdsCSV string

// Threshold is one row of thresholds.csv: a number from which on a reading is treated otherwise.
type Threshold struct {
	ID           string
	Value        float64
	Unit         string
	What         string
	Source, Mark string
}

var loadThresholds = sync.OnceValue(func() []Threshold {
	var out []Threshold
	for _, r := range table(thresholdsCSV) {
		out = append(out, Threshold{r["id"], number(r["value"]), r["unit"], r["what"], r["source"], r["mark"]})
	}
	return out
})

// Thresholds lists the thresholds in force.
func Thresholds() []Threshold { return append([]Threshold(nil), loadThresholds()...) }

// ThresholdOf is the value of a row; it panics on a name that the program itself misspells.
func ThresholdOf(id string) float64 {
	for _, t := range loadThresholds() {
		if t.ID == id {
			return t.Value
		}
	}
	panic("thresholds.csv has no row " + id)
}
