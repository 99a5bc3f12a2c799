package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/measure/sheet"
	"weighhouse/templates/index"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

func newIndex() *cobra.Command {
	var out, failOn string
	c := &cobra.Command{
		Use:   "index DIR…",
		Short: "one list of many audits, also of those made on other machines",
		Long: "Index reads every audit.json in the folders and their sub-folders and writes index.csv and index.html: one row a case with\n" +
			"its verdict counts and links to its outputs. It is the index that audit writes of many cases, so that a run which was\n" +
			"shared out over machines ends in the same list. A case without audit.json beside its spec book is listed as not audited.",
		Example: "  weighhouse index results\n  weighhouse index --out market node-1/results node-2/results",
		Args:    atLeast(1, "one folder or more"),
		RunE: func(c *cobra.Command, args []string) error {
			return indexFolders(c, args, out, failOn, maxCases)
		},
		ValidArgsFunction: foldersOnly,
	}
	c.Flags().StringVar(&out, "out", "", "write into this folder (default: the folder named, where it is one)")
	c.Flags().StringVar(&failOn, "fail-on", "", "exit 3 where any of these verdicts stands: supported,contradicted,inconclusive,untested,unclear")
	completeFolder(c, "out")
	completeList(c, "fail-on", outcomeWords())
	return c
}

// indexFolder is where the index of an audit run goes, "" for none: by default into --out, or into the one folder of
// --each, where there are several cases.
func (f auditFlags) indexFolder(asked bool, cases int) (string, error) {
	to := f.out
	if to == "" && len(f.each) == 1 {
		to = f.each[0]
	}
	switch {
	case asked && f.index && to == "":
		return "", errUsage{errors.New("--index: there is no one folder to write it to; add --out DIR")}
	case !f.index, !asked && cases < 2 && len(f.each) == 0:
		return "", nil
	}
	return to, nil
}

// writeIndex writes index.csv and index.html into a folder. The rows' folders are paths as the caller sees them.
func writeIndex(to string, rows []index.Row) ([]string, error) {
	base, err := filepath.Abs(to)
	if err != nil {
		return nil, err
	}
	for i, r := range rows {
		dir, err := filepath.Abs(r.Folder)
		if err != nil {
			return nil, err
		}
		if rel, err := filepath.Rel(base, dir); err == nil {
			dir = rel
		}
		rows[i].Folder = filepath.ToSlash(dir)
	}
	var table, page bytes.Buffer
	if err := index.WriteCSV(&table, rows); err != nil {
		return nil, fmt.Errorf("writing index.csv: %w", err)
	}
	if err := index.WriteHTML(&page, rows, version); err != nil {
		return nil, fmt.Errorf("writing index.html: %w", err)
	}
	if err := os.MkdirAll(to, 0o755); err != nil {
		return nil, fmt.Errorf("%s: cannot be made: %w", to, pathless(err))
	}
	files := []file{{filepath.Join(to, "index.csv"), table.Bytes()}, {filepath.Join(to, "index.html"), page.Bytes()}}
	return []string{files[0].path, files[1].path}, writeAll(files)
}

