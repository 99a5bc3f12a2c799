package verdict

import (
	"encoding/json"
	"errors"
	"io"
	"math"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/sheet"
)

// Format is the name and version of the JSON form.
const Format = "weighhouse-audit/1"

// MaxFile is the most bytes of an audit.json: the program writes no larger one, and reads none.
const MaxFile = 64 << 20

// Report is the audit as audit.json holds it. Fields beyond the contract's are additions; none of the contract's is left
// out. A number that is not finite, such as infinite degrees of freedom, is null.
type Report struct {
	Format       string              `json:"format"`
	Tool         ReportTool          `json:"tool"`
	Issued       string              `json:"issued"`
	Case         string              `json:"case"`
	ID           string              `json:"id"`
	Product      claims.Product      `json:"product"`
	Inputs       []sheet.Input       `json:"inputs"`
	Claims       []ReportClaim       `json:"claims"`
	Findings     []ReportFinding     `json:"findings"`
	Measurements []ReportMeasurement `json:"measurements"`
	Costs        []ReportCost        `json:"costs"`
	Summary      map[string]int      `json:"summary"`
	Rule         []string            `json:"rule"`
	Room         *ReportRoom         `json:"room"`
	Test         map[string]string   `json:"test"`
	Record       []ReportRecord      `json:"record"`
	History      []ReportThread      `json:"history"`
	Replies      []claims.Reply      `json:"replies"`
	Information  []ReportTable       `json:"information"`
	Doubts       []Doubt             `json:"check"`  // what may have been written down wrongly
	Marked       []Marked            `json:"marked"` // what weakens verdicts
	Notes        []string            `json:"notes"`
	Refused      []Refused           `json:"refused"`
	NotRead      []NotRead           `json:"not_read"`
	Cautions     []string            `json:"cautions"`
}

// ReportTool is the program that wrote the audit.
type ReportTool struct {
	Version string `json:"version"`
	Machine string `json:"machine,omitempty"` // the kind of processor, as Go names it: amd64, arm64, wasm; last digits differ between them
}

// ReportClaim is one claim with its verdict.
type ReportClaim struct {
	ID          string           `json:"id"`
	Attribute   claims.Attribute `json:"attribute"`
	Setting     string           `json:"setting"`
	Particle    string           `json:"particle"`
	Basis       string           `json:"basis"`
	Wording     string           `json:"wording"`
	Source      string           `json:"source"`
	Captured    string           `json:"captured"`
	Evidence    string           `json:"evidence"`
	Bound       claims.Bound     `json:"bound"`
	Claimed     *ReportRange     `json:"claimed"`
	Measured    *ReportMeasured  `json:"measured"`
	Limit       *ReportLimit     `json:"limit"`
	Tolerance   *ReportTolerance `json:"tolerance"`
	Probability *float64         `json:"probability"`
	Adjusted    *float64         `json:"p_holm,omitempty"` // after Holm's adjustment for all results, see rule
	Gap         *ReportGap       `json:"gap"`
	GuardBand   *float64         `json:"guard_band"`
	Verdict     Outcome          `json:"verdict"`
	Hold        string           `json:"hold,omitempty"` // why nothing is decided and what would settle it
	Statement   string           `json:"statement"`
	Ask         string           `json:"ask"`
	Answer      string           `json:"answer,omitempty"` // what the maker's answers say of it, in its words
	Words       *ReportSeen      `json:"words,omitempty"`  // how number, words and capture belong together
	Notes       []string         `json:"notes"`
	Flags       []measure.Flag   `json:"flags"`
}

// ReportSeen is how a claim's number, words and capture belong together: "stands", "differs", "not checked", or "" where
// there is nothing to set against.
type ReportSeen struct {
	Number  claims.Standing  `json:"number"`
	Capture claims.Standing  `json:"capture"`
	Place   *ReportSpot      `json:"place"` // of the words in the capture
	InCode  bool             `json:"in_code,omitempty"`
	Why     []string         `json:"why"`         // what does not agree
	Lacks   []string         `json:"not_checked"` // why something was not checked
	Later   []ReportSighting `json:"later"`
}

