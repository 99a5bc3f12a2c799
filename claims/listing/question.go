package listing

import (
	"fmt"
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/claims/wording"
)

// covered lists rules whose question another one asks too, where both are about one claim.
var covered = map[string][]string{"NS-05": {"NS-01", "NS-06", "CX-03"}, "NS-03": {"NS-01"}, "NS-06": {"CX-03"}, "BIO-02": {"BIO-01"}, "OZ-01": {"CX-12"}}

// mostQuestions is how many questions are put to a seller at most: who is asked more answers none.
const mostQuestions = 6

// asking is a question on the words of one claim, or on words that are no claim.
type asking struct {
	rank   int
	ids    []string // of the claims
	quotes []string
	rules  []string
	asks   []string
}

// Questions are the questions to send to the seller, the most important first: what the findings ask, all that is about one
// claim together, by severity; then what the listing does not say at all. Nothing is asked twice.
func Questions(e Extract, fs []Found) []string {
	rank := map[string]int{"high": 0, "medium": 1, "low": 2}
	var list []*asking
	for _, f := range fs {
		if strings.Trim(f.Ask, " –-") == "" {
			continue
		}
		a := findAsking(list, f)
		if a == nil {
			a = &asking{rank: 2*len(rank) + 1, ids: f.Claims}
			list = append(list, a)
		}
		r := 2 * rank[f.Severity]
		if !wording.Stops(f.Rule) {
			r++ // what keeps a claim from being tested comes first
		}
		a.rank = min(a.rank, r)
		a.quotes, a.rules, a.asks = append(a.quotes, strings.Join(strings.Fields(f.Quote), " ")), append(a.rules, f.Rule), append(a.asks, f.Ask)
	}
	slices.SortStableFunc(list, func(a, b *asking) int { return a.rank - b.rank })
	var out []string
	asked := map[string]bool{}
	for _, a := range list {
		if q := a.sentence(asked); q != "" {
			out = append(out, q)
		}
	}
	ask := func(q string) {
		if !asked[fold(q)] {
			asked[fold(q)] = true
			out = append(out, q)
		}
	}
	for _, m := range missing {
		if !slices.ContainsFunc(e.Claims, func(d Said) bool { return d.Claim.Attribute == m.attribute }) {
			ask(m.ask)
		}
	}
	if !slices.ContainsFunc(e.Prices, func(p Price) bool { return p.Kind == "filter" }) {
		ask("What does a set of replacement filters cost?")
	}
	return out[:min(len(out), mostQuestions)]
}

// findAsking is the question that a finding belongs to: of the same claims, or of the same words.
func findAsking(list []*asking, f Found) *asking {
	words := strings.Join(strings.Fields(f.Quote), " ")
	for _, a := range list {
		same := slices.ContainsFunc(a.quotes, func(q string) bool { return strings.Contains(q, words) || strings.Contains(words, q) })
		if len(f.Claims) > 0 && slices.Equal(a.ids, f.Claims) || len(f.Claims) == 0 && len(a.ids) == 0 && same {
			return a
		}
	}
	return nil
}

// maxQuotes is how many quotes one question repeats.
const maxQuotes = 3

// sentence words the question; what was asked before is left out.
func (a *asking) sentence(asked map[string]bool) string {
	var quotes, asks []string
	for i, q := range a.asks {
		if slices.ContainsFunc(covered[a.rules[i]], func(by string) bool { return slices.Contains(a.rules, by) }) || asked[fold(q)] {
			continue
		}
		asked[fold(q)] = true
		asks = append(asks, q)
		w := a.quotes[i]
		if w == "" || len(quotes) >= maxQuotes || slices.ContainsFunc(quotes, func(o string) bool { return strings.Contains(o, w) }) {
			continue
		}
		quotes = slices.DeleteFunc(quotes, func(o string) bool { return strings.Contains(w, o) })
		quotes = append(quotes, w)
	}
	if len(asks) == 0 {
		return ""
	}
	text := strings.Join(asks, " ")
	if len(quotes) == 0 {
		return text
	}
	for i := range quotes {
		quotes[i] = fmt.Sprintf("%q", shorten(quotes[i], 120))
	}
	return "You write " + strings.Join(quotes, " and ") + ". " + text
}

// missing is what a buyer needs of every room air cleaner, in order of weight.
var missing = []struct {
	attribute claims.Attribute
	ask       string
}{
	{claims.DeliveryRate, "What is the clean air delivery rate in m3/h or cfm, for which particle, at which setting, and by which standard?"},
	{claims.Noise, "How loud is it in dB(A) at the setting of the delivery rate: sound power, or sound pressure at what distance?"},
	{claims.Power, "How many watts does it draw at the setting of the delivery rate, and in standby?"},
	{claims.RoomArea, "For what room size is it meant, at how many air changes an hour and what ceiling height?"},
	{claims.FilterLife, "How many hours does a filter last, at which setting, and what ends its life?"},
}
