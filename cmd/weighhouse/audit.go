package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/templates/page"
	"weighhouse/templates/pdf"
	"weighhouse/templates/workbook"
	"weighhouse/verdict"
)

// auditFlags are the flags of the audit command.
type auditFlags struct {
	out, format, date, failOn, paper, font string
}

func newAudit() *cobra.Command {
	var f auditFlags
	c := &cobra.Command{
		Use:   "audit CASE…",
		Short: "the main job: read, reduce, judge, write the audit",
		Long: "Audit reads each case folder (spec.xlsx or spec/*.csv, lab.xlsx or lab/*.csv, the logs and captures they point at), judges\n" +
			"every claim, and writes audit.pdf and audit.json into the case folder, or into the folder of --out.",
		Example: "  weighhouse audit testdata/demo\n  weighhouse audit --out results --format pdf,json,html cases/one cases/two",
		Args:    atLeast(1, "one case folder or more"),
		RunE: func(c *cobra.Command, args []string) error {
			return auditCases(c, args, f)
		},
	}
	c.Flags().StringVar(&f.out, "out", "", "write into this folder (into DIR/<case> where several cases are named)")
	c.Flags().StringVar(&f.format, "format", "pdf,json", "what to write: any of pdf,json,html,xlsx")
	c.Flags().StringVar(&f.date, "date", "", "date of issue, YYYY-MM-DD (default: today, UTC)")
	c.Flags().StringVar(&f.failOn, "fail-on", "", "exit 3 where any of these verdicts stands: supported,contradicted,inconclusive,untested,unclear")
	c.Flags().StringVar(&f.paper, "paper", "a4", "paper of the PDF: a4 or letter")
	c.Flags().StringVar(&f.font, "font", "", "a TrueType file for characters that the built-in fonts lack")
	return c
}

// job is a checked set of flags.
type job struct {
	issued  string
	formats []string
	failOn  map[verdict.Outcome]bool
	options writerOptions
}

// writerOptions are what the writers take.
type writerOptions struct {
	paper string
	font  []byte
}

func (f auditFlags) check() (job, error) {
	j := job{failOn: map[verdict.Outcome]bool{}}
	var err error
	if j.issued, err = issueDate(f.date); err != nil {
		return j, err
	}
	if j.formats, err = formats(f.format); err != nil {
		return j, err
	}
	for _, w := range words(f.failOn) {
		known := false
		for _, o := range verdict.Outcomes {
			known = known || w == string(o)
		}
		if !known {
			return j, errUsage{fmt.Errorf("--fail-on %q: expected any of supported,contradicted,inconclusive,untested,unclear", w)}
		}
		j.failOn[verdict.Outcome(w)] = true
	}
	if f.paper != "a4" && f.paper != "letter" {
		return j, errUsage{fmt.Errorf("--paper %q: expected a4 or letter", f.paper)}
	}
	j.options.paper = f.paper
	if f.font != "" {
		if j.options.font, err = readFont(f.font); err != nil {
			return j, err
		}
	}
	return j, nil
}

// maxFont is the largest font file that is read.
const maxFont = 64 << 20

