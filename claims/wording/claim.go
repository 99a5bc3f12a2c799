package wording

import (
	"slices"
	"sync"
)

// claimRule is a row of claim_rules.csv: what a claim lacks when its number stands in the value column and not in its
// words.
type claimRule struct {
	rule, attribute, bound, unit string
	unless                       condition
}

var claimRules = sync.OnceValue(func() []claimRule {
	var out []claimRule
	for _, r := range table("claim_rules.csv", 6) {
		out = append(out, claimRule{rule: r[0], attribute: r[1], bound: r[3], unit: r[4], unless: fullRules().condition("claim_rules.csv", r[2])})
	}
	return out
})

// wholeClaim finds what is missing from a claim as a whole: its number is in the value column, and neither its words
// nor its other columns say what a test needs. The findings have no quote. What a finding in the words says already is
// not said again.
func (d *document) wholeClaim(found []Finding) []Finding {
	c := d.ctx
	if !c.Numeric || c.Attribute == "" {
		return nil
	}
	said := map[string]bool{}
	for _, f := range found {
		said[f.Rule] = true
		for _, id := range f.Also {
			said[id] = true
		}
	}
	var out []Finding
	add := func(id string) *Finding {
		if said[id] {
			return &Finding{}
		}
		said[id] = true
		out = append(out, RuleFinding(id, ""))
		return &out[len(out)-1]
	}
	for _, r := range claimRules() {
		if r.attribute != c.Attribute || r.bound != "" && r.bound != c.Bound || r.unit != "" && r.unit != c.Unit {
			continue
		}
		if len(r.unless) > 0 && holds(r.unless[0], d.all, d.all, d.all, c.Attribute) {
			continue
		}
		if r.rule == "PE-02" && said["PE-01"] {
			continue // the question about the size asks for the test as well
		}
		if r.rule == "PE-06" && said["R19"] || r.rule == "PE-01" && said["R14"] {
			continue
		}
		d.narrow(add(r.rule), d.all, d.all)
	}
	switch {
	case c.Attribute == "noise" && c.SoundPressure && c.Distance == 0 && !d.tables.has(d.all, "<length>"):
		add("NS-04")
	case c.Attribute == "filter efficiency" && c.Unit == "%":
		d.claimedPercentage(add)
	}
	return out
}

// claimedPercentage sets the percentage of the value column against the class in the words or the basis.
func (d *document) claimedPercentage(add func(string) *Finding) {
	c := d.ctx
	if d.tables.has(d.all, "<eff>") || c.Value <= 0 || c.Value >= 100 {
		return // the words state a percentage themselves
	}
	g := d.wide.lastClass.grade
	if g == nil || !slices.Contains([]string{"E", "H", "U"}, g.Group) {
		return
	}
	name := d.wide.lastClass.name
	switch {
	case c.Value < g.Integral && d.tables.has(d.all, "mpps"):
		add("R1").Why = name + " asks for " + percent(g.Integral) + " at the most penetrating size; " + percent(c.Value) + " is less."
	case c.Value < g.Integral && c.SizeUm > 0:
		f := add("R2")
		f.Why = name + " asks for " + percent(g.Integral) + " at every size; " + percent(c.Value) + " at " + show(c.SizeUm) + " µm is less."
		if c.Bound == "at least" {
			f.setClass("UNDERSTATED-FLOOR")
		}
	case c.Value < g.Integral:
		add("R3").Why = name + " asks for " + percent(g.Integral) + "; " + percent(c.Value) + " is less, and no particle size is given."
	case c.SizeUm >= 0.3:
		add("R4")
	}
}
