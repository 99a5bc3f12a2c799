package verdict

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Difference is one way in which a written audit does not follow from the inputs.
type Difference struct {
	Kind string `json:"kind"` // input, rule, result, verdict, finding, text, json; output and bundle of the files beside it
	What string `json:"what"` // "lab.xlsx", "verdict of claim C1"
	Was  string `json:"was"`
	Is   string `json:"is"`
}

// Check is the outcome of setting a written audit beside one derived anew. Only Differences are a fault.
type Check struct {
	Differences []Difference `json:"differences"`
	Causes      []string     `json:"causes"`    // what can have made the differences
	Checked     []string     `json:"checked"`   // what was compared, and how
	Unchecked   []string     `json:"unchecked"` // what was not, and why
	Notes       []string     `json:"notes"`     // what is no fault: another name, another machine kind, files that nothing uses
}

// Closeness is how far two numbers may lie apart, relative to the larger: another kind of machine may add up otherwise in the
// last of sixteen digits.
const Closeness = 1e-9

// Verify sets the bytes of a written audit.json beside those of one derived anew from the same case: every number to
// Closeness, its sign included, every text exactly, every key there once and none more. An error where the written one is
// no JSON.
func Verify(written, derived []byte) (Check, error) {
	c := Check{Differences: []Difference{}, Causes: []string{}, Checked: []string{}, Unchecked: []string{}, Notes: []string{}}
	was, twice, err := readTree(written)
	if err != nil {
		return c, err
	}
	is, _, err := readTree(derived)
	if err != nil {
		return c, err
	}
	for _, path := range twice {
		c.Differences = append(c.Differences, Difference{"json", path, "the key stands twice", "once"})
	}
	w := walk{add: func(d Difference) { c.Differences = append(c.Differences, d) }}
	w.compare(nil, was, is)
	slices.SortStableFunc(c.Differences, func(a, b Difference) int { return slices.Index(kinds, a.Kind) - slices.Index(kinds, b.Kind) })
	switch {
	case w.machine != "":
		c.Notes = append(c.Notes, fmt.Sprintf("written on another kind of machine, %s: %d numbers differ in their last digits, by less than 1e-9 of them", w.machine, w.near))
	case w.near > 0:
		c.Notes = append(c.Notes, fmt.Sprintf("%d numbers differ in their last digits, by less than 1e-9 of them, as another build of the program may give them", w.near))
	}
	has := map[string]bool{}
	for _, d := range c.Differences {
		has[d.Kind] = true
	}
	switch {
	case has["input"]:
		c.Causes = append(c.Causes, "inputs that have changed since the audit was written")
	case has["rule"]:
		c.Causes = append(c.Causes, "rules that differ though the inputs are the same: the audit or the program was altered")
	case len(c.Differences) > 0:
		c.Causes = append(c.Causes, "the audit itself, which was altered after it was written: inputs and rules are the same")
	}
	return c, nil
}

// kinds is the order in which differences are told.
var kinds = []string{"json", "input", "rule", "result", "verdict", "finding", "text", "output", "bundle"}

// walk compares two trees of JSON.
type walk struct {
	add  func(Difference)
	near int // numbers that differ in their last digits

	machine string // the kind of machine that wrote the audit, where it is another
}

func (w *walk) compare(path []string, was, is any) {
	switch a := was.(type) {
	case map[string]any:
		if b, ok := is.(map[string]any); ok {
			w.object(path, a, b)
			return
		}
	case []any:
		if b, ok := is.([]any); ok {
			w.list(path, a, b)
			return
		}
	case json.Number:
		if b, ok := is.(json.Number); ok {
			x, err1 := a.Float64()
			y, err2 := b.Float64()
			if err1 == nil && err2 == nil && math.Abs(x-y) <= Closeness*math.Max(math.Abs(x), math.Abs(y)) {
				if x != y {
					w.near++
				}
				return
			}
		}
	default:
		if was == is {
			return
		}
	}
	w.differ(path, text(was), text(is))
}

