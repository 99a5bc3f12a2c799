package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/templates/numeral"
	"weighhouse/templates/ranking"
	"weighhouse/verdict"
	"weighhouse/verdict/rank"
)

// rankFlags are the flags of the rank command.
type rankFlags struct {
	out, format, date, particle, paper, font string
}

func newRank() *cobra.Command {
	var f rankFlags
	c := &cobra.Command{
		Use:   "rank CASE…",
		Short: "compare units tested in one room",
		Long: "Rank compares units that were tested in one room: by delivery rate, clean time, noise at the highest setting, rate per\n" +
			"watt, rate per price and yearly cost. Each CASE is a case folder, or an audit.json. Units that cannot be told apart at\n" +
			"this uncertainty share a rank. It prints a table; --format also writes ranking.pdf, ranking.html, ranking.csv and\n" +
			"ranking.json.",
		Example: "  weighhouse rank testdata/rank/fennow-40 testdata/rank/tavvik-35 testdata/rank/osk-3\n" +
			"  weighhouse rank --out results --format pdf,html one/audit.json two/audit.json",
		Args: atLeast(2, "two case folders or more, or audit.json files"),
		RunE: func(c *cobra.Command, args []string) error {
			return rankCases(c, args, f)
		},
	}
	c.Flags().StringVar(&f.out, "out", "", "write into this folder (default: the current one)")
	c.Flags().StringVar(&f.format, "format", "", "what to write: any of pdf,html,csv,json (with --out alone: pdf,json)")
	c.Flags().StringVar(&f.date, "date", "", "date of issue, YYYY-MM-DD (default: today, UTC)")
	c.Flags().StringVar(&f.particle, "particle", "", "the particle to compare by, where there are several: smoke, dust, pm2.5, 0.3 um …")
	c.Flags().StringVar(&f.paper, "paper", "a4", "paper of the PDF: a4 or letter")
	c.Flags().StringVar(&f.font, "font", "", "a TrueType file for characters that the built-in fonts lack")
	completeFolder(c, "out")
	completeWord(c, "paper", "a4", "letter")
	completeWord(c, "particle", measure.Particles...)
	completeList(c, "format", []string{"pdf", "html", "csv", "json"})
	return c
}

// rankWriters make one output each from a ranking.
var rankWriters = map[string]func(r *rank.Ranking, o writerOptions) ([]byte, []string, error){
	"pdf": func(r *rank.Ranking, o writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		warnings, err := ranking.WritePDF(&b, r, ranking.Options{Paper: o.paper, Font: o.font})
		return b.Bytes(), warnings, err
	},
	"html": func(r *rank.Ranking, _ writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		err := ranking.WriteHTML(&b, r)
		return b.Bytes(), nil, err
	},
	"csv": func(r *rank.Ranking, _ writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		err := ranking.WriteCSV(&b, r)
		return b.Bytes(), nil, err
	},
	"json": func(r *rank.Ranking, _ writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		err := r.WriteJSON(&b)
		return b.Bytes(), nil, err
	},
}

// check reads the flags: the formats in a fixed order, the options of the writers and of the comparison.
func (f rankFlags) check() (names []string, w writerOptions, o rank.Options, err error) {
	if o.Issued, err = issueDate(f.date); err != nil {
		return nil, w, o, err
	}
	o.Version = version
	if f.out != "" && f.format == "" {
		f.format = "pdf,json"
	}
	asked := map[string]bool{}
	for _, word := range words(f.format) {
		if rankWriters[word] == nil {
			return nil, w, o, errUsage{fmt.Errorf("--format %q: expected any of pdf,html,csv,json", word)}
		}
		asked[word] = true
	}
	for _, word := range []string{"pdf", "html", "csv", "json"} {
		if asked[word] {
			names = append(names, word)
		}
	}
	if f.particle != "" {
		p, ok := measure.Particle(f.particle)
		if !ok {
			return nil, w, o, errUsage{fmt.Errorf("--particle %q: expected %s, or a size such as 0.3 um", f.particle, strings.Join(measure.Particles, ", "))}
		}
		o.Particle = p
	}
	if f.paper = strings.ToLower(f.paper); f.paper != "a4" && f.paper != "letter" {
		return nil, w, o, errUsage{fmt.Errorf("--paper %q: expected a4 or letter", f.paper)}
	}
	w.paper = f.paper
	if f.font != "" {
		w.font, err = readFont(f.font)
	}
	return names, w, o, err
}

