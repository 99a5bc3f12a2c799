package listing

import (
	"encoding/json"
	"strings"

	"weighhouse/claims"
)

// Report is everything that vetting a listing finds; writers print it and compute nothing.
type Report struct {
	Listing   string         `json:"listing"`
	Title     string         `json:"title"` // the first heading of a page
	Language  string         `json:"language"`
	Product   claims.Product `json:"product"`
	Claims    []Said         `json:"claims"`
	Prices    []Price        `json:"prices"`
	Stated    []Stated       `json:"stated"`      // figures that are no claims: the fan's air flow, air changes
	Asides    []Aside        `json:"passed_over"` // what speaks of something else than the unit on offer
	Findings  []Found        `json:"findings"`
	Rooms     []Room         `json:"rooms"` // what each stated area implies at the stated rate
	Areas     []Area         `json:"areas"` // the areas of the stated rates by each published rule
	Times     []Time         `json:"times"` // what each stated clean time implies
	Costs     []Cost         `json:"costs"`
	Questions []string       `json:"questions"`
	Reading   Reading        `json:"reading"`
	Notes     []string       `json:"notes"`
	Cautions  []string       `json:"cautions"`
}

// Cautions stand under every report on a listing.
var Cautions = []string{
	"This reads what the listing says. Nothing was measured, and nothing here says whether the product is good or bad.",
	"Words are read by rules and can be misread: check every quote in the listing itself before you rely on it.",
	"General information, not legal advice; rules differ by country. Take qualified advice before you publish or file a complaint.",
	"Ozone and mains electricity can hurt people: do not open a unit or test its emissions without the skill to do so.",
}

// Vet reads the claims of a listing, what is open about its words, and what follows from its numbers.
func Vet(t *Text) Report {
	e := t.Extract()
	r := Report{Listing: t.Name, Title: t.Title, Language: t.Lang, Product: e.Product, Claims: e.Claims, Prices: e.Prices, Stated: e.Stated,
		Asides: t.Asides, Notes: e.Notes, Cautions: Cautions}
	r.Findings = Findings(t, e)
	r.Rooms, r.Areas = rooms(e), areas(e)
	r.Times = times(e)
	var notes []string
	r.Costs, notes = costs(e)
	r.Notes = append(r.Notes, notes...)
	r.Questions = Questions(e, r.Findings)
	r.Reading = t.reading(e)
	r.whole()
	return r
}

// whole makes the lists that are nil empty ones, so that JSON has [] for them.
func (r *Report) whole() {
	r.Claims, r.Prices, r.Stated, r.Findings = list(r.Claims), list(r.Prices), list(r.Stated), list(r.Findings)
	r.Rooms, r.Areas, r.Times, r.Costs = list(r.Rooms), list(r.Areas), list(r.Times), list(r.Costs)
	r.Asides = list(r.Asides)
	r.Questions, r.Notes = list(r.Questions), list(r.Notes)
	for i := range r.Rooms {
		r.Rooms[i].Meets, r.Rooms[i].Misses = list(r.Rooms[i].Meets), list(r.Rooms[i].Misses)
	}
}

func list[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}

// SpecTables are the tables of a spec book made from a listing, as the contract names them; the first row of each is
// its header. Cells are text as the listing has it: whoever writes them guards cells that begin with =, +, - or @.
type SpecTables struct {
	Product [][]string // field, value
	Claims  [][]string // id, attribute, value, unit, bound, setting, particle, basis, wording, source, captured, evidence
}

// ClaimColumns are the columns of the claims table.
var ClaimColumns = []string{"id", "attribute", "value", "unit", "bound", "setting", "particle", "basis", "wording", "source", "captured", "evidence"}

// Spec makes the tables of a spec book, ready to be completed: the date of the capture and the evidence are for the
// person who made it. A bound, setting or condition that the listing does not state stays blank.
func (r Report) Spec() SpecTables {
	p := r.Product
	s := SpecTables{Product: [][]string{{"field", "value"}, {"maker", p.Maker}, {"model", p.Model}, {"variant", p.Variant},
		{"region", p.Region}, {"price", p.Price}, {"currency", p.Currency}, {"listing", p.Listing}},
		Claims: [][]string{ClaimColumns}}
	for _, d := range r.Claims {
		c := d.Claim
		row := []string{c.ID, string(c.Attribute), d.Value, "", "", c.Setting, c.Particle, strings.Join(c.Basis.Parts, "; "),
			strings.Join(strings.Fields(r.ownWords(&d)), " "), c.Source, "", ""}
		if d.Value != "" {
			row[3] = d.UnitName
		}
		if c.BoundGiven {
			row[4] = string(c.Bound)
		}
		s.Claims = append(s.Claims, row)
	}
	return s
}

// ownWords are the words of a claim as far as they hold no figure of another attribute: of "Turbo mode: 54 dB(A), 48 W" the
// watts are "48 W", so that a case does not read the level as words about them.
func (r Report) ownWords(d *Said) string {
	if len(d.figures) == 0 {
		return d.Quote
	}
	own := d.figures[0]
	lo, hi := d.Start, d.End
	for _, o := range r.Claims {
		if o.Claim.Attribute == d.Claim.Attribute {
			continue
		}
		for _, x := range o.figures {
			if x.start >= lo && x.end <= own.start {
				lo = x.end
			} else if x.end <= hi && x.start >= own.end {
				hi = x.start
			}
		}
	}
	return strings.TrimRight(strings.TrimLeft(d.Quote[lo-d.Start:hi-d.Start], " \u00a0\n,;:/|–-)"), " \u00a0\n,;:/|–-(")
}

// MarshalJSON writes a claim as it was understood.
func (d Said) MarshalJSON() ([]byte, error) {
	type claimed struct {
		Low  float64 `json:"low"`
		High float64 `json:"high"`
		Unit string  `json:"unit"`
		Text string  `json:"text"`
	}
	c := d.Claim
	var n *claimed
	if c.Claimed != nil {
		n = &claimed{c.Claimed.Low, c.Claimed.High, c.Claimed.Unit, c.Claimed.Text}
	}
	return json.Marshal(struct {
		ID         string   `json:"id"`
		Attribute  string   `json:"attribute"`
		Claimed    *claimed `json:"claimed"`
		Bound      string   `json:"bound"`
		BoundGiven bool     `json:"bound_stated"`
		Setting    string   `json:"setting"`
		Particle   string   `json:"particle"`
		Basis      []string `json:"basis"`
		Second     string   `json:"second_unit"`
		Quote      string   `json:"quote"`
		Line       int      `json:"line"`
		Col        int      `json:"column"`
		Also       []string `json:"also_at"`
		Understood string   `json:"understood"`
		Notes      []string `json:"notes"`
	}{c.ID, string(c.Attribute), n, string(c.Bound), c.BoundGiven, c.Setting, c.Particle, list(c.Basis.Parts), d.Second, d.Quote, d.Line,
		d.Col, list(d.Also), d.Understood, list(c.Notes)})
}
