package main

import (
	"encoding/csv"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/measure/sheet"
	"weighhouse/verdict"
)

func newRules() *cobra.Command {
	var format string
	c := &cobra.Command{
		Use:   "rules [TABLE|GROUP…]",
		Short: "every tolerance, grade, term and check in force, with its source",
		Long: "Rules prints the trade knowledge that the program judges by. Without a name it prints what there is and then all of it, by what a reader asks: judging\n" +
			"(tolerances, the decision rule, areas, tiers, grades, instruments), authorities (bodies, what they ask for, the law they apply), sources (every document, by\n" +
			"how well it is known), wording. Each row names its source and its mark: read, second-hand, memory, computed or judgement. A source whose documents are\n" +
			"known in different ways says so of each; the mark is then that of the one least well known.",
		Example: "  weighhouse rules tolerances\n  weighhouse rules sources | less\n  weighhouse rules --format csv checks > checks.csv",
		Args:    cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			tables, err := pick(ruleTables(), args)
			if err != nil {
				return err
			}
			return printRules(c, tables, format, len(args) == 0)
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text, json or csv")
	completeWord(c, "format", "text", "json", "csv")
	c.ValidArgsFunction = func(*cobra.Command, []string, string) (names []string, _ cobra.ShellCompDirective) {
		for _, t := range ruleTables() {
			names = append(names, t.Name)
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	}
	return c
}

func pick(all []verdict.RuleTable, names []string) ([]verdict.RuleTable, error) {
	if len(names) == 0 {
		return all, nil
	}
	var out []verdict.RuleTable
	by := grouped(all)
	for _, n := range names {
		if of := by[strings.ToLower(n)]; of != nil {
			out = append(out, of...)
			continue
		}
		found := false
		var known []string
		for _, t := range all {
			known = append(known, t.Name)
			if strings.EqualFold(t.Name, n) {
				out, found = append(out, t), true
			}
		}
		if !found {
			return nil, errUsage{fmt.Errorf("rules: no table %q; there are %s", n, strings.Join(known, ", "))}
		}
	}
	return out, nil
}

func printRules(c *cobra.Command, tables []verdict.RuleTable, format string, all bool) error {
	w := c.OutOrStdout()
	switch format {
	case "json":
		return printJSON(w, tables, "  ")
	case "csv":
		out := csv.NewWriter(w)
		for _, t := range tables {
			if err := out.Write(append([]string{"table"}, t.Header...)); err != nil {
				return err
			}
			for _, r := range t.Rows {
				row := []string{t.Name}
				for _, cell := range r {
					row = append(row, sheet.Guarded(cell))
				}
				if err := out.Write(row); err != nil {
					return err
				}
			}
		}
		out.Flush()
		return out.Error()
	case "text":
		s := newScreen(w)
		if all {
			ruleContents(s, s, tables)
			by := grouped(tables)
			tables = nil
			for _, g := range ruleGroups {
				tables = append(tables, by[g.name]...)
			}
		}
		for i, t := range tables {
			if i > 0 {
				fmt.Fprintln(s)
			}
			printRuleTable(s, t)
		}
		return nil
	}
	return errUsage{fmt.Errorf("--format %q: expected text, json or csv", format)}
}

// printRuleTable prints a table for people: its rows, each with its mark and source, no wider than a page.
func printRuleTable(s screen, t verdict.RuleTable) {
	head := strings.ToUpper(t.Name)
	lines := folded(head+": "+t.About, s.page(), 2)
	fmt.Fprintln(s, s.bold(head)+strings.TrimPrefix(strings.Join(lines, "\n"), head))
	for _, r := range t.Rows {
		var parts []string
		for k, cell := range r[:len(r)-2] {
			switch {
			case cell == "":
			case k == 0:
				parts = append(parts, cell)
			default:
				parts = append(parts, t.Header[k]+": "+cell)
			}
		}
		lines := folded("  "+strings.Join(parts, " · "), s.page(), 4)
		if name, rest, ok := strings.Cut(lines[0], " · "); ok && r[0] != "" {
			lines[0] = "  " + s.bold(strings.TrimPrefix(name, "  ")) + " · " + rest
		}
		fmt.Fprintln(s, strings.Join(append(lines, folded(fmt.Sprintf("      [%s] %s", r[len(r)-1], r[len(r)-2]), s.page(), 6)...), "\n"))
	}
}
