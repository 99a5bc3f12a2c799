package listing

import (
	"slices"
	"strings"
)

// family is the name that the models of one maker share and what tells the one on offer from the others: "Gale", "30"; and
// likewise for a code: "BX-E", "12".
type family struct{ name, id, code, number, title string }

// mention is a place where a model of the family is named.
type mention struct {
	start, end int
	own        bool // the model on offer
}

var namedModel = lazily(`(\p{Lu}[\p{L}’'-]{2,})[ \x{00a0}]((?:[A-Z]{1,3}-?)?\d{1,4}[A-Za-z]?)\b`)

// coded matches a model's code: "BX-E12", "KV99", "MB-360".
var coded = lazily(`\b([A-Z]{2,4}-?[A-Z]?|[A-DI-LN-TV-Z])(\d{1,4})[A-Z]?\b`) // one letter alone is none of a filter class

// sized matches a name with a word for another size or make of it: "Selunde Mini".
var sized = lazily(`(\p{Lu}\p{L}{3,}) (?:Mini|Pro|Plus|XS|XL|XXL|Lite|Junior|Duo|S|M|L)\b`)

// notCodes begin what looks like a model's code and is none.
var notCodes = lazily(`^(?:PM|EN|ISO|IEC|DIN|GB|JIS|UL|UV|USB|LED|DC|AC|EPA|MERV|HEPA|ULPA|FFP|KN|CR|EAN)-?$`)

// ofPart ends the words before a code that is a filter's.
var ofPart = lazily(`(?i)(?:filters?|elements?|cartridges?|filtres?|filtros?|filtri)[^\w,]*$`)

// familyOf reads the family from what names the offer: the first line, the heading of a page, or the subject of a mail.
// Words that the table knows, such as "Speed" or "Filter", are no names.
func familyOf(t *Text) family {
	lines := []string{lineAt(t.offer, 0)}
	for _, h := range t.heads[:min(len(t.heads), 2)] {
		lines = append(lines, t.Body[h.start:h.end])
	}
	for n, l := range strings.Split(t.offer[:min(len(t.offer), 2048)], "\n") {
		if n < 8 && subject().MatchString(l) || n == 1 && len(l) <= maxLabel {
			lines = append(lines, l)
		}
	}
	f := family{title: strings.ToLower(strings.Join(lines, "\n"))}
	for _, l := range lines {
		for _, m := range coded().FindAllStringSubmatch(l, -1) {
			if f.code == "" && !notCodes().MatchString(m[1]) {
				f.code, f.number = m[1], m[2]
			}
		}
		for _, m := range namedModel().FindAllStringSubmatchIndex(l, -1) {
			name, id := l[m[2]:m[3]], l[m[4]:m[5]]
			if !known(name) && !unitFollows(l[m[5]:]) && !isYear(id) && !gradeFollows(l[m[5]:]) {
				f.name, f.id = name, id
				return f
			}
		}
	}
	if f.code == "" { // "our new air purifier, the Breezelet 3", under a subject of another kind
		all, count := 0, map[string]int{}
		for _, m := range namedModel().FindAllStringSubmatchIndex(t.offer, 200) {
			name, id, rest := t.offer[m[2]:m[3]], t.offer[m[4]:m[5]], t.offer[m[5]:]
			if f.name != "" && name != f.name || f.name == "" && m[0] > 2048 || known(name) || unitFollows(rest) || isYear(id) || classLike().MatchString(id) || gradeFollows(rest) {
				continue
			}
			f.name, all = name, all+1
			count[id]++
			if n, best := count[id], count[f.id]; n > best || n == best && id > f.id { // of two, the one most spoken of, else the later one
				f.id = id
			}
		}
		if all < 2 { // named once, it may be any
			f.name, f.id = "", ""
		}
	}
	return f
}

var subject = lazily(`(?i)^(?:subject|betreff|objet|asunto|oggetto|model|modell|modèle|modelo|modello)\s*:`)

// gradeFollows reports whether words of a filter grade stand behind, so that "H13" before them is a class.
func gradeFollows(rest string) bool {
	f := strings.Fields(strings.ToLower(rest))
	return slices.ContainsFunc(f[:min(len(f), 2)], func(w string) bool {
		return strings.HasPrefix(w, "hepa") || strings.HasPrefix(w, "filter") || strings.HasPrefix(w, "filt") || w == "true"
	})
}

// classLike matches a model's number that reads like a filter class: "E10", "F7".
var classLike = lazily(`^[A-Z]\d{1,2}$`)

// known reports whether the table of words holds a word under any kind.
func known(word string) bool {
	f := foldText(word)
	for kind := range vocabulary().byKind {
		for _, h := range vocabulary().find(f, kind) {
			if h.start == 0 && h.end == len(word) {
				return true
			}
		}
	}
	return false
}

func isYear(s string) bool {
	return len(s) == 4 && (strings.HasPrefix(s, "19") || strings.HasPrefix(s, "20"))
}

// unitFollows reports whether a unit stands directly behind a number, so that it is a quantity.
func unitFollows(rest string) bool {
	f := strings.FieldsFunc(rest, func(r rune) bool { return r == ' ' || r == '\u00a0' || r == '\n' })
	if len(f) == 0 || rest == "" || rest[0] != ' ' && rest[0] != '\xc2' {
		return false
	}
	_, ok := vocabulary().lookup(strings.TrimRight(f[0], ".,;:)"))
	return ok
}

// mentions lists where text names models of the family.
func (f family) mentions(text string) (out []mention) {
	if f.name != "" {
		for _, m := range namedModel().FindAllStringSubmatchIndex(text, -1) {
			if strings.EqualFold(text[m[2]:m[3]], f.name) && !unitFollows(text[m[5]:]) && letters(text[m[4]:m[5]]) == letters(f.id) {
				out = append(out, mention{m[0], m[1], text[m[4]:m[5]] == f.id})
			}
		}
	}
	for _, m := range sized().FindAllStringSubmatchIndex(text, -1) {
		if strings.Contains(f.title, strings.ToLower(text[m[2]:m[3]])) && !strings.Contains(f.title, strings.ToLower(text[m[0]:m[1]])) {
			out = append(out, mention{m[0], m[1], false})
		}
	}
	if f.code != "" {
		for _, m := range coded().FindAllStringSubmatchIndex(text, -1) {
			if text[m[2]:m[3]] == f.code && !unitFollows(text[m[1]:]) && !ofPart().MatchString(tail(text[:m[0]], 80)) {
				out = append(out, mention{m[0], m[1], text[m[4]:m[5]] == f.number})
			}
		}
	}
	return out
}

// letters is what an id has before its number: parts of a unit are numbered otherwise than models.
func letters(id string) string {
	return strings.TrimRight(strings.TrimRight(id, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"), "0123456789")
}
