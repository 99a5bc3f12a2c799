package listing

import (
	"strings"

	"golang.org/x/net/html/atom"
)

// The names by which pages call the parts that hold no words of the offer.
var (
	partOfReviews  = lazily(`(?i)(?:^|[\s_-])(?:reviews?|testimonials?|customer-?comments?|user-?comments?)(?:$|[\s_-])`)
	partOfProducts = lazily(`(?i)(?:^|[\s_-])(?:related|recommendations?|recommended|upsells?|cross-?sells?|also-?(?:bought|viewed|like)|recently-?viewed|similar-?(?:items|products))(?:$|[\s_-])`)
	partOfPage     = lazily(`(?i)(?:^|[\s_-])(?:cookies?|cookie-?banner|consent|breadcrumbs?)(?:$|[\s_-])`)
)

// maxHeading is the longest heading, in bytes, that may name the offer.
const maxHeading = 120

// maxParts bounds the headings and the parts kept of one page.
const maxParts = 10_000

// partOf says what an element holds, by its tag, id and classes; "" where it may hold words of the offer.
func partOf(tag atom.Atom, names string) string {
	switch tag {
	case atom.Html, atom.Body, atom.Main:
		return ""
	case atom.Nav:
		return ofPage
	}
	switch {
	case names == " ":
		return ""
	case partOfReviews().MatchString(names):
		return ofReview
	case partOfProducts().MatchString(names):
		return ofProduct
	case partOfPage().MatchString(names):
		return ofPage
	}
	return ""
}

// isMark reports whether text is the raised figure of a note, as in "55 dB(A)<sup>2</sup>": in sup, and no exponent of a
// unit of length, which is "m3" written plainly.
func (p *pageReader) isMark(text string) bool {
	n := len(p.open)
	if n == 0 || p.open[n-1].tag != atom.Sup || len(strings.TrimSpace(text)) > 2 {
		return false
	}
	before := p.body.String()
	if c := p.cell(); c != nil {
		before = ""
		if !c.empty() {
			before = c.pieces[len(c.pieces)-1].text
		}
	}
	return !isLength(before[max(0, len(before)-16):])
}

// set notes where the text of a closed element stands, and the headings whose part of the page ends with it.
func (p *pageReader) set(e element) {
	end := p.body.Len()
	switch e.tag {
	case atom.H1, atom.H2, atom.H3, atom.H4, atom.H5, atom.H6:
		if title := strings.Join(strings.Fields(p.body.String()[e.start:end]), " "); e.tag == atom.H1 && p.folded == 0 && p.t.Title == "" && len(title) <= maxHeading {
			p.t.Title = title
		}
		if len(p.t.heads) < maxParts {
			p.t.heads = append(p.t.heads, head{start: e.start, end: end})
		}
		return
	}
	for i := e.heads; i < len(p.t.heads); i++ {
		if p.t.heads[i].until == 0 && block[e.tag] {
			p.t.heads[i].until = end
		}
	}
	if e.folds && e.of == "" {
		e.of = ofHidden
	}
	if e.of != "" && end > e.start && len(p.t.parts) < maxParts {
		p.t.parts = append(p.t.parts, Aside{Of: e.of, start: e.start, end: end})
	}
}
