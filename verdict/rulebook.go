package verdict

import (
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"

	"weighhouse/claims"
	"weighhouse/claims/listing"
	"weighhouse/claims/wording"
	"weighhouse/measure"
	"weighhouse/measure/setting"
	"weighhouse/measure/sheet"
	"weighhouse/measure/unit"
)

// RuleTable is one table of the trade knowledge in force, as `weighhouse rules` prints it. The last two columns are
// always source and mark.
type RuleTable struct {
	Name   string     `json:"name"`
	About  string     `json:"about"`
	Header []string   `json:"header"`
	Rows   [][]string `json:"rows"`
}

// Rulebook gives every tolerance, grade, term, check, area rule, default and unit in force, each row with source and mark.
func Rulebook() []RuleTable {
	return []RuleTable{toleranceTable(), checkTable(), classTable(), claimTable(), questionTable(), termTable(), wordTable(), gradeTable(), areaTable(), tierTable(),
		instrumentTable(), dropoutTable(), thresholdTable(), basisTable(), otherNameTable(), recordTable(), decisionTable(), gateTable(), phraseTable(), requestTable(), settingTable(), listingTable(), logTable(), unitTable(), spellingTable(),
		otherTable(), plausibleTable()}
}

func toleranceTable() RuleTable {
	t := RuleTable{Name: "tolerances", About: "what a claim is allowed on the maker's side where a case gives no tolerance; of two figures the greater counts",
		Header: []string{"attribute", "case", "above", "up to", "% of the claim", "absolute", "unit", "note", "source", "mark"}}
	for _, r := range DefaultTolerances() {
		abs, upto := plainOr(r.Absolute, 0), ""
		switch {
		case r.FromK:
			abs = "K"
		case r.Follows != "":
			abs = "that of " + string(r.Follows) + ", through the formula"
		}
		if !math.IsInf(r.UpTo, 1) {
			upto = plain(r.UpTo)
		}
		if r.Percent == 0 && !r.FromK && r.Follows == "" {
			abs = plain(r.Absolute)
		}
		t.Rows = append(t.Rows, []string{string(r.Attribute), r.When, plainOr(r.Above, 0), upto, plainOr(r.Percent, 0), abs, r.Unit, r.Note, r.Source, r.Mark})
	}
	return t
}

func checkTable() RuleTable {
	t := RuleTable{Name: "checks", About: "the findings on words and on claims against each other; a finding that says the same of the same words as another of \"said by\" is told with it",
		Header: []string{"rule", "class", "severity", "what", "why it matters", "what to ask", "what settles it", "stops a test of the claim", "said by", "of", "source", "mark"}}
	for _, r := range wording.Rules() {
		stops, of := "", "words"
		if r.Stops {
			stops = "yes"
		}
		if r.Claims {
			of = "claims"
		}
		t.Rows = append(t.Rows, []string{r.ID, r.Class, r.Severity, r.Title, r.Why, r.Ask, r.Evidence, stops, strings.Join(r.FoldsInto, ", "), of, r.Source, r.Mark})
	}
	return t
}

func classTable() RuleTable {
	t := RuleTable{Name: "classes", About: "the classes of findings; their effect on a claim that rests on the words alone: a number beside the words is judged in every case",
		Header: []string{"class", "severity", "effect", "meaning", "source", "mark"}}
	for _, c := range wording.Classes() {
		t.Rows = append(t.Rows, []string{c.Name, c.Severity, c.Effect, c.Meaning, c.Source, c.Mark})
	}
	return t
}

func claimTable() RuleTable {
	t := RuleTable{Name: "claims", About: "what a claim lacks whose number stands in a column of its own, by its attribute, bound and unit, unless its words or columns hold what is named",
		Header: []string{"rule", "attribute", "bound", "unit", "unless", "source", "mark"}}
	for _, c := range wording.ClaimRules() {
		t.Rows = append(t.Rows, []string{c.Rule, c.Attribute, c.Bound, c.Unit, c.Unless, "this project's choice; the check of that name says why", c.Mark})
	}
	return t
}

// wordSource says how the wording of a term is known; the document behind its check stands with the check.
var wordSource = map[string]string{"read": "seen in use", "memory": "usage; a native reader is to check it", "judgement": "this project's choice of words"}

