package listing

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"weighhouse/measure/unit"
)

// endOfLife finds in the rest of a line what ends the life of a filter: "…; by then the smoke rate has fallen to half".
var endOfLife = lazily(`(?i)\b(?:end point ?:|ends (?:at|when)|end of life ?:|until|till|by when|by which time|by then|at which point|after which|after that|when|then|bis|dann|jusqu'à|hasta|entonces)\s+((?:[^.;\n]|\.\d){0,80}?(?:\bhalf\b|\bhalved\b|halb\pL*|hälfte|moitié|mitad|metà|\d{1,2} ?%)(?:\s+(?:of its \w+ (?:value|rate)|(?:ab|zurück)?ge(?:fallen|sunken|gangen)))?)`)

// lessClean are the words of a rate or of a fall, one of which such an end names: "when used at 50 % power" is none.
var lessClean = lazily(`(?i)\b(?:rates?|cadr|delivery|air ?flow|output|performance|efficiency|capacity|pressure|fall\w*|fell|drop\w*|declin\w*|decreas\w*|down to|sunk|halved)\b|leistung|luftstrom|druck|gefallen|gesunken|débit|efficacité|baiss|caudal|rendimiento|eficacia|portata|caíd`)

// tail is the end of s, n bytes or a little less; front its beginning. What a word is near enough to bear on stands in them, and
// a search through them does not grow with the line.
func tail(s string, n int) string {
	i := max(0, len(s)-n)
	for i < len(s) && !utf8.RuneStart(s[i]) {
		i++
	}
	return s[i:]
}

func front(s string, n int) string {
	i := min(n, len(s))
	for i > 0 && i < len(s) && !utf8.RuneStart(s[i]) {
		i--
	}
	return s[:i]
}

// passageEnd matches what ends a passage: an empty line, a list's mark, a line with a label.
var passageEnd = lazily(`\n[ \t]*\n|\n[ \t]*[-*•–]|\n[^\n:]{1,30}:`)

// endOf gives a filter life what ends it, from the rest of the line or from its label, in the listing's words.
func (r *reader) endOf(s *sentence, d *Said) {
	q := &s.qs[d.qi]
	after := s.start + q.last()
	rest := strings.ToValidUTF8(r.t.offer[after:min(len(r.t.offer), after+240)], "")
	rest = strings.ReplaceAll(passageEnd().Split(rest, 2)[0], "\n", " ") // a line of a narrow column goes on in the next
	m := endOfLife().FindStringSubmatch(rest)
	if m == nil {
		m = endOfLife().FindStringSubmatch(tail(s.text[:q.start], 240))
	}
	if m != nil && lessClean().MatchString(m[1]) {
		d.addBasis(fmt.Sprintf("until %q", strings.Join(strings.Fields(strings.ReplaceAll(m[1], ";", ",")), " ")))
	}
}

var filterNamed = lazily(`(?i)\b(pre[- ]?filters?|pr[eé][- ]?filtres?|prefiltros?|prefiltri|vorfilters?)\b|\b((?:carbon|charcoal|odou?r) filters?|(?:aktiv)?kohlefilters?|filtres? à charbon|filtros? de carb[oó]n|filtri? al carbone)\b|初效|\b(?:filters?|elements?|cartridges?|hepa|filtres?|filtros?|filtr[oi])\b`)

var (
	inBrackets = lazily(`\([^()]*\)`)
	joined     = lazily(`(?i)^(?:[\s,&+/–-]|\b(?:and|with|und|mit|et|avec|y|con|e|the|an?|activated|active|its)\b)*$`)
)

// elementOf names the filter of several that the words before a life speak of last; "" for the filter itself, and where
// several are named in one breath: "HEPA and carbon filter".
func elementOf(before string) string {
	before = inBrackets().ReplaceAllString(tail(before, 240), " ")
	all := filterNamed().FindAllStringSubmatchIndex(before, -1)
	n := len(all) - 1
	if n < 0 || n > 0 && joined().MatchString(before[all[n-1][1]:all[n][0]]) {
		return ""
	}
	switch m := all[n]; {
	case m[2] >= 0 || strings.Contains(before[m[0]:m[1]], "初效"):
		return "pre-filter"
	case m[4] >= 0:
		return "carbon filter"
	}
	return ""
}

// cleaned and changed are the words of a filter that is cleaned every so often and of one that is changed then: the last
// before a time says which. "Wash the pre-filter monthly; replace the filter after 12 months."
var (
	cleaned = lazily(`(?i)\b(?:clean(?:ed|ing)?|wash(?:ed|ing)?|vacuum(?:ed|ing)?|rins(?:e|ed|ing)|wip(?:e|ed|ing)|dust(?:ed|ing)? (?:it|off)|shak(?:e|en)|reinig\pL*|gereinigt|waschen|wasche|gewaschen|auswaschen|absaugen|spülen|nettoy\pL*|lav(?:er|ez|ar|are|ato|ado|e)|rinc\pL*|limpi\pL*|enjuag\pL*|puli(?:re|to|sci))\b|清洗`)
	changed = lazily(`(?i)\b(?:replac\w*|chang\w*|last|lasts|lifes?|lives|lifetime|lifespan|swap\w*|renew\w*|exchang\w*|spent|new one|wechsel\w*|hält|standzeit|lebensdauer|tausch\w*|dure|durée|remplac\w*|dura|duración|vida|cambi\w*|reemplaz\w*|durata|sostitu\w*)\b|更换|寿命`)
)

// cleaning reports whether the time of quantity i is how often something is cleaned, and so no life of a filter.
func (s *sentence) cleaning(i int) bool {
	before := tail(s.text[:s.qs[i].start], 200)
	all := cleaned().FindAllStringIndex(before, -1)
	if s.qs[i].dim() != unit.Time {
		return false
	}
	if at := cleaned().FindStringIndex(front(s.text[s.qs[i].last():], 40)); at != nil && at[0] < 3 {
		return true // "alle 2 Wochen reinigen"
	}
	if len(all) == 0 {
		return false
	}
	at := all[len(all)-1]
	return len(before)-at[1] < 40 && !changed().MatchString(before[at[1]:])
}

var (
	downTo = lazily(`(?i)\b(?:down|fall\w*|fell|drop\w*|declin\w*|decreas\w*|sunk)(?: (?:to|below|under|by))?(?: about| around| only)? $`)
	ofFull = lazily(`(?i)^ (?:power|fan|of (?:new|its (?:first|new|full|initial)|the (?:first|initial)|full|maximum|top)\b)`)
)

// remainder reports whether the percentage of quantity i is what is left of a rate or a part of the full power, and so no
// efficiency: "down to 50 %", "at 50 % power".
func (s *sentence) remainder(i int) bool {
	return downTo().MatchString(tail(s.text[:s.qs[i].start], 60)) || ofFull().MatchString(front(s.text[s.qs[i].last():], 60))
}
