package vetting

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"weighhouse/claims/listing"
	"weighhouse/templates/words"
)

// TextOptions say how the text is set.
type TextOptions struct {
	Width int  // of a line in characters; 0: 100
	Bold  bool // weight by escape sequences, for a terminal that may be styled
}

// WriteText writes the vetting as text for a terminal, every line within the width where its words allow. Control and
// formatting characters of the listing become spaces, so that none reaches the terminal.
func WriteText(w io.Writer, v *Vetting, o TextOptions) error {
	if o.Width <= 0 {
		o.Width = 100
	}
	t := &text{o: o}
	t.head(v)
	t.summary(v)
	t.claims(v)
	t.findings(v)
	t.passed(v)
	t.implied(v)
	t.costs(v)
	t.part("Questions to send to the seller", aboutAsked)
	for i, q := range v.Questions {
		t.item(fmt.Sprintf("%3d.", i+1), q)
	}
	if len(v.Notes) > 0 {
		t.part("Notes", "")
		for _, n := range v.Notes {
			t.item("  -", n)
		}
	}
	t.part("Cautions", "")
	for _, c := range v.Cautions {
		t.item("  -", c)
	}
	_, err := io.WriteString(w, t.b.String())
	return err
}

type text struct {
	o TextOptions
	b strings.Builder
}

// line writes text at an indent, wrapped at spaces.
func (t *text) line(indent int, s string) { t.hang(indent, indent, "", s) }

// item writes text behind a sign, its further lines under its first.
func (t *text) item(sign, s string) {
	n := utf8.RuneCountInString(sign) + 1
	t.hang(0, n, sign+" ", s)
}

// hang writes text wrapped at spaces: the first line at indent behind lead, further ones at rest.
func (t *text) hang(indent, rest int, lead, s string) {
	used := indent + utf8.RuneCountInString(lead)
	t.b.WriteString(strings.Repeat(" ", indent) + lead)
	first := true
	for _, word := range strings.FieldsFunc(printable(s), func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		n := utf8.RuneCountInString(word)
		if !first && used+1+n > t.o.Width {
			t.b.WriteString("\n" + strings.Repeat(" ", rest))
			used, first = rest, true
		}
		if !first {
			t.b.WriteByte(' ')
			used++
		}
		t.b.WriteString(word)
		used += n
		first = false
	}
	t.b.WriteByte('\n')
}

// printable makes foreign text fit for a terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return ' '
		}
		return r // strings.Map gives U+FFFD for a byte that is not UTF-8
	}, s)
}

func (t *text) bold(s string) string {
	if !t.o.Bold {
		return s
	}
	return "\x1b[1m" + s + "\x1b[0m"
}

// part begins a part of the text.
func (t *text) part(title, about string) {
	t.b.WriteString("\n" + t.bold(strings.ToUpper(title)) + "\n")
	if about != "" {
		t.line(0, about)
	}
}

func (t *text) head(v *Vetting) {
	t.b.WriteString(t.bold(printable(oneLine(title(v)))) + "\n")
	t.line(0, tally(v)+". Nothing was measured.")
	for _, f := range facts(v) {
		if f[0] != "Listing" || v.Listing != name(v) {
			t.hang(0, 10, fmt.Sprintf("%-10s", f[0]), f[1])
		}
	}
}

// summary is the first screen, for a reader with one minute.
func (t *text) summary(v *Vetting) {
	s := summary(v)
	t.part("In short", "")
	if len(s.Promises) == 0 {
		t.line(2, noClaims)
	}
	for _, p := range s.Promises {
		name := p.Quantity
		if p.Unsure {
			name += " ?"
		}
		t.hang(2, 22, fmt.Sprintf("%-20s", name), strings.Join(p.Figures, "; "))
	}
	for i, f := range s.Disagrees {
		if i == mostAsked {
			break
		}
		t.hang(2, 22, fmt.Sprintf("%-20s", "disagrees"), what(f)+": "+f.Why)
	}
	for i, q := range s.Ask {
		t.hang(2, 22, fmt.Sprintf("%-20s", fmt.Sprintf("ask %d", i+1)), q)
	}
	t.hang(2, 22, fmt.Sprintf("%-20s", "how it was read"), s.Counts)
}

