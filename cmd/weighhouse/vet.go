package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/claims/listing"
	"weighhouse/templates/vetting"
)

// vetFlags are the flags of the vet command.
type vetFlags struct {
	out, format, date, failOn, save, captured, paper, font string
	csv                                                    bool
}

func newVet() *cobra.Command {
	var f vetFlags
	c := &cobra.Command{
		Use:   "vet FILE|- [NEWER]",
		Short: "check a listing's words, with no lab data",
		Long: "Vet reads a seller's listing, as plain text or as a saved web page, or from standard input with \"-\". It prints the claims\n" +
			"with their exact words and what was understood, what the words leave open, what the listing's own numbers imply, and\n" +
			"the questions to send to the seller. It never says that a product is good or bad.\n\n" +
			"With a newer capture of the same listing behind it, vet says what the listing changed, dropped and added.\n\n" +
			"--save writes the claims as a spec book, ready for a case, with the listing beside it as evidence, and every quote that\n" +
			"a finding rests on, with its whole sentence.",
		Example: "  weighhouse vet listing.html\n  cat listing.txt | weighhouse vet - --format json\n" +
			"  weighhouse vet listing.html --save mycase --captured 2026-03-02\n  weighhouse vet listing.html --out report.pdf\n  weighhouse vet march.html october.html",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 2 {
				return nil
			}
			return exactly(1, "one listing, or - for standard input, or an older and a newer capture")(c, args)
		},
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 2 {
				return vetChanges(c, args[0], args[1], f)
			}
			return vet(c, args[0], f)
		},
	}
	c.Flags().StringVar(&f.format, "format", "", "what to write: any of text,json,html,pdf (default text; with --out alone by its ending, else pdf,json)")
	c.Flags().StringVar(&f.out, "out", "", "write into this file, or into this folder as vet.pdf, vet.json …")
	c.Flags().StringVar(&f.save, "save", "", "write the claims as a spec book into this case folder, and the listing into its captures")
	c.Flags().BoolVar(&f.csv, "csv", false, "with --save: spec/*.csv in place of spec.xlsx")
	c.Flags().StringVar(&f.captured, "captured", "", "with --save: the day on which the listing was saved, YYYY-MM-DD, or \"today\" for the date of issue")
	c.Flags().StringVar(&f.date, "date", "", "date of issue, YYYY-MM-DD (default: today, UTC)")
	c.Flags().StringVar(&f.failOn, "fail-on", "", "exit 3 where a finding of any of these severities stands: high,medium,low")
	c.Flags().StringVar(&f.paper, "paper", "a4", "paper of the PDF: a4 or letter")
	c.Flags().StringVar(&f.font, "font", "", "a TrueType file for characters that the built-in fonts lack")
	completeList(c, "format", []string{"text", "json", "html", "pdf"})
	completeList(c, "fail-on", vetting.Severities)
	completeWord(c, "captured", "today")
	completeWord(c, "paper", "a4", "letter")
	completeFolder(c, "save")
	return c
}

// vetWriters make one output each from a vetting.
var vetWriters = map[string]func(v *vetting.Vetting, o writerOptions) ([]byte, []string, error){
	"text": func(v *vetting.Vetting, _ writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		err := vetting.WriteText(&b, v, vetting.TextOptions{})
		return b.Bytes(), nil, err
	},
	"json": func(v *vetting.Vetting, _ writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		err := vetting.WriteJSON(&b, v)
		return b.Bytes(), nil, err
	},
	"html": func(v *vetting.Vetting, _ writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		err := vetting.WriteHTML(&b, v)
		return b.Bytes(), nil, err
	},
	"pdf": func(v *vetting.Vetting, o writerOptions) ([]byte, []string, error) {
		var b bytes.Buffer
		warnings, err := vetting.WritePDF(&b, v, vetting.Options{Paper: o.paper, Font: o.font})
		return b.Bytes(), warnings, err
	},
}

// endings give the ending of a file of each format, and the format of each ending.
var endings = map[string]string{"text": ".txt", "json": ".json", "html": ".html", "pdf": ".pdf"}

func formatOf(path string) string {
	for format, ending := range endings {
		if strings.EqualFold(filepath.Ext(path), ending) {
			return format
		}
	}
	return ""
}

// vetJob is a checked set of flags.
type vetJob struct {
	issued, captured string
	paths            map[string]string // where each format goes; "" is standard output
	order            []string
	failOn           map[string]bool
	options          writerOptions
}

