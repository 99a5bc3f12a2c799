package listing

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"weighhouse/claims"
)

// Price is an amount of money that the listing names for the product, a filter, electricity or a year of running.
type Price struct {
	Kind     string  `json:"kind"` // "product", "filter", "electricity" (a kWh), "running cost" (a year)
	Value    float64 `json:"value"`
	Currency string  `json:"currency"` // EUR, GBP …; "$" and "¥" as written, for they name several
	Quote    string  `json:"quote"`    // Body[Start:End]
	Start    int     `json:"-"`
	End      int     `json:"-"`
	Line     int     `json:"line"`
	Col      int     `json:"column"`
	Pieces   int     `json:"pieces,omitempty"` // how many filters the amount buys, where that is more than one
	Option   string  `json:"option,omitempty"` // what else the words say of a filter price: the words before it
}

var currencies = map[string]string{"€": "EUR", "£": "GBP", "eur": "EUR", "gbp": "GBP", "usd": "USD", "us$": "USD", "chf": "CHF", "$": "$", "¥": "¥",
	"euro": "EUR", "euros": "EUR", "dollar": "$", "dollars": "$", "pounds": "GBP", "zł": "PLN", "pln": "PLN", "sek": "SEK", "dkk": "DKK", "nok": "NOK", "元": "CNY", "cny": "CNY", "円": "JPY", "jpy": "JPY", "kr": "kr"}

var (
	moneyBefore = lazily(`(?i)(US\$|€|£|\$|¥|\b(?:EUR|GBP|USD|CHF|PLN|SEK|DKK|NOK|CNY|JPY)\b)\s?(\d)`)
	moneyAfter  = lazily(`(?i)^(?:,[-–—]{1,2})?[ \x{00a0}\x{202f}]?(€|£|\$|¥|zł|元|円|(?:EUR|GBP|USD|CHF|PLN|SEK|DKK|NOK|CNY|JPY|euros?|dollars?|pounds|kr)\b)`)
	centsAfter  = lazily(`(?i)^[ \x{00a0}]?(p|ct|cts|cents?|c)\b`)
	aKWh        = lazily(`(?i)^[ \x{00a0}]?(?:/|per|pro|a|an|je|par|por|al)[ \x{00a0}]?kWh\b`)
)

// another stands before the price of what the sentence before spoke of: "A new one is 55 EUR", "they're €12.90 each".
var another = lazily(`(?i)\b(?:ones?|they|they're|it|each|sets?|spare|neue[rs]?|er|sie|il|elle|nouveau|nuevo|nuovo)\b`)

// alternative stands between an amount and another for the same thing.
var alternative = lazily(`(?i)^,?\s*(?:or|oder|ou|o|bzw\.?)\s+(?:just |only |nur )?$`)

// aPiece stands behind the price of one piece of a pack.
var aPiece = lazily(`(?i)^[ \x{00a0}]?(?:/|per|a|an|for each|je|pro|par|por|al|l')[ \x{00a0}]?(?:filter|filtre|filtro|piece|stück|unit|unité|unidad|cartridge|one)\b|^[ \x{00a0}]?(?:each|apiece|pro stück|l'unité|cada uno|ciascuno)\b`)

// packed names several pieces sold as one.
var packed = lazily(`(?i)\b(?:\d+|two|three|four|six)[- ]?packs?\b|\bpack of\b|\bset of\b|\bpair of\b|\bmultipack\b|\b\d+er[- ](?:pack|set)\b|\blot de\b|\bpack de\b|\bset da\b|\bconfezione da\b`)

// pricesOf reads the prices of one sentence.
func (r *reader) pricesOf(s *sentence) {
	if len(r.e.Prices) >= MaxClaims {
		return
	}
	defer r.packs(s, len(r.e.Prices))
	seen := map[int]bool{}
	for _, m := range moneyBefore().FindAllStringSubmatchIndex(s.text, -1) {
		if n, ok := scanNumber(s.text, m[4], s.decimalComma); ok && !seen[n.start] {
			seen[n.start] = true
			r.price(s, n.value, currencies[strings.ToLower(s.text[m[2]:m[3]])], m[0], n.end)
		}
	}
	for i := 0; i < len(s.text); i++ {
		if !isDigit(s.text[i]) {
			if n, ok := scanNumberWord(s.text, i, s.lang); ok {
				if m := moneyAfter().FindStringSubmatch(s.text[n.end:]); m != nil {
					r.price(s, n.value, currencies[strings.ToLower(m[1])], n.start, n.end+len(m[0]))
				}
				i = n.end - 1
			}
			continue
		}
		n, ok := scanNumber(s.text, i, s.decimalComma)
		if !ok || !mayStart(s.text, i) || seen[i] {
			i = skipCode(s.text, i)
			continue
		}
		if m := moneyAfter().FindStringSubmatch(s.text[n.end:]); m != nil {
			r.price(s, n.value, currencies[strings.ToLower(m[1])], n.start, n.end+len(m[0]))
		} else if m := centsAfter().FindStringSubmatch(s.text[n.end:]); m != nil && aKWh().MatchString(s.text[n.end+len(m[0]):]) {
			c := "" // cents of the listing's own currency, found when all prices are known
			if m[1] == "p" {
				c = "GBP"
			}
			r.price(s, n.value/100, c, n.start, n.end+len(m[0]))
		}
		i = n.end - 1
	}
}

