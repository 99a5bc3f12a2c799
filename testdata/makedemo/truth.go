package main

import (
	"bytes"
	"encoding/json"
	"math"
)

// truth is truth.json: what the demo cases were made from, for tests to check an audit against.
type truth struct {
	About string               `json:"about"`
	Seed  int                  `json:"seed"`
	Cases map[string]caseTruth `json:"cases"` // by folder below testdata; demo-csv is the same case as demo
	Rank  rankTruth            `json:"rank"`
}

// caseTruth is one case: the room, the runs, every quantity, and the verdict that each claim was designed to get.
type caseTruth struct {
	RoomVolume float64         `json:"room_volume_m3"`
	Runs       []runTruth      `json:"runs"`
	Quantities []quantityTruth `json:"quantities"`
	Claims     []claimTruth    `json:"claims"`
	Costs      []costTruth     `json:"costs,omitempty"`
}

// runTruth is one decay run. K is per hour and holds the natural decay; a run's K differs from the unit's by the
// run-to-run spread that the scenario gives it.
type runTruth struct {
	Run         string  `json:"run"`
	State       string  `json:"state"`
	Setting     string  `json:"setting,omitempty"`
	Log         string  `json:"log"`
	K           float64 `json:"k_per_h"`
	Background  float64 `json:"background_ug_m3"`
	Excess      float64 `json:"excess_at_peak_ug_m3"`
	PeakSeconds int     `json:"peak_s"`
}

// quantityTruth is the true value of one measured or derived quantity.
type quantityTruth struct {
	Attribute string  `json:"attribute"`
	Setting   string  `json:"setting,omitempty"`
	Particle  string  `json:"particle,omitempty"`
	Value     float64 `json:"value"`
	Unit      string  `json:"unit"`
	Note      string  `json:"note,omitempty"`
}

// claimTruth is what one claim was designed to show. Limit is worked out by hand from the claim and the tolerance in
// force. Rules are ids of wording rules that its words, or its words beside another claim's, were written to raise;
// they are not meant to be all.
type claimTruth struct {
	ID      string   `json:"id"`
	Verdict string   `json:"verdict"`
	True    *float64 `json:"true_value,omitempty"`
	Limit   *float64 `json:"limit,omitempty"`
	Unit    string   `json:"unit,omitempty"`
	Rules   []string `json:"rules,omitempty"`
	Why     string   `json:"why"`
}

// costTruth is the running cost of one option for a year at the hours of the costs table.
type costTruth struct {
	Option     string  `json:"option"`
	EnergyKWh  float64 `json:"energy_kwh"`
	EnergyCost float64 `json:"energy_cost"`
	FilterCost float64 `json:"filter_cost"`
	Total      float64 `json:"total"`
	Currency   string  `json:"currency"`
}

// rankTruth is the order that the three rank cases were designed to have by delivery rate.
type rankTruth struct {
	Order  []string   `json:"order_by_delivery_rate"`
	Ties   [][]string `json:"ties"`   // pairs that three or four runs each cannot tell apart
	Differ [][]string `json:"differ"` // pairs that they can
	Note   string     `json:"note"`
}

func newTruth() truth {
	return truth{
		About: "Invented data, written by testdata/makedemo. Values are what the logs and tables were computed from, not results of a reduction.",
		Seed:  seed,
		Cases: map[string]caseTruth{},
		Rank: rankTruth{
			Order:  []string{"rank/fennow-40", "rank/tavvik-35", "rank/osk-3"},
			Ties:   [][]string{{"rank/fennow-40", "rank/tavvik-35"}},
			Differ: [][]string{{"rank/fennow-40", "rank/osk-3"}, {"rank/tavvik-35", "rank/osk-3"}},
			Note:   "Each day the three units ran once each, in rotated order, after one natural run with all three switched off in the room: the off logs of a day are the same file in the three cases.",
		},
	}
}

func (t truth) encode() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(t); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// energyMean is the energy mean of levels, 10 lg of the mean of 10^(L/10).
func energyMean(levels ...float64) float64 {
	s := 0.0
	for _, l := range levels {
		s += math.Pow(10, l/10)
	}
	return 10 * math.Log10(s/float64(len(levels)))
}

// shown is what a meter shows of a source level over a background, to 0.1 dB.
func shown(source, background float64) float64 {
	return round(10*math.Log10(math.Pow(10, source/10)+math.Pow(10, background/10)), 1)
}

// number makes a pointer of a true value or limit, to ten significant decimals so that the file stays readable.
func number(x float64) *float64 {
	x = math.Round(x*1e10) / 1e10
	return &x
}
