package wording

import "strings"

// passage is a span, folded and read: tokens, quantities, filter classes, and which sets of words it holds.
type passage struct {
	span
	folded
	index      int
	tokens     []token
	quantities []quantity
	codes      []code
	mask       mask
}

func (t *ruleTables) has(m mask, name string) bool { return m.has(t.sets[name].bit - 1) }

// readPassage folds and reads a span. The passage's buffers are reused; it is valid until the next call.
func (d *document) readPassage(s span) *passage {
	p := &d.passage
	d.read++
	p.span, p.index = s, d.read
	p.folded = d.folder.fold(d.text, s.lo, s.hi)
	p.tokens = tokenizeIn(p.folded.text, d.ctx.DecimalComma, p.tokens[:0])
	p.quantities = findQuantities(p.tokens, p.quantities[:0])
	p.codes = findCodes(p.tokens, p.codes[:0])
	p.mask = d.given
	t := d.tables
	for i := range p.tokens {
		t.inSets.candidates(p, i, func(k int) {
			if !p.mask.has(k) && t.setPatterns[k].match(p, i) > i {
				p.mask.set(k)
			}
		})
	}
	p.codes = p.realCodes(d)
	for i := range p.quantities {
		p.quantities[i].refine(p, d)
	}
	for i := range p.quantities {
		q := &p.quantities[i]
		q.notEff = q.kind == "pct" && !q.efficiency(p, d)
		if q.kind == "pct" && q.value < 100 && q.isShare(p, t) {
			p.markKind(t, "part")
		}
		p.markKind(t, q.kind)
		for _, k := range q.derived() {
			p.markKind(t, k)
		}
	}
	counts := map[string]int{}
	for _, q := range p.quantities {
		if q.kind == "level" || q.kind == "power" {
			counts[q.kind]++
			if counts[q.kind] > 1 || q.high > q.value {
				p.markKind(t, q.kind+"s")
			}
		}
	}
	for _, c := range p.codes {
		p.markKind(t, "class")
		if c.fine() {
			p.markKind(t, "fine")
		}
		if c.system == "ASHRAE 52.2" {
			p.markKind(t, "merv")
		}
	}
	return p
}

func (p *passage) markKind(t *ruleTables, kind string) {
	if s := t.sets["<"+kind+">"]; s != nil {
		p.mask.set(s.bit - 1)
	}
}

// refine drops readings that the words around a quantity rule out, and finds sizes written in a wrong unit.
func (q *quantity) refine(p *passage, d *document) {
	next := func(n int) string {
		if q.end+n < len(p.tokens) {
			return p.tokens[q.end+n].text
		}
		return ""
	}
	switch q.kind {
	case "area":
		if next(0) == "/" && next(1) == "g" || (next(0) == "per" || next(0) == "pro" || next(0) == "par") && strings.HasPrefix(next(1), "g") {
			q.kind = "sorbent"
		}
	case "length":
		particle := d.tables.has(p.mask, "particle_or_size") || p.highPercent() || d.tables.sets["size_attribute"].has(d.ctx.Attribute)
		switch {
		case q.unit == "mm" && q.value <= 2.5 && particle && next(0) != "long" && next(0) != "wide" && next(0) != "thick" && !d.tables.has(p.mask, "mesh"),
			q.unit == "m" && q.value <= 10 && particle && strings.HasPrefix(next(0), "partic"):
			q.kind, q.sizeError = "size", true
		}
	}
}

// highPercent tells whether the passage names a percentage such as filters are sold with.
func (p *passage) highPercent() bool {
	for _, q := range p.quantities {
		if q.kind == "pct" && q.value >= 85 && q.value < 100 {
			return true
		}
	}
	return false
}

// isShare tells whether a percentage is a share of what is in the air, and not a discount or the humidity.
func (q *quantity) isShare(p *passage, t *ruleTables) bool {
	if q.value <= 0 || q.value > 100 {
		return false
	}
	for _, c := range p.codes {
		if q.tok >= c.tok && q.tok < c.end {
			return false // the percentage of ISO ePM1 80 % belongs to the class
		}
	}
	for _, j := range []int{q.end, q.end + 1, q.tok - 1, q.tok - 2} {
		if j >= 0 && j < len(p.tokens) && t.sets["pct_other"].has(p.tokens[j].text) {
			return false
		}
	}
	return true
}

// efficiency tells whether a percentage is a share of particles that a filter or a cleaner takes out.
func (q *quantity) efficiency(p *passage, d *document) bool {
	t := d.tables
	if !q.isShare(p, t) {
		return false
	}
	if d.ctx.Attribute == "filter efficiency" || d.ctx.Attribute == "filter grade" {
		return true
	}
	return (t.has(p.mask, "filtering") || len(p.codes) > 0 || p.sized()) && !(t.has(p.mask, "kill") && !t.has(p.mask, "filter_word")) &&
		!(t.has(p.mask, "gas") && !t.has(p.mask, "particle_or_size"))
}

