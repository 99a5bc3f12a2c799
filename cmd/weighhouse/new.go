package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"weighhouse/templates/form"
)

func newNew() *cobra.Command {
	var csv bool
	c := &cobra.Command{
		Use:   "new CASE",
		Short: "blank forms for a case",
		Long: "New makes the folder CASE with a spec and a lab workbook: every table, its columns with their units, lists for the fixed words,\n" +
			"and notes on what to enter. Rows that begin with \"example:\" are examples and are not read. A book that is there is never overwritten.",
		Example: "  weighhouse new mycase\n  weighhouse new mycase --csv",
		Args:    exactly(1, "one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := form.Write(args[0], csv); err != nil {
				return err
			}
			files, err := form.Files(csv)
			if err != nil {
				return err
			}
			for _, f := range files {
				fmt.Fprintln(c.OutOrStdout(), "written:", clean(filepath.Join(args[0], filepath.FromSlash(f.Path))))
			}
			fmt.Fprintf(c.OutOrStdout(), "fill them in, put logs and captures beside them, then: weighhouse audit %s\n", clean(args[0]))
			return nil
		},
		ValidArgsFunction: foldersOnly,
	}
	c.Flags().BoolVar(&csv, "csv", false, "folders of CSV files in place of workbooks")
	return c
}
