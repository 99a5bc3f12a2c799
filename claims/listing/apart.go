package listing

import (
	"fmt"
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

// apart is what stands apart from the figures that it belongs to: "All noise levels were measured at 1 m", "Sound: L_WA, by
// IEC 60704-3", "* Delivery rate and power: at max speed".
type apart struct {
	mark       string             // of the note that it stands in; "" where it speaks for all figures of its attributes
	attributes []claims.Attribute // none: whatever it fits
	parts      []part
	setting    string
	particle   string
	block      extent // the figures under the heading that it is; empty: all
	line, col  int
}

// part is a condition as the basis column has it, and the attributes that it can bear on.
type part struct {
	kind string // what it is, so that a claim takes one of each kind
	text string
	on   []claims.Attribute
}

// bearing is which attributes a standard is about, by a stretch of its name.
var bearing = []struct {
	name string
	on   []claims.Attribute
}{
	{"AC-1", []claims.Attribute{claims.DeliveryRate}}, {"18801", []claims.Attribute{claims.DeliveryRate}}, {"63086", []claims.Attribute{claims.DeliveryRate}},
	{"1467", []claims.Attribute{claims.DeliveryRate}}, {"B44", []claims.Attribute{claims.DeliveryRate}}, {"16846", []claims.Attribute{claims.DeliveryRate}},
	{"60704", []claims.Attribute{claims.Noise}}, {"3744", []claims.Attribute{claims.Noise}}, {"62301", []claims.Attribute{claims.StandbyPower}},
	{"1822", []claims.Attribute{claims.FilterGrade, claims.FilterEfficiency}}, {"29463", []claims.Attribute{claims.FilterGrade, claims.FilterEfficiency}},
	{"UL", []claims.Attribute{claims.Ozone}},
}

// apartFrom notes the conditions of a sentence that gives no figure for what it speaks of.
func (r *reader) apartFrom(s *sentence) {
	mark := ""
	if n := r.t.noteAt(s.start); n != nil {
		mark = n.mark
	}
	clause := len(s.text)
	if i := strings.IndexByte(s.text, ';'); i >= 0 {
		clause = i
	}
	a := apart{mark: mark}
	for _, h := range s.hits["topic"] {
		if at := claims.Attribute(h.row.Value); info(at).Unit != "" && h.start < clause && !slices.Contains(a.attributes, at) {
			a.attributes = append(a.attributes, at)
		}
	}
	labelled := s.label > 0 && slices.ContainsFunc(s.hits["topic"], func(h hit) bool { return h.end <= s.label })
	if h := r.t.headAt(s.start); h != nil && mark == "" && len(a.attributes) > 0 {
		a.block = extent{h.end, r.t.blockEnd(h.end)}
	} else if mark == "" && (len(a.attributes) == 0 || !labelled && len(s.hits["elsewhere"]) == 0) {
		return
	}
	for i, q := range s.qs {
		if q.start < clause && slices.ContainsFunc(a.attributes, func(at claims.Attribute) bool { return info(at).Dimension == q.dim() && !s.qs[i].isCondition() }) && mark == "" {
			return // it states the figure itself
		}
	}
	a.conditions(s, clause)
	if mark != "" || labelled || a.block.end > 0 {
		a.settingOf(s, clause)
	}
	if len(a.parts) > 0 || a.setting != "" || a.particle != "" {
		a.line, a.col = r.t.At(s.start)
		r.apart = append(r.apart, a)
	}
}

// isCondition reports whether a quantity is of a kind that is a condition of claims, and no claim.
func (q *quantity) isCondition() bool {
	switch q.dim() {
	case unit.Rate, unit.Length, unit.Volume, hoursADay.Dimension:
		return true
	}
	return false
}

func (a *apart) add(kind, text string, on ...claims.Attribute) {
	a.parts = append(a.parts, part{kind, text, on})
}

func (a *apart) conditions(s *sentence, clause int) {
	for i, q := range s.qs {
		m := q.low() * q.unit.Factor
		text := fmt.Sprintf("%s %s", plain(q.low()), q.unit.Name)
		topic := s.topicOf(i).name
		switch {
		case len(q.values) != 1 || q.start >= clause:
		case q.dim() == unit.Rate && q.low() > 0 && q.high()*q.unit.Factor <= 100:
			a.add("air changes", plain(roundTo(q.low()*q.unit.Factor, 6))+" ach", claims.RoomArea)
		case q.dim() == hoursADay.Dimension && q.high() <= 24:
			a.add("hours", plain(q.high())+" h/day", claims.FilterLife, claims.AnnualEnergy)
		case q.dim() == unit.Length && topic == "ceiling" && m >= 1.5 && m <= 10:
			a.add("ceiling", text+" ceiling", claims.RoomArea, claims.CleanTime)
		case q.dim() == unit.Area && a.mark != "" && slices.Contains(a.attributes, claims.CleanTime):
			a.add("room", text, claims.CleanTime)
		case q.dim() == unit.Length && (topic == "distance" || topic == "" && soundPressure().MatchString(s.text[:clause])) && m >= 0.1 && m <= 10:
			a.add("distance", text, claims.Noise)
		}
	}
	words := s.text[:clause]
	if soundPower().MatchString(words) {
		a.add("quantity", "sound power", claims.Noise)
	} else if soundPressure().MatchString(words) {
		a.add("quantity", "sound pressure", claims.Noise)
	}
	for _, loc := range standardName().FindAllStringIndex(words, -1) {
		name := words[loc[0]:loc[1]]
		for _, b := range bearing {
			if strings.Contains(name, b.name) {
				a.add("standard", name, b.on...)
				break
			}
		}
	}
	if names := particles(s.hits["particle"], clause); len(names) == 1 && len(s.qs) == 0 {
		a.particle = names[0]
	}
}

func particles(hits []hit, clause int) (names []string) {
	for _, h := range hits {
		if h.end <= clause && !slices.Contains(names, h.row.Value) {
			names = append(names, h.row.Value)
		}
	}
	return names
}

// settingOf takes the one setting that a clause names without a figure of its own.
func (a *apart) settingOf(s *sentence, clause int) {
	for _, q := range s.qs {
		switch q.dim() {
		case unit.Flow, unit.Level, unit.Power, unit.Energy:
			if q.start < clause {
				return
			}
		}
	}
	name := ""
	for _, h := range s.settings() {
		if h.end > clause {
			break
		}
		if n := h.name(s); name != "" && n != name {
			return
		} else {
			name = n
		}
	}
	a.setting = name
}

// giveApart gives the claims what stands apart from them and they do not state themselves. Where a listing states several
// of one kind for all figures, such as two distances, none is given: which figure each belongs to is not said.
func (r *reader) giveApart() {
	for i := range r.e.Claims {
		d := &r.e.Claims[i]
		for k := range r.apart {
			a := &r.apart[k]
			if len(a.attributes) > 0 && !slices.Contains(a.attributes, d.Claim.Attribute) {
				continue
			}
			if a.block.end > 0 && !slices.ContainsFunc(d.figures, func(x extent) bool { return a.block.start <= x.start && x.end <= a.block.end }) {
				continue
			}
			if a.mark != "" && !slices.ContainsFunc(d.figures, func(x extent) bool { return r.t.sentTo(x, a.mark) }) {
				continue
			}
			r.take(d, a)
		}
	}
}

// take gives a claim what it lacks.
func (r *reader) take(d *Said, a *apart) {
	given := false
	for _, p := range a.parts {
		if slices.Contains(p.on, d.Claim.Attribute) && !d.has(p.kind) && (a.mark != "" || a.block.end > 0 || r.alone(p, d.Claim.Attribute)) {
			d.addBasis(p.text)
			given = true
		}
	}
	if a.setting != "" && d.Claim.Setting == "" && takesSetting(d.Claim.Attribute) && (a.mark != "" || a.block.end > 0 || r.oneSetting(a, d.Claim.Attribute)) {
		d.Claim.Setting, given = a.setting, true
	}
	if a.particle != "" && d.Claim.Particle == "" && d.Claim.Attribute == claims.DeliveryRate {
		d.Claim.Particle, given = a.particle, true
	}
	if given {
		d.running()
		d.Claim.Notes = append(d.Claim.Notes, fmt.Sprintf("what the figure is stated for stands apart from it, at %d:%d", a.line, a.col))
		d.Understood = understood(d)
	}
}

// oneSetting reports whether nothing else that stands apart names another setting for the attribute.
func (r *reader) oneSetting(a *apart, on claims.Attribute) bool {
	return !slices.ContainsFunc(r.apart, func(o apart) bool {
		return o.mark == "" && o.block.end == 0 && o.setting != "" && o.setting != a.setting && slices.Contains(o.attributes, on)
	})
}

// has reports whether a claim states a condition of a kind already.
func (d *Said) has(kind string) bool {
	b := &d.Claim.Basis
	switch kind {
	case "air changes":
		return b.AirChanges > 0
	case "hours":
		return b.HoursPerDay > 0
	case "ceiling":
		return b.Ceiling > 0
	case "distance":
		return b.Distance > 0
	case "room":
		return b.RoomArea > 0 || b.RoomVolume > 0
	case "quantity":
		return b.SoundPower || b.SoundPressure
	}
	return b.Standard != ""
}

// alone reports whether what stands apart for all figures of an attribute says one thing of the kind, and notes it where
// it says several.
func (r *reader) alone(p part, on claims.Attribute) bool {
	for _, a := range r.apart {
		for _, o := range a.parts {
			if a.mark == "" && a.block.end == 0 && o.kind == p.kind && o.text != p.text && slices.Contains(o.on, on) {
				text := fmt.Sprintf("the listing states %s and %s apart from its figures, and not which figure each belongs to; neither was used", p.text, o.text)
				back := fmt.Sprintf("the listing states %s and %s apart from its figures, and not which figure each belongs to; neither was used", o.text, p.text)
				if !slices.Contains(r.e.Notes, text) && !slices.Contains(r.e.Notes, back) {
					r.e.Notes = append(r.e.Notes, text)
				}
				return false
			}
		}
	}
	return true
}
