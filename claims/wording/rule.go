package wording

import (
	"embed"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Rule is one row of the taxonomy: what is looked for, why it matters, and what to ask.
type Rule struct {
	ID        string   // FG-04, PE-01, R2, CX-03 …
	Group     string   // FG, PE, AB, BIO, OZ, CV, NS, EG, FL, GC, TE, CX, R
	Class     string   // CONTRADICTION, UNDEFINED, INCOMPLETE …
	Severity  string   // high, medium, low: the class's
	Title     string   // what the words look like
	Why       string   // for a shopper
	Ask       string   // to the seller or maker
	Evidence  string   // what would settle it
	Source    string   // the standard or rule behind it
	Mark      string   // read, second-hand, memory, computed, judgement
	Stops     bool     // an INCOMPLETE finding of this rule stops the test: the claim is unclear
	Claims    bool     // found by comparing claims, in package claims, not in one text
	FoldsInto []string // rules that say the same; where one of them finds the same words, this one is named in its Also
	Terms     []Term   // the wording that makes it fire; empty where code over quantities does. Rules fills it
	order     int
	Languages []string // of its terms: en, de, fr, es, it, zh, ja
}

// Term is one row of the term tables.
type Term struct {
	Rule     string
	Language string
	Pattern  string // see compile for the notation
	Needs    string // names that must be there, see condition
	Unless   string // names that must not be there
	Class    string // in place of the rule's class
	Mark     string // read: seen in use; memory: to be checked by a native reader; judgement: our choice
	body     *body
}

// body is a term ready for use: it is compiled when a text first holds a word that it begins with, since a text meets few
// of the terms and the compiling of all takes longer than most texts.
type body struct {
	once     sync.Once
	table    string  // where the term stands
	first    pattern // its first element
	whole    pattern
	needs    condition
	unless   condition
	requires mask // what a passage must hold for whole to match
}

// ready gives the term's body, compiled.
func (term *Term) ready(t *ruleTables) *body {
	b := term.body
	b.once.Do(func() {
		b.whole = t.compile(b.table, term.Pattern, false)
		b.requires = t.requires(b.table, b.whole)
		b.needs, b.unless = t.condition(b.table, term.Needs), t.condition(b.table, term.Unless)
	})
	return b
}

//go:embed tables/*.csv
var tablesFS embed.FS

// records reads an embedded table whose rows must have n fields.
func records(name, text string, n int) [][]string { return recordsOf(name, strings.NewReader(text), n) }

func recordsOf(name string, in io.Reader, n int) [][]string {
	r := csv.NewReader(in)
	r.FieldsPerRecord = n
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		panic(fmt.Sprintf("%s: %v", name, err))
	}
	return all[1:] // after the header
}

func table(name string, n int) [][]string {
	f, err := tablesFS.Open("tables/" + name)
	if err != nil {
		panic(err)
	}
	return recordsOf(name, f, n)
}

// class is one row of classes.csv.
type class struct{ severity, effect string }

type ruleTables struct {
	list        []*Rule
	byID        map[string]*Rule
	classes     map[string]class
	sets        map[string]*set
	setBits     []*set // sets and kinds, by bit
	terms       []*Term
	matcher     *matcher // of terms
	asks        map[string][]narrower
	inSets      *matcher  // of the words of sets
	setPatterns []pattern // of setBits
}

// rules is the taxonomy, read once. Sets are read first, since terms are written with them.
var rules = sync.OnceValue(newRules)

func newRules() *ruleTables {
	t := &ruleTables{byID: map[string]*Rule{}, classes: map[string]class{}}
	t.readSets()
	return t
}

// fullRules is rules with rules, terms and matchers; they need the tokenizer, which needs the sets.
var fullRules = sync.OnceValue(func() *ruleTables { return rules().complete() })

