package wording

import "fmt"

// matcher finds the patterns that may begin at a token by its text, so that a passage costs about one look-up a token.
type matcher struct {
	words    map[string][]int // first word → patterns
	prefixes map[string][]int // first prefixLen bytes of a first word with "*" → patterns
	kinds    map[string][]int
}

const prefixLen = 3 // bytes; every prefix in the tables is at least so long

func newMatcher(n int, at func(int) pattern) *matcher {
	m := &matcher{make(map[string][]int, 2*n), map[string][]int{}, map[string][]int{}}
	for i := 0; i < n; i++ {
		e := at(i)[0]
		if e.kind != "" {
			m.kinds[e.kind] = append(m.kinds[e.kind], i)
		}
		for _, alt := range e.alts {
			a := alt[0]
			key := a.text
			to := m.words
			if a.prefix {
				if len(a.text) < prefixLen {
					panic(fmt.Sprintf("prefix %q* is shorter than %d bytes", a.text, prefixLen))
				}
				key, to = a.text[:prefixLen], m.prefixes
			}
			if list := to[key]; len(list) == 0 || list[len(list)-1] != i { // each pattern once
				to[key] = append(list, i)
			}
		}
	}
	return m
}

// candidates calls try for each pattern that may begin at token i of ps.
func (m *matcher) candidates(ps *passage, i int, try func(pattern int)) {
	t := &ps.tokens[i]
	for _, p := range m.words[t.text] {
		try(p)
	}
	if len(t.text) >= prefixLen {
		for _, p := range m.prefixes[t.text[:prefixLen]] {
			try(p)
		}
	}
	if t.kind == numberToken || t.c > 0 {
		for kind, list := range m.kinds {
			if ps.kindAt(kind, i) > i {
				for _, p := range list {
					try(p)
				}
			}
		}
	}
}
