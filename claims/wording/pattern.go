package wording

import (
	"fmt"
	"strconv"
	"strings"
)

// pattern is a compiled term.
//
// Notation of a term: words in order; `word*` any word that begins so; `(a|b c|d*)` one of several; `[a|b]` one of
// several or nothing; `@name` a word of a set of sets.csv; `<kind>` a quantity (`<pct>`, `<area>` …), `<n>` a bare
// number, `<class>` a filter class, `<fine>` one of groups E, H and U, `<merv>`; `..n` at most n words, not across
// punctuation or a word of the set "stop"; `~n` at most n words within the passage. Hyphens, spaces, apostrophes and
// quotation marks are alike; case and accents do not count.
type pattern []element

type element struct {
	set      string // the set that alts are, where they are one set
	alts     [][]atom
	first    map[string][][]atom // alts by their first word, where there are many
	prefixes [][]atom            // the other alts, whose first word ends in "*"
	kind     string              // of a quantity or class; "" otherwise
	gap      int                 // > 0: up to gap tokens
	free     bool                // the gap may cross punctuation
	optional bool
}

type atom struct {
	text   string
	prefix bool
}

func (a atom) matches(s string) bool {
	return a.text == s || a.prefix && strings.HasPrefix(s, a.text)
}

// set is a named list of words.
type set struct {
	name    string
	words   map[string]bool // single words without "*"
	terms   []string
	element     // alts, looked up by their first words
	bit     int // 1 + bit in the masks, 0 for none
}

func (s *set) has(word string) bool { return s != nil && s.words[word] }

func (t *ruleTables) readSets() {
	t.sets = map[string]*set{}
	for _, name := range tableNames("sets_") {
		for _, r := range table(name, 3) {
			s := t.sets[r[0]]
			if s == nil {
				s = &set{name: r[0], words: map[string]bool{}}
				t.sets[r[0]] = s
			}
			for _, w := range strings.Split(r[2], "|") {
				s.terms = append(s.terms, w)
				if f := foldTerm(w); !strings.ContainsAny(f, " *-") {
					s.words[f] = true
				}
			}
		}
	}
}

// compileSets turns the words of sets into atoms; sets that name no other set.
func (t *ruleTables) compileSets() {
	for _, s := range t.sets {
		for _, w := range s.terms {
			s.alts = append(s.alts, atoms(w))
		}
		s.index() // once for all patterns that name the set
	}
}

// atoms splits one alternative into words.
func atoms(s string) []atom {
	out := make([]atom, 0, 1+strings.Count(s, " "))
	for f := range strings.FieldsSeq(s) {
		word := strings.TrimSuffix(f, "*")
		prefix := word != f && f != "*"
		switch {
		case f == "*":
			out = append(out, atom{text: "*"})
		case simple(word):
			out = append(out, atom{text: word, prefix: prefix})
		default:
			var few [8]token
			for _, tok := range tokenize(foldTerm(word), few[:0]) {
				out = append(out, atom{text: tok.text})
			}
			if prefix {
				out[len(out)-1].prefix = true
			}
		}
	}
	return out
}

// simple tells whether a word is one token as it stands: small letters of ASCII, nothing that is written in one with others.
func simple(word string) bool {
	for i := 0; i < len(word); i++ {
		if word[i] < 'a' || word[i] > 'z' {
			return false
		}
	}
	return word != "" && glueCut(word) == 0
}

// compile reads a term, or only its first element. A term that is not sound is a mistake in the tables: it panics.
func (t *ruleTables) compile(table, term string, first bool) pattern {
	bad := func(why string) { panic(fmt.Sprintf("%s: term %q: %s", table, term, why)) }
	var p pattern
	for rest := strings.TrimSpace(term); rest != "" && !(first && len(p) > 0); rest = strings.TrimSpace(rest) {
		end := strings.IndexByte(rest, ' ')
		brackets := (rest[0] == '(' || rest[0] == '[') && end != 1 && len(rest) > 1 // a bracket alone is a mark of the text
		if brackets {
			close := map[byte]byte{'(': ')', '[': ']'}[rest[0]]
			if end = strings.IndexByte(rest, close); end < 0 {
				bad("no closing bracket")
			}
			end++
		}
		if end < 0 {
			end = len(rest)
		}
		word := rest[:end]
		rest = rest[end:]
		switch {
		case brackets:
			e := element{optional: word[0] == '['}
			for _, a := range strings.Split(word[1:len(word)-1], "|") {
				if strings.HasPrefix(a, "@") {
					e.alts = append(e.alts, t.setOf(a[1:], bad).alts...)
				} else {
					e.alts = append(e.alts, atoms(a))
				}
			}
			p = append(p, e)
		case word[0] == '@':
			e := t.setOf(word[1:], bad).element
			e.set = word[1:]
			p = append(p, e)
		case word[0] == '<' && len(word) > 2:
			p = append(p, element{kind: word[1 : len(word)-1]})
		case strings.HasPrefix(word, "..") || word[0] == '~' && len(word) > 1:
			n, err := strconv.Atoi(strings.TrimLeft(word, ".~"))
			if err != nil || n < 1 || n > 12 {
				bad("a gap is ..1 to ..12")
			}
			p = append(p, element{gap: n, free: word[0] == '~'})
		default:
			for _, a := range atoms(word) {
				p = append(p, element{alts: [][]atom{{a}}})
			}
		}
	}
	if len(p) == 0 || p[0].gap > 0 || p[0].optional {
		bad("it must begin with a word")
	}
	for i, e := range p {
		for _, a := range e.alts {
			if len(a) == 0 {
				bad("an empty alternative")
			}
		}
		if e.kind != "" && !kinds[e.kind] {
			bad("unknown kind <" + e.kind + ">")
		}
		p[i].index()
	}
	return p
}