func (w *walk) object(path []string, a, b map[string]any) {
	var keys []string
	for k := range a {
		keys = append(keys, k)
	}
	for k := range b {
		if _, ok := a[k]; !ok {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	for _, k := range keys {
		at := append(slices.Clone(path), k)
		x, inA := a[k]
		y, inB := b[k]
		switch {
		case len(at) == 2 && at[0] == "tool" && k == "machine":
			if m, ok := x.(string); ok && x != y {
				w.machine = m
			}
		case !inB:
			w.add(Difference{kindOf(at, "json"), what(at), text(x), "no such key"})
		case !inA:
			w.add(Difference{kindOf(at, "json"), what(at), "no such key", text(y)})
		default:
			w.compare(at, x, y)
		}
	}
}

// list compares elements that have a name of their own by that, others by their place.
func (w *walk) list(path []string, a, b []any) {
	was, order := byName(path, a)
	is, now := byName(path, b)
	for _, n := range order {
		if y, ok := is[n]; ok {
			w.compare(append(slices.Clone(path), n), was[n], y)
		} else {
			w.differ(append(slices.Clone(path), n), text(was[n]), "not there")
		}
	}
	missing := false
	for _, n := range now {
		if _, ok := was[n]; !ok {
			missing = true
			w.differ(append(slices.Clone(path), n), "not there", text(is[n]))
		}
	}
	if !missing && len(order) == len(now) && !slices.Equal(order, now) {
		w.differ(append(slices.Clone(path), "order"), strings.Join(order, ", "), strings.Join(now, ", "))
	}
}

func (w *walk) differ(path []string, was, is string) {
	w.add(Difference{kindOf(path, "text"), what(path), was, is})
}

// byName gives the elements of a list with their names, in order.
func byName(path []string, list []any) (map[string]any, []string) {
	out, order := map[string]any{}, []string(nil)
	for i, e := range list {
		n := fmt.Sprint(i + 1)
		if o, ok := e.(map[string]any); ok && len(path) == 1 {
			switch path[0] {
			case "claims":
				n = plainText(o["id"])
			case "measurements":
				n = strings.Join(strings.Fields(plainText(o["id"])+" "+plainText(o["attribute"])+" "+plainText(o["setting"])+" "+plainText(o["particle"])), " ")
			case "inputs":
				n = plainText(o["path"])
			case "findings":
				n = plainText(o["rule"]) + " on " + text(o["claims"]) + " " + text(o["quote"])
			}
		}
		for k, base := 2, n; ; k++ {
			if _, taken := out[n]; !taken {
				break
			}
			n = fmt.Sprintf("%s (%d)", base, k)
		}
		out[n] = e
		order = append(order, n)
	}
	return out, order
}

// kindOf tells the kind of a difference by where it lies; otherwise is that of what has no kind of its own.
func kindOf(path []string, otherwise string) string {
	if len(path) == 0 { // the whole of it
		return otherwise
	}
	field := ""
	if len(path) == 0 {
		return otherwise
	}
	if len(path) > 2 {
		field = path[2]
	}
	switch path[0] {
	case "inputs":
		return "input"
	case "rule":
		return "rule"
	case "measurements":
		return "result"
	case "findings":
		return "finding"
	case "claims":
		switch field {
		case "tolerance", "limit":
			return "rule"
		case "measured", "gap", "guard_band":
			return "result"
		case "verdict", "probability", "hold", "":
			return "verdict"
		}
	}
	return otherwise
}

// what names a place of an audit: "verdict of claim C1", "value of M1 delivery rate max".
func what(path []string) string {
	if len(path) < 2 {
		return strings.Join(append(path, "audit.json")[:1], "")
	}
	rest := strings.Join(path[2:], " ")
	name := path[1]
	switch path[0] {
	case "claims":
		name = "claim " + name
	case "measurements", "inputs", "findings":
	default:
		return strings.Join(path, " ")
	}
	if rest == "" {
		return name
	}
	return rest + " of " + name
}

// text is a piece of JSON as it is shown.
func text(v any) string {
	if v == nil {
		return "null"
	}
	if s, ok := v.(string); ok {
		return s
	}
	b, err := json.Marshal(v)
	if err != nil {
		return fmt.Sprint(v)
	}
	return string(b)
}

func plainText(v any) string {
	if v == nil {
		return ""
	}
	return text(v)
}
