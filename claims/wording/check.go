package wording

import (
	"cmp"
	"slices"
	"strings"
)

// Context is what else is known of the claim whose words are checked. Zero values mean unknown.
type Context struct {
	Attribute     string  // attribute of the contract; "" for a sentence of a listing or a whole listing
	Numeric       bool    // the claim has a number with a unit in its value column
	Value, High   float64 // that number or range, in Unit
	Unit          string  // as audit.json writes it
	Bound         string  // at least, at most, about, up to
	Setting       string
	Particle      string
	BasisText     string
	Standard      string  // the standard that the basis names
	Distance      float64 // m
	AirChanges    float64 // 1/h
	HoursPerDay   float64
	Ceiling       float64 // m
	Flow          float64 // m3/h, nominal flow of the class
	SizeUm        float64 // particle size, µm
	SoundPower    bool
	SoundPressure bool
	DecimalComma  bool // the text's language writes 1.234,5
	Capped        bool // the bound is stated and none of the claim's figures may exceed it: "max. 52 dB(A)"

	// At tells what is known of the claims whose figures stand in text[start:end], beside the words there; nil for a
	// text whose claims were not read.
	At func(start, end int) []Context
}

// document is a text on its way through Check.
type document struct {
	text    string
	ctx     Context
	tables  *ruleTables
	given   mask // what the context says beside the text
	folder  folder
	passage passage
	read    int                    // passages read
	masks   [3]mask                // of the passage before the last, the last, and the one being read
	all     mask                   // of the whole text
	pending []hit                  // of the last passage; they wait for the passage that follows
	hits    []hit                  // one for each rule and wording, so that memory does not grow with repetition
	said    map[[2]string]struct{} // the keys of hits
	wide    wide
}

// hit is a match that waits for the conditions of its term.
type hit struct {
	term       *Term   // nil for a finding made by code
	finding    Finding // filled where term is nil; otherwise Start, End and Quote only
	key        string  // the folded words
	passage    int
	start, end int
	given      mask // what the passage and the claims in it say
}

// Check reads the words of a claim or of a whole listing and returns what a reader should know of them, sorted by
// Start. Quote is always text[Start:End]; a finding about the whole claim (something is missing from it) has both 0.
// Text that is not valid UTF-8 is read as well as it can be. Time is linear in the length of text.
func Check(text string, ctx Context) []Finding {
	d := &document{text: text, ctx: ctx, tables: fullRules(), said: map[[2]string]struct{}{}}
	d.given = d.fromContext(&d.ctx)
	d.given.join(d.ofBasis())
	passages(text, func(s span) {
		if s.question {
			return // a question asserts nothing
		}
		p := d.readPassage(s)
		d.advance(p.mask)
		d.all.join(p.mask)
		d.terms(p)
		d.numbers(p)
		d.gather(p)
	})
	d.advance(mask{})
	d.all.join(d.given)
	d.wholeText()
	out := d.settle()
	out = append(out, d.wholeClaim(out)...)
	slices.SortStableFunc(out, byPlace)
	return out
}

func byPlace(a, b Finding) int {
	return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.End, b.End), cmp.Compare(order(a.Rule), order(b.Rule)))
}

// terms matches the term tables against a passage.
func (d *document) terms(p *passage) {
	for i := range p.tokens {
		d.tables.matcher.candidates(p, i, func(k int) {
			term := d.tables.terms[k]
			b := term.ready(d.tables)
			if !p.mask.covers(b.requires) {
				return
			}
			end := b.whole.match(p, i)
			if end <= i || p.guarded(d.tables, term, i, end) {
				return
			}
			start, stop := p.quote(i, end)
			d.pending = append(d.pending, hit{term: term, key: p.folded.text[p.tokens[i].lo:p.tokens[end-1].hi], passage: p.index, start: start, end: stop})
		})
	}
}

