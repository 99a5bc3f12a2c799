// Package ranking writes a comparison of units, a rank.Ranking, as a PDF, as a page that needs nothing else, and as CSV.
//
// It computes no result: numbers are rounded for reading and stand unrounded in the JSON and CSV forms. Units that share
// a rank are set by name, and nothing in a layout hints at an order among them.
package ranking

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/templates/numeral"
	"weighhouse/verdict/rank"
)

// tied is what is written of units that share a rank.
const tied = "indistinguishable at this uncertainty"

// unitText is the printed form of a unit, of "m3/h per EUR" too.
func unitText(u string) string {
	if d := numeral.Unit(u); d != u {
		return d
	}
	first, rest, ok := strings.Cut(u, " ")
	if !ok {
		return u
	}
	return numeral.Unit(first) + " " + rest
}

// better says which way is good, for the head of a criterion.
func better(c rank.Criterion) string { return c.Better + " is better" }

// value is an entry's value with its expanded uncertainty and without its unit; a dash where there is none.
func value(c rank.Criterion, e rank.Entry) string {
	if e.Value == nil {
		return numeral.Dash
	}
	u := 0.0
	if e.Expanded != nil {
		u = *e.Expanded
	}
	if c.ID == "yearly cost" { // money has two decimals
		s := numeral.Fixed(*e.Value, 2)
		if u > 0 {
			s += "\u00a0±\u00a0" + numeral.Fixed(u, 2)
		}
		return s + own(e)
	}
	return numeral.PlusMinus(*e.Value, u, "") + own(e)
}

// own is the entry's own unit where the criterion has none for all.
func own(e rank.Entry) string {
	if e.Measure == "" {
		return ""
	}
	return "\u00a0" + strings.ReplaceAll(unitText(e.Measure), " ", "\u00a0")
}

// interval is an entry's 95 % interval.
func interval(e rank.Entry) string { return span(e.Interval, decimals(e.Expanded)) }

// decimals is how many decimals an uncertainty of two digits has, 0 where they stand left of the point.
func decimals(u *float64) int {
	if u == nil || !(*u > 0) {
		return 2
	}
	return min(max(1-int(math.Floor(math.Log10(*u))), 0), 6)
}

func span(i [2]*float64, decimals int) string {
	if i[0] == nil || i[1] == nil {
		return numeral.Dash
	}
	return numeral.Fixed(*i[0], decimals) + "\u00a0to\u00a0" + numeral.Fixed(*i[1], decimals)
}

// effect is the size of a pair's difference with its interval.
func effect(c rank.Criterion, p rank.Pair) string {
	switch {
	case p.Ratio != nil:
		return numeral.Fixed(*p.Ratio, 3) + " (" + span(p.Interval, 3) + ")"
	case p.Difference != nil:
		d := 1
		if c.ID == "yearly cost" {
			d = 2
		}
		s := numeral.Fixed(*p.Difference, d)
		if p.Interval[0] != nil && *p.Interval[0] != *p.Interval[1] {
			s += " (" + span(p.Interval, d) + ")"
		}
		return s + "\u00a0" + unitText(c.Unit)
	}
	return numeral.Dash
}

// effectHead names what effect gives.
func effectHead(c rank.Criterion) string {
	if c.ID == "noise" || c.ID == "yearly cost" {
		return "First less second (95\u00a0%)"
	}
	return "First\u00a0÷\u00a0second (95\u00a0%)"
}

// pText writes a p value.
func pText(p *float64) string {
	switch {
	case p == nil:
		return numeral.Dash
	case *p < 0.001:
		return "<\u00a00.001"
	}
	return numeral.Fixed(*p, 3)
}

func statistic(x *float64, decimals int) string {
	if x == nil {
		return numeral.Dash
	}
	return numeral.Fixed(*x, decimals)
}

// dof writes a pair's degrees of freedom, ∞ for a test without them.
func dof(p rank.Pair) string {
	switch {
	case p.DOF != nil:
		return numeral.Short(*p.DOF)
	case p.P != nil && p.T != nil:
		return "∞"
	}
	return numeral.Dash
}

