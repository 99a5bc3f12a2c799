package listing

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Aside is a stretch of the listing that speaks of something else than the unit on offer. It is passed over, and shown,
// so that a reader can see whether that was right.
type Aside struct {
	Of         string `json:"of"` // what it speaks of, or who speaks: one of the constants below
	Quote      string `json:"quote"`
	Line       int    `json:"line"`
	Col        int    `json:"column"`
	start, end int
}

// The things that an aside may be about.
const (
	ofDevice  = "another device"
	ofModel   = "another model"
	ofProduct = "other products"
	ofRoom    = "the room without the unit"
	ofAbsent  = "a part that the text says is not there"
	ofPast    = "what the text itself withdraws"
	ofPlace   = "another room than the unit is offered for"
	ofGeneral = "air cleaners in general"
	ofPage    = "the page around the offer"
	ofReview  = "a customer's words"
	ofBuyer   = "a buyer's words"
)

// apartFromOffer finds the asides and blanks them in the offer, every byte of it staying at its place.
func (t *Text) apartFromOffer() {
	a := &asideFinder{t: t, family: familyOf(t)}
	a.roles()
	a.sections()
	t.split(func(lo, hi int, firstOfLine bool) { a.sentence(lo, hi, firstOfLine) })
	slices.SortStableFunc(a.found, func(x, y Aside) int { return x.start - y.start })
	blank := []byte(t.offer)
	for _, x := range a.found {
		t.passed += x.end - x.start
		if n := len(t.Asides); x.Of == ofPage && !hasDigit(t.Body[x.start:x.end]) {
			// menus are not worth showing
		} else if n > 0 && x.start <= t.Asides[n-1].end+1 && x.Of == t.Asides[n-1].Of { // one stretch
			t.Asides[n-1].end = max(t.Asides[n-1].end, x.end)
		} else if n == 0 || x.end > t.Asides[n-1].end {
			t.Asides = append(t.Asides, x)
		}
		for i := x.start; i < x.end; i++ {
			if blank[i] != '\n' {
				blank[i] = ' '
			}
		}
	}
	if classLike().MatchString(a.family.id) { // "Estuary E10" names no filter class
		for _, m := range a.family.mentions(t.Body) {
			if m.own {
				copy(blank[m.end-len(a.family.id):m.end], strings.Repeat(" ", len(a.family.id)))
			}
		}
	}
	for i := range t.Asides {
		x := &t.Asides[i]
		x.Quote = t.Body[x.start:x.end]
		x.Line, x.Col = t.At(x.start)
	}
	t.offer = string(blank)
}

type asideFinder struct {
	t         *Text
	found     []Aside
	family    family
	sellers   bool // the text names who writes each part, and one of them is the seller
	buyer     bool // the part being read is a buyer's
	other     bool // the sentence before spoke of another model
	asksOfOld bool // the sentence before asked of another model: "Do you still have a Gale 20? It makes 60 dB"
	thing     bool // the sentence before was about another device, to its end
	quoted    bool // lines that begin with ">" are a buyer's, which the seller answers
	reviews   bool // the lines are reviews until one is none
	until     int  // end of the section being passed over
	untilOf   string
}

// add keeps a stretch without the white space around it.
func (a *asideFinder) add(of string, lo, hi int) {
	b := a.t.Body
	for lo < hi && isSpace(b[lo]) {
		lo++
	}
	for hi > lo && isSpace(b[hi-1]) {
		hi--
	}
	if lo < hi {
		a.found = append(a.found, Aside{Of: of, start: lo, end: hi})
	}
}

// sections passes over what the page itself sets apart, by the names of its parts: reviews, other products, cookies.
func (a *asideFinder) sections() {
	for _, p := range a.t.parts {
		a.add(p.Of, p.start, p.end)
	}
}

