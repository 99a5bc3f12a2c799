package listing

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

// Said is one claim that the listing makes.
type Said struct {
	Claim      claims.Claim // Claimed in the attribute's JSON unit; Wording is Quote
	Quote      string       // the exact words: Body[Start:End]
	Start, End int
	Line, Col  int      // of Start in the source
	Understood string   // "delivery rate: at least 340 m3/h, smoke, at the highest setting"
	Value      string   // number or range as the claims table takes it: "340", "24-52"; "" for words alone
	UnitName   string   // canonical name of the unit written
	Second     string   // the same thing in a second unit, as written: "200 cfm"; "" where none stands
	Also       []string // where else the listing says the same: "12:3"
	far        bool     // apart by more than 10 %
	apart      string   // how the second unit disagrees; "" where it agrees
	figures    []extent // the number with its unit, wherever the listing says it
	ran        bool     // a life by the calendar that was turned into running hours
	qi         int      // index of its quantity in the sentence, while that is read
}

// Stated is a figure that is no claim of the contract's list but bears on one: the fan's air flow, air changes.
type Stated struct {
	Kind  string  `json:"kind"` // "air flow", "air changes", "delivery rate for a gas"
	Value float64 `json:"value"`
	Unit  string  `json:"unit"` // m3/h, 1/h
	Quote string  `json:"quote"`
	Start int     `json:"-"` // Body[Start:End]
	End   int     `json:"-"`
	Line  int     `json:"line"`
	Col   int     `json:"column"`
}

// round9 makes the last bits of a conversion unseen in texts.
func roundTo(x float64, digits int) float64 {
	p := math.Pow10(digits)
	if r := math.Round(x*p) / p; !math.IsInf(r, 0) {
		return r
	}
	return x
}

func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// attributeUnit is the JSON unit of an attribute.
func info(a claims.Attribute) claims.Info {
	for _, i := range claims.Attributes() {
		if i.Name == a {
			return i
		}
	}
	return claims.Info{Name: a, Bound: claims.AtLeast}
}

// reader collects what a listing says.
type reader struct {
	t      *Text
	e      Extract
	listed []Price // the list price, where the listing names one
	apart  []apart // what stands apart from the figures that it belongs to
}

// claimsOf reads the claims of one sentence.
func (r *reader) claimsOf(s *sentence) {
	topics := make([]topic, len(s.qs))
	for i := range s.qs {
		topics[i] = s.topicOf(i)
	}
	s.clearing(topics)
	s.roomOfTime(topics)
	settings := s.settings()
	for i := range s.qs {
		if s.qs[i].dim() == unit.Time && topics[i].name != "" {
			s.life = topics[i]
		}
	}
	var made []int // indices into r.e.Claims
	for i := range s.qs {
		q := &s.qs[i]
		a := claims.Attribute(topics[i].name)
		switch {
		case topics[i].skip || topics[i].name == "":
			continue
		case s.denies(i):
			r.e.denied = append(r.e.denied, extent{s.start + q.start, s.start + q.last()})
			continue
		case a == claims.FilterLife && s.cleaning(i), a == claims.FilterEfficiency && s.remainder(i):
			continue
		case a == claims.RoomArea && r.t.noteAt(s.start) != nil && s.speaksOf(claims.CleanTime):
			continue // the room of the time that sends to the note
		case q.dim() == unit.Flow && s.ofGas(i):
			r.stated(s, i, "delivery rate for a gas", "m3/h")
			continue
		case q.dim() == unit.Flow && s.flowOfClass(i):
			r.nominal(s, i)
			continue
		case a == "air flow":
			r.stated(s, i, "air flow", "m3/h")
			continue
		}
		in := info(a)
		if in.Unit == "" || in.Dimension != q.dim() || !plausible(a, q) || len(r.e.Claims) >= MaxClaims {
			continue
		}
		first := len(r.e.Claims)
		r.build(s, i, topics[i], in, settings)
		for k := first; k < len(r.e.Claims); k++ {
			made = append(made, k)
		}
	}
	r.conditions(s, topics, made)
	for _, k := range made {
		r.finish(s, &r.e.Claims[k])
	}
}

