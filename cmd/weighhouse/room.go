package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/templates/block"
	"weighhouse/templates/document"
	"weighhouse/templates/qualification"
	"weighhouse/verdict"
	"weighhouse/verdict/room"
)

// roomFlags are the flags of the room command.
type roomFlags struct {
	out, format, date, particle, paper, font string
}

func newRoom() *cobra.Command {
	var f roomFlags
	c := &cobra.Command{
		Use:   "room BOOK",
		Short: "qualify a test room by units with certificates, and watch it",
		Long: "Room reads a room book (room.xlsx, or a folder of CSV files): certificates of reference units and this room's own tests of\n" +
			"them, and the sessions of a check unit. It says what the room adds to a delivery rate, within which air changes and until\n" +
			"when, and which units or sessions stand out. Cases name the book in the test table, as room book.",
		Example: "  weighhouse room room.xlsx\n  weighhouse room room --format pdf,xlsx --out results",
		Args:    exactly(1, "a room book: a workbook or a folder of CSV files"),
		RunE: func(c *cobra.Command, args []string) error {
			return qualifyRoom(c, args[0], f)
		},
	}
	c.Flags().StringVar(&f.out, "out", "", "write into this folder (default: the current one)")
	c.Flags().StringVar(&f.format, "format", "", "what to write: any of pdf,html,xlsx,json (with --out alone: pdf,json)")
	c.Flags().StringVar(&f.date, "date", "", "the day that the room is asked for, YYYY-MM-DD (default: today, UTC)")
	c.Flags().StringVar(&f.particle, "particle", "", "the particle, where cases measured several: smoke, dust, pm2.5, 0.3 um …")
	c.Flags().StringVar(&f.paper, "paper", "a4", "paper of the PDF: a4 or letter")
	c.Flags().StringVar(&f.font, "font", "", "a TrueType file for characters that the built-in fonts lack")
	completeFolder(c, "out")
	completeWord(c, "paper", "a4", "letter")
	completeWord(c, "particle", measure.Particles...)
	completeList(c, "format", roomFormats)
	return c
}

var roomFormats = []string{"pdf", "html", "xlsx", "json"}

func qualifyRoom(c *cobra.Command, path string, f roomFlags) error {
	day, err := issueDate(f.date)
	if err != nil {
		return err
	}
	if f.out != "" && f.format == "" {
		f.format = "pdf,json"
	}
	asked := map[string]bool{}
	for _, w := range words(f.format) {
		asked[w] = true
	}
	var formats []string
	for _, n := range roomFormats {
		if asked[n] {
			formats = append(formats, n)
			delete(asked, n)
		}
	}
	for w := range asked {
		return errUsage{fmt.Errorf("--format %q: expected any of %s", w, strings.Join(roomFormats, ","))}
	}
	if f.particle != "" {
		p, ok := measure.Particle(f.particle)
		if !ok {
			return errUsage{fmt.Errorf("--particle %q: expected %s, or a size such as 0.3 um", f.particle, strings.Join(measure.Particles, ", "))}
		}
		f.particle = p
	}
	if f.paper = strings.ToLower(f.paper); f.paper != "a4" && f.paper != "letter" {
		return errUsage{fmt.Errorf("--paper %q: expected a4 or letter", f.paper)}
	}
	var font []byte
	if f.font != "" {
		if font, err = readFont(f.font); err != nil {
			return err
		}
	}
	r, err := openRoom(path)
	if err != nil {
		reportError(c, path, err)
		return errFailed
	}
	q := r.book.Qualify(r.open, day, "", f.particle)
	d, err := qualification.Doc(q, version)
	if err != nil {
		return err
	}
	files, err := roomFiles(q, d, formats, f, font)
	if err != nil {
		reportError(c, path, err)
		return errFailed
	}
	if err := writeAll(files); err != nil {
		return err
	}
	s := newScreen(c.OutOrStdout())
	if err := d.Text(s, block.Terminal{Width: s.width, Bold: s.bold}); err != nil {
		return err
	}
	for _, x := range files {
		fmt.Fprintln(s, "written:", clean(x.path))
	}
	return nil
}

