// Package block is the one model of what the program writes for people: a document of headings, paragraphs, facts,
// tables, figures, lists and quotes, printed as PDF, as a web page and as plain text.
//
// A writer builds a Doc once and computes nothing; each printer says the same words and numbers in the same order. Any
// text may be handed in: each printer makes it harmless for what it prints on.
package block

import (
	"time"

	"weighhouse/templates/figure"
)

// Doc is a document. Title, Author, Subject, Creator and Created also go into a PDF's properties.
type Doc struct {
	Eyebrow string // above the title, in small type
	Title   string
	Author  string    // the person or body that answers for it
	Subject string    // one sentence
	Creator string    // the program, with its version
	Lang    string    // BCP 47 tag; "en" where empty
	Created time.Time // the day of issue, never the clock's
	Footer  string    // at the foot of each page
	Closing string    // the last line, such as "End of report"
	Blocks  []Block
}

// Add appends blocks.
func (d *Doc) Add(bs ...Block) { d.Blocks = append(d.Blocks, bs...) }

// Block is one of Heading, Para, Facts, Table, Figures, List, Quote, Group and Break.
type Block interface{ block() }

// Heading opens a part. Level is 1, 2 or 3; levels 1 and 2 enter a PDF's outline.
type Heading struct {
	Level  int
	Text   Text
	Anchor string // by which links find it; may be empty
}

// Para is a paragraph; Small is secondary type, Next keeps it with what follows.
type Para struct {
	Text  Text
	Small bool
	Next  bool
}

// Facts is a list of labels and what stands for each.
type Facts struct{ Rows []Fact }

// Fact is one label with its text.
type Fact struct {
	Label string
	Text  Text
}

// Column is one column of a table. Width is its share on a page; where all are 0 the columns follow their contents.
type Column struct {
	Head  string
	Width float64
	Right bool // numbers
}

// Table is a table with a head. The first cell of a row names it. Anchors name the rows for links; it may be short or nil.
type Table struct {
	Caption string // what the table holds, for those who hear it; not printed on paper
	Columns []Column
	Rows    [][]Text
	Anchors []string
	Size    float64 // em of the cells on paper in points; 0: the usual one
}

// Figures are drawings side by side.
type Figures struct{ Figures []figure.Figure }

// List is a list of items.
type List struct {
	Items    []Text
	Numbered bool
	Small    bool
}

// Quote is what somebody else wrote.
type Quote struct{ Text Text }

// Group keeps its blocks together on one page. Closed, with a Summary, folds it away on a page in a browser.
type Group struct {
	Blocks  []Block
	Summary string
	Closed  bool
}

// Break begins a new page on paper.
type Break struct{}

func (Heading) block() {}
func (Para) block()    {}
func (Facts) block()   {}
func (Table) block()   {}
func (Figures) block() {}
func (List) block()    {}
func (Quote) block()   {}
func (Group) block()   {}
func (Break) block()   {}

// Style is how a piece of text is set.
type Style uint8

// The styles.
const (
	Regular Style = iota
	Bold
	Soft   // secondary
	Mono   // hashes, paths
	Marked // marked out from its surroundings
)

// Inline is a piece of running text. To is "#anchor" of the document or an http or https address. Icon is a small figure
// in the line, whose Title stands for it where it cannot be drawn.
type Inline struct {
	Text  string
	Style Style
	To    string
	Icon  *figure.Figure
}

// Text is running text.
type Text []Inline

// T is plain text.
func T(s string) Text { return Text{{Text: s}} }

// B is bold text.
func B(s string) Inline { return Inline{Text: s, Style: Bold} }

// S is secondary text.
func S(s string) Inline { return Inline{Text: s, Style: Soft} }

// P is plain text as one piece.
func P(s string) Inline { return Inline{Text: s} }

// Link is text that leads somewhere.
func Link(to, s string) Inline { return Inline{Text: s, To: to} }

// Texts makes each string a plain text.
func Texts(ss []string) []Text {
	var out []Text
	for _, s := range ss {
		out = append(out, T(s))
	}
	return out
}

// String is the text without its styles; an icon is its title.
func (t Text) String() string {
	s := ""
	for _, i := range t {
		if i.Icon != nil {
			s += i.Icon.Title
			continue
		}
		s += i.Text
	}
	return s
}
