package wording

// The guards keep findings away from words that assert nothing of the product: negations ("not HEPA-type"), wording of
// others that a seller sets itself against ("unlike HEPA-type filters"), and remarks on a term ("HEPA-type is not a
// standard"). Questions are left out before, in document.read.

const (
	negationReach = 5 // words before a match in which a negation counts
	othersReach   = 8 // words before a match in which "unlike other brands" counts
)

// negated tells whether a negation stands before token i in the same clause: "not", "kein", "sans" … but not "not only".
func (p *passage) negated(t *ruleTables, i int) bool {
	if !t.has(p.mask, "negator") {
		return false
	}
	words, only, turn := t.sets["negator"], t.sets["only"], t.sets["turn"]
	if p.listed(t, i) {
		return true
	}
	for j := i - 1; j >= 0 && j >= i-negationReach; j-- {
		x := &p.tokens[j]
		if x.kind == markToken || turn.has(x.text) {
			return false
		}
		if words.has(x.text) && !p.numbers(j) {
			if contracted[x.text] && (j+1 >= len(p.tokens) || p.tokens[j+1].text != "t") {
				continue // "I can tell you", "it won"
			}
			return j+1 >= len(p.tokens) || !only.has(p.tokens[j+1].text)
		}
	}
	return p.disowned(t, i)
}

// numbers tells whether token j is the "no" of "report no 12".
func (p *passage) numbers(j int) bool {
	return p.tokens[j].text == "no" && j > 0 && j+1 < len(p.tokens) && p.tokens[j+1].kind == numberToken && p.tokens[j+1].q == 0
}

// listReach is how many words behind the negation at the head of a list its items may stand.
const listReach = 14

// listed tells whether token i is an item of a list that a negation heads: "No ioniser, plasma device or lamp is fitted",
// "is not meant to prevent, treat or cure any illness".
func (p *passage) listed(t *ruleTables, i int) bool {
	or, list := i > 0 && t.sets["or"].has(p.tokens[i-1].text), false
	for k := i; k < len(p.tokens) && k < i+listReach/2 && p.tokens[k].kind != markToken; k++ {
		list = list || t.sets["or"].has(p.tokens[k].text)
	}
	for j := i - 1; j >= 0 && j >= i-listReach; j-- {
		x := &p.tokens[j]
		if x.kind == markToken && x.text != "," || t.sets["turn"].has(x.text) {
			return false
		}
		if t.sets["negator"].has(x.text) && !p.numbers(j) && (!contracted[x.text] || p.tokens[j+1].text == "t") {
			only := t.sets["only"].has(p.tokens[j+1].text)
			return !only && (or || list && j == 0)
		}
	}
	return false
}

// contracted are negations only before "t": "can't" and "won't" are two tokens.
var contracted = map[string]bool{"can": true, "won": true}

// disowned tells whether the clause says before token i that something is not said: "we do not claim that it kills germs
// or eases asthma".
func (p *passage) disowned(t *ruleTables, i int) bool {
	for j := i - 1; j > 0; j-- {
		x := &p.tokens[j]
		if x.kind == markToken || t.sets["turn"].has(x.text) {
			return false
		}
		if !t.sets["speech"].has(x.text) {
			continue
		}
		for k := j - 1; k >= 0 && k >= j-2; k-- {
			if n := p.tokens[k].text; t.sets["negator"].has(n) && (!contracted[n] || p.tokens[k+1].text == "t") {
				return true
			}
		}
	}
	return false
}

// refused tells whether a negation stands within the match [i, end): "tötet keine Keime".
func (p *passage) refused(t *ruleTables, i, end int) bool {
	for j := i + 1; j < end; j++ {
		if t.sets["negator"].has(p.tokens[j].text) && !p.numbers(j) && !(j+1 < end && t.sets["only"].has(p.tokens[j+1].text)) {
			return true
		}
	}
	return false
}

