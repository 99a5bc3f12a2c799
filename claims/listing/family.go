package listing

import (
	"regexp"
	"strings"
)

// family is the name that the models of one maker share and what tells the one on offer from the others: "Gale", "30".
type family struct{ name, id string }

// mention is a place where a model of the family is named.
type mention struct {
	start, end int
	own        bool // the model on offer
}

var namedModel = regexp.MustCompile(`(\p{Lu}[\p{L}’'-]{2,})[ \x{00a0}]((?:[A-Z]{1,3}-?)?\d{1,4}[A-Za-z]?)\b`)

// familyOf reads the family from the head of a listing: its first lines name the model on offer. Words that the table
// knows, such as "Speed" or "Filter", are no names.
func familyOf(body string) family {
	lines := 0
	for _, l := range strings.Split(body[:min(len(body), 4096)], "\n") {
		if strings.TrimSpace(l) == "" {
			continue
		}
		if lines++; lines > 8 {
			break
		}
		for _, m := range namedModel.FindAllStringSubmatchIndex(l, -1) {
			name, id := l[m[2]:m[3]], l[m[4]:m[5]]
			if !known(name) && !unitFollows(l[m[5]:]) && !isYear(id) {
				return family{name, id}
			}
		}
	}
	return family{}
}

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
	if f.name == "" {
		return nil
	}
	for _, m := range namedModel.FindAllStringSubmatchIndex(text, -1) {
		if strings.EqualFold(text[m[2]:m[3]], f.name) && !unitFollows(text[m[5]:]) {
			out = append(out, mention{m[0], m[1], text[m[4]:m[5]] == f.id})
		}
	}
	return out
}