func termTable() RuleTable {
	t := RuleTable{Name: "terms", About: "the wording that each check looks for, with the class and severity of a finding that it makes; source and mark are those of the wording",
		Header: []string{"rule", "class", "severity", "language", "term", "needs", "unless", "source", "mark"}}
	for _, r := range wording.Rules() {
		for _, x := range r.Terms {
			class := r.Class
			if x.Class != "" {
				class = x.Class
			}
			t.Rows = append(t.Rows, []string{x.Rule, class, wording.Severity(class), x.Language, x.Pattern, x.Needs, x.Unless, wordSource[x.Mark], x.Mark})
		}
	}
	return t
}

func questionTable() RuleTable {
	t := RuleTable{Name: "questions", About: "what is left to ask where the words, or the claim that they state, answer a part of a check's question",
		Header: []string{"rule", "answered", "what to ask", "source", "mark"}}
	for _, q := range wording.Questions() {
		t.Rows = append(t.Rows, []string{q.Rule, q.Answered, q.Ask, "the check of that name", q.Mark})
	}
	return t
}

func wordTable() RuleTable {
	t := RuleTable{Name: "words", About: "the sets of words that terms (@set) and what they need or rule out name",
		Header: []string{"set", "language", "words", "source", "mark"}}
	for _, w := range wording.Sets() {
		t.Rows = append(t.Rows, []string{w.Set, w.Language, w.Words, "common practice, no source", w.Mark})
	}
	return t
}

func gradeTable() RuleTable {
	t := RuleTable{Name: "grades", About: "filter classes; efficiencies and arrestance in %, a blank where the class sets none",
		Header: []string{"system", "class", "group", "overall efficiency", "local efficiency", "size, um", "at 0.3 to 1 um", "at 1 to 3 um", "at 3 to 10 um", "arrestance", "below", "discharged", "final Pa",
			"standard", "source", "mark"}}
	for _, g := range wording.Grades() {
		size := plainOr(g.SizeUm, 0)
		if g.MPPS {
			size = "MPPS"
		}
		t.Rows = append(t.Rows, []string{g.System, g.Class, g.Group, plainOr(g.Integral, 0), plainOr(g.Local, 0), size, plainOr(g.E1, 0), plainOr(g.E2, 0), plainOr(g.E3, 0), plainOr(g.Arrestance, 0),
			plainOr(g.Upper, 0), plainOr(g.Discharged, 0), plainOr(g.FinalPa, 0), g.Standard, g.Source, g.Mark})
	}
	return t
}

func areaTable() RuleTable {
	t := RuleTable{Name: "areas", About: "published rules from a delivery rate to a room area",
		Header: []string{"rule", "same as (before)", "name", "m2 per m3/h", "air changes, 1/h", "ceiling, m", "minutes", "part that remains", "natural loss, 1/h", "a claim names it by", "note", "source", "mark"}}
	for _, r := range measure.AreaRules() {
		t.Rows = append(t.Rows, []string{r.ID, r.SameAs, r.Name, plain(r.PerM3h()), plain(r.Rate()), plain(r.Ceiling), plain(r.Minutes), plain(r.Remaining), plain(r.Natural), strings.Join(r.Keys, ", "),
			r.Note, r.Source, r.Mark})
	}
	return t
}

func tierTable() RuleTable {
	t := RuleTable{Name: "tiers", About: "published minima of the delivery rate per watt, for information",
		Header: []string{"scheme", "tier", "from, m3/h", "below, m3/h", "minimum", "since", "status", "looked at", "note", "source", "mark"}}
	for _, r := range measure.EfficacyTiers() {
		below := ""
		if !math.IsInf(r.Below, 1) {
			below = plain(r.Below)
		}
		t.Rows = append(t.Rows, []string{r.Scheme, r.Name, plain(r.From), below, r.Text, r.Since, r.Status, r.Checked, r.Note, r.Source, r.Mark})
	}
	return t
}

func instrumentTable() RuleTable {
	t := RuleTable{Name: "instruments", About: "the standard uncertainty that stands in where the book states no accuracy",
		Header: []string{"id", "quantity", "name", "constant", "% of the reading", "relative doubt", "source", "mark"}}
	for _, d := range measure.DefaultInstruments() {
		t.Rows = append(t.Rows, []string{d.ID, d.Quantity, d.Name, plain(d.Abs), plain(d.Percent), plain(d.Doubt), d.Source, d.Mark})
	}
	return t
}

func dropoutTable() RuleTable {
	t := RuleTable{Name: "dropouts", About: "what loggers write where they have no reading; taken for that only where it stands so far from the middle of the others: in dB, or in multiples of a power",
		Header: []string{"quantity", "code", "least apart", "what", "source", "mark"}}
	for _, c := range measure.DropoutCodes() {
		t.Rows = append(t.Rows, []string{c.Quantity, plain(c.Code), plain(c.Apart), c.What, c.Source, c.Mark})
	}
	return t
}

