package verdict

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/setting"
	"weighhouse/measure/sheet"
)

// Doubt is something in the inputs that may have been written down wrongly: where it stands, and what to look at.
type Doubt struct {
	Place string `json:"place"`
	Text  string `json:"text"`
}

// doubts lists what to look at before a report is believed. Nothing of it is judged.
func doubts(e Evidence, a *Audit) []Doubt {
	var out []Doubt
	add := func(place, format string, args ...any) {
		c := Doubt{place, fmt.Sprintf(format, args...)}
		if !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	claimChecks(e.Spec.Claims, add)
	for _, n := range e.Spec.Notes {
		if n.Lost == sheet.LostTable {
			add(n.Place.String(), "%s", n.Text)
		}
	}
	if b := e.Bench; b != nil {
		for _, n := range b.Notes {
			if n.Lost == sheet.LostTable {
				add(n.Place.String(), "%s", n.Text)
			}
		}
		if date := b.Field("date"); date != "" && b.Day == "" {
			add(b.DayAt.String(), "the test's date %q was not read as a day, or reads two ways; YYYY-MM-DD does not", date)
		}
		if r := b.Room; r != nil {
			if p, _ := claims.PlausibleRange("room volume"); r.Volume < p.Low || r.Volume > p.High {
				add("", "the test room has %s m3 (%s), which hardly any room has: look at its sides and their units", about(r.Volume), r.Text)
			}
		}
		resultChecks(b.Measurements, add)
		settingChecks(e.Spec.Claims, b.Measurements, add)
	}
	return out
}

func claimChecks(cs []claims.Claim, add func(place, format string, args ...any)) {
	seen := map[string]string{}
	for _, c := range cs {
		at := c.Place.String()
		if c.Claimed != nil && c.Claimed.Unit != "" && !claims.Plausible(c.Attribute, c.Claimed.Low, c.Claimed.High) {
			add(at, "%s: %s", c.ID, implausible(c))
		}
		for _, why := range c.Seen.Held() {
			add(at, "%s: %s", c.ID, why)
		}
		if c.OtherModel != "" {
			add(at, "%s: the words or the source name another model, %q", c.ID, c.OtherModel)
		}
		if c.Claimed == nil {
			continue
		}
		key := fmt.Sprint(c.Attribute, setting.Key(c.Setting), c.Particle, c.Claimed.Low, c.Claimed.High, c.Bound, c.Basis.Text, claims.SourceKind(c.Source), c.Captured, measure.Fold(c.Wording))
		if first := seen[key]; first != "" {
			add(at, "%s: the same claim stands as %s", c.ID, first)
		} else {
			seen[key] = c.ID
		}
	}
}

// implausible says that a claim's number can hardly be meant.
func implausible(c claims.Claim) string {
	p, _ := claims.PlausibleRange(string(c.Attribute))
	return fmt.Sprintf("%s is hardly meant as a %s (%s to %s %s are usual at the outside): look at the number's point or comma, and at its unit", c.Claimed.Text, c.Attribute, about(p.Low), about(p.High), p.Unit)
}

func resultChecks(ms []measure.Measurement, add func(place, format string, args ...any)) {
	for i := range ms {
		m := &ms[i]
		p, ok := claims.PlausibleRange(m.Attribute)
		if !ok || !m.Finite() || m.Value >= p.Low && m.Value <= p.High {
			continue
		}
		place := ""
		if len(m.Runs) > 0 {
			place = m.Runs[0].Place
		}
		what := strings.TrimSpace(m.Attribute + " " + m.Setting)
		if m.Attribute == string(claims.DeliveryRate) && m.Value <= p.Low {
			add(place, "%s: %s %s measured: with the unit on, the particles fall no faster than without it; were the states on and off swapped?", what, m.Written().Value, m.Unit)
			continue
		}
		add(place, "%s: %s %s measured is hardly what a room air cleaner has: look at the unit of the readings, and at the room", what, m.Written().Value, m.Unit)
	}
}

// settingChecks names settings of claims that the lab book does not know, with the one that is spelt most like it.
func settingChecks(cs []claims.Claim, ms []measure.Measurement, add func(place, format string, args ...any)) {
	of := map[string]map[string]string{} // attribute, key, name
	for _, m := range ms {
		if of[m.Attribute] == nil {
			of[m.Attribute] = map[string]string{}
		}
		of[m.Attribute][setting.Key(m.Setting)] = m.Setting
	}
	for _, c := range cs {
		lab := of[string(restsOn(c.Attribute))]
		if setting.Asks(c.Setting) || len(lab) == 0 || c.Attribute == claims.StandbyPower || lab[setting.Key(c.Setting)] != "" {
			continue
		}
		var names []string
		for _, n := range lab {
			if n != "" {
				names = append(names, fmt.Sprintf("%q", n))
			}
		}
		if len(names) == 0 {
			continue
		}
		sort.Strings(names)
		add(c.Place.String(), "%s: the lab book knows no setting %q; it has %s", c.ID, c.Setting, strings.Join(names, ", "))
	}
}