// rankCases reads all cases, compares them, prints the table and writes what was asked for. All cases that cannot be read
// are reported before it gives up.
func rankCases(c *cobra.Command, cases []string, f rankFlags) error {
	names, w, o, err := f.check()
	if err != nil {
		return err
	}
	var audits []*verdict.Audit
	for _, path := range cases {
		a, err := rankInput(path, o.Issued)
		if err != nil {
			reportError(c, path, err)
			continue
		}
		audits = append(audits, a)
	}
	if len(audits) < len(cases) {
		return errFailed
	}
	r, err := rank.Compare(audits, o)
	if err != nil {
		reportError(c, "", err)
		return errFailed
	}
	var files []file
	for _, name := range names {
		data, warnings, err := rankWriters[name](r, w)
		if err != nil {
			return fmt.Errorf("writing ranking.%s: %w", name, err)
		}
		for _, text := range warnings {
			fmt.Fprintln(c.ErrOrStderr(), "note:", clean(text))
		}
		files = append(files, file{filepath.Join(f.out, "ranking."+name), data})
	}
	if len(files) > 0 {
		if f.out != "" {
			if err := os.MkdirAll(f.out, 0o755); err != nil {
				return fmt.Errorf("%s: cannot be made: %w", f.out, pathless(err))
			}
		}
		if err := writeAll(files); err != nil {
			return err
		}
	}
	s := newScreen(c.OutOrStdout())
	printRanking(s, r)
	for _, out := range files {
		fmt.Fprintln(s, "written:", clean(out.path))
	}
	return nil
}

// rankInput reads a case folder, or an audit.json.
func rankInput(path, issued string) (*verdict.Audit, error) {
	info, err := os.Stat(path)
	if err != nil {
		var e *os.PathError
		if errors.As(err, &e) {
			err = e.Err
		}
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if !info.Mode().IsRegular() {
		l, err := load(path, issued)
		if err != nil {
			return nil, err
		}
		return l.audit, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info.Size() > verdict.MaxFile {
		return nil, fmt.Errorf("%s: %s", path, sheet.TooLarge("bytes of the file", info.Size(), verdict.MaxFile))
	}
	a, err := rank.ReadAudit(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return a, nil
}

// printRanking writes the ranks of each criterion.
func printRanking(s screen, r *rank.Ranking) {
	fmt.Fprintf(s, "%s\n", s.bold(fmt.Sprintf("%d units compared in one room", len(r.Units))))
	fmt.Fprintln(s, clean(fmt.Sprintf("%s; room %.4g m³; particle %s", r.Tester, r.Room.Volume, orDash(r.Particle))))
	for _, c := range r.Criteria {
		fmt.Fprintln(s)
		head := c.Title
		if c.Unit != "" {
			head += ", " + c.Unit
		}
		fmt.Fprintf(s, "%s (%s is better)\n", s.bold(clean(head)), c.Better)
		if c.Why != "" {
			fmt.Fprintln(s, "  not ranked:", clean(c.Why))
		}
		rows := [][]string{{"  rank", "unit", "value ± U", "95 % interval", "ties", ""}}
		for _, e := range c.Entries {
			rows = append(rows, rankLine(e))
		}
		printTable(s, rows)
		for _, g := range c.Groups {
			if len(g.Members) > 1 {
				fmt.Fprintf(s, "  %s: indistinguishable at this uncertainty: %s\n", g.Letter, clean(strings.Join(g.Members, "; ")))
			}
		}
	}
	fmt.Fprintln(s)
	for _, n := range r.Notes {
		fmt.Fprintln(s, "note:", clean(n))
	}
	fmt.Fprintln(s, "Ranks hold for the units tested. Units that share a rank or a letter are given in no order but by name.")
}

// rankLine is one row of a criterion's table.
func rankLine(e rank.Entry) []string {
	line := []string{"  " + orDash(e.Rank), e.Label, numeral.Dash, "", e.Letters, e.Note}
	if e.Option != "" { // a column of its own; the basis stands in the reports
		line[1], line[5] = strings.TrimSuffix(e.Label, ", "+e.Option), e.Option
	}
	if e.Value != nil && e.Expanded != nil {
		v, u := numeral.Rounded(*e.Value, *e.Expanded)
		line[2] = strings.TrimSuffix(v+" ± "+u, " ± ")
		if e.Measure != "" {
			line[2] += " " + e.Measure
		}
		if e.Interval[0] != nil && e.Interval[1] != nil {
			low, _ := numeral.Rounded(*e.Interval[0], *e.Expanded)
			high, _ := numeral.Rounded(*e.Interval[1], *e.Expanded)
			line[3] = low + " to " + high
		}
	}
	for i := range line {
		line[i] = clean(line[i])
	}
	return line
}

func orDash(s string) string {
	if s == "" {
		return numeral.Dash
	}
	return s
}
