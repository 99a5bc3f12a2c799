package main

import (
	_ "embed"
	"io"

	"github.com/spf13/cobra"
)

// notices are the licence of this program and those of all that is built into it, the embedded typefaces included;
// TestNotices holds them against the modules, and writes them anew with -update.
//
//go:embed notices.txt
var notices string

func newNotices() *cobra.Command {
	return &cobra.Command{
		Use:   "notices",
		Short: "the licence of this program and of all that is built into it",
		Long:  "Notices prints the licence of this program, and the notices of the libraries and typefaces that are built into it. They go with every copy of the program.",
		Args:  exactly(0, "no argument"),
		RunE: func(c *cobra.Command, _ []string) error {
			_, err := io.WriteString(c.OutOrStdout(), notices)
			return err
		},
	}
}