// advance takes the mask of the passage that begins and settles the conditions of the one before, whose neighbours are
// now both known.
func (d *document) advance(next mask) {
	d.masks[0], d.masks[1], d.masks[2] = d.masks[1], d.masks[2], next
	near := d.masks[0]
	near.join(d.masks[1])
	near.join(d.masks[2])
	for _, h := range d.pending {
		here, around := d.masks[1], near
		known := d.known(h.start, h.end)
		here.join(known)
		around.join(known)
		if h.term.allowed(here, around, d.ctx.Attribute) && d.first(h.term.Rule, h.key) {
			h.key, h.given = strings.Clone(h.key), here
			d.hits = append(d.hits, h)
		}
	}
	d.pending = d.pending[:0]
}

// first tells whether a rule meets these words for the first time in the text.
func (d *document) first(id, key string) bool {
	k := [2]string{id, strings.ReplaceAll(key, " ", "")} // "45 W" is "45W"
	if _, seen := d.said[k]; seen {
		return false
	}
	k[1] = strings.Clone(k[1]) // not the whole passage
	d.said[k] = struct{}{}
	return true
}

// note records a finding that code made over tokens [i, j) of a passage.
func (d *document) note(p *passage, id string, i, j int) *Finding {
	start, end := p.quote(i, j)
	f := d.noteAt(id, place{key: p.folded.text[p.tokens[i].lo:p.tokens[j-1].hi], passage: p.index, start: start, end: end})
	if len(d.tables.asks[id]) > 0 {
		given := d.known(start, end)
		given.join(p.mask)
		if d.editionIn(p) {
			given.set(d.tables.sets["edition"].bit - 1)
		}
		d.narrow(f, given, given)
	}
	return f
}

// noteAt is note for a place that was kept. The result may be changed at once, not later.
func (d *document) noteAt(id string, at place) *Finding {
	if !d.first(id, at.key) {
		return &Finding{} // said already
	}
	f := RuleFinding(id, d.text[at.start:at.end])
	f.Start, f.End = at.start, at.end
	d.hits = append(d.hits, hit{finding: f, key: strings.Clone(at.key), passage: at.passage, start: at.start, end: at.end})
	return &d.hits[len(d.hits)-1].finding
}

func (f *Finding) setClass(c string) { f.Class, f.Severity = c, Severity(c) }

// Doubt takes any finding that is grave back to a question.
func (f *Finding) Doubt() {
	if f.Severity == "high" {
		f.setClass("ASK")
	}
}

// Unsure takes a contradiction back to a likely one, since it rests on readings that may be wrong.
func (f *Finding) Unsure() {
	if f.Class == "CONTRADICTION" {
		f.setClass("CONTRADICTION-LIKELY")
	}
}

// settle applies the conditions, drops repeats and words inside words, and folds twin rules into one finding.
func (d *document) settle() []Finding {
	var hits []*hit
	for k := range d.hits {
		h := &d.hits[k]
		if h.term != nil {
			all := d.all
			all.join(h.given)
			if !h.term.allowedInText(all, d.ctx.Attribute) {
				continue
			}
			h.finding = RuleFinding(h.term.Rule, d.text[h.start:h.end])
			d.narrow(&h.finding, h.given, all)
			h.finding.Start, h.finding.End = h.start, h.end
			if h.term.Class != "" {
				h.finding.setClass(h.term.Class)
			}
			if h.term.Mark == "memory" {
				h.finding.Mark = "memory" // the word itself waits for a native reader
			}
		}
		hits = append(hits, h)
	}
	// The longest first at each place, so that a shorter match of the same rule inside it falls away.
	slices.SortStableFunc(hits, func(a, b *hit) int {
		return cmp.Or(cmp.Compare(a.start, b.start), cmp.Compare(b.end, a.end), cmp.Compare(order(a.finding.Rule), order(b.finding.Rule)),
			cmp.Compare(a.finding.Class, b.finding.Class), cmp.Compare(a.finding.Why, b.finding.Why), cmp.Compare(a.finding.Mark, b.finding.Mark))
	})
	reach := map[string]int{} // rule → end of its last match
	last := map[string]int{}  // rule → passage of its last match
	var out []Finding
	for _, h := range hits {
		id := h.finding.Rule
		if end, seen := reach[id]; seen && h.start < end || oncePerPassage[id] && last[id] == h.passage {
			continue
		}
		last[id] = h.passage
		reach[id] = h.end
		out = append(out, h.finding)
	}
	return foldTwins(dropCovered(out))
}

