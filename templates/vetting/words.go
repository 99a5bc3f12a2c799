package vetting

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"weighhouse/claims/listing"
	"weighhouse/claims/wording"
	"weighhouse/measure"
	"weighhouse/measure/unit"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
)

// Severities are the weights of findings, the gravest first.
var Severities = []string{"high", "medium", "low"}

// The sentences that stand at the head of parts, in every form.
const (
	aboutClaims = "Each claim with its place in the listing, its exact words, and what was understood. A bound that the listing does not state is the usual one " +
		"of its kind: at least for a benefit, at most for a nuisance. Check the words before you rely on the reading."
	aboutFindings = "Words and figures that no test could settle as they stand, that disagree with each other, or that leave out what a reader needs; the gravest first. " +
		"A finding says nothing about the product."
	aboutFixed   = "Words that a standard or a limit gives a meaning. Nothing is open about them; the question asks for the evidence."
	aboutPassed  = "Words that were read as being about something else, or by somebody else, so that nothing was taken from them. Check whether that is right."
	aboutImplied = "Arithmetic on the listing's own numbers, by published rules. Nothing was measured. Where the listing names no ceiling, the height that a rule assumes or 2.4 m stands in."
	aboutCosts   = "By the listing's own watts, prices and filter life, for several numbers of hours a day. Money of two currencies is never added."
	aboutAsked   = "Ready to send. A seller who answers with a test report, its standard and its conditions answers most of them."
	noClaims     = "No claim about air cleaning, noise, power, filters or rooms was understood in this listing."
	noFindings   = "No rule of the program found anything to ask about the words."
	noCost       = "The listing does not state what a running cost needs."
)

// maxPassed is how much is shown of what was passed over, in characters; the JSON form has it whole.
const maxPassed = 160

// name is what the listing is about: maker and model where it labels them, else the heading of the page, else the file.
func name(v *Vetting) string {
	if s := strings.TrimSpace(v.Product.Maker + " " + v.Product.Model); s != "" {
		return s
	}
	if v.Title != "" {
		return oneLine(v.Title)
	}
	return v.Listing
}

// title heads every form.
func title(v *Vetting) string { return "What the listing says: " + name(v) }

var languages = map[string]string{"en": "English", "de": "German", "fr": "French", "es": "Spanish", "it": "Italian", "zh": "Chinese", "ja": "Japanese"}

// facts identify the reading, as names and values.
func facts(v *Vetting) (out [][2]string) {
	say := func(name, s string) {
		if s != "" {
			out = append(out, [2]string{name, s})
		}
	}
	say("Listing", v.Listing)
	say("Maker", v.Product.Maker)
	say("Model", v.Product.Model)
	say("Language", languages[v.Language])
	say("Read on", v.Issued)
	if v.Input.SHA256 != "" {
		say("File", numeral.Bytes(v.Input.Bytes)+", SHA-256 "+v.Input.SHA256)
	}
	return out
}

// count words a number of things: "1 claim", "3 claims".
func count(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// bySeverity is how many findings have each severity.
func bySeverity(v *Vetting) map[string]int {
	n := map[string]int{}
	for _, f := range v.Open() {
		n[f.Severity]++
	}
	return n
}

// tally sums up in a line: "11 claims, 2 prices; 14 findings: 5 high, 6 medium, 3 low; 12 questions".
func tally(v *Vetting) string {
	s := count(len(v.Claims), "claim") + ", " + count(len(v.Prices), "price") + "; " + count(len(v.Open()), "finding")
	var parts []string
	n := bySeverity(v)
	for _, k := range Severities {
		if n[k] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n[k], k))
		}
	}
	if len(parts) > 0 {
		s += ": " + strings.Join(parts, ", ")
	}
	return s + "; " + count(len(v.Questions), "question")
}

// place is where words stand: "shop.html:8:14".
func place(v *Vetting, line, col int) string { return fmt.Sprintf("%s:%d:%d", v.Listing, line, col) }

var displayed = regexp.MustCompile(`\b(?:m3/h|m3/min|m[23]|ft[23]|um)\b`)

// display gives the program's own sentences the printed forms of units; never used on quotes.
func display(s string) string { return displayed.ReplaceAllStringFunc(s, numeral.Unit) }

// oneLine is a quote without its line breaks.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// weighed lists the findings, the gravest first, by place within one severity.
func weighed(v *Vetting) []listing.Found {
	out := v.Open()
	at := func(f listing.Found) int {
		if i := slices.Index(Severities, f.Severity); i >= 0 {
			return i
		}
		return len(Severities)
	}
	slices.SortStableFunc(out, func(a, b listing.Found) int { return cmp.Compare(at(a), at(b)) })
	return out
}

var titles = sync.OnceValue(func() map[string]string {
	out := map[string]string{}
	for _, r := range wording.Rules() {
		out[r.ID] = r.Title
	}
	return out
})

// what names a finding in words: the title of its rule, else the rule's id.
func what(f listing.Found) string {
	if t := titles()[f.Rule]; t != "" {
		return t
	}
	return f.Rule
}

