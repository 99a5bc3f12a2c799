package rank

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"weighhouse/measure"
	"weighhouse/verdict"
)

// Refusal is the reason why a case cannot be compared with the others.
type Refusal struct {
	Case string
	Text string // lower case, no full stop
	Hint string // one line, or ""
}

// Refusals are all reasons why cases cannot be compared; it is an error when it is not empty.
type Refusals []Refusal

// Error lists the refusals, one a line, each with its case and its hint.
func (rs Refusals) Error() string {
	var lines []string
	for _, r := range rs {
		s := r.Case + ": " + r.Text
		if r.Hint != "" {
			s += "\n  hint: " + r.Hint
		}
		lines = append(lines, s)
	}
	return strings.Join(lines, "\n")
}

func (rs *Refusals) add(c *contender, hint, format string, args ...any) {
	*rs = append(*rs, Refusal{Case: c.audit.Case, Hint: hint, Text: fmt.Sprintf(format, args...)})
}

// sameVolume is how far two statements of one room's volume may lie apart, relatively: a slack for rounding, no more.
const sameVolume = 1e-3

// oneRoom checks that all units were tested in one room by one tester with one method. Each is set against the first.
func oneRoom(cs []*contender) (rs Refusals, notes []string) {
	first := cs[0]
	a := first.audit
	inputs := map[string]string{}
	for _, c := range cs {
		key := ""
		for _, in := range c.audit.Inputs {
			key += in.Path + " " + in.SHA256 + "\n"
		}
		if other, twice := inputs[key]; twice && key != "" {
			rs.add(c, "name each case once", "has the same inputs as %s: a unit is not compared with itself", other)
		}
		inputs[key] = c.audit.Case
	}
	for _, c := range cs[1:] {
		b := c.audit
		if d := math.Abs(a.Room.Volume - b.Room.Volume); d > sameVolume*a.Room.Volume {
			rs.add(c, "if it was one room, state its dimensions alike in both lab books", "its room is %.5g m³, that of %s %.5g m³; units are only compared in one room", b.Room.Volume, a.Case, a.Room.Volume)
		} else if x, y := sides(a.Room), sides(b.Room); x != y && x != [3]float64{} && y != [3]float64{} {
			rs.add(c, "if it was one room, state its dimensions alike in both lab books", "its room is %s, that of %s %s; units are only compared in one room", b.Room.Text, a.Case, a.Room.Text)
		}
		for _, f := range []struct{ name, hint string }{
			{"tester", "if it was one tester, write the name alike in both test tables"},
			{"place", "if it was one place, write it alike in both test tables"},
		} {
			x, y := first.field(f.name), c.field(f.name)
			switch {
			case x != "" && y != "" && measure.Fold(x) != measure.Fold(y):
				rs.add(c, f.hint, "its %s is %q, that of %s %q; units are only compared in one room", f.name, y, a.Case, x)
			case (x == "") != (y == ""):
				notes = append(notes, fmt.Sprintf("%s names a %s and %s does not; it was taken to be the same", named(x, a, b), f.name, named(y, a, b)))
			}
		}
		if x, y := method(first), method(c); x != y {
			rs.add(c, "", "was tested in a %s, %s in a %s; the methods differ, and so may the results", y, a.Case, x)
		}
	}
	return rs, notes
}

// named gives the case that states the text, or for "" the one that does not.
func named(text string, a, b *verdict.Audit) string {
	if text != "" {
		return a.Case
	}
	return b.Case
}

// method is the test's method; a blank one means room.
func method(c *contender) string {
	if m := measure.Fold(c.field("method")); m != "" {
		return m
	}
	return "room"
}

// sides are the sides of a room stated by length, width and height, in order of size; zero where it is stated otherwise.
func sides(r *verdict.Room) [3]float64 {
	var s [3]float64
	if n, _ := fmt.Sscanf(r.Text, "%g x %g x %g m", &s[0], &s[1], &s[2]); n < 3 {
		return [3]float64{}
	}
	sort.Float64s(s[:])
	return s
}

// particleOf finds the particle by which all are compared: the one asked for, else the first that all have, smoke before
// others. others are the further ones that all have.
func particleOf(cs []*contender, asked string) (particle string, others []string, rs Refusals) {
	measured := []*contender{}
	for _, c := range cs {
		if len(c.rates) > 0 {
			measured = append(measured, c)
		}
	}
	if len(measured) == 0 {
		return "", nil, nil
	}
	if asked != "" {
		for _, c := range measured {
			if c.rates[asked] == nil {
				rs.add(c, "", "its delivery rate was measured for %s, not for %s; rates for different particles are different quantities and never compared", particles(c), asked)
			}
		}
		return asked, nil, rs
	}
	var shared []string
	for p := range measured[0].rates {
		all := true
		for _, c := range measured {
			all = all && c.rates[p] != nil
		}
		if all {
			shared = append(shared, p)
		}
	}
	if len(shared) == 0 {
		for _, c := range measured[1:] {
			if particles(c) != particles(measured[0]) || len(measured) == 2 {
				rs.add(c, "--particle names the one to compare by, where all cases have it", "its delivery rate was measured for %s, that of %s for %s; rates for different particles are different quantities and never compared",
					particles(c), measured[0].audit.Case, particles(measured[0]))
			}
		}
		return "", nil, rs
	}
	sort.Slice(shared, func(i, j int) bool {
		if (shared[i] == "smoke") != (shared[j] == "smoke") {
			return shared[i] == "smoke"
		}
		return shared[i] < shared[j]
	})
	return shared[0], shared[1:], nil
}

// particles lists what a unit's rate was measured for.
func particles(c *contender) string {
	var out []string
	for p := range c.rates {
		if p == "" {
			p = "a particle that is not named"
		}
		out = append(out, p)
	}
	sort.Strings(out)
	return strings.Join(out, ", ")
}
