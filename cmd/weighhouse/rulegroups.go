package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"weighhouse/measure/source"
	"weighhouse/templates/letter"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// ruleGroup is a question that a reader has of the rules, and the tables that answer it.
type ruleGroup struct {
	name, asks string
	tables     []string
}

// ruleGroups are in the order in which they are printed; a table that none of them names stands with the words.
var ruleGroups = []ruleGroup{
	{"judging", "What is a claim allowed, and how is it judged?", []string{"tolerances", "decision", "areas", "tiers", "grades", "instruments", "dropouts", "thresholds", "bases", "othernames", "record"}},
	{"authorities", "Who takes complaints, and by which law?", []string{"bodies", "particulars", "duties", "settle"}},
	{"sources", "On which documents does it rest, and how well are they known?", []string{"sources"}},
	{"wording", "Which words raise a question, and which are read as numbers?", nil},
}

// grouped returns the tables of each group; each table stands in one.
func grouped(all []verdict.RuleTable) map[string][]verdict.RuleTable {
	out := map[string][]verdict.RuleTable{}
	rest := ruleGroups[len(ruleGroups)-1].name
	for _, t := range all {
		at := rest
		for _, g := range ruleGroups {
			if slices.Contains(g.tables, t.Name) {
				at = g.name
			}
		}
		out[at] = append(out[at], t)
	}
	return out
}

// ruleTables is the trade knowledge in force, that of letters too, and the sources of all of it; words that no text of ours
// may hold are not printed.
func ruleTables() []verdict.RuleTable {
	all := verdict.Rulebook()
	for _, t := range letter.Tables() {
		if t.Name != "avoid" {
			all = append(all, t)
		}
	}
	return append(all, sourceTable(all))
}

// sourceTable lists every source once with its mark, the best known first, and in which tables how many rows rest on it.
func sourceTable(all []verdict.RuleTable) verdict.RuleTable {
	type key struct{ mark, text string }
	rows := map[key]map[string]int{}
	var keys []key
	for _, t := range all {
		for _, r := range t.Rows {
			k := key{r[len(r)-1], r[len(r)-2]}
			if rows[k] == nil {
				rows[k] = map[string]int{}
				keys = append(keys, k)
			}
			rows[k][t.Name]++
		}
	}
	slices.SortStableFunc(keys, func(a, b key) int {
		if d := slices.Index(source.Marks, a.mark) - slices.Index(source.Marks, b.mark); d != 0 {
			return d
		}
		return strings.Compare(a.text, b.text)
	})
	out := verdict.RuleTable{Name: "sources", About: "every source once, by how well it is known, with the tables and the number of rows that rest on it", Header: []string{"used in", "source", "mark"}}
	for _, k := range keys {
		var used []string
		for _, t := range all {
			if n := rows[k][t.Name]; n > 0 {
				used = append(used, fmt.Sprintf("%s (%d)", t.Name, n))
			}
		}
		out.Rows = append(out.Rows, []string{strings.Join(used, ", "), k.text, k.mark})
	}
	return out
}

// ruleContents prints what there is, by the question that it answers: one screen.
func ruleContents(w io.Writer, s screen, all []verdict.RuleTable) {
	by := grouped(all)
	for _, g := range ruleGroups {
		fmt.Fprintf(w, "%s  (weighhouse rules %s)\n", s.bold(g.asks), g.name)
		for _, t := range by[g.name] {
			lines := folded(fmt.Sprintf("  %-12s %s", t.Name, numeral.Several(len(t.Rows), "row")+": "+t.About), s.page(), 15)
			fmt.Fprintln(w, strings.Join(lines, "\n"))
		}
		fmt.Fprintln(w)
	}
}

// page is how many columns a printed page holds, or the terminal where that is narrower.
func (s screen) page() int { return min(s.width, 100) }

// folded breaks a line between words so that it keeps to a width, the lines after the first set in.
func folded(text string, width, in int) []string {
	var out []string
	line, empty := "", true
	for i, w := range strings.Split(text, " ") {
		if i > 0 && !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(w) > width {
			out = append(out, strings.TrimRight(line, " "))
			line, empty = strings.Repeat(" ", in), true
		} else if i > 0 {
			line += " "
		}
		line += w
		empty = empty && w == ""
		for utf8.RuneCountInString(line) > width { // a word that no line holds is cut
			r := []rune(line)
			out = append(out, string(r[:width]))
			line = strings.Repeat(" ", in) + string(r[width:])
		}
	}
	return append(out, line)
}