func (t *ruleTables) complete() *ruleTables {
	for _, r := range table("classes.csv", 6) {
		t.classes[r[0]] = class{r[1], r[2]}
	}
	for _, name := range tableNames("rules_") {
		for _, r := range table(name, 11) {
			c, ok := t.classes[r[1]]
			if !ok {
				panic(fmt.Sprintf("%s: rule %s: unknown class %q", name, r[0], r[1]))
			}
			if t.byID[r[0]] != nil {
				panic(fmt.Sprintf("%s: rule %s stands twice", name, r[0]))
			}
			rule := &Rule{ID: r[0], Group: group(r[0]), Class: r[1], Severity: c.severity, FoldsInto: strings.Fields(r[2]), Stops: r[3] == "yes",
				Claims: r[4] == "claims", Title: r[5], Why: r[6], Ask: r[7], Evidence: r[8], Source: r[9], Mark: r[10]}
			rule.order = computeOrder(rule.ID)
			t.byID[rule.ID] = rule
			t.list = append(t.list, rule)
		}
	}
	slices.SortStableFunc(t.list, func(a, b *Rule) int { return order(a.ID) - order(b.ID) })
	t.compileSets()
	t.numberSets()
	for _, name := range tableNames("terms_") {
		for _, r := range table(name, 7) {
			t.addTerm(name, r)
		}
	}
	t.readAsks()
	t.matcher = newMatcher(len(t.terms), func(i int) pattern { return t.terms[i].body.first })
	t.inSets = t.setMatcher()
	if len(t.setBits) > 64*len(mask{}) {
		panic(fmt.Sprintf("conditions name %d sets; the masks hold %d", len(t.setBits), 64*len(mask{})))
	}
	return t
}

func tableNames(prefix string) []string {
	entries, err := tablesFS.ReadDir("tables")
	if err != nil {
		panic(err)
	}
	var out []string
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), prefix) {
			out = append(out, e.Name())
		}
	}
	return out
}

func (t *ruleTables) addTerm(table string, r []string) {
	rule := t.byID[r[0]]
	if rule == nil {
		panic(fmt.Sprintf("%s: term %q: unknown rule %q", table, r[2], r[0]))
	}
	if r[5] != "" && t.classes[r[5]].severity == "" {
		panic(fmt.Sprintf("%s: term %q: unknown class %q", table, r[2], r[5]))
	}
	term := &Term{Rule: r[0], Language: r[1], Pattern: r[2], Needs: r[3], Unless: r[4], Class: r[5], Mark: r[6]}
	term.body = &body{table: table, first: t.compile(table, r[2], true)}
	t.terms = append(t.terms, term)
	if !slices.Contains(rule.Languages, r[1]) {
		rule.Languages = append(rule.Languages, r[1])
	}
}

var groupOrder = []string{"FG", "PE", "AB", "BIO", "OZ", "CV", "NS", "EG", "FL", "GC", "TE", "CX", "R"}

func group(id string) string { return strings.TrimRight(id, "-0123456789") }

// order gives the place of an id in the order of the taxonomy.
func order(id string) int {
	if r := rules().byID[id]; r != nil {
		return r.order
	}
	return computeOrder(id)
}

func computeOrder(id string) int {
	n, err := strconv.Atoi(strings.TrimLeft(id, "ABCDEFGHIJKLMNOPQRSTUVWXYZ-"))
	if err != nil {
		panic(fmt.Sprintf("rule id %q ends in no number", id))
	}
	return 1000*slices.Index(groupOrder, group(id)) + n
}

// Rules lists every rule with its terms, in the order of the groups and of the ids.
func Rules() []Rule {
	t := fullRules()
	out := make([]Rule, len(t.list))
	terms := map[string][]Term{}
	for _, term := range t.terms {
		terms[term.Rule] = append(terms[term.Rule], *term)
	}
	for i, r := range t.list {
		out[i] = *r
		out[i].Terms = terms[r.ID]
	}
	return out
}

// RuleFinding fills a finding from the table: class, severity, why, ask, evidence, source and mark of the rule. Start
// and End stay 0; the caller knows the place. It panics on an id that is in no table.
func RuleFinding(id, quote string) Finding {
	r := fullRules().byID[id]
	if r == nil {
		panic("unknown wording rule " + id)
	}
	return Finding{Rule: r.ID, Class: r.Class, Severity: r.Severity, Quote: quote, Why: r.Why, Ask: r.Ask, Evidence: r.Evidence, Source: r.Source, Mark: r.Mark}
}

// Effect says what a class does to a claim that rests on the words alone: "unclear", it cannot be tested as worded;
// "finding", it is reported and no more (see Stops for INCOMPLETE); "", nothing. A number beside the words is judged
// in every case.
func Effect(class string) string { return fullRules().classes[class].effect }

// Severity is the severity of a class: high, medium or low; "" for an unknown one.
func Severity(class string) string { return fullRules().classes[class].severity }

// Stops tells whether an INCOMPLETE finding of the rule stops the test of a claim, so that the claim is unclear: a
// percentage without a size, say.
func Stops(id string) bool {
	r := fullRules().byID[id]
	return r != nil && r.Stops
}