// roomFiles makes what was asked for.
func roomFiles(q *room.Qualification, d *block.Doc, formats []string, f roomFlags, font []byte) (files []file, err error) {
	js, err := q.JSON()
	if err != nil {
		return nil, err
	}
	for _, name := range formats {
		var b bytes.Buffer
		switch name {
		case "json":
			b.Write(js)
		case "html":
			err = d.HTML(&b)
		case "pdf":
			_, err = d.PDF(&b, block.Paper{Size: f.paper, Font: font, Attach: []document.Attachment{{Name: "room.json", MIME: "application/json", Relationship: "Data", Description: "the qualification as data", Data: js}}})
		case "xlsx":
			if q.Model == nil {
				return nil, fmt.Errorf("no workbook: %s", q.Why)
			}
			err = qualification.WriteWorkbook(&b, q, version)
		}
		if err != nil {
			return nil, err
		}
		files = append(files, file{filepath.Join(f.out, "qualification."+name), b.Bytes()})
	}
	return files, nil
}

// roomBook is a room book with the folder that its paths start from, and the audits that it has opened.
type roomBook struct {
	book   *room.Book
	dir    string
	inputs []sheet.Input
	audits map[string]*verdict.Audit
	files  map[string]sheet.Input // of those that are audit.json files
}

// openRoom reads a room book: an .xlsx file, or a folder of CSV files.
func openRoom(path string) (*roomBook, error) {
	dir, base := filepath.Split(filepath.Clean(path))
	if dir == "" {
		dir = "."
	}
	name := base
	if strings.EqualFold(filepath.Ext(base), ".xlsx") {
		name = base[:len(base)-len(".xlsx")]
	}
	f, err := sheet.OpenFolder(dir)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	b, err := f.Book(name)
	if err != nil {
		return nil, err
	}
	if b == nil {
		return nil, fmt.Errorf("%s: there is no such room book; expected a workbook room.xlsx or a folder of CSV files with a table qualification", path)
	}
	book, ps := room.Read(b)
	if err := ps.Err(); err != nil {
		return nil, err
	}
	return &roomBook{book: book, dir: dir, inputs: f.Inputs(), audits: map[string]*verdict.Audit{}, files: map[string]sheet.Input{}}, nil
}

// open gives the audit of a case or audit.json that the book names, from the book's own folder.
func (r *roomBook) open(path string) (*verdict.Audit, error) {
	local := filepath.FromSlash(strings.ReplaceAll(path, `\`, "/"))
	if !filepath.IsLocal(local) {
		return nil, fmt.Errorf("%q leads out of the folder of the room book; expected a case folder or an audit.json inside it", path)
	}
	if a := r.audits[local]; a != nil {
		return a, nil
	}
	p := filepath.Join(r.dir, local)
	if info, err := os.Stat(p); err == nil && info.IsDir() {
		l, err := loadAs(p, identity{issued: latest, version: version, reference: true})
		if err != nil {
			return nil, err
		}
		r.audits[local] = l.audit
		return l.audit, nil
	}
	a, err := rankInput(p, latest)
	if err != nil {
		return nil, err
	}
	data, err := os.ReadFile(p)
	if err != nil {
		return nil, err
	}
	r.files[local] = sheet.Input{Path: local, Bytes: int64(len(data)), SHA256: fmt.Sprintf("%x", sha256.Sum256(data))}
	r.audits[local] = a
	return a, nil
}

// latest is a day of issue that no test of a reference unit is after.
const latest = "9000-01-01"

// read lists what the qualification was read from, each path as the case that names the book would write it: the book's own
// files, and those of its cases by their own lists.
func (r *roomBook) read(path string) []sheet.Input {
	base := filepath.ToSlash(filepath.Dir(filepath.FromSlash(strings.ReplaceAll(path, `\`, "/"))))
	var out []sheet.Input
	add := func(in sheet.Input, under string) {
		in.Path = filepath.ToSlash(filepath.Join(base, under, in.Path))
		out = append(out, in)
	}
	for _, in := range r.inputs {
		add(in, "")
	}
	for local, a := range r.audits {
		if in, file := r.files[local]; file {
			add(in, "")
			continue
		}
		for _, in := range a.Inputs {
			add(in, local)
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Path < out[j].Path })
	return out
}
