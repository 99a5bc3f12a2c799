package main

import (
	"encoding/csv"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/measure/sheet"
	"weighhouse/templates/letter"
	"weighhouse/verdict"
)

func newRules() *cobra.Command {
	var format string
	c := &cobra.Command{
		Use:   "rules [TABLE…]",
		Short: "every tolerance, grade, term and check in force, with its source",
		Long: "Rules prints the trade knowledge that the program judges by: tolerances, checks, classes, claims, questions, terms, words, grades, areas, tiers, instruments, dropouts,\n" +
			"record, decision, phrases, requests, listing (the words by which a listing says what a number is), logs, units and spellings; and what letters to authorities rest on: bodies, particulars,\n" +
			"duties, settle. Each row names its source and its mark: read, second-hand, memory, computed or judgement. A source whose documents are known in different ways says so of each;\n" +
			"the mark is then that of the one least well known.",
		Example: "  weighhouse rules tolerances\n  weighhouse rules --format csv checks > checks.csv",
		Args:    cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			tables, err := pick(ruleTables(), args)
			if err != nil {
				return err
			}
			return printRules(c, tables, format)
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

// ruleTables is the trade knowledge in force, that of letters too; words that no text of ours may hold are not printed.
func ruleTables() []verdict.RuleTable {
	all := verdict.Rulebook()
	for _, t := range letter.Tables() {
		if t.Name != "avoid" {
			all = append(all, t)
		}
	}
	return all
}

func pick(all []verdict.RuleTable, names []string) ([]verdict.RuleTable, error) {
	if len(names) == 0 {
		return all, nil
	}
	var out []verdict.RuleTable
	for _, n := range names {
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

func printRules(c *cobra.Command, tables []verdict.RuleTable, format string) error {
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
		for i, t := range tables {
			if i > 0 {
				fmt.Fprintln(s)
			}
			fmt.Fprintf(s, "%s: %s\n", s.bold(strings.ToUpper(t.Name)), t.About)
			for _, r := range t.Rows {
				var parts []string
				for k, cell := range r[:len(r)-2] {
					if cell == "" {
						continue
					}
					if k == 0 {
						parts = append(parts, s.bold(cell))
					} else {
						parts = append(parts, t.Header[k]+": "+cell)
					}
				}
				fmt.Fprintf(s, "  %s\n      [%s] %s\n", strings.Join(parts, " · "), r[len(r)-1], r[len(r)-2])
			}
		}
		return nil
	}
	return errUsage{fmt.Errorf("--format %q: expected text, json or csv", format)}
}
