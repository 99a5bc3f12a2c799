package wording

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// show prints a number with the digits that it has.
func show(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// percent prints a percentage that was computed, without the noise of binary fractions.
func percent(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e9)/1e9, 'f', -1, 64) + " %"
}

// classCodes applies the rules on filter classes as such: R6–R13, R22, R25 and their wording twins.
func (d *document) classCodes(p *passage) {
	for _, c := range p.codes {
		switch {
		case c.old:
			if !d.tables.has(p.mask, "crosswalk") {
				f := d.note(p, "R8", c.tok, c.end)
				f.Why = fmt.Sprintf("%s is a name from before 2009; the class is called %s today, which stands below HEPA.", c.name, c.grade.Class)
				d.note(p, "FG-10", c.tok, c.end)
			}
		case c.system == respiratorSystem:
			d.note(p, "R25", c.tok, c.end)
			d.note(p, "FG-17", c.tok, c.end)
			continue
		case c.grade == nil:
			f := d.note(p, "R7", c.tok, c.end)
			if c.system == "ASHRAE 52.2" {
				f.Why = c.name + " is no value of ANSI/ASHRAE 52.2, whose scale ends at 16."
				d.note(p, "FG-14", c.tok, c.end)
			} else {
				f.Why = c.name + " stands in no filter standard that we hold; it may be a slip of the pen."
				if c.system == "ISO 29463" {
					f.Why = c.name + " is no class of ISO 29463-1:2017; it may be a slip of the pen, or a class of a newer edition that we do not hold."
				}
				d.note(p, "FG-20", c.tok, c.end)
			}
		case c.system == "EN 779":
			d.note(p, "R9", c.tok, c.end)
			d.note(p, "FG-16", c.tok, c.end)
		case c.system == "ISO 16890":
			d.epm(p, c)
		case c.system == "ASHRAE 52.2":
			d.note(p, "FG-13", c.tok, c.end)
		}
		if c.fine() && c.grade != nil && !c.old {
			d.standardOf(p, c)
		}
		d.groupWord(p, c)
	}
	d.twoClasses(p)
}

// epm checks an ISO 16890 rating: out of scope for portable cleaners; a declared value is a multiple of 5 from 50 to 95,
// or "> 95 %".
func (d *document) epm(p *passage, c code) {
	f := d.note(p, "R10", c.tok, c.end)
	bad := ""
	switch {
	case c.pct == 0:
	case c.pct > 95 && !strings.HasPrefix(c.pctText, ">"):
		bad = "above 95 % it is written as > 95 %"
	case c.pct < 50:
		bad = "an ePM group needs at least 50 %"
	case math.Mod(c.pct, 5) != 0:
		bad = "declared values are rounded down to a multiple of 5 %"
	}
	if bad != "" {
		f.Why += fmt.Sprintf(" The figure %s %% is also not one that the standard can give: %s.", show(c.pct), bad)
	}
	d.note(p, "FG-15", c.tok, c.end)
}

// standardOf tells a class that comes with standard and edition from a bare code.
func (d *document) standardOf(p *passage, c code) {
	t := d.tables
	if !t.has(p.mask, "standard") {
		d.note(p, "R22", c.tok, c.end)
		d.note(p, "FG-02", c.tok, c.end)
		return
	}
	if !d.editionIn(p) {
		f := d.note(p, "R22", c.tok, c.end)
		f.Why = "The standard is named without its edition, and limits and methods differ between editions; the air flow of the test belongs to it too."
		d.note(p, "FG-02", c.tok, c.end)
		return
	}
	if t.has(p.mask, "<flow>") && t.has(p.mask, "element_id") {
		return // nothing is left to ask
	}
	d.note(p, "FG-01", c.tok, c.end)
}

// editionIn tells whether a year stands behind a standard's number, in the passage or in the basis of the claim.
func (d *document) editionIn(p *passage) bool {
	if d.tables.has(d.given, "edition") {
		return true
	}
	for i := range p.tokens {
		for _, alt := range d.tables.sets["standard"].alts {
			j := matchAlt(p.tokens, alt, i)
			if j >= 0 && yearWithin(p.tokens, j, 5) {
				return true
			}
		}
	}
	return false
}

