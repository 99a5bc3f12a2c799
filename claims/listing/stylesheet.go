package listing

import (
	"strings"
)

// hiding is what a page's own style sheets take off the page: keys ".class", "#id", "tag.class" and "tag#id".
type hiding map[string]bool

// maxHiding bounds the selectors kept of one page.
const maxHiding = 10_000

var (
	cssComment = lazily(`(?s)/\*.*?\*/`)
	simple     = lazily(`^[a-z0-9]*[.#][\w-]+$`)
	displays   = lazily(`(?i)(?:^|;)\s*(display|visibility)\s*:\s*([\w-]+)`)
)

// add reads the rules of a style sheet in order, a later one taking the place of an earlier one. Rules within @media and
// the like, and selectors of more than one element or with a state, hold only sometimes and are passed over.
func (h hiding) add(css string) {
	css = cssComment().ReplaceAllString(css, "")
	for css != "" {
		open := strings.IndexByte(css, '{')
		if open < 0 {
			return
		}
		selectors := css[:open]
		if k := strings.LastIndexByte(selectors, ';'); k >= 0 { // after "@import …;"
			selectors = selectors[k+1:]
		}
		body, rest := untilBrace(css[open+1:])
		css = rest
		if strings.Contains(selectors, "@") {
			continue
		}
		for _, m := range displays().FindAllStringSubmatch(body, -1) {
			hides := strings.EqualFold(m[1], "display") && strings.EqualFold(m[2], "none") || strings.EqualFold(m[1], "visibility") && strings.EqualFold(m[2], "hidden")
			for _, s := range strings.Split(selectors, ",") {
				s = strings.TrimSpace(s)
				if i := strings.IndexAny(s, ".#"); i >= 0 {
					s = strings.ToLower(s[:i]) + s[i:]
				}
				if simple().MatchString(s) && (h[s] || len(h) < maxHiding) {
					h[s] = hides
				}
			}
		}
	}
}

// untilBrace parts css behind the brace that closes the one already open.
func untilBrace(css string) (body, rest string) {
	depth := 1
	for i := 0; i < len(css); i++ {
		switch css[i] {
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				return css[:i], css[i+1:]
			}
		}
	}
	return css, ""
}

// hides reports whether the sheets take an element off the page.
func (h hiding) hides(tag, id, classes string) bool {
	if len(h) == 0 {
		return false
	}
	if id != "" && (h["#"+id] || h[tag+"#"+id]) {
		return true
	}
	for _, c := range strings.Fields(classes) {
		if h["."+c] || h[tag+"."+c] {
			return true
		}
	}
	return false
}
