// Package verdict sets each claim against what was measured: tolerances, the decision rule, what hangs on the measured
// values (room area, clean time, energy, cost), and the Audit that all writers read.
package verdict

import (
	"encoding/json"

	"weighhouse/claims"
	"weighhouse/claims/wording"
	"weighhouse/measure"
	"weighhouse/measure/sheet"
)

// Outcome is the verdict on one claim.
type Outcome string

// The outcomes of the contract.
const (
	Supported    Outcome = "supported"
	Contradicted Outcome = "contradicted"
	Inconclusive Outcome = "inconclusive"
	Untested     Outcome = "untested"
	Unclear      Outcome = "unclear"
)

// Outcomes lists them in the order in which reports count them.
var Outcomes = []Outcome{Supported, Contradicted, Inconclusive, Untested, Unclear}

// Audit is everything that a report says; writers read it and compute nothing.
type Audit struct {
	Version      string // of the tool
	Issued       string // YYYY-MM-DD
	Case         string // the case folder's name
	ID           string // identifies the report: from its inputs, version and date
	Product      claims.Product
	Inputs       []sheet.Input
	Rows         []Row // one a claim, in the spec's order
	Findings     []Finding
	Measurements []measure.Measurement
	Costs        []Cost
	Replies      []claims.Reply
	Test         TestRecord
	Rule         RuleStatement
	Room         *Room
	Info         []InfoTable // what follows from the results: areas by rule, clean times, rate per watt
	History      []Thread    // the same claim captured on different dates
	Doubts       []Doubt     // what may have been written down wrongly
	Marked       []Marked    // what weakens verdicts, with the claims
	Notes        []string    // of reading: unknown columns and the like
	Refused      []Refused   // readings and runs that were not used, each with its cause
	NotRead      []NotRead   // parts of the inputs that were left out
	Cautions     []string
}

// InfoTable is a small table that informs and judges nothing.
type InfoTable struct {
	Title  string
	Header []string
	Rows   [][]string
	Note   string
}

// Thread is the dated history of one claim: what was printed when, and what changed.
type Thread struct {
	Attribute string
	Source    string
	Entries   []ThreadEntry // by date
	Change    string        // one sentence, no motive implied
}

// ThreadEntry is what one capture said.
type ThreadEntry struct{ Claim, Captured, Text, Evidence string }

// Row is one claim with its verdict.
type Row struct {
	Claim       claims.Claim
	Measured    *measure.Measurement // nil where nothing bears on it
	Limit       *Limit               // nil where the claim has no number
	Tolerance   Tolerance
	Probability *float64
	Adjusted    *float64 // p after Holm's adjustment for all results of the audit; nil where Probability is
	Gap         *Gap
	Verdict     Outcome
	Hold        []string // why nothing is decided and what would settle it; empty where nothing holds the claim open
	Notes       []string
	GapWords    string  // the gap as a buyer would say it: "28 % below the claim"
	Guard       float64 // w = t_0.95(nu) u: the guard band each side of the limit
	Statement   string  // the verdict in one sentence
	Assumed     string  // what was assumed of a claim that names no setting; "" where nothing was
	Ask         string  // what to ask the maker; "" where nothing is open
	Findings    []int   // indices into Audit.Findings
	TooFew      bool    // too few particles were counted for any result to decide
	Answers     []int   // indices into Audit.Replies: answers of the maker that name the claim or speak of its subject
	Answer      string  // what those answers say of it, in the maker's words, a line each
}

// Limit is the claim moved by its own rounding and its tolerance to the maker's side. Low and High are both finite for "about"; otherwise
// the one that is not a limit is -Inf or +Inf. Value is the limit that the measured value stands nearest to.
type Limit struct {
	Value, Low, High float64
	Unit             string
}

// Tolerance is what was allowed, in Unit ("%" of the claim or the claim's own unit), and where it comes from.
type Tolerance struct {
	Value  float64
	Unit   string
	Source string
	Mark   string  // read, second-hand, memory, computed, judgement, case
	Amount float64 // in the claim's unit

	Rounding float64 // half of the claim's last printed digit, in its unit: read on the maker's side before the tolerance
}

// Gap is measured less claimed (the nearest end of a range).
type Gap struct {
	Value   float64
	Unit    string
	Percent float64
}

// Finding is a wording finding with the claims it belongs to.
type Finding struct {
	wording.Finding
	Claims []string
	Place  string // "spec.xlsx: sheet claims, cell I7"
}

// Cost is the running cost of one option for one year. Low and High are the ends of the total over the range of the
// tariff and the interval of the energy; TotalU is the expanded uncertainty of Total at the middle of the tariff.
type Cost struct {
	Option      string
	HoursPerDay float64
	EnergyKWh   float64
	EnergyU     float64 // expanded uncertainty of EnergyKWh
	EnergyCost  float64
	FilterCost  float64
	Total       float64
	TotalU      float64
	Low, High   float64
	Currency    string
	Basis       string
	PerYear     float64 // filters a year
	Whole       float64 // filters a year, bought whole
	FilterPrice float64
	FilterLow   float64
	FilterHigh  float64

	TariffLow, TariffHigh     float64 // a kWh
	PerThousand, PerThousandU float64 // cost of 1,000 m3 of clean air, and its expanded uncertainty; 0 where no rate was measured
}

// TestRecord is the lab book's test table, its instruments, and how complete the record is.
type TestRecord struct {
	Fields      []Field
	Instruments []Instrument
	Complete    []RecordItem // ISO/IEC 17025:2017 7.8.2.1 a-p
}

// Field is one field and its value as written.
type Field struct{ Name, Value string }

// Instrument is one row of the instruments table, as written.
type Instrument struct{ ID, Measures, Serial, Calibrated, Accuracy, Note string }

// RecordItem is one item of the completeness list.
type RecordItem struct {
	Letter, Item, From string
	Present            bool
}

// RuleStatement is the decision rule, printed before the results.
type RuleStatement struct {
	Text     []string
	Numeric  int     // claims judged by a number
	Separate int     // results behind them that do not hang on one another
	AnyWrong float64 // 1 - 0.95^Separate: chance of at least one wrong "contradicted" if all were exactly at their limits, at most
}

// Room is the test room.
type Room struct {
	Volume, U     float64 // m3, standard uncertainty
	Text          string
	Qualification json.RawMessage // what its room book says of it, as JSON; nil where none is named
}
