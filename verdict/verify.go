package verdict

import (
	"encoding/json"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"weighhouse/measure/source"
)

// Difference is one way in which a written audit no longer follows from the inputs.
type Difference struct {
	Kind string `json:"kind"` // version, input, rule, result, verdict, finding or text
	What string `json:"what"` // "lab.xlsx", "claim C1", "tolerance of claim C1"
	Was  string `json:"was"`
	Is   string `json:"is"`
}

// Check is the outcome of setting a written audit beside one derived anew.
type Check struct {
	Differences []Difference `json:"differences"`
	Causes      []string     `json:"causes"` // what can have made the results and verdicts differ
}

// Verify compares a written audit with one derived anew from the same case: version, inputs by hash, tolerances and
// other rules, results, verdicts, findings, and then every other field. The differences come in that order.
func Verify(written, derived Report) Check {
	c := Check{Differences: []Difference{}, Causes: []string{}}
	add := func(kind, what, was, is string) {
		if was != is {
			c.Differences = append(c.Differences, Difference{kind, what, was, is})
		}
	}
	derived = onMachine(derived, written)
	add("version", "the program", written.Tool.Version, derived.Tool.Version)
	add("version", "the form of the audit", written.Format, derived.Format)
	inputs(written, derived, add)
	rules(written, derived, add)
	results(written, derived, add)
	verdicts(written, derived, add)
	findings(written, derived, add)
	known := map[string]bool{}
	for _, d := range c.Differences {
		known[d.Kind] = true
	}
	if len(c.Differences) == 0 {
		for _, d := range fields(written, derived) {
			add("text", d.What, d.Was, d.Is)
		}
	}
	if known["input"] {
		c.Causes = append(c.Causes, "inputs that have changed since the audit was written")
	}
	if known["version"] {
		c.Causes = append(c.Causes, "another version of the program")
	}
	if len(c.Differences) > 0 && !known["input"] && !known["version"] {
		if known["rule"] {
			c.Causes = append(c.Causes, "rules that differ though inputs and version are the same: the audit or the program was altered")
		} else {
			c.Causes = append(c.Causes, "the audit itself, which was altered after it was written: inputs, rules and version are the same")
		}
	}
	return c
}

func inputs(w, d Report, add func(kind, what, was, is string)) {
	was, is := map[string]string{}, map[string]string{}
	for _, i := range w.Inputs {
		was[i.Path] = fmt.Sprintf("%d bytes, SHA-256 %s", i.Bytes, i.SHA256)
	}
	for _, i := range d.Inputs {
		is[i.Path] = fmt.Sprintf("%d bytes, SHA-256 %s", i.Bytes, i.SHA256)
	}
	for _, p := range union(was, is) {
		add("input", p, orElse(was[p], "not an input"), orElse(is[p], "not an input"))
	}
}

// rules compares the tolerances and limits of claims whose own words and numbers are the same, and the decision rule.
func rules(w, d Report, add func(kind, what, was, is string)) {
	add("rule", "the decision rule", strings.Join(w.Rule, " "), strings.Join(d.Rule, " "))
	is := byID(d.Claims)
	for _, c := range w.Claims {
		n, ok := is[c.ID]
		if !ok {
			continue
		}
		add("rule", "tolerance of claim "+c.ID, toleranceText(c.Tolerance), toleranceText(n.Tolerance))
		if c.Limit != nil && n.Limit != nil {
			add("rule", "limit of claim "+c.ID, exact(c.Limit.Value)+" "+c.Limit.Unit, exact(n.Limit.Value)+" "+n.Limit.Unit)
		}
	}
}

func results(w, d Report, add func(kind, what, was, is string)) {
	was, is := map[string]string{}, map[string]string{}
	text := func(m ReportMeasurement) string {
		return fmt.Sprintf("%s ± %s %s (u %s)", pointer(m.Value), pointer(m.Expanded), m.Unit, pointer(m.Std))
	}
	name := func(m ReportMeasurement) string {
		return strings.TrimSpace(strings.Join(strings.Fields(m.ID+" "+m.Attribute+" "+m.Setting+" "+m.Particle), " "))
	}
	for _, m := range w.Measurements {
		was[name(m)] = text(m)
	}
	for _, m := range d.Measurements {
		is[name(m)] = text(m)
	}
	for _, p := range union(was, is) {
		add("result", p, orElse(was[p], "not there"), orElse(is[p], "not there"))
	}
}

