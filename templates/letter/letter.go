// Package letter writes the letters that follow from an audit: to the maker its own results and the questions they raise,
// with the right of reply; to an authority a complaint dossier.
//
// A letter comes from templates (text/template, the files *.tmpl of this package or an organisation's own in their
// place), which render a View into lines with simple marks; these become blocks, and from the same blocks come the PDF
// and the plain text. What a template may use:
//
//	# title   ## heading   ### subheading
//	- item    1. item      > quotation, in its author's own words
//	= name | value         left out where the value is empty
//	| a | b |              a table; its first line is the head
//	! caution              ---  a line across
//
// Any other line is running text; lines without a blank line between them belong together. The functions, beside those of
// text/template: blank "what the sender completes"; join TEXTS SEPARATOR; of VERDICT CLAIMS, those with the verdict; ids
// CLAIMS; sightings CLAIMS, where and when they were seen; sourced SOURCE MARK, a source with what its mark means.
package letter

import (
	"fmt"
	"strings"
	"time"

	"weighhouse/verdict"
)

// Addressee is to whom a letter goes.
type Addressee string

// The addressees.
const (
	ToMaker     Addressee = "maker"
	ToAuthority Addressee = "authority"
)

// Options say which letter is written, and how.
type Options struct {
	To        Addressee
	Body      *Body       // authority only; nil for a dossier without a body's extras
	Templates string      // a folder whose *.tmpl files stand in for those of the same name; "" for none
	Days      int         // working days that the maker has, 1 to 250; 10 where 0
	Holidays  []time.Time // days that are no working days, beside Saturdays and Sundays
	Made      []Made      // files written from the case, the first exhibits of a dossier
}

// defaultDays is how many working days the maker has to answer (judgement, see Deadline).
const defaultDays = 10

// Letter is a finished letter.
type Letter struct {
	To       Addressee
	Title    string
	Issued   time.Time
	Version  string
	Deadline string // YYYY-MM-DD; of a letter to the maker
	Blocks   []Block
	Blanks   []string // what is left for the sender to complete, in order
	Notes    []string // what the sender should look at, and what was added to an organisation's own template
	footer   string
}

// Write makes the letter of an audit. The same audit and options give the same letter.
func Write(a *verdict.Audit, o Options) (*Letter, error) {
	if o.To != ToMaker && o.To != ToAuthority {
		return nil, fmt.Errorf("no letter to %q; there are maker and authority", o.To)
	}
	if o.Days == 0 {
		o.Days = defaultDays
	}
	t, err := readTemplates(o.Templates)
	if err != nil {
		return nil, err
	}
	v, err := view(a, o)
	if err != nil {
		return nil, err
	}
	text, err := t.render(string(o.To)+".tmpl", v)
	if err != nil {
		return nil, err
	}
	l := &Letter{To: o.To, Version: a.Version}
	l.Issued, _ = time.Parse(time.DateOnly, a.Issued) // view has parsed it
	if l.Blocks, err = parse(text); err != nil {
		return nil, t.at(string(o.To)+".tmpl", err)
	}
	if len(l.Blocks) == 0 {
		return nil, t.at(string(o.To)+".tmpl", fmt.Errorf("gives an empty letter"))
	}
	if o.To == ToMaker {
		l.Deadline = string(v.Deadline.Day)
	}
	l.Notes = append(l.Notes, v.Warnings...)
	l.caution(a.Cautions)
	l.Title = "Letter"
	for _, b := range l.Blocks {
		if b.Kind == Title {
			l.Title = b.Text.text()
			break
		}
	}
	for _, b := range l.Blocks {
		for _, line := range append([]Line{b.Text}, b.Cells...) {
			for _, r := range line {
				if r.Blank && r.Text != "…" { // the sign of a blank itself is none
					l.Blanks = append(l.Blanks, strings.TrimSpace(r.Text))
				}
			}
		}
	}
	kind := "Right of reply"
	if o.To == ToAuthority {
		kind = "Dossier"
	}
	l.footer = kind + ": " + string(v.Product.Name) + " · " + a.Issued
	return l, nil
}

// caution adds the audit's cautions that a template has left out: no letter goes without them.
func (l *Letter) caution(cautions []string) {
	var all strings.Builder
	for _, b := range l.Blocks {
		all.WriteString(b.Text.text())
	}
	var missing []string
	for _, c := range cautions {
		if !strings.Contains(all.String(), strings.TrimSpace(clean(c))) {
			missing = append(missing, c)
		}
	}
	if len(missing) == 0 {
		return
	}
	l.Notes = append(l.Notes, "the template leaves cautions out; they were added at the end")
	l.Blocks = append(l.Blocks, Block{Kind: Heading, Text: Line{{Text: "Cautions"}}})
	for _, c := range missing {
		l.Blocks = append(l.Blocks, Block{Kind: Caution, Text: Line{{Text: strings.TrimSpace(clean(c))}}})
	}
}
