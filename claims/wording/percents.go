package wording

import (
	"fmt"
	"math"
	"strings"
)

// noneLeft is the upper 97.5 % limit of a Poisson mean when nothing was counted (Garwood; the N = 0 row of the table of
// two-sided 95 % limits): a penetration can be shown only to be below noneLeft / (particles counted in front).
const noneLeft = 3.6889

// percentages applies the rules on efficiencies: R1–R5, R13–R18, FG-06 and the wording twins of R14, R16, R17 and R18.
func (d *document) percentages(p *passage) {
	t := d.tables
	size, sized := d.sizeOf(p)
	mpps := t.has(p.mask, "mpps")
	first := true
	for i := range p.quantities {
		q := &p.quantities[i]
		if q.kind != "pct" || q.notEff || q.value >= 100 || p.ofOthers(t, q.tok, q.end) {
			continue
		}
		known := d.knownOf(p, q.tok, q.end)
		sized, mpps := sized || t.has(known, "<size>"), mpps || t.has(known, "mpps")
		c, classed := d.classFor(p, q)
		switch {
		case classed && d.equation(p, q, c):
		case classed:
			d.against(p, q, c, size, sized, mpps)
		default:
			d.beside(p, q)
		}
		if !first {
			continue
		}
		first = false
		hepa := t.has(p.mask, "hepa")
		if !sized && !mpps && !d.clearing(p) {
			d.note(p, "PE-01", q.tok, q.end)
			if classed || hepa || len(p.codes) > 0 {
				d.note(p, "R14", q.tok, q.end)
			}
		} else if !d.clearing(p) && !t.has(p.mask, "standard") && !t.has(p.mask, "method") && !t.has(known, "standard") {
			d.note(p, "PE-02", q.tok, q.end)
		}
		if !classed && len(p.codes) == 0 && q.value >= 85 && (sized || hepa) && !mpps && !t.has(p.mask, "hepa_definition") {
			f := d.note(p, "R5", q.tok, q.end)
			f.Why = couldBe(q.value)
		}
	}
	for i := range p.quantities {
		q := &p.quantities[i]
		if q.kind != "size" || !t.has(p.mask, "filtering") && !t.has(p.mask, "<eff>") && d.ctx.Attribute == "" {
			continue
		}
		withPct := t.has(p.mask, "<eff>")
		switch {
		case q.sizeError:
			if withPct || len(p.codes) > 0 {
				d.note(p, "R17", q.tok, q.end)
			}
			d.note(p, "PE-11", q.tok, q.end)
		case q.value < 0.1:
			if withPct {
				d.note(p, "R16", q.tok, q.end)
			}
			d.note(p, "PE-05", q.tok, q.end)
		}
	}
}

// clearing tells whether the percentages of a passage are what is left of a room's particles after a time, which is no
// efficiency of a filter and needs no size of its own: "removes 90 % of smoke from a 40 m³ room in 25 minutes".
func (d *document) clearing(p *passage) bool {
	time, room := false, false
	for i := range p.quantities {
		switch p.quantities[i].kind {
		case "minutes", "hours":
			time = true
		case "volume", "area":
			room = true
		}
	}
	return d.ctx.Attribute == "clean time" || time && room
}

// couldBe names the class that a percentage would reach if it had been found at the most penetrating size.
func couldBe(e float64) string {
	best := ""
	for _, g := range gradeTable() {
		if g.System == "EN 1822" && e >= g.Integral {
			best = g.Class
		}
	}
	return fmt.Sprintf("The percentage alone gives no class. If it had been found at the most penetrating size, %s would fit %s; at any other size the class may be lower.", percent(e), best)
}

// sizeOf is the particle size of the passage in µm, or of the claim.
func (d *document) sizeOf(p *passage) (float64, bool) {
	for _, q := range p.quantities {
		if q.kind == "size" {
			return q.value, true
		}
	}
	return d.ctx.SizeUm, d.ctx.SizeUm > 0
}

// classFor is the filter class nearest to a percentage, in the passage or the only one of the passage before.
func (d *document) classFor(p *passage, q *quantity) (code, bool) {
	best, found := code{}, false
	for _, c := range p.codes {
		if c.fine() && c.grade != nil && (!found || distance(c, q) < distance(best, q)) {
			best, found = c, true
		}
	}
	if !found && len(p.codes) == 0 && d.wide.lastClass.grade != nil && d.wide.lastClassAt == p.index-1 {
		return d.wide.lastClass, true
	}
	return best, found
}

func distance(c code, q *quantity) int {
	if c.tok > q.tok {
		return c.tok - q.end
	}
	return q.tok - c.end
}

// against sets a percentage against the class beside it. T is the class's overall efficiency; it is the lowest over all
// sizes, so every size must reach it.
func (d *document) against(p *passage, q *quantity, c code, size float64, sized, mpps bool) {
	T := c.grade.Integral
	switch {
	case q.value < T && d.tables.has(p.mask, "room_result"):
		// a share removed from a room in some minutes is no filter efficiency; PE-04 and PE-09 speak of it
	case q.value < T && mpps:
		f := d.note(p, "R1", q.tok, q.end)
		f.Why = fmt.Sprintf("%s asks for %s at the most penetrating size; %s is less.", c.name, percent(T), percent(q.value))
		d.unsure(f, p, q, c)
	case q.value < T && sized:
		f := d.note(p, "R2", q.tok, q.end)
		f.Why = fmt.Sprintf("%s asks for %s at the most penetrating size, and so at every size; %s at %s µm is less.", c.name, percent(T), percent(q.value), show(size))
		d.unsure(f, p, q, c)
		if d.floor(p, q) {
			f.setClass("UNDERSTATED-FLOOR")
			f.Why = fmt.Sprintf("%s asks for %s at every size; at least %s promises less than the class does.", c.name, percent(T), percent(q.value))
		}
	case q.value < T:
		f := d.note(p, "R3", q.tok, q.end)
		f.Why = fmt.Sprintf("%s asks for %s; %s is less, and no particle size is given.", c.name, percent(T), percent(q.value))
	case sized && !mpps && size >= 0.3:
		f := d.note(p, "R4", q.tok, q.end)
		f.Why = fmt.Sprintf("%s at %s µm does not prove %s: the class is found at the most penetrating size, which is smaller.", percent(q.value), show(size), c.name)
	}
	if (100-q.value)*10 < (100-T)*(1-1e-9) {
		d.nines(p, q, "R18")
	} else if 100-q.value < 0.001*(1-1e-9) && c.grade.Group != "U" {
		d.nines(p, q, "R18")
	}
}