func verdicts(w, d Report, add func(kind, what, was, is string)) {
	text := func(c ReportClaim) string {
		s := string(c.Verdict)
		if c.Probability != nil {
			s += fmt.Sprintf(" (probability %s)", exact(*c.Probability))
		}
		return s
	}
	was, is := byID(w.Claims), byID(d.Claims)
	ids := map[string]string{}
	for id := range was {
		ids[id] = ""
	}
	for _, id := range union(ids, idsOf(is)) {
		a, b := "not there", "not there"
		if c, ok := was[id]; ok {
			a = text(c)
		}
		if c, ok := is[id]; ok {
			b = text(c)
		}
		add("verdict", "claim "+id, a, b)
	}
}

func idsOf(m map[string]ReportClaim) map[string]string {
	out := map[string]string{}
	for id := range m {
		out[id] = ""
	}
	return out
}

func findings(w, d Report, add func(kind, what, was, is string)) {
	key := func(f ReportFinding) string {
		return f.Rule + " on " + strings.Join(f.Claims, ",") + " " + strconv.Quote(f.Quote)
	}
	was, is := map[string]string{}, map[string]string{}
	for _, f := range w.Findings {
		was[key(f)] = f.Severity + ": " + f.Why + " " + f.Source
	}
	for _, f := range d.Findings {
		is[key(f)] = f.Severity + ": " + f.Why + " " + f.Source
	}
	for _, p := range union(was, is) {
		add("finding", p, orElse(was[p], "not there"), orElse(is[p], "not there"))
	}
}

// fields walks both audits as plain JSON and lists every field that differs.
func fields(w, d Report) []Difference {
	var a, b any
	for _, x := range []struct {
		from Report
		to   *any
	}{{w, &a}, {d, &b}} {
		data, err := json.Marshal(x.from)
		if err != nil || json.Unmarshal(data, x.to) != nil {
			return []Difference{{"text", "audit.json", "cannot be compared", ""}}
		}
	}
	var out []Difference
	var walk func(path string, a, b any)
	walk = func(path string, a, b any) {
		switch x := a.(type) {
		case map[string]any:
			y, ok := b.(map[string]any)
			if !ok {
				break
			}
			keys := map[string]string{}
			for k := range x {
				keys[k] = ""
			}
			more := map[string]string{}
			for k := range y {
				more[k] = ""
			}
			for _, k := range union(keys, more) {
				walk(path+"."+k, x[k], y[k])
			}
			return
		case []any:
			y, ok := b.([]any)
			if !ok || len(x) != len(y) {
				break
			}
			for i := range x {
				walk(fmt.Sprintf("%s[%d]", path, i), x[i], y[i])
			}
			return
		}
		p, _ := json.Marshal(a)
		q, _ := json.Marshal(b)
		if string(p) != string(q) {
			out = append(out, Difference{"text", strings.TrimPrefix(path, "."), string(p), string(q)})
		}
	}
	walk("", a, b)
	return out
}

func toleranceText(t *ReportTolerance) string {
	if t == nil {
		return "none stated"
	}
	return fmt.Sprintf("%s %s (%s)", exact(t.Value), t.Unit, source.Cited(t.Source, t.Mark))
}

func byID(cs []ReportClaim) map[string]ReportClaim {
	out := map[string]ReportClaim{}
	for _, c := range cs {
		out[c.ID] = c
	}
	return out
}

func union(a, b map[string]string) []string {
	var out []string
	for k := range a {
		out = append(out, k)
	}
	for k := range b {
		if _, ok := a[k]; !ok {
			out = append(out, k)
		}
	}
	sort.Strings(out)
	return out
}

func orElse(s, blank string) string {
	if s == "" {
		return blank
	}
	return s
}

func exact(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func pointer(x *float64) string {
	if x == nil || math.IsNaN(*x) {
		return "not known"
	}
	return exact(*x)
}
