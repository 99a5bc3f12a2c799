package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"weighhouse/measure/sheet"
	"weighhouse/templates/letter"
	"weighhouse/templates/numeral"
)

// letterFlags are the flags of the letter command.
type letterFlags struct {
	to, body, template, holidays, bundle, out, format, date, paper, font string
	days                                                                 int
}

func newLetter() *cobra.Command {
	var f letterFlags
	c := &cobra.Command{
		Use:   "letter CASE --to maker|authority",
		Short: "the maker's right of reply, or a complaint dossier for an authority",
		Long: "Letter writes, from a case: to the maker, its own results and the questions they raise, with a day for its reply; to an\n" +
			"authority, a dossier in eleven numbered elements with its exhibits and their SHA-256. What the case cannot know is\n" +
			"marked in the letter for the sender to complete. Read every letter before you send it, and take qualified advice\n" +
			"before you file a complaint.\n\n" +
			"Bodies for --body: " + strings.Join(bodies(), ", "),
		Example: "  weighhouse letter testdata/demo --to maker --date 2026-08-03\n" +
			"  weighhouse letter testdata/demo --to authority --body eu --bundle dossier.zip",
		Args: exactly(1, "one case folder"),
		RunE: func(c *cobra.Command, args []string) error {
			j, err := f.check()
			if err != nil {
				return err
			}
			for _, name := range []string{"days", "holidays"} {
				if j.options.To == letter.ToAuthority && c.Flags().Changed(name) {
					return errUsage{fmt.Errorf("--%s goes with --to maker: an authority is given no deadline", name)}
				}
			}
			return j.write(c, args[0])
		},
		ValidArgsFunction: foldersOnly,
	}
	c.Flags().StringVar(&f.to, "to", "", "maker or authority")
	c.Flags().StringVar(&f.body, "body", "", "the authority, for what it asks for besides the common elements")
	c.Flags().StringVar(&f.bundle, "bundle", "", "also pack audit, letter, inputs and a manifest into this .zip (--to authority)")
	c.Flags().StringVar(&f.template, "template", "", "a folder whose .tmpl files stand in for the built-in ones of the same name")
	c.Flags().IntVar(&f.days, "days", 10, "working days that the maker has to reply (--to maker)")
	c.Flags().StringVar(&f.holidays, "holidays", "", "days that are no working days: YYYY-MM-DD, or the public holidays of a country, such as de; several split by commas (--to maker)")
	c.Flags().StringVar(&f.out, "out", "", "write into this folder (default: the case folder)")
	c.Flags().StringVar(&f.format, "format", "pdf,txt", "what to write: any of pdf,txt")
	c.Flags().StringVar(&f.date, "date", "", "date of the letter, YYYY-MM-DD (default: today, UTC)")
	c.Flags().StringVar(&f.paper, "paper", "a4", "paper of the PDF: a4 or letter")
	c.Flags().StringVar(&f.font, "font", "", "a TrueType file for characters that the built-in fonts lack")
	completeFolder(c, "out", "template")
	completeWord(c, "to", "maker", "authority")
	completeWord(c, "body", bodies()...)
	completeWord(c, "paper", "a4", "letter")
	completeList(c, "format", []string{"pdf", "txt"})
	return c
}

func bodies() (ids []string) {
	for _, b := range letter.Bodies() {
		ids = append(ids, b.ID)
	}
	return ids
}

// letterJob is a checked set of flags.
type letterJob struct {
	issued      string
	options     letter.Options
	writer      writerOptions
	pdf, txt    bool
	out, bundle string
}

func (f letterFlags) check() (j letterJob, err error) {
	usage := func(format string, a ...any) error { return errUsage{fmt.Errorf(format, a...)} }
	j.out, j.bundle = f.out, f.bundle
	j.options = letter.Options{To: letter.Addressee(strings.ToLower(f.to)), Templates: f.template, Days: f.days}
	switch j.options.To {
	case letter.ToMaker:
		if f.body != "" || f.bundle != "" {
			return j, usage("--body and --bundle go with --to authority: the maker gets its own results and no dossier")
		}
	case letter.ToAuthority:
	case "":
		return j, usage("letter: expected --to maker or --to authority")
	default:
		return j, usage("--to %q: expected maker or authority", f.to)
	}
	if j.issued, err = issueDate(f.date); err != nil {
		return j, err
	}
	if f.body != "" {
		b, err := letter.FindBody(f.body)
		if err != nil {
			return j, usage("--body: %w", err)
		}
		j.options.Body = &b
	}
	day, err := time.Parse(time.DateOnly, j.issued)
	if err != nil {
		return j, err
	}
	if j.options.Holidays, err = holidays(f.holidays, day); err != nil {
		return j, err
	}
	if _, err := letter.Deadline(day, f.days, j.options.Holidays); err != nil {
		return j, usage("--days: %w", err)
	}
	for _, w := range words(f.format) {
		switch w {
		case "pdf":
			j.pdf = true
		case "txt":
			j.txt = true
		default:
			return j, usage("--format %q: expected any of pdf,txt", w)
		}
	}
	if !j.pdf && !j.txt {
		return j, usage("--format: expected any of pdf,txt")
	}
	if f.paper = strings.ToLower(f.paper); f.paper != "a4" && f.paper != "letter" {
		return j, usage("--paper %q: expected a4 or letter", f.paper)
	}
	if f.bundle != "" && !strings.EqualFold(filepath.Ext(f.bundle), ".zip") {
		return j, usage("--bundle %q: expected a name that ends in .zip", f.bundle)
	}
	j.writer.paper = f.paper
	if f.font != "" {
		j.writer.font, err = readFont(f.font)
	}
	return j, err
}

