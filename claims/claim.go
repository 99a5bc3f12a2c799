// Package claims holds what a maker says of a product: the claims of a spec book, their words, and what they say of
// each other.
package claims

import (
	"weighhouse/measure/sheet"
)

// Attribute is what a claim is about; the contract's list.
type Attribute string

// The attributes of the contract.
const (
	DeliveryRate     Attribute = "delivery rate"
	Noise            Attribute = "noise"
	Power            Attribute = "power"
	StandbyPower     Attribute = "standby power"
	AnnualEnergy     Attribute = "annual energy"
	FilterGrade      Attribute = "filter grade"
	FilterEfficiency Attribute = "filter efficiency"
	FilterLife       Attribute = "filter life"
	RoomArea         Attribute = "room area"
	CleanTime        Attribute = "clean time"
	CarbonMass       Attribute = "carbon mass"
	Ozone            Attribute = "ozone"
)

// Bound says on which side of its number a claim promises.
type Bound string

// The bounds of the contract.
const (
	AtLeast Bound = "at least"
	AtMost  Bound = "at most"
	About   Bound = "about"
	UpTo    Bound = "up to"
)

// Range is a claimed number or range, in the attribute's JSON unit.
type Range struct {
	Low, High float64
	Unit      string
	Text      string // the number and unit as written
}

// Claim is one row of the claims table.
type Claim struct {
	ID         string
	Attribute  Attribute
	Claimed    *Range // nil where the claim is words alone
	Bound      Bound
	BoundGiven bool
	Setting    string // as written; "" and "max" mean the highest
	Particle   string // normalised: smoke, dust, pollen, pm1, pm2.5, pm10, "0.3 um"; "" where not stated
	Basis      Basis
	Wording    string
	Source     string
	Captured   string // ISO date, or ""
	CapturedAt sheet.Place
	Evidence   string // path inside the case, or ""
	Place      sheet.Place
	UnitText   string     // the unit as written, "" where none stands
	Weighting  bool       // noise: the unit says dB(A); false for a bare dB
	Calendar   bool       // filter life in days, weeks, months or years: Claimed holds running hours only if Basis gives h/day
	Written    [2]float64 // the claimed number as written, low and high, in UnitText
	Seen       *Seen      // how number, words and capture belong together; nil where nobody looked
	OtherModel string     // a sibling that the words or the source name in place of the product; "" for none
	Notes      []string
}

// Basis is the conditions that a claim states, from its basis column.
type Basis struct {
	Text          string
	Parts         []string // as written, split at ";"
	Distance      float64  // m; 0 where not stated
	AirChanges    float64  // 1/h
	HoursPerDay   float64
	StandbyHours  float64 // h/day in standby
	Ceiling       float64 // m
	RoomArea      float64 // m2
	RoomVolume    float64 // m3
	Reduction     float64 // fraction removed, 0…1
	SoundPower    bool    // the level is a sound power level
	SoundPressure bool
	Declared      string  // "L_d" for an ISO 4871 single number; "L+K" where K is given apart
	K             float64 // dB, with L+K
	Standard      string  // the standard named, as written
	Rule          string  // id of a room-size rule that the basis names
	Flow          float64 // m3/h, nominal flow named for a filter class
	Ioniser       string  // "on" or "off"; "" where the basis does not say
	EndOfLife     string  // what ends the life of a filter: "until the smoke rate has fallen to half"
	ToHalf        bool    // that end is half the first value
	Element       string  // which filter of several a life is of: "pre-filter", "carbon filter"; "" for the filter itself
	Other         []string
}

// Product is the spec's product table.
type Product struct {
	Maker    string `json:"maker"`
	Model    string `json:"model"`
	Variant  string `json:"variant,omitempty"`
	Region   string `json:"region,omitempty"`
	Price    string `json:"price,omitempty"`
	Currency string `json:"currency,omitempty"`
	Listing  string `json:"listing,omitempty"`
}

// Reply is one row of the reply table: what was sent to the maker, and its answer in full.
type Reply struct {
	Sent     string `json:"sent,omitempty"`
	Channel  string `json:"channel,omitempty"`
	Deadline string `json:"deadline,omitempty"`
	Received string `json:"received,omitempty"`
	Text     string `json:"text,omitempty"`

	SentAt     sheet.Place `json:"-"`
	ReceivedAt sheet.Place `json:"-"`
}

// Spec is a whole spec book.
type Spec struct {
	Product Product
	Claims  []Claim
	Replies []Reply
	Notes   []sheet.Note

	CaptureAt map[string]sheet.Place // of each evidence file, the cell that names it first
}