// denied tells whether a negation or a remark on the term follows a match that ends before token end: "entfernt nicht",
// "ではありません", "HEPA-type filters are not …".
func (p *passage) denied(t *ruleTables, end int) bool {
	if end+1 < len(p.tokens) && p.tokens[end].text == ":" && t.sets["denied_value"].has(p.tokens[end+1].text) {
		return true // "Ioniser: none"
	}
	if !t.has(p.mask, "denial_after") {
		return false
	}
	reach := end + 2
	if r := []rune(p.tokens[end-1].text); len(r) == 1 && isCJK(r[0]) || end < len(p.tokens) && p.tokens[end].text >= "\u3040" {
		reach = end + 8 // a token is one character there
	}
	for j := end; j < len(p.tokens) && j <= reach; j++ {
		for _, alt := range t.sets["denial_after"].alts {
			if matchAlt(p.tokens, alt, j) >= 0 {
				return true
			}
		}
		if p.tokens[j].kind == markToken {
			return false
		}
	}
	return false
}

// ofOthers tells whether the match [i, end) is somebody else's wording.
func (p *passage) ofOthers(t *ruleTables, i, end int) bool {
	if p.reported(t, i) || p.withdrawn(t, i, end) {
		return true
	}
	before, after := t.has(p.mask, "others"), t.has(p.mask, "of_others")
	for j := i - 1; before && j >= 0 && j >= i-othersReach; j-- {
		x := &p.tokens[j]
		if x.kind == markToken && t.sets["relative"].has(p.tokens[j+1].text) {
			continue // "unlike other brands, which promise …"
		}
		if x.kind == markToken || t.sets["ours"].has(x.text) {
			break
		}
		for _, alt := range t.sets["others"].alts {
			if k := matchAlt(p.tokens, alt, j); k >= 0 && k <= i {
				return true
			}
		}
	}
	for j := end; after && j < len(p.tokens) && j <= end+5; j++ {
		if p.tokens[j].kind == markToken {
			return false
		}
		for _, alt := range t.sets["of_others"].alts {
			if matchAlt(p.tokens, alt, j) >= 0 {
				return true
			}
		}
	}
	return false
}

// guarded tells whether a term's match asserts nothing. A match that begins with a quantity is not negated by the word
// before it: "no more than 30 dB" is a claim.
func (p *passage) guarded(t *ruleTables, term *Term, i, end int) bool {
	if kind := term.body.first[0].kind; kind == "" || kind == "class" || kind == "all" {
		if p.negated(t, i) || p.denied(t, end) || len(term.body.whole) > 1 && p.refused(t, i, end) {
			return true
		}
	}
	if term.Rule == "FG-04" && p.classFollows(t, i, end) {
		return true
	}
	if (term.Class == "ABSOLUTE" || term.Class == "" && t.byID[term.Rule].Class == "ABSOLUTE") && p.partly(i, end) {
		return true
	}
	return p.ofOthers(t, i, end)
}

// classReach is how many marks and characters may stand between "HEPA class" and the class.
const classReach = 3

// classFollows tells whether the match [i, end) only announces the filter class that follows it: "HEPA class H13".
func (p *passage) classFollows(t *ruleTables, i, end int) bool {
	announced := false
	for j := i; j < end && !announced; j++ {
		for _, alt := range t.sets["classed_by"].alts {
			announced = announced || matchAlt(p.tokens, alt, j) >= 0
		}
	}
	for j := end; announced && j < len(p.tokens) && j <= end+classReach; j++ {
		if p.tokens[j].c > 0 {
			return true
		}
	}
	return false
}

// partly tells whether a percentage below 100 stands within the match [i, end): "eliminates 99.9 % of germs" leaves a part.
func (p *passage) partly(i, end int) bool {
	for k := range p.quantities {
		if q := &p.quantities[k]; q.kind == "pct" && q.value < 100 && q.tok > i && q.tok < end {
			return true
		}
	}
	return false
}