var (
	includes   = lazily(`(?i)(?:\bincl(?:\.|uding|udes)?|\binkl(?:\.|usive)?|\bfree|\bkostenlose[rnm]?|\bgratis|\by compris|\bincluid[oa]|\bcompres[oa]) (?:\pL+ )?$`)
	fromSum    = lazily(`(?i)^ (?:\pL+ ){0,2}(?:over|from|above|on|ab|dès|desde|da|oltre|à partir)\b`)
	isIncluded = lazily(`(?i)^ (?:is |are |ist )?(?:included|inbegriffen|enthalten|incluse|comprise|incluid[oa]|compres[oa]|free\b)`)
)

// included reports whether what a word names is part of the price: "incl. delivery".
func (s *sentence) included(h *hit) bool {
	if fromSum().MatchString(s.text[h.end:]) {
		return false // "free shipping over £50"
	}
	return includes().MatchString(tail(s.text[:h.start], 40)) || isIncluded().MatchString(s.text[h.end:])
}

var ofEnergy = lazily(`(?i)kWh (?:a|per|each|pro|im|par|al|all')[ ]?\pL{2,5},? (?:or|so|i\.e\.|that is|oder|also|soit|ou|o)(?: about| around| rund| environ)? $`)

// price records an amount when the words around say what it buys, and nothing that it is not a price to pay.
func (r *reader) price(s *sentence, v float64, currency string, start, end int) {
	if r.t.isStruck(s.start+start, s.start+end) || v <= 0 {
		return
	}
	kind, option, cost := "product", "", 60
	if loc := aKWh().FindStringIndex(s.text[end:]); loc != nil {
		kind, end = "electricity", end+loc[1]
	} else if ofEnergy().MatchString(tail(s.text[:start], 60)) {
		kind, cost = "running cost", 0 // "96 kWh a year, or €31"
	} else {
		for _, h := range s.hits["price"] {
			d := start - h.end
			if d > cost || h.start-end > cost || h.row.Value == "other" && s.included(&h) {
				continue
			}
			if h.start >= end {
				d = h.start - end + 1
				if h.row.Value == "former" || s.leadsToMoney(h.end) || d > 25 || s.moneyBetween(end, h.start) || s.breaks(end, h.start) {
					continue
				}
			} else if !(s.label > 0 && h.end <= s.label) && (s.moneyBetween(h.end, start) || h.row.Value == "running cost" && s.breaks(h.end, start)) {
				continue // "a filter does a year and costs 29 €"
			}
			if h.end <= start && !(s.label > 0 && h.end <= s.label) && strings.Contains(s.text[h.end:start], ",") {
				d += 10 // "15 euro a filter, 9 euro postage"
			}
			if d < cost {
				kind, cost, option = h.row.Value, d, ""
				if kind == "filter" {
					option = strings.Join(strings.Fields(s.text[h.start:h.end]), " ")
				}
			}
		}
		if s.above != nil && cost == 60 {
			if h := s.above.hits["price"]; len(h) > 0 {
				kind = h[0].row.Value
			}
		}
		if cost == 60 && kind == "product" && s.life.name == string(claims.FilterLife) && another().MatchString(s.text[:start]) {
			kind = "filter" // "It lasts 10 months. A new one is …"
		}
	}
	if n := len(r.e.Prices); n > 0 && kind == "product" && r.e.Prices[n-1].Start >= s.start && r.e.Prices[n-1].End <= s.start+start && alternative().MatchString(s.text[r.e.Prices[n-1].End-s.start:start]) {
		kind, option = r.e.Prices[n-1].Kind, r.e.Prices[n-1].Option // "£36.00, or £31.00 on subscription"
	}
	if kind == "product" && cost == 60 && slices.ContainsFunc(r.e.Prices, func(p Price) bool { return p.Kind == "product" }) {
		kind = "other" // an amount of which nothing says what it buys, behind the price of the offer: a wall hook, a parcel
	}
	if kind == "other" || kind == "former" || kind == "list" && len(r.listed) > 0 {
		return
	}
	p := Price{Kind: kind, Value: v, Currency: currency, Start: s.start + start, End: s.start + end, Option: option}
	if kind == "filter" {
		p.Pieces = s.pieces(start)
	}
	same := func(o Price) bool { return o.Kind == p.Kind && o.Value == p.Value && o.Currency == p.Currency }
	if kind == "list" {
		p.Kind, p.Quote = "product", r.t.Body[p.Start:p.End]
		p.Line, p.Col = r.t.At(p.Start)
		r.listed = []Price{p}
		return
	}
	if len(r.e.Prices) < MaxClaims && !slices.ContainsFunc(r.e.Prices, same) {
		p.Quote = r.t.Body[p.Start:p.End]
		p.Line, p.Col = r.t.At(p.Start)
		r.e.Prices = append(r.e.Prices, p)
	}
}

