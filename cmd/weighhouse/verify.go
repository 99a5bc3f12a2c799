package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"weighhouse/templates/index"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

func newVerify() *cobra.Command {
	var file, format, font string
	c := &cobra.Command{
		Use:   "verify CASE",
		Short: "does a written audit still follow from these inputs?",
		Long: "Verify reads the audit.json of a case, hashes the case's inputs anew, derives every result and verdict again with the audit's\n" +
			"own date and name, and compares: numbers to 1e-9, texts exactly. Then it prints each output beside audit.json anew and compares\n" +
			"the bytes. It says what differs and what can have made it so, what was and was not checked, and which files nothing uses. CASE\n" +
			"may be an unpacked bundle of weighhouse letter. Exit status 0: it follows; 1: it does not.",
		Example: "  weighhouse verify testdata/demo\n  weighhouse verify --audit results/audit.json cases/one",
		Args:    exactly(1, "one case folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if format != "text" && format != "json" {
				return errUsage{fmt.Errorf("--format %q: expected text or json", format)}
			}
			var o writerOptions
			if font != "" {
				var err error
				if o.font, err = readFont(font); err != nil {
					return err
				}
			}
			return verify(c, args[0], file, format, o)
		},
		ValidArgsFunction: foldersOnly,
	}
	c.Flags().StringVar(&file, "audit", "", "the written audit (default: CASE/audit.json)")
	c.Flags().StringVar(&format, "format", "text", "text or json")
	c.Flags().StringVar(&font, "font", "", "the TrueType file that the PDF was written with, where one was named")
	completeWord(c, "format", "text", "json")
	return c
}

func verify(c *cobra.Command, dir, path, format string, o writerOptions) error {
	v := verifier{dir: dir, path: path, options: o}
	if path == "" {
		if err := v.unpacked(); err != nil {
			return err
		}
	}
	if err := v.run(); err != nil {
		return err
	}
	out := c.OutOrStdout()
	if format == "json" {
		if err := printJSON(out, v.check, "  "); err != nil {
			return err
		}
	} else {
		v.print(out)
	}
	if len(v.check.Differences) > 0 {
		return errFailed
	}
	return nil
}

// verifier holds one verification.
type verifier struct {
	dir, path string // of the case, of its audit.json
	options   writerOptions

	written verdict.Report
	data    []byte // of the written audit.json
	check   verdict.Check
}

// run compares the written audit with one that is derived anew under its own date, version and name, and the outputs beside it.
func (v *verifier) run() error {
	if v.path == "" {
		v.path = filepath.Join(v.dir, "audit.json")
	}
	inBundle := v.check
	var err error
	if v.written, v.data, err = readAuditBytes(v.path); err != nil {
		return err
	}
	if _, err := issueDate(v.written.Issued); err != nil || v.written.Issued == "" {
		return fmt.Errorf("%s: issued: found %q; expected YYYY-MM-DD", v.path, v.written.Issued)
	}
	l, err := loadAs(v.dir, identity{issued: v.written.Issued, version: v.written.Tool.Version, name: v.written.Case})
	if err != nil {
		return fmt.Errorf("the inputs can no longer be read as a case:\n%w", err)
	}
	derived, err := l.json()
	if err != nil {
		return err
	}
	if v.check, err = verdict.Verify(v.data, derived); err != nil {
		return fmt.Errorf("%s: is no audit.json: %w", v.path, err)
	}
	c := &v.check
	c.Checked = append(inBundle.Checked, fmt.Sprintf("%s by their SHA-256; %s, %s and %s derived anew: numbers to 1e-9, texts exactly", numeral.Several(len(v.written.Inputs), "input"),
		numeral.Several(len(v.written.Claims), "claim"), numeral.Several(len(v.written.Measurements), "result"), numeral.Several(index.FromReport(v.written).Findings, "finding")))
	c.Unchecked = append(c.Unchecked, inBundle.Unchecked...)
	c.Notes = append(c.Notes, inBundle.Notes...)
	same := v.written.Tool.Version == version
	if !same && len(c.Differences) > 0 {
		c.Causes = []string{fmt.Sprintf("another version of the program: %s wrote the audit, this is %s; only that version can tell whether it was altered", v.written.Tool.Version, version)}
		if slices.ContainsFunc(c.Differences, func(d verdict.Difference) bool { return d.Kind == "input" }) {
			c.Causes = append(c.Causes, "inputs that have changed since the audit was written")
		}
	} else if !same {
		c.Notes = append(c.Notes, fmt.Sprintf("version %s wrote the audit; this one, %s, derives the same", v.written.Tool.Version, version))
	}
	if name := l.name; name != v.written.Case {
		c.Notes = append(c.Notes, fmt.Sprintf("a copy under another name: the case was %s, the folder is %s", v.written.Case, name))
	}
	if err := v.outputs(l, same); err != nil {
		return err
	}
	c.Differences = append(c.Differences, inBundle.Differences...)
	c.Causes = append(c.Causes, inBundle.Causes...)
	return v.unused()
}

func (v *verifier) print(w io.Writer) {
	a, c := v.written, v.check
	if len(c.Differences) == 0 {
		fmt.Fprintf(w, "%s follows from the inputs: %s by their SHA-256, %s, %s, %s, version %s.\n", clean(v.path), numeral.Several(len(a.Inputs), "input"),
			numeral.Several(len(a.Claims), "claim"), numeral.Several(len(a.Measurements), "result"), numeral.Several(index.FromReport(a).Findings, "finding"), clean(a.Tool.Version))
	} else {
		fmt.Fprintf(w, "%s does not follow from the inputs.\n", clean(v.path))
	}
	for _, cause := range c.Causes {
		fmt.Fprintf(w, "cause: %s\n", clean(cause))
	}
	kind := ""
	for _, d := range c.Differences {
		if d.Kind != kind {
			kind = d.Kind
			fmt.Fprintf(w, "\n%s\n", kind)
		}
		fmt.Fprintf(w, "  %s\n    written: %s\n    now:     %s\n", shorten(clean(d.What), 200), shorten(clean(d.Was), 200), shorten(clean(d.Is), 200))
	}
	if kind != "" {
		fmt.Fprintln(w)
	}
	for _, part := range []struct {
		name string
		list []string
	}{{"checked", c.Checked}, {"not checked", c.Unchecked}, {"note", c.Notes}} {
		for _, s := range part.list {
			fmt.Fprintf(w, "%s: %s\n", part.name, clean(s))
		}
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