func basisTable() RuleTable {
	all, err := csv.NewReader(strings.NewReader(basesCSV)).ReadAll()
	if err != nil {
		panic("bases.csv: " + err.Error())
	}
	return RuleTable{Name: "bases", About: "procedures that the basis of a claim names, with the hours a day that they count", Header: all[0], Rows: all[1:]}
}

func thresholdTable() RuleTable {
	t := RuleTable{Name: "thresholds", About: "numbers from which on a reading of sound or power is treated otherwise", Header: []string{"id", "value", "unit", "what", "source", "mark"}}
	for _, x := range measure.Thresholds() {
		t.Rows = append(t.Rows, []string{x.ID, plain(x.Value), x.Unit, x.What, x.Source, x.Mark})
	}
	return t
}

func recordTable() RuleTable {
	t := RuleTable{Name: "record", About: "what a test report states, ISO/IEC 17025:2017 7.8.2.1", Header: []string{"item", "what", "taken from", "source", "mark"}}
	for _, r := range records() {
		t.Rows = append(t.Rows, []string{r[0], r[1], r[2], "ISO/IEC 17025:2017 7.8.2.1 " + r[0], r[3]})
	}
	return t
}

func phraseTable() RuleTable {
	return ownTable("phrases", "how the gap between a claim and its measurement is said, by attribute; {} is the gap", wordsCSV)
}

func requestTable() RuleTable {
	return ownTable("requests", "what the maker is asked for each part that a claim leaves open: \"frame\" joins the parts to a question, * is any attribute", questionsCSV)
}

// ownTable is an embedded table of this project's own words, which has no columns for source and mark.
func ownTable(name, about, text string) RuleTable {
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(name + ": " + err.Error())
	}
	t := RuleTable{Name: name, About: about, Header: append(all[0], "source", "mark")}
	for _, r := range all[1:] {
		t.Rows = append(t.Rows, append(r, "this project's choice of words", "judgement"))
	}
	return t
}

func unitTable() RuleTable {
	t := RuleTable{Name: "units", About: "units, their factor to the unit that results of their dimension are given in, and the spellings that are read for them",
		Header: []string{"unit", "dimension", "factor", "spellings", "source", "mark"}}
	for _, u := range unit.Rows() {
		t.Rows = append(t.Rows, []string{u.Name, u.Dimension, u.Factor, strings.Join(u.Spellings, "; "), u.Source, u.Mark})
	}
	return t
}

func spellingTable() RuleTable {
	t := RuleTable{Name: "spellings", About: "further spellings of units in running text", Header: []string{"spelling", "unit", "source", "mark"}}
	for _, x := range wording.Spellings() {
		t.Rows = append(t.Rows, []string{x.Text, x.Unit, x.Source, x.Mark})
	}
	return t
}

func settingTable() RuleTable {
	t := RuleTable{Name: "settings", About: "names of fan settings: names of one key are one setting; a phrase counts in any text, a bare word where it stands as a label, a cell name in a column of settings, an ordinal numbers settings, a ceiling says that a number holds at the highest setting too; of names of the highest rank 1 is the surest",
		Header: []string{"key", "class", "rank", "form", "language", "names", "source", "mark"}}
	for _, r := range setting.Rows() {
		t.Rows = append(t.Rows, []string{r.Key, string(r.Class), plainOr(float64(r.Rank), 0), r.Form, r.Lang, strings.Join(r.Names, "; "), r.Source, r.Mark})
	}
	return t
}

func otherTable() RuleTable {
	t := RuleTable{Name: "others", About: "words by which a claim's source says that others than the maker speak there; such a claim is held open",
		Header: []string{"language", "words", "source", "mark"}}
	for _, r := range claims.Others() {
		t.Rows = append(t.Rows, []string{r.Language, strings.Join(r.Words, "; "), r.Source, r.Mark})
	}
	return t
}

func plausibleTable() RuleTable {
	t := RuleTable{Name: "plausible", About: "the ranges beyond which a claimed value or a room is hardly meant: such a number is asked about and accuses nobody",
		Header: []string{"of", "low", "high", "unit", "source", "mark"}}
	for _, r := range claims.PlausibleRows() {
		t.Rows = append(t.Rows, []string{r.Of, plain(r.Low), plain(r.High), r.Unit, r.Source, r.Mark})
	}
	return t
}