func holidays(list string, from time.Time) ([]time.Time, error) {
	var out []time.Time
	for _, w := range words(list) {
		if len(w) == 2 {
			days, err := letter.HolidaysOf(w, from)
			if err != nil {
				return nil, errUsage{fmt.Errorf("--holidays: %w", err)}
			}
			out = append(out, days...)
			continue
		}
		t, err := time.Parse(time.DateOnly, w)
		if err != nil {
			return nil, errUsage{fmt.Errorf("--holidays %q: expected YYYY-MM-DD or a country such as de, several split by commas", w)}
		}
		out = append(out, t)
	}
	return out, nil
}

// write reads the case, writes the letter, and the bundle where one is asked for.
func (j letterJob) write(c *cobra.Command, dir string) error {
	l, err := load(dir, j.issued)
	if err != nil {
		return err
	}
	audits, err := j.audits(c, l)
	if err != nil {
		return err
	}
	for _, a := range audits {
		j.options.Made = append(j.options.Made, letter.Made{Input: sheet.Input{Path: a.name, Bytes: int64(len(a.data)), SHA256: a.sum()}, What: a.what})
	}
	t, err := letter.Write(l.audit, j.options)
	if err != nil {
		return err
	}
	letters, err := j.letters(c, t)
	if err != nil {
		return err
	}
	out := j.out
	if out == "" {
		out = dir
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return fmt.Errorf("%s: cannot be made: %w", out, pathless(err))
	}
	var zip string // the bundle, written aside
	if j.bundle != "" {
		if zip, err = j.bundleAside(l, append(audits, letters...)); err != nil {
			return err
		}
		defer os.Remove(zip)
	}
	var files []file
	for _, x := range letters {
		if j.pdf && strings.HasSuffix(x.name, ".pdf") || j.txt && strings.HasSuffix(x.name, ".txt") {
			files = append(files, file{filepath.Join(out, x.name), x.data})
		}
	}
	if err := writeAll(files); err != nil {
		return err
	}
	if zip != "" {
		if err := os.Rename(zip, j.bundle); err != nil {
			return fmt.Errorf("%s: %w", j.bundle, err)
		}
		files = append(files, file{j.bundle, nil})
	}
	j.say(c, t, files)
	return nil
}

// made is one output in memory.
type made struct {
	name, what string
	data       []byte
}

func (m made) sum() string {
	s := sha256.Sum256(m.data)
	return hex.EncodeToString(s[:])
}

// audits makes the audit of the same day, whose hashes a dossier prints.
func (j letterJob) audits(c *cobra.Command, l *loaded) (out []made, err error) {
	if j.options.To != letter.ToAuthority {
		return nil, nil
	}
	for _, name := range []string{"pdf", "json"} {
		data, warnings, err := writers[name](l, j.writer)
		if err != nil {
			return nil, fmt.Errorf("%s: writing %s: %w", l.dir, name, err)
		}
		notes(c, warnings)
		what := "the audit report, as “weighhouse audit --date " + j.issued + "” writes it"
		if name == "json" {
			what = "the audit as data, of the same day"
		}
		out = append(out, made{"audit." + name, what, data})
	}
	return out, nil
}

// letters makes the letter in both forms.
func (j letterJob) letters(c *cobra.Command, t *letter.Letter) ([]made, error) {
	name := "letter-" + string(j.options.To)
	var pdf, txt bytes.Buffer
	warnings, err := t.WritePDF(&pdf, letter.PDFOptions{Paper: j.writer.paper, Font: j.writer.font})
	if err != nil {
		return nil, err
	}
	notes(c, append(warnings, t.Notes...))
	if err := t.WriteText(&txt); err != nil {
		return nil, err
	}
	return []made{{name + ".pdf", "the letter", pdf.Bytes()}, {name + ".txt", "the letter as plain text", txt.Bytes()}}, nil
}

func notes(c *cobra.Command, warnings []string) {
	for _, w := range warnings {
		fmt.Fprintln(c.ErrOrStderr(), "note:", clean(w))
	}
}

// say tells what was written, what is left to complete, and what to look at before it is sent.
func (j letterJob) say(c *cobra.Command, t *letter.Letter, files []file) {
	w := c.OutOrStdout()
	if t.Deadline != "" {
		fmt.Fprintf(w, "Reply asked for by %s (%s from %s).\n", t.Deadline, numeral.Several(j.options.Days, "working day"), j.issued)
	}
	if n := len(t.Blanks); n > 0 {
		fmt.Fprintf(w, "%s to be completed by the sender; each is marked in the letter.\n", numeral.Several(n, "place is", "places are"))
	}
	if j.options.To == letter.ToAuthority {
		fmt.Fprintln(w, "Before you file: read every line, look through the exhibits for personal data, check the current law and the body's own form, and take qualified advice.")
	} else {
		fmt.Fprintln(w, "Before you send it: read every line, and see that the captures and results are the maker's own.")
		fmt.Fprintln(w, "When it is sent: record day, channel and deadline in the reply table of the spec book, and the answer word for word.")
	}
	for _, f := range files {
		fmt.Fprintln(w, "written:", clean(f.path))
	}
}