func yearWithin(ts []token, i, n int) bool {
	for j := i; j < len(ts) && j < i+n; j++ {
		if ts[j].kind == numberToken && len(ts[j].text) == 4 && ts[j].value >= 1980 && ts[j].value <= 2100 {
			return true
		}
	}
	return false
}

// near finds a token of a set within n tokens of the code, which no negation takes back; -1 for none.
func (d *document) near(p *passage, name string, lo, hi, n int) int {
	s := d.tables.sets[name]
	for j := max(0, lo-n); j < min(len(p.tokens), hi+n); j++ {
		if j >= lo && j < hi {
			continue
		}
		for _, alt := range s.alts {
			if k := matchAlt(p.tokens, alt, j); k >= 0 && (k <= lo || j >= hi) && !p.negated(d.tables, j) && !p.ofOthers(d.tables, j, k) {
				return j
			}
		}
	}
	return -1
}

// groupWord checks HEPA, EPA and ULPA beside a class of another group (R6, FG-11), and MERV beside HEPA (R11, FG-14).
func (d *document) groupWord(p *passage, c code) {
	if c.grade == nil || c.old || d.tables.has(p.mask, "prefilter") || d.tables.has(p.mask, "choice") {
		return
	}
	report := func(j int, ids ...string) {
		for _, id := range ids {
			if f := d.note(p, id, min(j, c.tok), max(j+1, c.end)); max(c.tok-j-1, j-c.end) > 1 {
				f.setClass("CONTRADICTION-LIKELY") // with words between them the two may be of different filters
			}
		}
	}
	switch {
	case c.fine() && c.grade.Group == "E":
		if j := d.near(p, "hepa", c.tok, c.end, 4); j >= 0 && !d.suffixed(p, j) {
			report(j, "R6", "FG-11")
		}
	case c.fine() && c.grade.Group == "H":
		if j := d.near(p, "ulpa", c.tok, c.end, 4); j >= 0 {
			report(j, "R6")
		} else if j := d.near(p, "epa_filter", c.tok, c.end, 3); j >= 0 {
			report(j, "R6")
		}
	case c.system == "ASHRAE 52.2":
		if j := d.near(p, "hepa", c.tok, c.end, 6); j >= 0 && !d.compared(p, c, j) && !d.suffixed(p, j) {
			report(j, "R11", "FG-14")
		}
	}
}

// suffixed tells whether the HEPA word at token j carries a suffix or a prefix (HEPA-type, quasi-HEPA), which FG-04 reports.
func (d *document) suffixed(p *passage, j int) bool {
	if j+1 < len(p.tokens) && d.tables.sets["suffix"].has(p.tokens[j+1].text) {
		return true
	}
	return j > 0 && d.tables.sets["quasi"].has(p.tokens[j-1].text)
}

func (d *document) compared(p *passage, c code, j int) bool {
	for i := min(j, c.tok); i < max(j, c.end); i++ {
		if d.tables.sets["better"].has(p.tokens[i].text) {
			return true
		}
	}
	return false
}

// twoClasses finds two different classes for one filter (R12, FG-23) and wrong equations of two scales (R13).
func (d *document) twoClasses(p *passage) {
	if d.tables.has(p.mask, "choice") || d.tables.has(p.mask, "prefilter") {
		return
	}
	for k := 1; k < len(p.codes); k++ {
		a, b := p.codes[k-1], p.codes[k]
		if !a.fine() || !b.fine() || a.grade == nil || b.grade == nil || a.grade.Integral == b.grade.Integral {
			continue
		}
		if a.system != b.system {
			f := d.note(p, "R13", a.tok, b.end)
			f.Why = fmt.Sprintf("%s asks for %s and %s for %s; the two are not equal.", a.name, percent(a.grade.Integral), b.name, percent(b.grade.Integral))
			continue
		}
		f := d.note(p, "R12", a.tok, b.end)
		f.Why = fmt.Sprintf("One filter has one class; %s and %s are given.", a.name, b.name)
		d.note(p, "FG-23", a.tok, b.end)
	}
}