func listingTable() RuleTable {
	t := RuleTable{Name: "listing", About: "the words by which a listing says what a number is: topics, what is no claim, bounds, particles, units; a * lets a word go on",
		Header: []string{"kind", "value", "dimensions", "language", "words", "source", "mark"}}
	for _, w := range listing.Words() {
		if w.Kind == "setting" || w.Kind == "bare" || w.Kind == "ordinal" {
			continue // in the table of settings
		}
		var dims []string
		for _, d := range w.Dims {
			dims = append(dims, string(d))
		}
		t.Rows = append(t.Rows, []string{w.Kind, w.Value, strings.Join(dims, ", "), w.Lang, strings.Join(w.Words, "; "), w.Source, w.Mark})
	}
	return t
}

func logTable() RuleTable {
	t := RuleTable{Name: "logs", About: "the words by which logs are read: what is no value, AM and PM, months, zones, parts of a time, names of columns that tell series apart, number the rows or name another quantity",
		Header: []string{"kind", "meaning", "words", "source", "mark"}}
	for _, w := range sheet.LogWords() {
		if n := len(t.Rows); n > 0 && t.Rows[n-1][0] == w.Kind && t.Rows[n-1][1] == w.Meaning && t.Rows[n-1][3] == w.Source {
			t.Rows[n-1][2] += "; " + w.Word
			continue
		}
		t.Rows = append(t.Rows, []string{w.Kind, w.Meaning, w.Word, w.Source, w.Mark})
	}
	return t
}

const decisionSource = "JCGM 106:2012 7.3, 7.4, formulas (computed); the numbers of its clauses (memory); the two probabilities (judgement)"

func decisionTable() RuleTable {
	t := RuleTable{Name: "decision", About: "the decision rule", Header: []string{"item", "rule", "source", "mark"}}
	add := func(r ...string) { t.Rows = append(t.Rows, r) }
	add("supported", fmt.Sprintf("probability that the true value meets the limit at least %g", 1-Risk), decisionSource, "judgement")
	add("contradicted", fmt.Sprintf("probability at most %g", Risk), decisionSource, "judgement")
	add("few degrees of freedom", "Student's t with the effective degrees of freedom in place of the normal distribution", "this project", "judgement")
	add("guard band", "w = t(0.95, ν) u each side of the limit; 0.82 U (k = 2) where ν is infinite", "ISO 14253-1:2017: 0.83 U by default (second-hand); t in its place where degrees of freedom are few (judgement)", "judgement")
	add("ranges", "at least: the low end; at most: the high end; about: both ends", "this project", "judgement")
	add("up to", "on a benefit judged as at least the stated figure; a finding too", "this project", "judgement")
	add("rounding", "a claim is read with half of its last printed digit on the maker's side, before its tolerance", "this project", "judgement")
	add("about without tolerance", "10 %; of an efficiency its rounding alone", "this project", "judgement")
	add("one room, no reverberation time", "a level contradicts only where it is beyond the limit without what the room may add to it too, K2 at the time and volume of the table of thresholds", "this project", "judgement")
	add("a level nearer than claimed", "supports a claim of at most so much where it meets the limit; decides nothing else", "this project", "judgement")
	add("upper bound, room too small", "never contradict", "this project", "judgement")
	add("several claims", "p after Holm's adjustment beside each verdict, each result counted once; the verdict itself is by p alone", "Holm, Scand. J. Statist. 6 (1979) 65 (memory); rows of one result share its place (judgement)", "judgement")
	var names []string
	for _, a := range claims.Attributes() {
		names = append(names, fmt.Sprintf("%s: %s", a.Name, a.Bound))
	}
	add("usual bounds", strings.Join(names, "; "), "this project", "judgement")
	return t
}

func gateTable() RuleTable {
	t := RuleTable{Name: "gate", About: "what a delivery rate has to survive before a claim is decided on it", Header: []string{"constant", "what it is", "value", "unit", "source", "mark"}}
	for _, r := range measure.GateRules() {
		t.Rows = append(t.Rows, []string{r.ID, r.What, plain(r.Value), r.Unit, r.Source, r.Mark})
	}
	return t
}

func plain(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return short(x)
}

// plainOr is plain, but "" for the value that stands for nothing.
func plainOr(x, nothing float64) string {
	if x == nothing {
		return ""
	}
	if x > 90 && x < 100 {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return plain(x)
}