// indexFolders merges the audits found in folders, of at most so many cases.
func indexFolders(c *cobra.Command, dirs []string, out, failOn string, most int) error {
	stop, err := outcomes(failOn)
	if err != nil {
		return err
	}
	if out == "" && len(dirs) == 1 {
		out = dirs[0]
	}
	if out == "" {
		return errUsage{errors.New("index: there are several folders; name the one to write to: --out DIR")}
	}
	s, errOut := newScreen(c.OutOrStdout()), c.ErrOrStderr()
	var rows []index.Row
	seen := map[string]bool{}
	byCase := map[string]string{}
	bad, found, absent := 0, 0, 0
	for _, dir := range dirs {
		err := walkCases(dir, func(folder string, audited bool) error {
			if key := sameFolder(folder); seen[key] {
				return nil
			} else if seen[key] = true; len(seen) > most {
				return fmt.Errorf("%s: %s", dir, sheet.TooLarge("cases of one index", int64(len(seen)), int64(most)))
			}
			row := rowOf(folder, audited)
			switch row.State {
			case index.Failed:
				bad++
				reportError(c, folder, errors.New(row.Problem))
			case index.Absent:
				absent++
				fmt.Fprintf(errOut, "note: %s: a case without audit.json\n", clean(folder))
			default:
				if other, twice := byCase[row.Case]; twice {
					fmt.Fprintf(errOut, "note: the case %q stands here twice: %s, %s\n", clean(row.Case), clean(other), clean(folder))
				}
				byCase[row.Case] = folder
			}
			for o := range stop {
				found += row.Counts[o]
			}
			rows = append(rows, row)
			return nil
		})
		if err != nil {
			bad++
			reportError(c, dir, err)
		}
	}
	if len(rows) == 0 {
		if bad == 0 {
			reportError(c, "", fmt.Errorf("%s: no audit.json found\n%sweighhouse audit CASE writes it", strings.Join(dirs, ", "), hintMark))
		}
		return errFailed
	}
	written, err := writeIndex(out, rows)
	if err != nil {
		return err
	}
	fmt.Fprintf(s, "%s: %d audited, %d not audited, %d failed\n", numeral.Several(len(rows), "case"), len(rows)-bad-absent, absent, bad)
	for _, f := range written {
		fmt.Fprintln(s, "written:", clean(f))
	}
	switch {
	case bad > 0:
		return errFailed
	case found > 0:
		return errFound
	}
	return nil
}

// walkCases visits dir and all folders in it that hold an audit.json or a spec book, in order of their paths. Hidden folders
// and links are passed over; the books of a case are not entered.
func walkCases(dir string, visit func(folder string, audited bool) error) error {
	if real, err := filepath.EvalSymlinks(dir); err == nil {
		dir = real
	}
	return filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case !d.IsDir():
			return nil
		case p != dir && strings.HasPrefix(d.Name(), "."):
			return filepath.SkipDir
		}
		info, err := os.Lstat(filepath.Join(p, "audit.json"))
		audited := err == nil && info.Mode().IsRegular()
		if audited || holdsSpec(p) {
			return visit(p, audited)
		}
		return nil
	})
}

// rowOf reads the audit in a folder.
func rowOf(folder string, audited bool) index.Row {
	abs, _ := filepath.Abs(folder)
	row := index.Row{Case: filepath.Base(abs), Folder: folder, State: index.Absent}
	if !audited {
		return row
	}
	r, err := readAudit(filepath.Join(folder, "audit.json"))
	if err == nil {
		if bad := r.Check(); bad != nil {
			err = fmt.Errorf("audit.json: the audit does not agree with itself: %w", bad)
		}
	}
	if err != nil {
		row.State, row.Problem = index.Failed, err.Error()
		return row
	}
	row = index.FromReport(r)
	row.Folder = folder
	for _, kind := range formatNames {
		if info, err := os.Lstat(filepath.Join(folder, "audit."+kind)); err == nil && info.Mode().IsRegular() {
			row.Files = append(row.Files, "audit."+kind)
		}
	}
	return row
}

// outcomes reads the verdicts of a --fail-on flag.
func outcomes(list string) (map[verdict.Outcome]bool, error) {
	out := map[verdict.Outcome]bool{}
	for _, w := range words(list) {
		known := false
		for _, o := range verdict.Outcomes {
			known = known || w == string(o)
		}
		if !known {
			return nil, errUsage{fmt.Errorf("--fail-on %q: expected any of %s", w, strings.Join(outcomeWords(), ","))}
		}
		out[verdict.Outcome(w)] = true
	}
	return out, nil
}

func outcomeWords() []string {
	var out []string
	for _, o := range verdict.Outcomes {
		out = append(out, string(o))
	}
	return out
}
