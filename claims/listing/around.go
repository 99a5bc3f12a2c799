package listing

import "strings"

var levelNext = lazily(`^[^\d;)]{0,40}\d+(?:[.,]\d+)?[ \x{00a0}]?dB(?: ?\(A\)|A\b)?`)

// levelBefore matches such a level by the words behind it.
var levelBefore = lazily(`(?i)\d+(?:[.,]\d+)?[ \x{00a0}]?dB(?: ?\(A\)|A\b)?,? (?:in the (?:empty |quiet )?room before|before (?:it|the unit|the cleaner) was|with (?:it|the unit|the cleaner) (?:switched )?off|in the empty room)`)

// background passes over the level of a room in which nothing runs.
func (a *asideFinder) background(lo int, text string, hits []hit) {
	for _, h := range hits {
		if h.row.Value == "background" {
			if m := levelNext().FindString(text[h.end:]); m != "" {
				a.add(ofRoom, lo+h.start, lo+h.end+len(m))
			}
		}
	}
	for _, m := range levelBefore().FindAllStringIndex(text, -1) {
		a.add(ofRoom, lo+m[0], lo+m[1])
	}
}

var saidBy = lazily(`(?i)^[-•* ]*(?:reviews?|reviewed|rated) by \pL+|^[-•* ]*(?:bewertung von|avis de|opinión de|recensione di) \pL+|\b(?:my|our|a|the) (?:neighbou?r|friend|sister|brother|mother|father|colleague)(?:'s|’s)\b|\bmein(?:e[mnr]?)? nachbar\w*|\bm(?:on|a) voisine?\b|\bmi vecin[oa]\b|\b(?:il mio|la mia) vicin[oa]\b|\b(?:customers?|buyers?|readers?|reviewers?|mrs?\.? \p{L}\.?|kundin|kunde|käufer|cliente?s?|clienta)\s+(?:wrote|writes|write|says|said|say|asks|asked|told us|schreibt|schrieb|fragt|écrit|demande|escribe|pregunta|dice|scrive|chiede)\b`)

// reported passes over what a sentence reports that somebody else said.
func (a *asideFinder) reported(lo int, text string) {
	if m := saidBy().FindStringIndex(text); m != nil {
		a.add(ofReview, lo+m[0], lo+len(text))
	}
}

var (
	anArea  = lazily(`\d[\d.,\x{00a0} ]*(?:m²|m2\b|sqm\b|sq\.? ?m\b|qm\b|sq\.? ?ft\b|ft²|square (?:feet|metres|meters)\b)`)
	offered = lazily(`(?i)\b(?:rooms?|up to|for|suits?|cleans?|covers? up|coverage|räume|zimmer|bis|für|pièces?|jusqu'à|pour|hasta|para|fino a|per)\b`)
)

// premises passes over the area of the seller's shop, of a buyer's own room, or of what a tin of paint covers.
func (a *asideFinder) premises(lo int, text string, hits []hit) {
	for _, h := range hits {
		if h.row.Value != "premises" || offered().MatchString(tail(text[:h.start], 24)) { // "for halls of 60 m²"
			continue
		}
		for _, m := range anArea().FindAllStringIndex(text, -1) {
			from, to := h.end, m[0]
			if m[1] <= h.start {
				from, to = m[1], h.start
			}
			if from <= to && to-from <= 40 && !strings.ContainsAny(text[from:to], ".;") && !offered().MatchString(text[from:to]) {
				a.add(ofPlace, lo+min(h.start, m[0]), lo+max(h.end, m[1]))
				break
			}
		}
	}
}

// ofStandard names a document whose withdrawal is no word on the unit: "EN 779 was withdrawn".
var ofStandard = lazily(`\b(?:EN|ISO|IEC|DIN|ANSI|AHAM|ASHRAE|GB/T|GB|JIS|JEM|UL|MERV)[ -]?[A-Z]{0,4}-?\d|(?i:\bstandards?\b|\bnorm)`)

// shortName matches what may stand between "also from" and its colon.
var shortName = lazily(`^(?: [^\s:.,;]+){0,4} ?:`)

// namesOffer reports whether what follows such words is the name of another offer: "Smaller: …", not "Smaller rooms: …".
func namesOffer(words, after string) bool {
	if !strings.Contains(words, " ") {
		return strings.HasPrefix(strings.TrimLeft(after, " \u00a0"), ":")
	}
	return shortName().MatchString(after)
}

// columnOf matches what stands behind a model's name at the head of a column, before the value.
var columnOf = lazily(`^(?: \([^()\n]{1,30}\))?: ?\S`)

// deniedPart matches a field that says that a part is not there: "UV-C lamp that kills viruses, B2 (this product): no".
var deniedPart = lazily(`(?i)^[^:\n]*(?:\blamp\b|\buv\b|\buv-c\b|ioni[sz]|plasma|photocatal|\bfragrance|\blampe\b|ionis|lámpara|lampada)[^:\n]*: ?(?:no|none|not fitted|not included|without|n/a|nein|keiner?|ohne|non|aucune?|sans|ningun[oa]|sin|nessun[oa]?|senza|✗|✘|×|—|–|-)\.?$`)
