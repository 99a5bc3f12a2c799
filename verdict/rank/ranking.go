// Package rank compares units that were tested in one room: by delivery rate, clean time, noise, rate per watt, rate per
// price and yearly cost.
//
// It reads finished audits and asks of every pair of units whether they can be told apart. What two units share, such as
// the room's volume and a natural decay logged once for both, cancels in their difference and is not counted. Units that
// cannot be told apart share their rank; no order is given among them.
package rank

import (
	"io"

	"weighhouse/verdict"
)

// Format is the name and version of the JSON form.
const Format = "weighhouse-ranking/1"

// Alpha is the chance, for one criterion as a whole, of telling any two units apart that are in truth alike.
const Alpha = 0.05

// Ranking is everything that a comparison says; writers read it and compute nothing. A null number was not measured.
type Ranking struct {
	Format   string      `json:"format"`
	Tool     Tool        `json:"tool"`
	Issued   string      `json:"issued"` // YYYY-MM-DD
	Alpha    float64     `json:"alpha"`
	Room     Room        `json:"room"`
	Tester   string      `json:"tester"`
	Place    string      `json:"place"`
	Method   string      `json:"method"` // room or chamber
	Particle string      `json:"particle"`
	Units    []Unit      `json:"units"` // in the order in which the cases were named
	Criteria []Criterion `json:"criteria"`
	Rules    []string    `json:"rules"` // how units were told apart, in sentences
	Notes    []string    `json:"notes"`
	Cautions []string    `json:"cautions"`
}

// Tool is the program that made the ranking.
type Tool struct {
	Version string `json:"version"`
}

// Room is the room that all units share.
type Room struct {
	Volume float64 `json:"volume_m3"`
	U      float64 `json:"u"` // standard uncertainty
	Text   string  `json:"text"`
}

// Unit is one of the units compared.
type Unit struct {
	Label    string   `json:"label"` // maker, model and variant; with the case where two are named alike
	Case     string   `json:"case"`
	Maker    string   `json:"maker"`
	Model    string   `json:"model"`
	Variant  string   `json:"variant"`
	Sample   string   `json:"sample"`
	Setting  string   `json:"setting"` // the highest, at which it is compared
	RunsOn   int      `json:"runs_on"`
	RunsOff  int      `json:"runs_off"`
	Watts    *float64 `json:"power_w"`
	WattsU   *float64 `json:"power_U"`
	Price    *float64 `json:"price"`
	Currency string   `json:"currency"`
	Flags    []string `json:"flags"`
	Notes    []string `json:"notes"`
}

// Criterion is one question that the units are compared by.
type Criterion struct {
	ID      string   `json:"id"` // "delivery rate", "clean time", "noise", "rate per watt", "rate per price", "yearly cost"
	Title   string   `json:"title"`
	Unit    string   `json:"unit"`
	Better  string   `json:"better"` // "higher" or "lower"
	Basis   string   `json:"basis"`  // the conditions, in a sentence
	Ranked  bool     `json:"ranked"`
	Why     string   `json:"why"`     // why it is not ranked; "" where it is
	Entries []Entry  `json:"entries"` // by rank, those of one rank by name; what has no rank comes last
	Groups  []Group  `json:"groups"`
	Pairs   []Pair   `json:"pairs"`
	Notes   []string `json:"notes"`
}

// Entry is one unit, or one option of a unit, under a criterion.
type Entry struct {
	Label    string      `json:"label"`
	Unit     int         `json:"unit"` // index into Ranking.Units
	Option   string      `json:"option,omitempty"`
	Value    *float64    `json:"value"` // nil: not measured
	Expanded *float64    `json:"U"`
	Interval [2]*float64 `json:"interval"`
	Measure  string      `json:"unit_of_value,omitempty"` // where it is not the criterion's, such as another currency
	RankLow  int         `json:"rank_low"`                // 1 + the number shown to be better; 0 where it has no rank
	RankHigh int         `json:"rank_high"`               // the number ranked less the number shown to be worse
	Rank     string      `json:"rank"`                    // "1", "1=", "1–3"
	Letters  string      `json:"letters"`                 // two entries that share a letter cannot be told apart
	Note     string      `json:"note"`
}

// Group is a largest set of entries of which no two can be told apart.
type Group struct {
	Letter  string   `json:"letter"`
	Members []string `json:"members"`
}

// Pair is the comparison of two entries. Ratio (A over B) stands for what is compared as a ratio, Difference (A less B)
// for levels and costs; Interval is its 95 % interval, for this pair alone and not widened for the number of pairs.
type Pair struct {
	A          string      `json:"a"`
	B          string      `json:"b"`
	Method     string      `json:"method"`
	Ratio      *float64    `json:"ratio"`
	Difference *float64    `json:"difference"`
	Interval   [2]*float64 `json:"interval"`
	T          *float64    `json:"t"`
	DOF        *float64    `json:"dof"` // null: infinite, or no test
	P          *float64    `json:"p"`
	Adjusted   *float64    `json:"p_holm"`
	WelchP     *float64    `json:"p_welch,omitempty"` // beside Student's t: without the assumption of equal scatter
	Different  bool        `json:"different"`
	Indicative bool        `json:"indicative"`
	Note       string      `json:"note"`

	a, b   int    // indices of the entries while a criterion is built
	vetoed string // why no order is given, whatever the test says
}

// Words says the outcome of a pair.
func (p Pair) Words() string {
	if p.Different {
		return "differ"
	}
	return "indistinguishable at this uncertainty"
}

// WriteJSON writes the ranking. The same ranking gives the same bytes.
func (r *Ranking) WriteJSON(w io.Writer) error {
	data, err := verdict.PlainJSON(r, "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
