package wording

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// mask holds one bit for each set and kind of quantity that conditions name.
type mask [3]uint64

func (m *mask) set(bit int) { m[bit>>6] |= 1 << (bit & 63) }
func (m mask) covers(o mask) bool {
	return m[0]&o[0] == o[0] && m[1]&o[1] == o[1] && m[2]&o[2] == o[2]
}
func (m mask) has(bit int) bool { return m[bit>>6]&(1<<(bit&63)) != 0 }
func (m *mask) join(o mask)     { m[0] |= o[0]; m[1] |= o[1]; m[2] |= o[2] }

// condition is a list of groups; for Needs every group must hold, for Unless no group may hold. A group holds when one
// of its tests does.
//
// Notation: groups parted by spaces, tests of a group by "|". A test is the name of a set, `<kind>` of a quantity, or
// `attr=filter-grade` for the claim's attribute. Behind it, `+` widens the search from the passage to the two beside
// it, `++` to the whole text.
type condition [][]test

type test struct {
	bit   int
	scope int // 0 passage, 1 neighbours, 2 whole text
	attr  string
}

func (t *ruleTables) condition(table, s string) condition {
	var out condition
	for _, g := range strings.Fields(s) {
		var list []test
		for _, name := range strings.Split(g, "|") {
			if attr, ok := strings.CutPrefix(name, "attr="); ok {
				list = append(list, test{attr: strings.ReplaceAll(attr, "-", " ")})
				continue
			}
			x := test{}
			for strings.HasSuffix(name, "+") {
				name, x.scope = name[:len(name)-1], x.scope+1
			}
			x.bit = t.bit(table, name)
			list = append(list, x)
		}
		out = append(out, list)
	}
	return out
}

// bit numbers the set or kind named; conditions and code share the numbers.
func (t *ruleTables) bit(table, name string) int {
	s := t.sets[name]
	if strings.HasPrefix(name, "<") {
		if !kinds[strings.Trim(name, "<>")] {
			panic(fmt.Sprintf("%s: condition names the unknown kind %q", table, name))
		}
		if s == nil {
			s = &set{name: name}
			t.sets[name] = s
		}
	}
	if s == nil {
		panic(fmt.Sprintf("%s: condition names the unknown set %q", table, name))
	}
	if s.bit == 0 {
		t.setBits = append(t.setBits, s)
		s.bit = len(t.setBits)
	}
	return s.bit - 1
}

// numberSets gives a bit to every set and every kind, so that code may ask for any of them.
func (t *ruleTables) numberSets() {
	for name := range kinds {
		t.bit("kinds", "<"+name+">")
	}
	for _, name := range slices.Sorted(maps.Keys(t.sets)) {
		t.bit("sets", name)
	}
}

// holds tells whether one test of the group holds.
func holds(group []test, here, near, all mask, attr string) bool {
	for _, x := range group {
		switch {
		case x.attr != "":
			if x.attr == attr {
				return true
			}
		case x.scope == 0 && here.has(x.bit), x.scope == 1 && near.has(x.bit), x.scope >= 2 && all.has(x.bit):
			return true
		}
	}
	return false
}

// wideGroup tells whether a group has a test of the whole text, which can be settled only at its end.
func wideGroup(group []test) bool {
	for _, x := range group {
		if x.scope >= 2 {
			return true
		}
	}
	return false
}

// allowed settles the conditions on the passage and its neighbours.
func (t *Term) allowed(here, near mask, attr string) bool {
	for _, g := range t.body.needs {
		if !wideGroup(g) && !holds(g, here, near, mask{}, attr) {
			return false
		}
	}
	for _, g := range t.body.unless {
		if holds(g, here, near, mask{}, attr) {
			return false
		}
	}
	return true
}

// allowedInText settles the conditions on the whole text.
func (t *Term) allowedInText(all mask, attr string) bool {
	for _, g := range t.body.needs {
		if wideGroup(g) && !holds(g, all, all, all, attr) {
			return false
		}
	}
	for _, g := range t.body.unless {
		if wideGroup(g) && holds(g, mask{}, mask{}, all, attr) {
			return false
		}
	}
	return true
}

// setMatcher finds the words of all sets that have a bit; build it after the terms.
func (t *ruleTables) setMatcher() *matcher {
	for _, s := range t.setBits {
		t.setPatterns = append(t.setPatterns, pattern{s.element})
	}
	return newMatcher(len(t.setPatterns), func(i int) pattern { return t.setPatterns[i] })
}