func (t *text) claims(v *Vetting) {
	t.part("What it claims", aboutClaims)
	if len(v.Claims) == 0 {
		t.line(2, noClaims)
	}
	for _, d := range v.Claims {
		t.hang(2, 8, fmt.Sprintf("%-6s", d.Claim.ID), "“"+oneLine(d.Quote)+"”")
		t.line(8, display(d.Understood))
		at := place(v, d.Line, d.Col)
		if len(d.Also) > 0 {
			at += ", again at " + strings.Join(d.Also, ", ")
		}
		t.line(8, at)
		for _, n := range d.Claim.Notes {
			t.line(8, "note: "+n)
		}
	}
	for _, s := range v.Stated {
		t.hang(2, 8, fmt.Sprintf("%-6s", "also"), "“"+oneLine(s.Quote)+"” "+statedText(s)+" ("+place(v, s.Line, s.Col)+")")
	}
	for _, p := range v.Prices {
		t.hang(2, 8, fmt.Sprintf("%-6s", "price"), "“"+oneLine(p.Quote)+"” "+priceKind(p)+" "+priceValue(p)+" ("+place(v, p.Line, p.Col)+")")
	}
}

func (t *text) findings(v *Vetting) {
	t.part("What the words leave open", aboutFindings)
	if len(v.Open()) == 0 {
		t.line(2, noFindings)
	}
	for _, g := range gather(weighed(v)) {
		t.finding(v, g, fmt.Sprintf("%-6s ", g.Severity))
	}
	if len(v.Fixed()) > 0 {
		t.part("What the words state with a fixed meaning", aboutFixed)
	}
	for _, g := range gather(v.Fixed()) {
		t.finding(v, g, "")
	}
}

func (t *text) finding(v *Vetting, g gathered, head string) {
	f := g.Found
	t.b.WriteByte('\n')
	head += rules(f) + ": " + what(f) + ", " + place(v, f.Line, f.Col)
	if len(g.Claims) > 0 {
		head += ", " + strings.Join(g.Claims, ", ")
	}
	t.b.WriteString("  " + t.bold(printable(head)) + "\n")
	if f.Quote != "" {
		t.line(9, "“"+oneLine(f.Quote)+"”")
	}
	if s := again(v, g.Again); s != "" {
		t.line(9, s)
	}
	t.line(9, f.Why)
	if f.Ask != "" {
		t.hang(9, 14, "Ask: ", f.Ask)
	}
	if f.Evidence != "" {
		t.hang(9, 14, "Settled by: ", f.Evidence)
	}
}

func (t *text) passed(v *Vetting) {
	if len(v.Asides) == 0 {
		return
	}
	t.part("Passed over", aboutPassed)
	for _, a := range v.Asides {
		t.hang(2, 4, words.Upper(a.Of)+": ", "“"+words.Shorten(oneLine(a.Quote), maxPassed)+"” ("+place(v, a.Line, a.Col)+")")
	}
}

func (t *text) implied(v *Vetting) {
	if len(v.Rooms)+len(v.Times)+len(v.Areas) == 0 {
		return
	}
	t.part("What its numbers imply", aboutImplied)
	for _, r := range v.Rooms {
		t.hang(2, 8, fmt.Sprintf("%-6s", r.Claim), roomText(r))
	}
	for _, x := range v.Times {
		t.hang(2, 8, fmt.Sprintf("%-6s", x.Claim), display(x.Text)+".")
	}
	for _, g := range areaGroups(v) {
		t.line(2, "Room area by each published rule for the rate "+g.Rate)
		t.table(4, []string{"rule", "area", "source"}, areaRows(g.Areas))
	}
}

func areaRows(as []listing.Area) (out [][]string) {
	for _, a := range as {
		out = append(out, []string{display(a.Name), area(a.Area), sourced(a)})
	}
	return out
}

func (t *text) costs(v *Vetting) {
	t.part("What a year of running costs", aboutCosts)
	groups := costGroups(v)
	if len(groups) == 0 {
		t.line(2, noCost)
	}
	for _, g := range groups {
		t.line(2, g.Title)
		t.table(4, costHeads, g.Rows)
		t.line(4, "First row: "+display(g.Basis)+".")
	}
}

// table sets aligned columns; the last column takes what is left of the width and wraps.
func (t *text) table(indent int, heads []string, rows [][]string) {
	widths := make([]int, len(heads))
	for i, h := range heads {
		widths[i] = utf8.RuneCountInString(h)
		for _, r := range rows {
			widths[i] = max(widths[i], utf8.RuneCountInString(r[i]))
		}
	}
	for n, r := range append([][]string{heads}, rows...) {
		var lead strings.Builder
		for i, cell := range r[:len(r)-1] {
			lead.WriteString(printable(cell) + strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell)+2))
		}
		rest := indent + utf8.RuneCountInString(lead.String())
		if rest > t.o.Width*2/3 { // too little is left beside the others: further lines stand below them
			rest = indent + 2
		}
		if last := r[len(r)-1]; n == 0 && t.o.Bold {
			t.b.WriteString(strings.Repeat(" ", indent) + t.bold(lead.String()+last) + "\n")
		} else {
			t.hang(indent, rest, lead.String(), last)
		}
	}
}