// scaleOf is what the strips of a criterion span: the ends of all its intervals.
func scaleOf(c rank.Criterion) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, e := range c.Entries {
		if e.Value == nil || e.Measure != "" {
			continue
		}
		for _, x := range []*float64{e.Interval[0], e.Interval[1], e.Value} {
			if x != nil {
				lo, hi = math.Min(lo, *x), math.Max(hi, *x)
			}
		}
	}
	return lo, hi, hi > lo
}

// title is the head of the whole.
func title(r *rank.Ranking) string { return fmt.Sprintf("%d units compared in one room", len(r.Units)) }

// conditions are what all units share, as names and values.
func conditions(r *rank.Ranking) (out [][2]string) {
	say := func(name, v string) {
		if v != "" {
			out = append(out, [2]string{name, v})
		}
	}
	say("Tester", r.Tester)
	say("Place", r.Place)
	room := numeral.PlusMinus(r.Room.Volume, 2*r.Room.U, "m3")
	if r.Room.Text != "" {
		room += ", " + r.Room.Text
	}
	say("Room", room)
	say("Method", map[string]string{"room": "in an ordinary room", "chamber": "in a chamber"}[r.Method])
	say("Particle", particle(r.Particle))
	say("Issued", r.Issued)
	return out
}

func particle(p string) string {
	switch {
	case p == "":
		return "not named"
	case strings.HasSuffix(p, " um"):
		return strings.TrimSuffix(p, " um") + "\u00a0µm"
	}
	return strings.Replace(p, "pm", "PM", 1)
}

// unitFacts are what is known of a unit, as names and values.
func unitFacts(u rank.Unit) (out [][2]string) {
	say := func(name, v string) {
		if v != "" {
			out = append(out, [2]string{name, v})
		}
	}
	say("Case", u.Case)
	say("Sample", u.Sample)
	say("Setting", u.Setting)
	say("Runs", fmt.Sprintf("%d with the unit on, %d of natural decay", u.RunsOn, u.RunsOff))
	if u.Watts != nil && u.WattsU != nil {
		say("Power", numeral.PlusMinus(*u.Watts, *u.WattsU, "W"))
	}
	if u.Price != nil {
		say("Price", numeral.With(numeral.Fixed(*u.Price, 2), u.Currency))
	}
	say("Flags", strings.Join(u.Flags, ", "))
	say("Notes", strings.Join(u.Notes, "; "))
	return out
}

// glance finds a unit's entry under a criterion for the table of all; for several options the first by name, and how many
// more there are.
func glance(c rank.Criterion, unit int) (e rank.Entry, more int) {
	found := false
	for _, x := range c.Entries {
		if x.Unit != unit {
			continue
		}
		switch {
		case !found:
			e, found = x, true
		case x.Label < e.Label:
			e, more = x, more+1
		default:
			more++
		}
	}
	return e, more
}

// order gives the units' indices by name, for tables that are no ranking.
func order(r *rank.Ranking) []int {
	out := make([]int, len(r.Units))
	for i := range out {
		out[i] = i
	}
	for i := 1; i < len(out); i++ {
		for j := i; j > 0 && r.Units[out[j]].Label < r.Units[out[j-1]].Label; j-- {
			out[j], out[j-1] = out[j-1], out[j]
		}
	}
	return out
}

// outcome is a pair's result in words, with its note.
func outcome(p rank.Pair) string {
	s := tied
	if p.Different {
		s = "differ"
	}
	if p.Indicative && !strings.Contains(p.Note, "indicative") {
		s += "; indicative"
	}
	if p.Note != "" {
		s += "; " + p.Note
	}
	return s
}

// ties lists which entries of a criterion cannot be told apart, one text a group; nothing where all are told apart.
func ties(c rank.Criterion) (out []string) {
	for _, g := range c.Groups {
		if len(g.Members) > 1 {
			n := len(g.Members) - 1
			out = append(out, strings.Join(g.Members[:n], ", ")+" and "+g.Members[n]+" ("+g.Letter+")")
		}
	}
	return out
}
