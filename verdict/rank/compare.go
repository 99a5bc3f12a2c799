package rank

import (
	"fmt"
	"strings"

	"weighhouse/measure"
	"weighhouse/verdict"
)

// Options say how a comparison is made.
type Options struct {
	Version  string // of the tool
	Issued   string // YYYY-MM-DD
	Particle string // normalised, as in measure.Particles; "" takes the one that all units share
}

// MostUnits is how many units one comparison takes.
const MostUnits = 40

// Compare ranks units that were tested in one room. An error of type Refusals says which cases cannot be compared, and why.
func Compare(audits []*verdict.Audit, o Options) (*Ranking, error) {
	if len(audits) < 2 || len(audits) > MostUnits {
		return nil, fmt.Errorf("a comparison takes 2 to %d units, found %d (a limit of this program)", MostUnits, len(audits))
	}
	var cs []*contender
	var rs Refusals
	for _, a := range audits {
		c, why := newContender(a)
		if why != "" {
			rs.add(c, "", "%s", why)
		}
		cs = append(cs, c)
	}
	if len(rs) > 0 {
		return nil, rs
	}
	rs, notes := oneRoom(cs)
	particle, others, more := particleOf(cs, o.Particle)
	if rs = append(rs, more...); len(rs) > 0 {
		return nil, rs
	}
	label(cs)
	a := cs[0].audit
	r := &Ranking{Format: Format, Tool: Tool{o.Version}, Issued: o.Issued, Alpha: Alpha, Room: Room{a.Room.Volume, a.Room.U, a.Room.Text},
		Tester: first(cs, "tester"), Place: first(cs, "place"), Method: method(cs[0]), Particle: particle, Notes: notes, Cautions: cautions}
	if len(others) > 0 {
		r.Notes = append(r.Notes, "all units were also measured for "+strings.Join(others, ", ")+"; --particle compares by another one")
	}
	for _, c := range cs {
		c.choose(particle)
		r.Units = append(r.Units, c.unit)
	}
	if meters := instruments(cs); len(meters) > 1 {
		r.Notes = append(r.Notes, "the decay runs were logged by different instruments ("+strings.Join(meters, "; ")+"): a constant gain leaves a decay as it is, another response to size or concentration does not")
	}
	rates := rateCriterion(cs)
	r.Criteria = append([]Criterion{rates, timeCriterion(cs, rates)}, noiseCriterion(cs), wattCriterion(cs), priceCriterion(cs))
	r.Criteria = append(r.Criteria, costCriteria(cs)...)
	r.Rules = rules
	r.tidy()
	return r, nil
}

// label makes the labels distinct: units that are named alike get their cases' names, and numbers where those are alike too.
func label(cs []*contender) {
	for pass := 0; pass < 2; pass++ {
		count := map[string]int{}
		for _, c := range cs {
			count[c.unit.Label]++
		}
		for i, c := range cs {
			if count[c.unit.Label] < 2 {
				continue
			}
			if pass == 0 {
				c.unit.Label += " (" + c.unit.Case + ")"
			} else {
				c.unit.Label += fmt.Sprintf(" [%d]", i+1)
			}
		}
	}
}

// first is the first statement of a field of the test table.
func first(cs []*contender, field string) string {
	for _, c := range cs {
		if s := c.field(field); s != "" {
			return s
		}
	}
	return ""
}

// instruments lists the instruments of the delivery rates.
func instruments(cs []*contender) (out []string) {
	seen := map[string]bool{}
	for _, c := range cs {
		if c.rate == nil || c.rate.Instrument == "" || seen[measure.Fold(c.rate.Instrument)] {
			continue
		}
		seen[measure.Fold(c.rate.Instrument)] = true
		out = append(out, c.rate.Instrument)
	}
	return out
}

// tidy makes empty lists of nil ones, so that JSON writes [] for them.
func (r *Ranking) tidy() {
	if r.Notes == nil {
		r.Notes = []string{}
	}
	for i := range r.Criteria {
		c := &r.Criteria[i]
		if c.Entries == nil {
			c.Entries = []Entry{}
		}
		if c.Groups == nil {
			c.Groups = []Group{}
		}
		if c.Pairs == nil {
			c.Pairs = []Pair{}
		}
		if c.Notes == nil {
			c.Notes = []string{}
		}
	}
}

var rules = []string{
	"All units were tested in one room, so its volume cancels in the comparison of two of them, and with it what an ordinary room and one sensor's background do to all alike. Each value is printed with its own full uncertainty; whether two are told apart is a test of its own, and does not follow from overlapping intervals.",
	"Delivery rates are compared by ln k, where k is the decay rate with the unit on less the natural decay. Where the runs of two units stood side by side, by turns or on the same days, a paired t test is used; otherwise Student's t with equal variances, Welch's beside it. The layout of the runs decides which, never their results. A natural decay logged once for both is not counted twice.",
	"Of three units and more every pair is tested, and the p values of one criterion are adjusted by Holm's method: if all units were in truth alike, the chance of telling any two apart would be at most 5 %. Each criterion is a question of its own.",
	"Units that are indistinguishable at this uncertainty share a rank, and stand by name within it; no order is given among them. A rank is 1 + the number of units shown to be better. Where A is told apart from C but B from neither, each has the range of its possible places. Units that share a letter cannot be told apart.",
	"Indistinguishable does not mean equal: more runs could tell units apart that these could not.",
}

var cautions = []string{
	"The ranking is of the units tested, one of each, in this room. The spread from unit to unit is not part of it, and another unit of the same name may come out elsewhere.",
	"It is general information, not legal advice. Check current law and local codes, give each maker its own results and time to answer, and take qualified advice before you publish.",
	"Electrical work on appliances connected to the mains can hurt people: leave it to those qualified for it. Ozone irritates the lungs even at low levels; delivery rate says nothing of it.",
}
