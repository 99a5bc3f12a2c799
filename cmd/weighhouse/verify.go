package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"runtime"

	"github.com/spf13/cobra"

	"weighhouse/templates/index"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

func newVerify() *cobra.Command {
	var file, format string
	c := &cobra.Command{
		Use:   "verify CASE",
		Short: "does a written audit still follow from these inputs?",
		Long: "Verify reads the audit.json of a case, hashes the case's inputs anew, derives every result and verdict again with the audit's\n" +
			"own date, and says which input, rule or version changed what. Exit status 0: it follows; 1: it does not.",
		Example: "  weighhouse verify testdata/demo\n  weighhouse verify --audit results/audit.json cases/one",
		Args:    exactly(1, "one case folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if format != "text" && format != "json" {
				return errUsage{fmt.Errorf("--format %q: expected text or json", format)}
			}
			return verify(c, args[0], file, format)
		},
		ValidArgsFunction: foldersOnly,
	}
	c.Flags().StringVar(&file, "audit", "", "the written audit (default: CASE/audit.json)")
	c.Flags().StringVar(&format, "format", "text", "text or json")
	completeWord(c, "format", "text", "json")
	return c
}

func verify(c *cobra.Command, dir, path, format string) error {
	if path == "" {
		path = filepath.Join(dir, "audit.json")
	}
	written, data, err := readAuditBytes(path)
	if err != nil {
		return err
	}
	if _, err := issueDate(written.Issued); err != nil || written.Issued == "" {
		return fmt.Errorf("%s: issued: found %q; expected YYYY-MM-DD", path, written.Issued)
	}
	l, err := load(dir, written.Issued)
	if err != nil {
		return fmt.Errorf("the inputs can no longer be read as a case:\n%w", err)
	}
	check := verdict.Verify(written, l.audit.Report())
	others, err := siblings(path, data, l, len(check.Differences) == 0 && sameMachine(written))
	if err != nil {
		return err
	}
	if len(others) > 0 {
		check.Differences = append(check.Differences, others...)
		check.Causes = append(check.Causes, "an output of another making beside audit.json: a run that ended between two outputs, one format that was written alone, or an alteration; weighhouse audit with all formats writes them anew")
	}
	out := c.OutOrStdout()
	if format == "json" {
		if err := printJSON(out, check, "  "); err != nil {
			return err
		}
	} else {
		printCheck(out, path, written, check)
	}
	if len(check.Differences) > 0 {
		return errFailed
	}
	return nil
}

// sameMachine reports whether an audit was written on a kind of machine that gives the same last digits, so that its page
// and workbook can be compared byte by byte.
func sameMachine(a verdict.Report) bool {
	return a.Tool.Machine == "" || a.Tool.Machine == runtime.GOARCH
}

func printCheck(w io.Writer, path string, a verdict.Report, check verdict.Check) {
	if len(check.Differences) == 0 {
		fmt.Fprintf(w, "%s follows from the inputs: %s by their SHA-256, %s, %s, %s, version %s.\n", clean(path), numeral.Several(len(a.Inputs), "input"),
			numeral.Several(len(a.Claims), "claim"), numeral.Several(len(a.Measurements), "result"), numeral.Several(index.FromReport(a).Findings, "finding"), clean(a.Tool.Version))
		if !sameMachine(a) {
			fmt.Fprintf(w, "It was written on another kind of machine (%s; here %s): numbers are the same to nine digits; the page and the workbook were not compared.\n", clean(a.Tool.Machine), runtime.GOARCH)
		}
		return
	}
	fmt.Fprintf(w, "%s does not follow from the inputs.\n", clean(path))
	for _, cause := range check.Causes {
		fmt.Fprintf(w, "cause: %s\n", cause)
	}
	kind := ""
	for _, d := range check.Differences {
		if d.Kind != kind {
			kind = d.Kind
			fmt.Fprintf(w, "\n%s\n", kind)
		}
		fmt.Fprintf(w, "  %s\n    written: %s\n    now:     %s\n", clean(d.What), shorten(clean(d.Was), 200), shorten(clean(d.Is), 200))
	}
}

// readAudit reads a written audit.json.
func readAudit(path string) (verdict.Report, error) {
	r, _, err := readAuditBytes(path)
	return r, err
}

// readAuditBytes reads a written audit.json and gives its bytes, too.
func readAuditBytes(path string) (r verdict.Report, data []byte, err error) {
	data, err = readPlain(path, verdict.MaxFile)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return r, nil, fmt.Errorf("%s: there is no such file\n  hint: weighhouse audit CASE writes it", path)
	case err != nil:
		return r, nil, err
	}
	if err := json.Unmarshal(data, &r); err != nil {
		return r, nil, fmt.Errorf("%s: is no audit.json: %w", path, err)
	}
	if r.Format != verdict.Format {
		return r, nil, fmt.Errorf("%s: format: found %q; expected %q", path, r.Format, verdict.Format)
	}
	return r, data, nil
}