func readFont(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("--font: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxFont+1))
	if err != nil {
		return nil, fmt.Errorf("--font: %w", err)
	}
	if len(b) > maxFont {
		return nil, fmt.Errorf("--font %s: larger than %d MB", path, maxFont>>20)
	}
	return b, nil
}

// words splits a list flag at commas; case is ignored, blanks are dropped.
func words(list string) []string {
	var out []string
	for _, w := range strings.Split(list, ",") {
		if w = strings.ToLower(strings.TrimSpace(w)); w != "" {
			out = append(out, w)
		}
	}
	return out
}

// writers make one output each from a judged case; a writer computes nothing.
var writers = map[string]func(l *loaded, o writerOptions) ([]byte, []string, error){
	"json": func(l *loaded, _ writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		err := l.audit.WriteJSON(&b)
		return b.Bytes(), nil, err
	},
	"pdf": writePDF,
	"html": func(l *loaded, _ writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		err := page.Write(&b, l.audit)
		return b.Bytes(), nil, err
	},
	"xlsx": func(l *loaded, o writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		err := workbook.Write(&b, l.audit, workbook.Options{Paper: o.paper})
		return b.Bytes(), nil, err
	},
}

// formats checks a --format flag; the order is fixed, so that outputs do not depend on it.
func formats(list string) ([]string, error) {
	asked := map[string]bool{}
	for _, w := range words(list) {
		if writers[w] == nil {
			return nil, errUsage{fmt.Errorf("--format %q: expected any of pdf,json,html,xlsx", w)}
		}
		asked[w] = true
	}
	var out []string
	for _, w := range []string{"pdf", "json", "html", "xlsx"} {
		if asked[w] {
			out = append(out, w)
		}
	}
	if len(out) == 0 {
		return nil, errUsage{fmt.Errorf("--format: expected any of pdf,json,html,xlsx")}
	}
	return out, nil
}

func writePDF(l *loaded, o writerOptions) ([]byte, []string, error) {
	var js bytes.Buffer
	if err := l.audit.WriteJSON(&js); err != nil {
		return nil, nil, err
	}
	attach := []pdf.Attachment{{Name: "audit.json", MIME: "application/json", Relationship: "Data", Description: "the audit as data", Data: js.Bytes()}}
	for _, b := range l.books {
		mime := "text/csv"
		if strings.HasSuffix(b.path, ".xlsx") {
			mime = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
		}
		attach = append(attach, pdf.Attachment{Name: b.path, MIME: mime, Relationship: "Source", Description: "a book of the case", Data: b.data})
	}
	var out bytes.Buffer
	warnings, err := pdf.Write(&out, l.audit, pdf.Options{Paper: o.paper, Font: o.font, Attach: attach})
	return out.Bytes(), warnings, err
}

// auditCases audits every case; one bad case is reported and does not stop the rest.
func auditCases(c *cobra.Command, cases []string, f auditFlags) error {
	j, err := f.check()
	if err != nil {
		return err
	}
	s := newScreen(c.OutOrStdout())
	failed, found := false, false
	for i, dir := range cases {
		if i > 0 {
			fmt.Fprintln(s)
		}
		a, err := auditOne(c, s, dir, outFolder(f.out, dir, len(cases) > 1), j)
		if err != nil {
			failed = true
			fmt.Fprintln(c.ErrOrStderr(), cleanLines(err.Error()))
			continue
		}
		for o := range j.failOn {
			found = found || a.Count(o) > 0
		}
	}
	switch {
	case failed:
		return errFailed
	case found:
		return errFound
	}
	return nil
}

// outFolder is where a case's outputs go.
func outFolder(out, dir string, several bool) string {
	switch {
	case out == "":
		return dir
	case several:
		if abs, err := filepath.Abs(dir); err == nil {
			dir = abs
		}
		return filepath.Join(out, filepath.Base(dir))
	}
	return out
}

// auditOne reads, judges and writes one case.
func auditOne(c *cobra.Command, s screen, dir, out string, j job) (*verdict.Audit, error) {
	l, err := load(dir, j.issued)
	if err != nil {
		return nil, err
	}
	var files []file
	for _, name := range j.formats {
		data, warnings, err := writers[name](l, j.options)
		if err != nil {
			return nil, fmt.Errorf("%s: writing %s: %w", dir, name, err)
		}
		for _, w := range warnings {
			fmt.Fprintln(c.ErrOrStderr(), "note:", clean(w))
		}
		files = append(files, file{filepath.Join(out, "audit."+name), data})
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return nil, fmt.Errorf("%s: cannot be made: %w", out, err)
	}
	if err := writeAll(files); err != nil {
		return nil, err
	}
	printAudit(s, l.audit)
	fmt.Fprintln(s)
	for _, f := range files {
		fmt.Fprintln(s, "written:", clean(f.path))
	}
	return l.audit, nil
}
