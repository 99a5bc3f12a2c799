package quote

import (
	"regexp"
	"strings"
	"sync"

	"weighhouse/claims"
)

// left matches what a quotation leaves out, and what parts the cells or lines that one was put together from.
var left = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`\s*(?:[\[(]?(?:\.\.\.+|…)[\])]?|[|\n\r\t]+|\s/\s)\s*`)
})

// find looks for words in the capture: as they are, then in the parts that dots, bars or line breaks make of them, in
// order. inCode says that they stand only in the page's code.
func (c *capture) find(words string) (at claims.Spot, found, inCode bool) {
	for _, w := range of(words) {
		if w.text == "" {
			continue
		}
		for i := range c.visible {
			if j := c.visible[i].find(w.text, 0); j >= 0 {
				return c.spot(c.visible[i].back[j]), true, false
			}
		}
	}
	parts := left().Split(strings.TrimSpace(words), -1)
	if len(parts) > 1 {
		for i := range c.visible {
			if j, ok := c.visible[i].inOrder(parts); ok {
				return c.spot(c.visible[i].back[j]), true, false
			}
		}
	}
	for _, w := range of(words) {
		code := c.source()
		if w.text == "" || code == nil {
			continue
		}
		if j := code.find(w.text, 0); j >= 0 {
			return c.spot(code.back[j]), true, true
		}
	}
	return claims.Spot{}, false, false
}

// inOrder finds parts one behind the other, and gives the place of the first.
func (f *folded) inOrder(parts []string) (first int, ok bool) {
	first, from := -1, 0
	for _, p := range parts {
		w := of(p)[0].text
		if w == "" {
			continue
		}
		i := f.find(w, from)
		if i < 0 {
			return 0, false
		}
		if first < 0 {
			first = i
		}
		from = i + len(w)
	}
	return first, first >= 0
}

// alike is how much of the words of a claim a passage must hold to count as their changed form (judgement).
const alike = 0.6

// nearest finds the passage that holds most of the words, numbers aside; ok is false where none holds enough.
func (c *capture) nearest(words string) (text string, at claims.Spot, ok bool) {
	want := tokens(words)
	if len(want) < 2 {
		return "", claims.Spot{}, false
	}
	best, where := 0.0, -1
	for i, l := range c.lines {
		have := tokens(l)
		n := 0
		for w := range want {
			if have[w] {
				n++
			}
		}
		if share := float64(n) / float64(len(want)); n >= 2 && share > best {
			best, where = share, i
		}
	}
	if best < alike {
		return "", claims.Spot{}, false
	}
	text = c.lines[where]
	if r := []rune(text); len(r) > 240 {
		text = string(r[:240]) + " …"
	}
	return text, c.spot(c.starts[where]), true
}

var word = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\p{L}{2,}|\p{Han}`) })

func tokens(s string) map[string]bool {
	out := map[string]bool{}
	for _, w := range word().FindAllString(strings.ToLower(s), -1) {
		out[w] = true
	}
	return out
}
