// Package lab turns a lab book into results: it reads the tables, fetches the logs that they point at, hands plain
// numbers to the reductions of package measure, and keeps what the report must show of the test itself.
package lab

import (
	"weighhouse/measure"
	"weighhouse/measure/sheet"
)

// Results is everything that a lab book says.
type Results struct {
	Measurements []measure.Measurement // in the order decay, sound, power, counts, loading, weights; IDs M1, M2 …
	Room         *Room                 // nil where no room is given
	Test         []Field
	Day          string      // YYYY-MM-DD, the day that the test's date begins with; "" where none was read
	DayAt        sheet.Place // of the date
	Instruments  []Instrument
	Costs        []Cost
	Tolerances   []Tolerance
	Notes        []sheet.Note
	Skipped      []measure.RunProblem // readings that could not be used, each with its reason
}

// Room is the test room: its volume in m3 and the standard uncertainty of that, and how they were found.
type Room struct {
	Volume, U float64
	Text      string
}

// Field is one row of the test table, its name folded.
type Field struct{ Name, Value string }

// Instrument is one row of the instruments table, as written.
type Instrument struct{ ID, Measures, Serial, Calibrated, Accuracy, Note string }

// Cost is one row of the costs table. Low and High differ where a range is given, such as a tariff.
type Cost struct {
	Item      string // folded
	Low, High float64
	Currency  string
	Option    string
	Place     sheet.Place
}

// Tolerance is one row of the tolerances table: Value in Unit, "%" of the claim or a unit of the attribute.
type Tolerance struct {
	Attribute string // folded
	Value     float64
	Unit      string
	Source    string
	Place     sheet.Place
}

// Field finds a field of the test table by its folded name, "" where it is blank or absent.
func (r *Results) Field(name string) string {
	for _, f := range r.Test {
		if f.Name == name {
			return f.Value
		}
	}
	return ""
}
