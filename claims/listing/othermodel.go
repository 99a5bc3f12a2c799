package listing

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// back is where the words of a sentence come back to the offer after from; its end where they do not.
func (a *asideFinder) back(text string, from int, hits []hit) int {
	end := len(text)
	for _, h := range hits {
		if h.row.Value == "offer" && h.start > from+len(", ") {
			end = min(end, h.start)
		}
	}
	for _, m := range a.family.mentions(text) {
		if m.own && m.start >= from {
			end = min(end, m.start)
		}
	}
	return end
}

// former passes over what a sentence says of a model that came before.
func (a *asideFinder) former(lo int, text string, hits []hit) {
	if m := namedFormer().FindStringIndex(text); m != nil && !a.ownAt(text, m[0]) {
		a.other = true
		a.add(ofModel, lo+m[0], lo+a.back(text, m[1], hits))
		return
	}
	for _, h := range hits {
		if h.row.Value == "former model" && !a.ownAt(text, h.end) {
			a.other = true
			start := h.start
			for _, x := range hits {
				if x.row.Value == "than" && x.end <= h.start && h.start-x.end <= 40 {
					start = x.start // "against 150 grams in the former model"
				}
			}
			a.add(ofModel, lo+start, lo+a.back(text, h.end, hits))
			return
		}
	}
}

// namedFormer names a model that came before: "the old Gale of 2020", "replaces the U12".
var namedFormer = lazily(`(?i:\b(?:the|our) old(?:er)?) \p{Lu}\p{L}+|(?i:\breplaces the) \p{Lu}[\p{L}-]*\d`)

// ownAt reports whether the model on offer is named directly behind at: "the previous owner of this Gale 30".
func (a *asideFinder) ownAt(text string, at int) bool {
	return slices.ContainsFunc(a.family.mentions(text), func(m mention) bool { return m.own && m.start >= at && m.start-at < 12 })
}

// model passes over what a sentence says of another model of the family.
func (a *asideFinder) model(lo int, text string, hits []hit) {
	for _, m := range a.family.mentions(text) {
		if !m.own {
			a.other = true
			if strings.Trim(text[:m.start]+text[m.end:], " :-–•*#") == "" && a.heads(lo) {
				a.until, a.untilOf = a.sectionEnd(lo), ofModel // a heading: what stands under it is of that model
				a.add(ofModel, lo, lo+len(text))
				return
			}
			if columnOf().MatchString(text[m.end:]) && strings.HasSuffix(text[:m.start], ", ") && !strings.ContainsAny(text[:m.start], ".:") {
				a.add(ofModel, lo, lo+len(text)) // a row of a table under the head of another model: "Ionizer, B3: yes"
				return
			}
			a.add(ofModel, lo+m.start, lo+a.back(text, m.end, hits))
		}
	}
}

// heads reports whether the sentence at lo is a heading of the page, or in plain text a line over a block that does not name the
// model on offer.
func (a *asideFinder) heads(lo int) bool {
	if a.t.HTML {
		return a.t.headAt(lo) != nil
	}
	block := a.t.offer[lo:a.sectionEnd(lo)]
	return strings.Contains(block, "\n") && len(block) < 1200 && !slices.ContainsFunc(a.family.mentions(block), func(m mention) bool { return m.own })
}

// device passes over what a sentence says of another device: all that follows where it is the subject, the clause where
// the unit is compared with it.
func (a *asideFinder) device(lo int, text string, hits []hit) {
	if !strings.ContainsFunc(text, unicode.IsDigit) {
		return
	}
	for _, h := range hits {
		if h.row.Value != "device" || a.inTitle(text[h.start:h.end]) {
			continue
		}
		before := text[:h.start]
		start := clauseStart(before)
		var than *hit
		for k := range hits {
			if x := &hits[k]; x.row.Value == "than" && x.end <= h.start && x.start >= start && h.start-x.end <= 30 {
				than = x
			}
		}
		end := a.back(text, h.end, hits)
		if than != nil {
			start = than.start
			if c := strings.IndexAny(text[h.end:end], ",;:–—"); c >= 0 {
				end = h.end + c
			}
		}
		a.add(ofDevice, lo+start, lo+end)
		a.thing = than == nil && end == len(text)
	}
}

// inTitle reports whether what the listing offers is called so itself: "air cleaner and heater".
func (a *asideFinder) inTitle(word string) bool {
	title := a.t.Body[:len(lineAt(a.t.Body, 0))]
	for _, h := range a.t.heads[:min(len(a.t.heads), 1)] {
		title += " " + a.t.Body[h.start:h.end]
	}
	return strings.Contains(fold(title), fold(word))
}

// amountAlone matches a sentence that is no more than a price: "£45."
var amountAlone = lazily(`^(?:€|£|\$|EUR|GBP|USD)? ?\d+(?:[.,]\d{2})? ?(?:€|£|\$|EUR|GBP|USD)?\.?$`)

// clauseStart is where the last clause of s begins: behind a comma and the like, or behind a bracket that is still open.
func clauseStart(s string) int {
	start := 0
	for i, r := range s {
		switch r {
		case ',', ';', ':', '–', '—':
			start = i + utf8.RuneLen(r)
		case '(':
			if !strings.Contains(s[i:], ")") {
				start = i + 1
			}
		}
	}
	return start
}