// ReportSpot is a place in a capture: line and column from 1 in characters, offset from 0 in bytes of its text in UTF-8.
type ReportSpot struct {
	Path   string `json:"path"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Offset int    `json:"offset"`
}

// ReportSighting is what a later capture says of a claim's words: "still there", "changed", "gone".
type ReportSighting struct {
	Captured string      `json:"captured"`
	State    string      `json:"state"`
	Path     string      `json:"path"`
	Place    *ReportSpot `json:"place"`
	Text     string      `json:"text,omitempty"`
}

// ReportRange is a claimed number or range.
type ReportRange struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	Unit string  `json:"unit"`
	Text string  `json:"text"`
}

// ReportMeasured is the result that a claim was judged by.
type ReportMeasured struct {
	Value       float64  `json:"value"`
	Unit        string   `json:"unit"`
	Std         float64  `json:"u"`
	Expanded    float64  `json:"U"`
	K           float64  `json:"k"`
	DOF         *float64 `json:"dof"`
	Method      string   `json:"method"`
	Measurement string   `json:"measurement"`
}

// ReportLimit is the claim with its tolerance applied; Low and High are null where there is no such side.
type ReportLimit struct {
	Value float64  `json:"value"`
	Unit  string   `json:"unit"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
}

// ReportTolerance is what was allowed and why.
type ReportTolerance struct {
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Source string  `json:"source"`
	Mark   string  `json:"mark"`
	Amount float64 `json:"amount"`

	Rounding float64 `json:"rounding"` // half of the claim's last printed digit, in its unit
}

// ReportGap is measured less claimed.
type ReportGap struct {
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	Percent float64 `json:"percent"`
	Words   string  `json:"words"`
}

// ReportFinding is one finding on words or on claims against each other.
type ReportFinding struct {
	Rule     string   `json:"rule"`
	Class    string   `json:"class"`
	Severity string   `json:"severity"`
	Claims   []string `json:"claims"`
	Quote    string   `json:"quote"`
	Place    string   `json:"place"`
	Why      string   `json:"why"`
	Ask      string   `json:"ask"`
	Evidence string   `json:"evidence"`
	Source   string   `json:"source"`
	Mark     string   `json:"mark"`
	SameAs   string   `json:"same_as,omitempty"` // the rule whose finding says the same of the same words
}

// ReportMeasurement is one result with its budget and runs.
type ReportMeasurement struct {
	ID        string            `json:"id"`
	Attribute string            `json:"attribute"`
	Setting   string            `json:"setting"`
	Particle  string            `json:"particle"`
	Distance  *float64          `json:"distance_m,omitempty"`
	Value     *float64          `json:"value"`
	Unit      string            `json:"unit"`
	Std       *float64          `json:"u"`
	Expanded  *float64          `json:"U"`
	K         *float64          `json:"k"`
	DOF       *float64          `json:"dof"`
	Interval  []*float64        `json:"interval"`
	Method    string            `json:"method"`
	Meter     string            `json:"instrument,omitempty"`
	Factor    float64           `json:"room_factor,omitempty"` // what a qualified room had the rate divided by
	Budget    []ReportComponent `json:"budget"`
	Runs      []ReportRun       `json:"runs"`
	Flags     []measure.Flag    `json:"flags"`
	Warnings  []string          `json:"warnings"`
	Doubts    []ReportDoubt     `json:"doubts,omitempty"` // what an outcome had to survive
}

// ReportComponent is one line of a budget.
type ReportComponent struct {
	Component string   `json:"component"`
	U         float64  `json:"u"`
	Share     float64  `json:"share"`
	DOF       *float64 `json:"dof"`
	Kind      string   `json:"kind"`
	Note      string   `json:"note"`
}

