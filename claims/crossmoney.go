package claims

import (
	"fmt"
	"regexp"
	"strings"

	"weighhouse/claims/wording"
)

var (
	money      = `(?:(EUR|USD|GBP|CHF|€|\$|£)\s*(\d+(?:[.,]\d{1,2})?)|(\d+(?:[.,]\d{1,2})?)\s*(EUR|USD|GBP|CHF|€|\$|£))`
	perYear    = regexp.MustCompile(`(?i)(?:year(?:'s worth)? of filters?|filters? (?:a|per) year|(?:yearly|annual) filters? costs?|filter costs? (?:a|per) year)[^.;]{0,30}?` + money)
	perYear2   = regexp.MustCompile(`(?i)` + money + `\s*(?:a|per|/)\s*year (?:for|in|on) filters?`)
	eachFilter = regexp.MustCompile(`(?i)(?:replacement |spare |new )?filter[^.;€$£]{0,25}?` + money)
)

// price is an amount of money in the words of a claim.
type price struct {
	amount   float64
	currency string
	claim    Claim
}

func priceFrom(m []string, c Claim) price {
	cur, num := m[1], m[2]
	if num == "" {
		num, cur = m[3], m[4]
	}
	for sign, code := range map[string]string{"€": "EUR", "$": "USD", "£": "GBP"} {
		if cur == sign {
			cur = code
		}
	}
	return price{number(num), strings.ToUpper(cur), c}
}

// filterMoney sets the yearly cost of filters that words state beside the price of one filter and the life claimed.
func (x *crossing) filterMoney() {
	var yearly, single []price
	for _, c := range x.claims {
		m := perYear.FindStringSubmatch(c.Wording)
		if m == nil {
			m = perYear2.FindStringSubmatch(c.Wording)
		}
		if m != nil {
			yearly = append(yearly, priceFrom(m, c))
		} else if m := eachFilter.FindStringSubmatch(c.Wording); m != nil {
			single = append(single, priceFrom(m, c))
		}
	}
	for _, y := range yearly {
		for _, s := range single {
			if s.currency != y.currency || s.claim.Attribute != FilterLife || !s.claim.Calendar || s.claim.Claimed == nil || s.claim.element() != y.claim.element() || !sameDay(s.claim, y.claim) {
				continue
			}
			months := s.claim.Claimed.High / (365.0 * 24 / 12)
			if h := s.claim.Basis.HoursPerDay; h > 0 {
				months *= 24 / h
			}
			if months <= 0 || months >= 12*(1-agreement) {
				continue
			}
			if cost := s.amount * 12 / months; cost > y.amount*(1+agreement) {
				x.found(likenessOf(s.claim.Basis.HoursPerDay, y.claim.Basis.HoursPerDay, 0), "CX-15", fmt.Sprintf("A filter at %g %s every %.3g months comes to %.4g %s a year; %g %s a year are stated.",
					s.amount, s.currency, months, cost, s.currency, y.amount, y.currency), y.claim, s.claim)
			}
		}
	}
}

// grades compares the filter classes that different claims name for the unit's filter.
func (x *crossing) grades() {
	type named struct {
		grade wording.Grade
		claim Claim
	}
	var seen []named
	for _, c := range x.claims {
		if c.Attribute != FilterGrade {
			continue
		}
		g, ok := wording.LookupGrade(c.Wording)
		if !ok {
			continue
		}
		for _, s := range seen {
			if s.grade.System == g.System && s.grade.Class != g.Class && sameDay(s.claim, c) && s.claim.element() == c.element() {
				x.add("FG-23", fmt.Sprintf("The %s names class %s, the %s class %s.", orSource(s.claim), s.grade.Class, orSource(c), g.Class), s.claim, c)
			}
		}
		seen = append(seen, named{g, c})
	}
}
