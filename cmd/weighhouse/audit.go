package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"runtime"
	"slices"
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

	each          []string
	jobs          int
	resume, index bool
}

func newAudit() *cobra.Command {
	var f auditFlags
	c := &cobra.Command{
		Use:   "audit CASE…",
		Short: "the main job: read, reduce, judge, write the audit",
		Long: "Audit reads each case folder (spec.xlsx or spec/*.csv, lab.xlsx or lab/*.csv, the logs and captures they point at), judges\n" +
			"every claim, and writes audit.pdf and audit.json into the case folder, or into the folder of --out.\n\n" +
			"Of several cases it prints a line each, works on --jobs of them at a time, and writes index.csv and index.html. One that\n" +
			"fails is reported and does not stop the rest. An interrupt leaves no half-written file; --resume goes on from there.",
		Example: "  weighhouse audit testdata/demo\n  weighhouse audit --out results --format pdf,json,html cases/one cases/two\n" +
			"  weighhouse audit --each cases --out results --resume",
		Args: func(c *cobra.Command, args []string) error {
			if len(f.each) > 0 {
				return nil
			}
			return atLeast(1, "one case folder or more, or --each DIR")(c, args)
		},
		RunE: func(c *cobra.Command, args []string) error {
			return auditCases(c, args, f)
		},
		ValidArgsFunction: foldersOnly,
	}
	c.Flags().StringVar(&f.out, "out", "", "write into this folder (into DIR/<case> where several cases are named, or with --each)")
	c.Flags().StringVar(&f.format, "format", "pdf,json", "what to write: any of pdf,json,html,xlsx")
	c.Flags().StringVar(&f.date, "date", "", "date of issue, YYYY-MM-DD (default: today, UTC)")
	c.Flags().StringVar(&f.failOn, "fail-on", "", "exit 3 where any of these verdicts stands: supported,contradicted,inconclusive,untested,unclear")
	c.Flags().StringVar(&f.paper, "paper", "a4", "paper of the PDF: a4 or letter")
	c.Flags().StringVar(&f.font, "font", "", "a TrueType file for characters that the built-in fonts lack")
	c.Flags().StringArrayVar(&f.each, "each", nil, "audit every sub-folder of this folder that holds a spec book; may be given again")
	c.Flags().IntVar(&f.jobs, "jobs", runtime.GOMAXPROCS(0), "how many cases to work on at a time")
	c.Flags().BoolVar(&f.resume, "resume", false, "leave cases as they are whose inputs, version, date and outputs are unchanged, by their hashes")
	c.Flags().BoolVar(&f.index, "index", true, "of several cases write index.csv and index.html, into --out or --each (--index=false: do not)")
	completeFolder(c, "out", "each")
	completeList(c, "format", formatNames)
	completeList(c, "fail-on", outcomeWords())
	completeWord(c, "paper", "a4", "letter")
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
	var j job
	var err error
	if j.issued, err = issueDate(f.date); err != nil {
		return j, err
	}
	if j.formats, err = formats(f.format); err != nil {
		return j, err
	}
	if j.failOn, err = outcomes(f.failOn); err != nil {
		return j, err
	}
	if f.jobs < 1 {
		return j, errUsage{fmt.Errorf("--jobs %d: expected 1 or more", f.jobs)}
	}
	if f.resume && !slices.Contains(j.formats, "json") {
		return j, errUsage{errors.New("--resume: needs json among the formats: the hashes of the inputs stand in audit.json")}
	}
	if f.paper = strings.ToLower(f.paper); f.paper != "a4" && f.paper != "letter" {
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

// maxFont is the most bytes of a font file.
const maxFont = 64 << 20

func readFont(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("--font %s: %w", path, pathless(err))
	}
	if !info.Mode().IsRegular() { // a pipe would be waited for without end
		return nil, fmt.Errorf("--font %s: found no plain file, expected a TrueType file", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("--font %s: %w", path, pathless(err))
	}
	defer f.Close()
	b, err := readLimited(f, maxFont)
	if err != nil {
		return nil, fmt.Errorf("--font: %w", err)
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
		b, err := l.json()
		return b, nil, err
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

// formatNames are the formats of an audit, in the order in which they are written.
var formatNames = []string{"pdf", "json", "html", "xlsx"}

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
	for _, w := range formatNames {
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
	js, err := l.json()
	if err != nil {
		return nil, nil, err
	}
	books, notes, err := l.books()
	if err != nil {
		return nil, nil, err
	}
	attach := []pdf.Attachment{{Name: "audit.json", MIME: "application/json", Relationship: "Data", Description: "the audit as data", Data: js}}
	for _, b := range books {
		mime := "text/csv"
		if strings.HasSuffix(strings.ToLower(b.path), ".xlsx") {
			mime = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
		}
		attach = append(attach, pdf.Attachment{Name: b.path, MIME: mime, Relationship: "Source", Description: "a book of the case", Data: b.data})
	}
	file, warnings, err := pdf.Bytes(l.audit, pdf.Options{Paper: o.paper, Font: o.font, Attach: attach})
	return file, append(notes, warnings...), err
}