var packOf = lazily(`(?i)\b(?:(\d+)|(two|twin|double)|(three|triple)|(four)|(six))[- ]?(?:pack|set)s?\b|\b(?:pack|set) of (?:(\d+)|(two)|(three)|(four)|(six))\b|\b(\d+)er[- ](?:pack|set)\b|\blot de (\d+)\b`)

// pieces is how many pieces the pack holds that is named last before an amount; 0 where none is.
func (s *sentence) pieces(start int) int {
	n := 0
	for _, m := range packOf().FindAllStringSubmatch(tail(s.text[:start], 300), -1) {
		for i, words := range m[1:] {
			if words == "" {
				continue
			}
			if v, err := strconv.Atoi(words); err == nil {
				n = v
			} else {
				n = []int{0, 2, 3, 4, 6, 0, 2, 3, 4, 6}[i]
			}
		}
	}
	if n > 24 {
		return 0
	}
	return n
}

// packs leaves out the price of a pack whose piece is priced in the same sentence: "2-pack: $45.98 ($22.99 per filter)".
func (r *reader) packs(s *sentence, first int) {
	own := r.e.Prices[first:]
	for _, p := range own {
		if !packed().MatchString(s.text) || p.End-s.start > len(s.text) || !aPiece().MatchString(s.text[p.End-s.start:]) {
			continue
		}
		r.e.Prices = append(r.e.Prices[:first:first], slices.DeleteFunc(own, func(o Price) bool {
			n := math.Round(o.Value / p.Value)
			return n >= 2 && n <= 12 && math.Abs(o.Value-n*p.Value) < 0.02*o.Value
		})...)
		return
	}
}

// amountNext matches an amount that stands directly behind a word, which then belongs to it: "269,00 € UVP 329,00 €",
// "$89.99 (spare filter AXF-13: $21.99)".
var amountNext = lazily(`^[^\d€£$¥,;.]{0,3}(?:€|£|\$|¥|EUR|GBP|USD)? ?\d+(?:[.,]\d+)?(?:[ \x{00a0}]?(?:€|£|\$|¥|EUR|GBP|USD)|)|^[^€£$¥,;.()]{0,20}: ?[€£$¥]? ?\d`)

func (s *sentence) leadsToMoney(end int) bool {
	m := amountNext().FindString(s.text[end:])
	return strings.ContainsAny(m, "€£$¥") || strings.HasPrefix(strings.TrimLeft(m, " :"), "EUR")
}

// moneyBetween reports whether another amount stands in s.text[lo:hi].
func (s *sentence) moneyBetween(lo, hi int) bool {
	return lo < hi && strings.ContainsAny(s.text[lo:hi], "€£$¥")
}

// listPrice takes the list price for that of the product where the listing names no other.
func (r *reader) listPrice() {
	if len(r.listed) > 0 && !slices.ContainsFunc(r.e.Prices, func(p Price) bool { return p.Kind == "product" }) {
		r.e.Prices = append(r.e.Prices, r.listed[0])
		slices.SortStableFunc(r.e.Prices, func(a, b Price) int { return a.Start - b.Start })
	}
}

// currency gives cents without a currency that of the first price that has one.
func (r *reader) currency() {
	main := ""
	for _, p := range r.e.Prices {
		if main == "" && p.Currency != "" {
			main = p.Currency
		}
	}
	for i := range r.e.Prices {
		if r.e.Prices[i].Currency == "" {
			r.e.Prices[i].Currency = main
		}
	}
}

// productOf reads maker and model where a line labels them.
func (r *reader) productOf(s *sentence) {
	hits := s.hits["label"]
	if len(hits) == 0 || hits[0].start != 0 {
		return
	}
	rest := strings.TrimLeft(s.text[hits[0].end:], " \u00a0")
	if !strings.HasPrefix(rest, ":") || len(rest) > 80 {
		return
	}
	for _, h := range hits[1:] { // "Brand: Zuffpuro   Model: ZP-H14"
		if at := h.start - (len(s.text) - len(rest)); at > 0 && strings.HasPrefix(strings.TrimLeft(s.text[h.end:], " \u00a0"), ":") {
			rest = rest[:min(at, len(rest))]
		}
	}
	if i := strings.Index(rest, "   "); i > 2 {
		rest = rest[:i]
	}
	value := strings.TrimSpace(strings.Trim(rest, ": \u00a0."))
	if value == "" {
		return
	}
	p := &r.e.Product
	switch {
	case hits[0].row.Value == "maker" && p.Maker == "":
		p.Maker = value
	case hits[0].row.Value == "model" && p.Model == "":
		p.Model = value
	}
}

// finishProduct fills the price of the product, where the listing names one.
func finishProduct(e *Extract, name string) {
	e.Product.Listing = name
	for _, p := range e.Prices {
		if p.Kind == "product" && e.Product.Price == "" {
			e.Product.Price, e.Product.Currency = plain(p.Value), p.Currency
		}
	}
}