// kinds lists the kinds of quantities and classes that patterns and conditions may name.
var kinds = map[string]bool{"pct": true, "size": true, "length": true, "area": true, "flow": true, "level": true, "power": true, "energy": true, "hours": true,
	"minutes": true, "months": true, "days": true, "mass": true, "conc": true, "ach": true, "pressure": true, "volume": true, "times": true, "hpd": true,
	"n": true, "class": true, "fine": true, "merv": true,
	// derived: an efficiency in per cent, one of 100 %, a level without A weighting, one below 15 dB, a size below 0.1 µm,
	// a size in a unit that cannot be meant, sorbent area in m²/g
	"eff": true, "all": true, "db": true, "hush": true, "small": true, "badsize": true, "sorbent": true,
	// of the passage: a range of levels or watts, or more than one
	"levels": true, "powers": true,
	// of the passage: a percentage below 100 of what is in the air
	"part": true}

func (t *ruleTables) setOf(name string, bad func(string)) *set {
	s := t.sets[name]
	if s == nil {
		bad("unknown set @" + name)
	}
	return s
}

// match tries the pattern at token i and returns the token after the match, or -1.
func (p pattern) match(ps *passage, i int) int {
	if len(p) == 0 {
		return i
	}
	e := &p[0]
	if e.gap > 0 {
		for n := 0; ; n++ {
			if end := p[1:].match(ps, i); end >= 0 {
				return end
			}
			if n == e.gap || i >= len(ps.tokens) || !e.free && ps.tokens[i].stop {
				return -1
			}
			i = ps.after(i)
		}
	}
	if e.kind != "" {
		if j := ps.kindAt(e.kind, i); j > i {
			return p[1:].match(ps, j)
		}
		return -1
	}
	if i < len(ps.tokens) {
		for _, list := range e.candidates(ps.tokens[i].text) {
			for _, alt := range list {
				if j := matchAlt(ps.tokens, alt, i); j >= 0 {
					if end := p[1:].match(ps, j); end >= 0 {
						return end
					}
				}
			}
		}
	}
	if e.optional {
		return p[1:].match(ps, i)
	}
	return -1
}

// requires is the mask of the sets and kinds without which the pattern cannot match in a passage.
func (t *ruleTables) requires(table string, p pattern) mask {
	var m mask
	for _, e := range p {
		switch {
		case e.optional || e.kind == "n":
		case e.set != "":
			m.set(t.bit(table, e.set))
		case e.kind != "":
			m.set(t.bit(table, "<"+e.kind+">"))
		}
	}
	return m
}

// many is the number of alternatives from which a look-up by the first word pays.
const many = 5

// index prepares the look-up by first words.
func (e *element) index() {
	if len(e.alts) < many || e.first != nil {
		return
	}
	e.first = map[string][][]atom{}
	for _, alt := range e.alts {
		if alt[0].prefix {
			e.prefixes = append(e.prefixes, alt)
		} else {
			e.first[alt[0].text] = append(e.first[alt[0].text], alt)
		}
	}
}

// candidates lists the alternatives that may begin with a word.
func (e *element) candidates(word string) [2][][]atom {
	if e.first == nil {
		return [2][][]atom{e.alts, nil}
	}
	return [2][][]atom{e.first[word], e.prefixes}
}

func matchAlt(ts []token, alt []atom, i int) int {
	if i+len(alt) > len(ts) {
		return -1
	}
	for k, a := range alt {
		if !a.matches(ts[i+k].text) {
			return -1
		}
	}
	return i + len(alt)
}