func (f vetFlags) check() (j vetJob, err error) {
	if j.issued, err = issueDate(f.date); err != nil {
		return j, err
	}
	if f.captured != "" && f.save == "" || f.csv && f.save == "" {
		return j, errUsage{fmt.Errorf("vet: --captured and --csv go with --save")}
	}
	if j.captured = f.captured; strings.EqualFold(f.captured, "today") {
		j.captured = j.issued
	} else if f.captured != "" {
		if _, err := issueDate(f.captured); err != nil {
			return j, errUsage{fmt.Errorf("--captured %q: expected YYYY-MM-DD, or \"today\" for the date of issue", f.captured)}
		}
	}
	j.failOn = map[string]bool{}
	for _, w := range words(f.failOn) {
		known := false
		for _, s := range vetting.Severities {
			known = known || w == s
		}
		if !known {
			return j, errUsage{fmt.Errorf("--fail-on %q: expected any of %s", w, strings.Join(vetting.Severities, ","))}
		}
		j.failOn[w] = true
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
	return j, f.where(&j)
}

// where settles what is written where. One format of text, json and html goes to standard output where no --out is given;
// a PDF and several formats need one.
func (f vetFlags) where(j *vetJob) error {
	asked := map[string]bool{}
	for _, w := range words(f.format) {
		if vetWriters[w] == nil {
			return errUsage{fmt.Errorf("--format %q: expected any of text,json,html,pdf", w)}
		}
		asked[w] = true
	}
	info, statErr := os.Stat(f.out)
	folder := statErr == nil && info.IsDir() || strings.HasSuffix(f.out, "/") || strings.HasSuffix(f.out, string(filepath.Separator))
	if len(asked) == 0 {
		switch {
		case f.out == "":
			asked["text"] = true
		case !folder && formatOf(f.out) != "":
			asked[formatOf(f.out)] = true
		default:
			asked["pdf"], asked["json"] = true, true
		}
	}
	for _, w := range []string{"pdf", "html", "json", "text"} {
		if asked[w] {
			j.order = append(j.order, w)
		}
	}
	j.paths = map[string]string{}
	switch {
	case f.out == "" && (len(j.order) > 1 || j.order[0] == "pdf"):
		return errUsage{fmt.Errorf("--format %s: say where to with --out FILE or --out DIR", strings.Join(j.order, ","))}
	case f.out == "":
	case len(j.order) == 1 && !folder && (formatOf(f.out) == j.order[0] || formatOf(f.out) == "" && filepath.Ext(f.out) != ""):
		j.paths[j.order[0]] = f.out
	case !folder && formatOf(f.out) != "":
		return errUsage{fmt.Errorf("--out %q: its ending does not fit --format %s", f.out, strings.Join(j.order, ","))}
	default:
		for _, w := range j.order {
			j.paths[w] = filepath.Join(f.out, "vet"+endings[w])
		}
	}
	return nil
}

// vet reads a listing, vets it and writes what was asked for.
func vet(c *cobra.Command, path string, f vetFlags) error {
	j, err := f.check()
	if err != nil {
		return err
	}
	v, text, raw, err := vetted(c, path, j.issued)
	if err != nil {
		return err
	}
	var files []file
	for _, w := range j.order {
		if j.paths[w] == "" {
			continue
		}
		data, warnings, err := vetWriters[w](v, j.options)
		if err != nil {
			return fmt.Errorf("writing %s: %w", j.paths[w], err)
		}
		for _, text := range warnings {
			fmt.Fprintln(c.ErrOrStderr(), "note:", clean(text))
		}
		files = append(files, file{j.paths[w], data})
	}
	if f.save != "" {
		saved, err := savedCase(v, text, f.save, raw, j.captured, f.csv)
		if err != nil {
			return err
		}
		files = append(files, saved...)
	}
	if err := writeMaking(files); err != nil {
		return err
	}
	if err := vetScreen(c, v, j, files, f); err != nil {
		return err
	}
	for _, x := range v.Open() {
		if j.failOn[x.Severity] {
			return errFound
		}
	}
	return nil
}

// vetScreen prints the vetting, and what was written. What another program may read stands alone on standard output: the
// list of files then goes to standard error.
func vetScreen(c *cobra.Command, v *vetting.Vetting, j vetJob, files []file, f vetFlags) error {
	s, list := newScreen(c.OutOrStdout()), c.OutOrStdout()
	if w := j.order[0]; j.paths[w] == "" && w != "text" {
		data, _, err := vetWriters[w](v, j.options)
		if err != nil {
			return err
		}
		if _, err := s.Write(data); err != nil {
			return err
		}
		list = c.ErrOrStderr()
	} else if err := vetting.WriteText(s, v, vetting.TextOptions{Width: min(s.width, 100), Bold: s.styled}); err != nil {
		return err
	}
	if len(files) > 0 && list == c.OutOrStdout() {
		fmt.Fprintln(list)
	}
	for _, out := range files {
		fmt.Fprintln(list, "written:", clean(out.path))
	}
	if f.save != "" {
		if j.captured == "" {
			fmt.Fprintln(list, "the column captured is blank: fill in the day on which the listing was saved, or give --captured")
		}
		fmt.Fprintf(list, "check the claims against the listing, complete the product table, then: weighhouse audit %s\n", clean(f.save))
	}
	return nil
}

// readListing reads the bytes of a listing and the name that places carry.
func readListing(c *cobra.Command, path string) (raw []byte, name string, err error) {
	in, name := c.InOrStdin(), "standard input"
	if strings.Contains(path, "://") {
		return nil, "", fmt.Errorf("%s: found a web address, accepted is a file; this program opens no connection\n  hint: save the page in the browser and give the file", path)
	}
	if path != "-" {
		name = filepath.Base(path)
		info, err := os.Stat(path)
		if err != nil {
			return nil, "", fmt.Errorf("%s: cannot be read: %w", path, pathless(err))
		}
		if !info.Mode().IsRegular() && info.IsDir() {
			return nil, "", fmt.Errorf("%s: found a folder, accepted is one file of plain text, HTML or PDF", path)
		}
		f, err := os.Open(path)
		if err != nil {
			return nil, "", fmt.Errorf("%s: cannot be read: %w", path, pathless(err))
		}
		defer f.Close()
		in = f
	}
	raw, err = io.ReadAll(io.LimitReader(in, listing.MaxBytes+1)) // listing.Read refuses what is longer
	if err != nil {
		return nil, "", fmt.Errorf("%s: cannot be read: %w", path, pathless(err))
	}
	return raw, name, nil
}