// sized tells whether the passage names a particle size.
func (p *passage) sized() bool {
	for _, q := range p.quantities {
		if q.kind == "size" {
			return true
		}
	}
	return false
}

// derived lists the further kinds that a quantity is of.
func (q *quantity) derived() []string {
	var out []string
	switch q.kind {
	case "pct":
		if !q.notEff && q.value < 100 {
			out = append(out, "eff")
		}
		if q.value == 100 {
			out = append(out, "all")
		}
	case "level":
		if !q.a {
			out = append(out, "db")
		}
		if q.value < 15 {
			out = append(out, "hush")
		}
	case "size":
		if q.sizeError {
			out = append(out, "badsize")
		} else if q.value < 0.1 {
			out = append(out, "small")
		}
	}
	return out
}

// kindAt returns the token after the quantity or class of a kind that begins at token i, or i where there is none.
func (p *passage) kindAt(kind string, i int) int {
	if i >= len(p.tokens) {
		return i
	}
	t := &p.tokens[i]
	if t.c > 0 {
		c := &p.codes[t.c-1]
		if kind == "class" || kind == "fine" && c.fine() || kind == "merv" && c.system == "ASHRAE 52.2" {
			return c.end
		}
	}
	if t.kind != numberToken {
		return i
	}
	if kind == "n" {
		return i + 1
	}
	if t.q > 0 {
		q := &p.quantities[t.q-1]
		if q.kind == kind {
			return q.end
		}
		switch kind {
		case "eff", "all", "db", "hush", "small", "badsize":
			for _, k := range q.derived() {
				if k == kind {
					return q.end
				}
			}
		}
	}
	return i
}

// after returns the token after token i; a quantity counts as one.
func (p *passage) after(i int) int {
	if q := p.tokens[i].q; q > 0 {
		return p.quantities[q-1].end
	}
	return i + 1
}

// quote returns the place in the original text of tokens [i, j).
func (p *passage) quote(i, j int) (start, end int) {
	lo, hi := p.tokens[i].lo, p.tokens[j-1].hi
	return p.lo + int(p.from[lo]), p.lo + int(p.to[hi-1])
}

// realCodes keeps the classes where a filter is meant, by the guards against model numbers, keys, fuels and the like.
func (p *passage) realCodes(d *document) []code {
	t := d.tables
	kept := p.codes[:0]
	for _, c := range p.codes {
		p.tokens[c.tok].c = 0
		if !p.filterMeant(c, d) || p.inModelNumber(c) {
			continue
		}
		if p.negated(t, c.tok) || p.ofOthers(t, c.tok, c.end) {
			continue
		}
		kept = append(kept, c)
		p.tokens[c.tok].c = len(kept)
	}
	return kept
}

func (p *passage) filterMeant(c code, d *document) bool {
	t := d.tables
	for j := max(0, c.tok-2); j < min(len(p.tokens), c.end+2); j++ {
		if t.sets["not_a_filter"].has(p.tokens[j].text) {
			return false
		}
	}
	if c.system == respiratorSystem && t.has(p.mask, "mask") {
		return false
	}
	if d.ctx.Attribute == "filter grade" || d.ctx.Attribute == "filter efficiency" || c.end-c.tok == len(p.tokens) {
		return true
	}
	reach := 6
	if c.system == "EN 779" {
		reach = 3
	}
	if c.anchor && c.system != respiratorSystem {
		return true
	}
	for _, q := range p.quantities {
		if c.system == "EN 1822" && (q.kind == "size" || q.kind == "pct" && q.value >= 85) {
			return true
		}
	}
	for j := max(0, c.tok-reach); j < min(len(p.tokens), c.end+reach); j++ {
		if j >= c.tok && j < c.end {
			continue
		}
		for _, alt := range t.sets["filter_word"].alts {
			if matchAlt(p.tokens, alt, j) >= 0 {
				return true
			}
		}
	}
	return false
}

// inModelNumber tells whether the code hangs by a hyphen on letters or digits that are no grade word: "AC-H13-2".
func (p *passage) inModelNumber(c code) bool {
	words := rules().sets["grade_word"]
	if c.tok > 0 && p.tokens[c.tok].hyphen && !words.has(p.tokens[c.tok-1].text) && p.tokens[c.tok-1].kind != markToken {
		return true
	}
	if c.end < len(p.tokens) && p.tokens[c.end].hyphen {
		n := p.tokens[c.end]
		return n.kind == numberToken && n.q == 0 || n.kind == wordToken && len(n.text) <= 2
	}
	return false
}