// speaksOf reports whether the sentence names what an attribute is about.
func (s *sentence) speaksOf(a claims.Attribute) bool {
	return slices.ContainsFunc(s.hits["topic"], func(h hit) bool { return h.row.Value == string(a) })
}

// plausible leaves out what carries the right unit and cannot be the thing: zero, or a share over 100 %.
func plausible(a claims.Attribute, q *quantity) bool {
	if q.high() <= 0 && a != claims.Ozone && a != claims.StandbyPower {
		return false
	}
	if a == claims.FilterEfficiency {
		return q.high() <= 100
	}
	return a != claims.Noise || q.high() <= 140
}

// build makes the claim or, for a list with one setting or particle a number, the claims of quantity i.
func (r *reader) build(s *sentence, i int, tp topic, in claims.Info, settings []settingHit) {
	q := &s.qs[i]
	kind, boundHit := s.boundOf(i)
	if q.isRange && kind == "floor" {
		kind = "" // "from 7 to 45 W"
	}
	base := Said{Start: q.start, End: q.last(), figures: []extent{{s.start + q.start, s.start + q.last()}}, UnitName: q.unit.Name, qi: i}
	c := &base.Claim
	c.Attribute, c.Source = in.Name, "listing"
	c.Weighting, c.UnitText = in.Name == claims.Noise && q.unit.Name == "dB(A)", q.unitText
	c.Calendar = in.Name == claims.FilterLife && q.unit.Factor >= unit.Must("day").Factor
	var lowest bool
	c.Bound, c.BoundGiven, lowest = resolve(in.Name, kind, in.Bound)
	base.include(boundHit)
	if tp.at != nil && !tp.up && s.beside(i, tp.at) {
		base.include(tp.at)
	}
	if tp.at == nil && in.Name == claims.DeliveryRate {
		c.Notes = append(c.Notes, "the listing does not say whether this is a clean air delivery rate or the air flow of the fan; it was read as the delivery rate")
	}
	if in.Name == claims.Noise && !c.Weighting {
		c.Notes = append(c.Notes, "dB without a weighting was read as dB(A)")
	}
	if len(q.values) > 1 && !q.isRange && r.list(s, i, base, in) {
		return
	}
	if h := s.settingOf(i, settings); h != nil && takesSetting(in.Name) && (in.Name != claims.RoomArea || s.leadsTo(h)) {
		c.Setting = h.name(s)
		if s.label == 0 || h.end > s.label || h.start < s.label {
			base.include(&hit{start: h.start, end: h.end})
		}
	} else if name := s.askedOf(i); name != "" && settingMatters(in.Name) {
		c.Setting = name
	} else if lowest && settingMatters(in.Name) {
		c.Setting = "lowest"
		c.Notes = append(c.Notes, "no setting is stated; the words name the smallest figure, so it was read as that of the lowest setting")
	}
	if in.Name == claims.DeliveryRate || in.Name == claims.FilterEfficiency {
		names, at := s.particlesOf(i)
		if len(names) == 1 {
			c.Particle = names[0]
		} else if len(names) > 1 {
			c.Notes = append(c.Notes, "one figure for several kinds of particle: "+strings.Join(names, ", "))
		}
		for k := range at {
			base.include(&at[k])
		}
	}
	lo, hi := q.low(), q.high()
	if len(q.values) > 1 && !q.isRange {
		lo, hi = slices.Min(q.values), slices.Max(q.values)
		c.Notes = append(c.Notes, "several figures without the settings that they belong to: "+s.text[q.start:q.end])
	}
	base.number(q, lo, hi, s.text[q.start:q.end], in)
	if q.also != nil {
		base.Second = s.text[q.also.start:q.also.end]
		if second, beyond := q.disagreement(); beyond {
			base.far = math.Abs(second/q.low()-1) > 0.10
			base.apart = s.text[q.also.start:q.also.end] + " is " + plain(roundTo(second, 1)) + " " + q.unit.Name + ", not " + plain(q.low()) + " " + q.unit.Name
		}
	}
	r.e.Claims = append(r.e.Claims, base)
}

