package wording

// Words that are told of and not said: those of another seller or device ("a shop says its cleaner kills all germs"), and
// those that the text takes back ("we have dropped the word “whisper-quiet”").

const (
	tellReach  = 8  // words before a match in which "says" counts
	partyReach = 12 // words before "says" in which the speaker counts
	nameReach  = 4  // words before a match in which "the word" counts
)

// reported tells whether the match at token i is what somebody else says of a thing that is not on offer.
func (p *passage) reported(t *ruleTables, i int) bool {
	if !t.has(p.mask, "tells") || !t.has(p.mask, "rival") && !t.has(p.mask, "neighbour") {
		return false
	}
	theirs := false
	for j := i - 1; j > 0 && j >= i-tellReach; j-- {
		x := &p.tokens[j]
		switch {
		case x.text == "," && t.sets["tells"].has(p.tokens[j-1].text): // "er behauptet, sein Gerät …"
		case x.kind == markToken && x.text != ":" && x.text != "%" || t.sets["ours"].has(x.text) || t.sets["turn"].has(x.text):
			return false
		case t.sets["theirs"].has(x.text):
			theirs = true
		case t.sets["tells"].has(x.text):
			return p.spokenBy(t, "rival", j) || theirs && p.spokenBy(t, "neighbour", j)
		}
	}
	return false
}

// spokenBy tells whether somebody of the set stands before token j.
func (p *passage) spokenBy(t *ruleTables, name string, j int) bool {
	for k := j - 1; k >= 0 && k >= j-partyReach; k-- {
		for _, alt := range t.sets[name].alts {
			if end := matchAlt(p.tokens, alt, k); end >= 0 && end <= j {
				return true
			}
		}
	}
	return false
}

// withdrawn tells whether the match [i, end) is named as words, in quotation marks or as "the word …", and the passage
// takes them back.
func (p *passage) withdrawn(t *ruleTables, i, end int) bool {
	if !t.has(p.mask, "withdrawal") {
		return false
	}
	lo, hi := p.tokens[i].lo, p.tokens[end-1].hi
	if lo > 0 && p.folded.text[lo-1] == '"' || hi < len(p.folded.text) && p.folded.text[hi] == '"' {
		return t.has(p.mask, "mention") || t.has(p.mask, "speech") || t.has(p.mask, "tells")
	}
	for j := i - 1; j >= 0 && j >= i-nameReach && p.tokens[j].kind != markToken; j-- {
		if t.sets["mention"].has(p.tokens[j].text) {
			return true
		}
	}
	return false
}