// settled says what would settle a finding and on what the rule rests.
func settled(f listing.Found) string {
	s := "Source: " + words.Sourced(f.Source, f.Mark) + "."
	if f.Evidence != "" {
		s = "Settled by: " + strings.TrimRight(f.Evidence, ". ") + ". " + s
	}
	return s
}

// capital gives a sentence its first capital; a unit that it begins with stays as it is.
func capital(s string) string {
	if strings.HasPrefix(s, "dB") {
		return s
	}
	return words.Upper(s)
}

// rules are a finding's rule and those of the same meaning that found the same words.
func rules(f listing.Found) string { return strings.Join(append([]string{f.Rule}, f.Also...), ", ") }

// money writes an amount with its currency.
func money(x float64, currency string) string { return numeral.With(numeral.Fixed(x, 2), currency) }

// moneyOr is money, or a dash where there is none.
func moneyOr(x *float64, currency string) string {
	if x == nil {
		return numeral.Dash
	}
	return money(*x, currency)
}

// priceKind words what a price buys.
func priceKind(p listing.Price) string {
	switch p.Kind {
	case "electricity":
		return "electricity, a kWh"
	case "running cost":
		return "running, a year as stated"
	case "filter":
		return "replacement filter"
	}
	return p.Kind
}

// priceValue writes a price; electricity to a tenth of a cent.
func priceValue(p listing.Price) string {
	if p.Kind == "electricity" {
		return numeral.With(numeral.Plain(p.Value), p.Currency)
	}
	return money(p.Value, p.Currency)
}

// ruleNames are the published rules by id, as measure lists them.
func ruleNames(ids []string) string {
	var out []string
	for _, r := range measure.AreaRules() {
		if slices.Contains(ids, r.ID) {
			out = append(out, display(r.Name))
		}
	}
	return strings.Join(out, "; ")
}

// roomText says what a stated area implies, and by which rules the stated rate serves it.
func roomText(r listing.Room) string {
	s := r.Text + "."
	if m := ruleNames(r.Meets); m != "" {
		s += " Enough for that area by: " + m + "."
	}
	if m := ruleNames(r.Misses); m != "" {
		s += " Less than is asked for that area by: " + m + "."
	}
	return display(s)
}

// areaGroup is one stated rate with the area by each published rule.
type areaGroup struct {
	Rate  string // "C2: 340 m³/h"
	Areas []listing.Area
}

func areaGroups(v *Vetting) (out []areaGroup) {
	for _, a := range v.Areas {
		rate := fmt.Sprintf("%s: %s", a.Rate, numeral.With(numeral.Plain(a.RateM3h), numeral.Unit("m3/h")))
		if n := len(out); n == 0 || out[n-1].Rate != rate {
			out = append(out, areaGroup{Rate: rate})
		}
		out[len(out)-1].Areas = append(out[len(out)-1].Areas, a)
	}
	return out
}

// area writes an area in m² with the same in ft².
func area(m2 float64) string {
	s := numeral.With(numeral.Fixed(m2, 1), "m²")
	if ft2, err := unit.Convert(m2, "m2", "ft2"); err == nil {
		s += " (" + numeral.With(numeral.Fixed(ft2, 0), "ft²") + ")"
	}
	return s
}

func sourced(a listing.Area) string { return words.Sourced(a.Source, a.Mark) }

// costHeads are the heads of the running cost's columns.
var costHeads = []string{"hours a day", "energy, kWh", "energy cost", "filters a year", "filter cost", "together"}

// costGroup is the running cost with one price of filters.
type costGroup struct {
	Title string
	Rows  [][]string
	Basis string // of the first row
}

func costGroups(v *Vetting) (out []costGroup) {
	last := ""
	for i, c := range v.Costs {
		if i == 0 || c.Filter != last {
			title := "Filter at " + c.Filter
			if c.Filter == "" {
				title = "Electricity alone"
			}
			out = append(out, costGroup{Title: title, Basis: c.Basis})
			last = c.Filter
		}
		filters := numeral.Dash
		if c.Filters != nil {
			filters = numeral.Short(*c.Filters)
		}
		energyCurrency, filterCurrency := c.Currency, c.Currency
		if c.FilterCost != nil && c.Total == nil && c.EnergyCost != nil {
			filterCurrency = filterPriceCurrency(v, c)
		}
		g := &out[len(out)-1]
		g.Rows = append(g.Rows, []string{numeral.Plain(c.Hours), energy(c.EnergyKWh), moneyOr(c.EnergyCost, energyCurrency), filters,
			moneyOr(c.FilterCost, filterCurrency), moneyOr(c.Total, c.Currency)})
	}
	return out
}

// energy writes kWh a year, or a dash where the listing names no watts.
func energy(kWh float64) string {
	if kWh == 0 {
		return numeral.Dash
	}
	return numeral.Fixed(kWh, 0)
}

// filterPriceCurrency is the currency of the filter price that a cost rests on.
func filterPriceCurrency(v *Vetting, c listing.Cost) string {
	for _, p := range v.Prices {
		if p.Kind == "filter" && p.Quote == c.Filter {
			return p.Currency
		}
	}
	return ""
}

// statedText words a figure that bears on claims and is none.
func statedText(s listing.Stated) string {
	return s.Kind + ": " + numeral.With(numeral.Plain(s.Value), numeral.Unit(s.Unit))
}
