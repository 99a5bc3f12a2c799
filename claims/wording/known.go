package wording

import "strings"

// known is what the context says of the claims whose figures stand in text[start:end], as a mask to join to that of the
// passage: what all of them say. A question that another place of the text answers for these figures is so not asked.
func (d *document) known(start, end int) mask {
	if d.ctx.At == nil {
		return mask{}
	}
	var m mask
	for k, c := range d.ctx.At(start, end) {
		own := d.fromContext(&c)
		if k == 0 {
			m = own
			continue
		}
		for i := range m {
			m[i] &= own[i]
		}
	}
	return m
}

// knownOf is known for tokens [i, j) of a passage.
func (d *document) knownOf(p *passage, i, j int) mask {
	if d.ctx.At == nil {
		return mask{}
	}
	return d.known(p.quote(i, j))
}

// narrower is a row of asks.csv: the question that is left of a rule where the text answers a part of it.
type narrower struct {
	rule  string
	known condition
	ask   string
}

// narrow puts the question that is left in place of the rule's own: that of the first row whose condition holds.
func (d *document) narrow(f *Finding, given, all mask) {
	for _, n := range d.tables.asks[f.Rule] {
		whole := true
		for _, g := range n.known {
			whole = whole && holds(g, given, given, all, d.ctx.Attribute)
		}
		if whole {
			f.Ask = n.ask
			return
		}
	}
}

// readAsks reads asks.csv.
func (t *ruleTables) readAsks() {
	t.asks = map[string][]narrower{}
	for _, r := range table("asks.csv", 4) {
		if t.byID[r[0]] == nil {
			panic("asks.csv: unknown rule " + r[0])
		}
		t.asks[r[0]] = append(t.asks[r[0]], narrower{r[0], t.condition("asks.csv", r[1]), r[2]})
	}
}

// fromContext is the mask of what the context says beside the text.
func (d *document) fromContext(c *Context) mask {
	var m mask
	t := d.tables
	on := func(yes bool, names ...string) {
		for _, n := range names {
			if yes && t.sets[n] != nil && t.sets[n].bit > 0 {
				m.set(t.sets[n].bit - 1)
			}
		}
	}
	on(c.Setting != "", "setting")
	on(c.Particle != "", "particle", "particle_or_size")
	on(c.SizeUm > 0, "<size>")
	on(c.Standard != "", "standard")
	on(strings.ContainsAny(c.Standard, ":"), "edition")
	on(c.Distance > 0, "<length>")
	on(c.AirChanges > 0, "<ach>", "ach")
	on(c.HoursPerDay > 0, "<hpd>")
	on(c.Ceiling > 0, "ceiling", "<length>")
	on(c.Flow > 0, "<flow>")
	on(c.SoundPower || c.SoundPressure, "quantity")
	on(c.SoundPressure, "pressure")
	on(c.Capped, "capped")
	on(c.Attribute == "noise" && c.Numeric && c.High > c.Value, "<levels>")
	on(c.Attribute == "power" && c.Numeric && c.High > c.Value, "<powers>")
	on(c.Attribute == "standby power", "standby")
	return m
}

// ofBasis is the mask of the conditions that stand in words in the basis column.
func (d *document) ofBasis() mask {
	if d.ctx.BasisText == "" {
		return mask{}
	}
	text := d.text
	d.text = d.ctx.BasisText
	m := d.readPassage(span{lo: 0, hi: len(d.text)}).mask
	d.text, d.read = text, 0
	return m
}