// ReportRun is one run, reading or repeat behind a result.
type ReportRun struct {
	Run      string         `json:"run"`
	State    string         `json:"state,omitempty"`
	Value    *float64       `json:"value"`
	Unit     string         `json:"unit"`
	U        *float64       `json:"u"`
	From     string         `json:"from"`
	To       string         `json:"to"`
	Start    string         `json:"start,omitempty"` // of the first reading used, as the log's own clock shows it: 2006-01-02T15:04:05
	Points   int            `json:"points"`
	R2       *float64       `json:"r2"`
	Phases   []ReportPhase  `json:"phases,omitempty"` // of a decay log
	Flags    []measure.Flag `json:"flags"`
	Warnings []string       `json:"warnings"`
	Place    string         `json:"place"`
	LeftOut  bool           `json:"left_out,omitempty"` // by the book, with its cause: no part of the result
}

// ReportDoubt is one thing that the evidence does not rule out: the result as it would be then, null where the outcomes
// that it holds open are held open whatever the result would be.
type ReportDoubt struct {
	Name     string   `json:"name"`
	Holds    string   `json:"holds"`
	Value    *float64 `json:"value"`
	Std      *float64 `json:"u"`
	Expanded *float64 `json:"U"`
	DOF      *float64 `json:"dof"`
	Why      string   `json:"why"`
	Settle   string   `json:"settle"`
}

// ReportPhase is a phase of a decay log: fill, plateau, natural, on or floor. Rate is the fall per hour.
type ReportPhase struct {
	Phase string   `json:"phase"`
	From  string   `json:"from"`
	To    string   `json:"to"`
	Rate  *float64 `json:"rate"`
}

// ReportCost is the running cost of one option for a year.
type ReportCost struct {
	Option      string   `json:"option"`
	HoursPerDay float64  `json:"hours_per_day"`
	EnergyKWh   float64  `json:"energy_kwh"`
	EnergyU     float64  `json:"energy_U"`
	EnergyCost  float64  `json:"energy_cost"`
	FilterCost  float64  `json:"filter_cost"`
	Total       float64  `json:"total"`
	TotalU      float64  `json:"total_U"`
	Low         float64  `json:"low"`
	High        float64  `json:"high"`
	Currency    string   `json:"currency"`
	Basis       string   `json:"basis"`
	PerThousand *float64 `json:"per_1000_m3"`
}

// ReportRoom is the test room.
type ReportRoom struct {
	Volume float64 `json:"volume_m3"`
	U      float64 `json:"u"`
	Text   string  `json:"text"`
	// Qualification is what the room book says of the room, in the form of its own report; absent where none is named.
	Qualification json.RawMessage `json:"qualification,omitempty"`
}

// ReportRecord is one item of the completeness list.
type ReportRecord struct {
	Letter  string `json:"letter"`
	Item    string `json:"item"`
	From    string `json:"from"`
	Present bool   `json:"present"`
}

// ReportThread is the dated history of one claim.
type ReportThread struct {
	Attribute string        `json:"attribute"`
	Source    string        `json:"source"`
	Change    string        `json:"change"`
	Entries   []ReportEntry `json:"entries"`
}

// ReportEntry is what one capture said.
type ReportEntry struct {
	Claim    string `json:"claim"`
	Captured string `json:"captured"`
	Text     string `json:"text"`
	Evidence string `json:"evidence"`
}

// ReportTable is a table that informs and judges nothing.
type ReportTable struct {
	Title  string     `json:"title"`
	Header []string   `json:"header"`
	Rows   [][]string `json:"rows"`
	Note   string     `json:"note"`
}

// JSON is the audit as audit.json. The same audit gives the same bytes. It is an error where they are more than MaxFile.
func (a *Audit) JSON() ([]byte, error) {
	data, err := PlainJSON(a.Report(), "  ")
	if err != nil {
		return nil, err
	}
	if len(data) > MaxFile {
		return nil, errors.New(sheet.TooLarge("bytes of audit.json", int64(len(data)), MaxFile))
	}
	return data, nil
}

// WriteJSON writes the audit as audit.json, or nothing where JSON gives an error.
func (a *Audit) WriteJSON(w io.Writer) error {
	data, err := a.JSON()
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// finite is x, or nil where it is not a finite number.
func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// or gives a slice that JSON writes as [] where it is empty.
func or[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}
