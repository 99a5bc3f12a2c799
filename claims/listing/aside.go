package listing

import (
	"slices"
	"strings"
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
	ofHidden  = "text that the page hides"
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
		if n := len(t.Asides); (x.Of == ofPage || x.Of == ofHidden) && !hasDigit(t.Body[x.start:x.end]) {
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
	sellers   bool   // the text names who writes each part, and one of them is the seller
	buyer     bool   // the part being read is a buyer's
	other     bool   // the sentence before spoke of another model
	line      string // the line being read
	asksOfOld bool   // the sentence before asked of another model: "Do you still have a Gale 20? It makes 60 dB"
	thing     bool   // the sentence before was about another device, to its end
	quoted    bool   // lines that begin with ">" are a buyer's, which the seller answers
	reviews   bool   // the lines are reviews until one is none
	until     int    // end of the section being passed over
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
		a.line = lineAt(a.t.Body, lo)
		switch line := a.line; roleOf(line) {
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
	case firstOfLine && asked().MatchString(a.line) && firstPerson(a.line):
		a.until, a.untilOf = lo+len(lineAt(a.t.Body[lo:], 0)), ofBuyer // "Q: My own one does 61 dB. Is yours better?"
	case a.quoted && strings.HasPrefix(a.line, ">") && !strings.Contains(text, "kWh") && !(strings.HasPrefix(text, ">") && strings.HasSuffix(text, "?")):
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
		switch line := a.line; {
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
	if h := hits; len(h) > 0 && h[0].row.Value == "other offer" && strings.Trim(text[:h[0].start], " -•*") == "" && namesOffer(text[h[0].start:h[0].end], text[h[0].end:]) && lo >= a.until {
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
	return slices.ContainsFunc(vocabulary().find(foldText(line), "aside"), func(h hit) bool {
		return h.row.Value == "first person" || h.row.Value == "premises" && strings.HasPrefix(strings.ToLower(line[h.start:h.end]), "my ")
	})
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