// beside reports whether a word may stand in the quote of quantity i: near it, with no other number between, or in the
// label of the line.
func (s *sentence) beside(i int, h *hit) bool {
	q := &s.qs[i]
	if h.start-q.last() >= 60 || q.start-h.end >= 120 {
		return false
	}
	return s.label > 0 && h.end <= s.label || h.start >= q.last() || i == 0 || h.end > s.qs[i-1].start
}

// settingMatters reports whether a claim of the attribute depends on the fan setting.
func settingMatters(a claims.Attribute) bool {
	return a == claims.DeliveryRate || a == claims.Noise || a == claims.Power || a == claims.CleanTime || a == claims.AnnualEnergy
}

// takesSetting reports whether a claim of the attribute may be stated for a setting: those that depend on it, and the life
// of a filter and the area of a room, which need none.
func takesSetting(a claims.Attribute) bool {
	return settingMatters(a) || a == claims.FilterLife || a == claims.RoomArea
}

// number sets the claimed range, converted to the attribute's JSON unit.
func (d *Said) number(q *quantity, lo, hi float64, written string, in claims.Info) {
	if q.labelUnit {
		written += " " + q.unitText
	}
	l, err1 := unit.Convert(lo, q.unit.Name, in.Unit)
	h, err2 := unit.Convert(hi, q.unit.Name, in.Unit)
	if err1 != nil || err2 != nil {
		return
	}
	d.Claim.Claimed = &claims.Range{Low: l, High: h, Unit: in.Unit, Text: strings.Join(strings.Fields(written), " ")}
	d.Value = plain(lo)
	if hi != lo {
		d.Value += "-" + plain(hi)
	}
}

// list makes one claim for each number of "24/38/52 dB (sleep/auto/turbo)" or "smoke/dust/pollen: 340/350/360 m³/h".
func (r *reader) list(s *sentence, i int, base Said, in claims.Info) bool {
	q := &s.qs[i]
	n := len(q.values)
	var names []string
	setting := settingMatters(in.Name)
	if in.Name == claims.DeliveryRate {
		for _, h := range s.hits["particle"] {
			names = append(names, h.row.Value)
			base.include(&h)
		}
		setting = len(names) != n
	}
	steps, at := s.numberedSteps(n)
	if steps == nil {
		steps, at = s.listed(n)
	}
	if steps == nil && s.above != nil { // the label stands over the figures
		steps, _ = s.above.listed(n)
	}
	if setting && steps != nil {
		names = steps
		base.include(at)
	} else if setting {
		names = nil
		var all []settingHit
		for _, k := range []string{"setting", "bare"} {
			for _, h := range s.hits[k] {
				if !slices.ContainsFunc(all, func(o settingHit) bool { return o.start < h.end && h.start < o.end }) {
					all = append(all, settingHit{h.start, h.end, h.row.Value, h.row.Lang})
				}
			}
		}
		slices.SortFunc(all, func(a, b settingHit) int { return a.start - b.start })
		for k := range all {
			names = append(names, all[k].name(s))
			if len(all) == n {
				base.include(&hit{start: all[k].start, end: all[k].end})
			}
		}
	}
	if len(names) != n || len(r.e.Claims)+n > MaxClaims {
		return false
	}
	for k, v := range q.values {
		d := base
		d.Claim.Notes = slices.Clone(base.Claim.Notes)
		if setting {
			d.Claim.Setting = names[k]
		} else {
			d.Claim.Particle = names[k]
		}
		d.number(q, v, v, plain(v)+" "+q.unitText, in)
		r.e.Claims = append(r.e.Claims, d)
	}
	return true
}

// include widens the quote over a word.
func (d *Said) include(h *hit) {
	if h == nil {
		return
	}
	d.Start, d.End = min(d.Start, h.start), max(d.End, h.end)
}

// stated records a figure that bears on claims and is none.
func (r *reader) stated(s *sentence, i int, kind, to string) {
	q := &s.qs[i]
	v, err := unit.Convert(q.high(), q.unit.Name, to)
	if err != nil || len(r.e.Stated) >= MaxClaims {
		return
	}
	x := Stated{Kind: kind, Value: v, Unit: to, Start: s.start + q.start, End: s.start + q.last()}
	x.Quote = r.t.Body[x.Start:x.End]
	x.Line, x.Col = r.t.At(x.Start)
	r.e.Stated = append(r.e.Stated, x)
}