// nines reports a percentage finer than counting resolves, with the number of particles that it would need.
func (d *document) nines(p *passage, q *quantity, id string) {
	n := noneLeft / ((100 - q.value) / 100)
	f := d.note(p, id, q.tok, q.end)
	f.Why = fmt.Sprintf("To show %s with no particle found behind the filter, about %s particles must be counted in front of it.", percent(q.value), millions(n))
}

func millions(n float64) string {
	if n < 1e6 {
		return fmt.Sprintf("%.0f thousand", math.Ceil(n/1e3))
	}
	return fmt.Sprintf("%.1f million", math.Ceil(n/1e5)/10)
}

// floor tells whether the percentage is written as a floor: "≥ 99 %", "over 99 %".
func (d *document) floor(p *passage, q *quantity) bool {
	for j := max(0, q.tok-3); j < q.tok; j++ {
		for _, alt := range d.tables.sets["floor"].alts {
			if k := matchAlt(p.tokens, alt, j); k >= 0 && k <= q.tok {
				return true
			}
		}
	}
	return q.end < len(p.tokens) && p.tokens[q.end].text == "+"
}

// equation finds "H13 = 99.97 %", where the class is said to mean a percentage that it does not mean (R13).
func (d *document) equation(p *passage, q *quantity, c code) bool {
	lo, hi := c.end, q.tok
	if c.tok > q.tok {
		lo, hi = q.end, c.tok
	}
	if hi-lo > 4 || lo > hi || len(p.codes) == 0 || q.value == c.grade.Integral {
		return false
	}
	for j := lo; j < hi; j++ {
		for _, alt := range d.tables.sets["equals"].alts {
			if k := matchAlt(p.tokens, alt, j); k >= 0 && k <= hi {
				f := d.note(p, "R13", min(c.tok, q.tok), max(c.end, q.end))
				f.setClass("CONTRADICTION-LIKELY") // a filter of the class may well reach it
				f.Why = fmt.Sprintf("%s means %s at the most penetrating size, not %s.", c.name, percent(c.grade.Integral), percent(q.value))
				return true
			}
		}
	}
	return false
}

// beside checks a percentage that has no class: below HEPA beside the word HEPA (FG-06), or finer than can be counted (PE-12).
func (d *document) beside(p *passage, q *quantity) {
	if 100-q.value < 0.001*(1+1e-9) {
		d.nines(p, q, "PE-12")
		if d.tables.has(p.mask, "hepa") {
			d.nines(p, q, "R18")
		}
	}
	least := d.leastHEPA(p)
	if q.value >= least || len(p.codes) > 0 || d.tables.has(p.mask, "room_result") || d.tables.has(p.mask, "gas") {
		return
	}
	if j := d.near(p, "hepa", q.tok, q.end, 8); j >= 0 && !d.suffixed(p, j) {
		f := d.note(p, "FG-06", min(j, q.tok), max(j+1, q.end))
		f.Why = fmt.Sprintf("The lowest definition of HEPA that we hold here asks for %s; %s is less.", percent(least), percent(q.value))
		if gap := max(q.tok-j-1, j-q.end); gap <= 1 && q.value < 99.9 && !d.tables.has(p.mask, "particle_or_size") {
			f.setClass("CONTRADICTION") // "HEPA 99 %": the two are said of one another
		}
	}
}

// leastHEPA is the lowest efficiency that a definition of HEPA in the table of grades asks for; where the passage names the
// Chinese standard of filters, that of its class A too.
func (d *document) leastHEPA(p *passage) float64 {
	chinese := false
	for i := range p.tokens {
		chinese = chinese || p.tokens[i].text == "13554" || p.tokens[i].text == "钠"
	}
	least := 100.0
	for _, g := range gradeTable() {
		if g.Integral > 0 && (g.Group == "H" || g.Group == "HEPA") && (chinese || !strings.HasPrefix(g.Class, "GB")) {
			least = min(least, g.Integral)
		}
	}
	return least
}

// apartFrom tells whether a percentage and a class stand so far apart, or in different passages, that they may be of
// different filters.
func (p *passage) apartFrom(q *quantity, c code) bool {
	for k := range p.codes {
		if p.codes[k].tok == c.tok && p.codes[k].name == c.name {
			lo, hi := min(q.end, c.end), max(q.tok, c.tok)
			for j := lo; j < hi; j++ {
				if t := p.tokens[j].text; t == ";" || t == "." {
					return true
				}
			}
			return hi-lo > sameFilter
		}
	}
	return true
}

// unsure takes a contradiction back to a likely one where the two may be of different filters.
func (d *document) unsure(f *Finding, p *passage, q *quantity, c code) {
	if p.apartFrom(q, c) || len(p.codes) > 1 {
		f.setClass("CONTRADICTION-LIKELY")
	}
}

// sameFilter is how many words may stand between a class and a percentage that are certainly of one filter.
const sameFilter = 10