// oncePerPassage lists the rules of words that come in strings ("germs, bacteria and viruses"): one finding tells it all.
var oncePerPassage = map[string]bool{"AB-01": true, "AB-02": true, "BIO-02": true, "GC-02": true, "EG-01": true, "NS-01": true}

// coveredBy lists rules that fall silent where a more telling rule speaks of the same words: a bare "HEPA" inside
// "HEPA-type" is no second finding.
var coveredBy = map[string][]string{
	"FG-03":  {"FG-04", "FG-05", "FG-06", "FG-09", "GC-05", "R11", "FG-11"},
	"FG-12":  {"R6"},
	"BIO-02": {"BIO-03", "BIO-05"},
	"AB-01":  {"BIO-06", "GC-06"},
	"AB-03":  {"BIO-01"},
	"GC-02":  {"GC-03", "GC-06"},
	"PE-10":  {"PE-08"},
	"TE-02":  {"OZ-06", "FG-05", "FG-12", "FG-18", "R20", "OZ-04", "EG-04"},
}

func dropCovered(fs []Finding) []Finding {
	places := map[string][][2]int{}
	for _, f := range fs {
		places[f.Rule] = append(places[f.Rule], [2]int{f.Start, f.End})
	}
	return slices.DeleteFunc(fs, func(f Finding) bool {
		for _, by := range coveredBy[f.Rule] {
			if overlaps(places[by], f.Start, f.End) {
				return true
			}
		}
		return false
	})
}

// overlaps tells whether one of the places, which are sorted by start and do not overlap each other, meets [start, end).
func overlaps(places [][2]int, start, end int) bool {
	i, _ := slices.BinarySearchFunc(places, start+1, func(p [2]int, s int) int { return cmp.Compare(p[1], s) })
	return i < len(places) && places[i][0] < end
}

// FoldsInto lists the rules that say the same as the rule id and into which its findings fold; nil for none.
func FoldsInto(id string) []string {
	if r := fullRules().byID[id]; r != nil {
		return r.FoldsInto
	}
	return nil
}

// Take folds a finding on the same words into f: it keeps the rule's id and what else it asks.
func (f *Finding) Take(o Finding) {
	if slices.Contains(f.Also, o.Rule) {
		return
	}
	f.Also = append(append(f.Also, o.Rule), o.Also...)
	if asksMore[o.Rule] && !strings.Contains(f.Ask, o.Ask) {
		f.Ask += " " + o.Ask
	}
}

// asksMore lists the rules whose question is another one than that of the rule into which they fold.
var asksMore = map[string]bool{"NS-02": true, "NS-03": true, "FL-04": true, "FL-01": true}

// foldTwins folds a wording rule into the numeric rule that says the same of the same words.
func foldTwins(fs []Finding) []Finding {
	byRule := map[string][]int{}
	places := map[string][][2]int{}
	for i, f := range fs {
		byRule[f.Rule] = append(byRule[f.Rule], i)
		places[f.Rule] = append(places[f.Rule], [2]int{f.Start, f.End})
	}
	gone := make([]bool, len(fs))
	for i, f := range fs {
		for _, id := range fullRules().byID[f.Rule].FoldsInto {
			k, _ := slices.BinarySearchFunc(places[id], f.Start+1, func(p [2]int, s int) int { return cmp.Compare(p[1], s) })
			if k < len(places[id]) && places[id][k][0] < f.End {
				into := &fs[byRule[id][k]]
				into.Take(f)
				gone[i] = true
				break
			}
		}
	}
	out := fs[:0]
	for i, f := range fs {
		if !gone[i] {
			out = append(out, f)
		}
	}
	return out
}