// sentence looks at one sentence of the body.
func (a *asideFinder) sentence(lo, hi int, firstOfLine bool) {
	text := a.t.offer[lo:hi]
	was, thing := a.other, a.thing && !firstOfLine
	a.other, a.thing = false, false
	defer func() { a.asksOfOld = a.other && strings.HasSuffix(text, "?") }()
	if firstOfLine {
		switch line := lineAt(a.t.Body, lo); roleOf(line) {
		case "buyer":
			a.buyer = a.sellers || labelledLine().MatchString(line)
		case "seller":
			a.buyer = false
		default:
			a.buyer = a.buyer && a.sellers && !labelledLine().MatchString(line)
		}
	}
	switch {
	case a.buyer:
		a.add(ofBuyer, lo, hi)
		return
	case firstOfLine && asked().MatchString(lineAt(a.t.Body, lo)) && firstPerson(lineAt(a.t.Body, lo)):
		a.until, a.untilOf = lo+len(lineAt(a.t.Body[lo:], 0)), ofBuyer // "Q: My own one does 61 dB. Is yours better?"
	case a.quoted && strings.HasPrefix(lineAt(a.t.Body, lo), ">") && !strings.Contains(text, "kWh") && !(strings.HasPrefix(text, ">") && strings.HasSuffix(text, "?")):
		if !ordinal().MatchString(strings.TrimRight(text, ".")) {
			a.add(ofBuyer, lo, hi)
		}
		return
	}
	hits := vocabulary().find(foldText(text), "aside")
	has := func(value string) bool {
		return slices.ContainsFunc(hits, func(h hit) bool { return h.row.Value == value })
	}
	if firstOfLine {
		switch line := lineAt(a.t.Body, lo); {
		case len(line) <= maxLabel && has("reviews") && !strings.ContainsAny(line, "0123456789"):
			a.reviews = true
			return
		case len(line) <= maxLabel && has("related") && !strings.ContainsAny(line, "0123456789"):
			a.until, a.untilOf = a.sectionEnd(lo), ofProduct
		case a.reviews && !isReview(line):
			a.reviews = false
		}
	}
	for _, h := range hits { // "You may also like: …" speaks for the rest of its line
		if (h.row.Value == "related" || h.row.Value == "reviews") && lo >= a.until && strings.Trim(text[:h.start], " -•*") == "" && strings.HasPrefix(strings.TrimLeft(text[h.end:], " \u00a0"), ":") {
			a.until, a.untilOf = lo+len(lineAt(a.t.Body[lo:], 0)), ofProduct
			if h.row.Value == "reviews" {
				a.untilOf = ofReview
			}
		}
	}
	if h := hits; len(h) > 0 && h[0].row.Value == "other offer" && strings.Trim(text[:h[0].start], " -•*") == "" && shortName().MatchString(text[h[0].end:]) && lo >= a.until {
		a.until, a.untilOf = lo+len(lineAt(a.t.Body[lo:], 0)), ofProduct // "Also from Brindlock: …"
	}
	switch {
	case lo < a.until:
		a.add(a.untilOf, lo, hi)
	case a.reviews, stars().MatchString(text) && isReview(lineAt(a.t.Body, lo)), signature().MatchString(text) && strings.ContainsAny(text[:min(len(text), 4)], "\"“„«"):
		a.add(ofReview, lo, hi)
	case thing && amountAlone().MatchString(text):
		a.thing = true
		a.add(ofDevice, lo, hi)
	case was && (has("that one") || a.asksOfOld && strings.HasPrefix(text, "It ")):
		a.other = true
		a.add(ofModel, lo, hi)
	case len(hits) > 0 && hits[0].row.Value == "general remark" && strings.Trim(text[:hits[0].start], " -•*") == "":
		a.add(ofGeneral, lo, hi)
	case deniedPart().MatchString(text):
		a.add(ofAbsent, lo, hi)
	case has("withdrawn") && !ofStandard().MatchString(text):
		a.add(ofPast, lo, hi)
	default:
		a.former(lo, text, hits)
		a.model(lo, text, hits)
		a.device(lo, text, hits)
		a.background(lo, text, hits)
		a.premises(lo, text, hits)
		a.reported(lo, text)
	}
}

// lineAt is the line of s that holds the byte at.
func lineAt(s string, at int) string {
	lo := strings.LastIndexByte(s[:at], '\n') + 1
	if hi := strings.IndexByte(s[at:], '\n'); hi >= 0 {
		return s[lo : at+hi]
	}
	return s[lo:]
}

// isReview reports whether a line under such a heading is one: quoted, with stars, or in the first person.
func isReview(line string) bool {
	line = strings.TrimLeft(line, " \t-*•")
	if line == "" {
		return false
	}
	if strings.ContainsRune("\"“„«»「『★☆⭐", firstRune(line)) || stars().MatchString(line) {
		return true
	}
	return firstPerson(line)
}

func firstPerson(line string) bool {
	return slices.ContainsFunc(vocabulary().find(foldText(line), "aside"), func(h hit) bool { return h.row.Value == "first person" })
}

// sectionEnd is where a section of other products ends: with its part of the page, at the next heading, or at an empty
// line of plain text.
func (a *asideFinder) sectionEnd(lo int) int {
	b := a.t.Body
	for i, h := range a.t.heads {
		if h.start <= lo && lo < h.end {
			end := h.until
			for _, n := range a.t.heads[i+1:] {
				if n.start < end {
					end = n.start
					break
				}
			}
			return end
		}
	}
	if a.t.HTML {
		return lo + len(lineAt(b, lo)) // no heading: the line alone
	}
	if i := strings.Index(b[lo:], "\n\n"); i >= 0 {
		return lo + i
	}
	return len(b)
}

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
			if columnOf().MatchString(text[m.end:]) && strings.HasSuffix(text[:m.start], ", ") && !strings.ContainsAny(text[:m.start], ".:") {
				a.add(ofModel, lo, lo+len(text)) // a row of a table under the head of another model: "Ionizer, B3: yes"
				return
			}
			a.add(ofModel, lo+m.start, lo+a.back(text, m.end, hits))
		}
	}
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
