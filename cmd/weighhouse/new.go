package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"weighhouse/templates/form"
)

func newNew() *cobra.Command {
	var csv, roomBook bool
	c := &cobra.Command{
		Use:   "new CASE",
		Short: "blank forms for a case",
		Long: "New makes the folder CASE with a spec and a lab workbook: every table, its columns with their units, lists for the fixed words,\n" +
			"and notes on what to enter. Rows that begin with \"example:\" are examples and are not read. A book that is there is never overwritten.",
		Example: "  weighhouse new mycase\n  weighhouse new mycase --csv",
		Args:    exactly(1, "one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			set, next := form.Case, "fill them in, put logs and captures beside them, then: weighhouse audit %s\n"
			if roomBook {
				set, next = form.Room, "fill it in and put the cases of the reference units beside it, then: weighhouse room %s\n"
			}
			if err := form.Write(args[0], set, csv); err != nil {
				return err
			}
			files, err := form.Files(set, csv)
			if err != nil {
				return err
			}
			for _, f := range files {
				fmt.Fprintln(c.OutOrStdout(), "written:", clean(filepath.Join(args[0], filepath.FromSlash(f.Path))))
			}
			target := args[0]
			if roomBook {
				target = filepath.Join(target, "room.xlsx")
				if csv {
					target = filepath.Join(args[0], "room")
				}
			}
			fmt.Fprintf(c.OutOrStdout(), next, clean(target))
			return nil
		},
		ValidArgsFunction: foldersOnly,
	}
	c.Flags().BoolVar(&roomBook, "room", false, "the form of a room book, which many cases share, in place of a case")
	c.Flags().BoolVar(&csv, "csv", false, "folders of CSV files in place of workbooks")
	return c
}
