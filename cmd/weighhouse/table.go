package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"weighhouse/measure"
	"weighhouse/measure/numeral"
	texts "weighhouse/templates/words"
	"weighhouse/verdict"
)

// marks are the shapes that stand beside the words of the verdicts.
var marks = map[verdict.Outcome]string{verdict.Supported: "■", verdict.Contradicted: "☒", verdict.Inconclusive: "◪", verdict.Untested: "□", verdict.Unclear: "◇"}

// printAudit writes the verdict table, the findings and the counts.
func printAudit(s screen, a *verdict.Audit) {
	name := strings.TrimSpace(a.Product.Maker + " " + a.Product.Model)
	if name == "" {
		name = a.Case
	}
	fmt.Fprintf(s, "%s\n\n", s.bold(clean(name)))
	rows := [][]string{{"claim", "attribute", "claimed", "measured", "limit", "gap", "verdict"}}
	for _, r := range a.Rows {
		rows = append(rows, auditLine(r))
	}
	printTable(s, rows)
	fmt.Fprintf(s, "\n%s\n", counts(a))
	if m := verdict.MarkedText(a.Marked); m != "" {
		fmt.Fprintf(s, "marked: %s\n", clean(m))
	}
	for i, c := range texts.Checks(a) {
		if i == 0 {
			fmt.Fprintf(s, "\nCheck this, it may have been written down wrongly:\n")
		}
		fmt.Fprintf(s, "  %s\n", clean(c))
	}
	for _, part := range []struct {
		head  string
		which []int
	}{{"Findings on the words:", texts.Open(a.Findings)}, {texts.FixedHead + ":", texts.Fixed(a.Findings)}} {
		if len(part.which) > 0 {
			fmt.Fprintf(s, "\n%s\n", part.head)
		}
		for _, i := range part.which {
			f, quote := a.Findings[i], ""
			if f.Quote != "" {
				quote = fmt.Sprintf(" %q", shorten(f.Quote, 70))
			}
			fmt.Fprintf(s, "  %-6s %-6s %s%s\n", f.Rule, f.Severity, clean(strings.Join(f.Claims, ",")), clean(quote))
		}
	}
	printLeft(s, a)
}

func auditLine(r verdict.Row) []string {
	c := r.Claim
	name := string(c.Attribute)
	if c.Setting != "" {
		name += ", " + c.Setting
	}
	if c.Particle != "" {
		name += ", " + c.Particle
	}
	line := []string{c.ID, name, "words", "", "", "", marks[r.Verdict] + " " + string(r.Verdict)}
	if c.Claimed != nil {
		line[2] = string(c.Bound) + " " + c.Claimed.Text
	}
	if m := r.Measured; m != nil {
		line[3] = m.String()
		if m.Exact != nil {
			line[3] = m.Written().Value + " " + m.Unit // its interval would not fit
		}
		if m.Has(measure.Extrapolated) {
			line[3] += " est."
		}
	}
	if l := r.Limit; l != nil {
		line[4] = numeral.Of(l.Value, l.Unit) + " " + l.Unit
	}
	if r.Gap != nil {
		line[5] = r.GapPercent() + " %"
		if line[5] == " %" { // a share of a level or of an efficiency says nothing
			number, unit := r.GapNumber()
			line[5] = number + " " + strings.Replace(unit, "percentage", "pct", 1)
		}
	}
	for i := range line {
		line[i] = clean(line[i])
	}
	return line
}

// printTable writes aligned columns; the first row is the head. A cell of more than 34 characters is cut with an ellipsis.
// On a terminal that is narrower than the table, each row is a paragraph in which every cell stands behind its head.
func printTable(s screen, rows [][]string) {
	widths := make([]int, len(rows[0]))
	for _, r := range rows {
		for i, c := range r {
			widths[i] = max(widths[i], utf8.RuneCountInString(c))
		}
	}
	for i := range widths {
		widths[i] = min(widths[i], 34)
	}
	total := 2 * (len(widths) - 1)
	for _, w := range widths {
		total += w
	}
	if s.terminal && total > s.width {
		for _, r := range rows[1:] {
			printParagraph(s, rows[0], r)
		}
		return
	}
	for n, r := range rows {
		var b strings.Builder
		for i, c := range r {
			c = shorten(c, widths[i])
			b.WriteString(c)
			if i < len(r)-1 {
				b.WriteString(strings.Repeat(" ", widths[i]-utf8.RuneCountInString(c)+2))
			}
		}
		line := strings.TrimRight(b.String(), " ")
		if n == 0 {
			line = s.bold(line)
		}
		fmt.Fprintln(s, line)
	}
}

// printParagraph writes one row of a table, a cell after its head, in lines that fit the screen.
func printParagraph(s screen, head, row []string) {
	line := strings.TrimSpace(row[0])
	used := utf8.RuneCountInString(line)
	fmt.Fprint(s, s.bold(line))
	for i, c := range row[1:] {
		if c == "" {
			continue
		}
		piece := strings.TrimSpace(head[i+1] + " " + c)
		n := utf8.RuneCountInString(piece)
		if used+2+n >= s.width {
			fmt.Fprintf(s, "\n    %s", piece)
			used = 4 + n
			continue
		}
		fmt.Fprintf(s, "  %s", piece)
		used += 2 + n
	}
	fmt.Fprintln(s)
}

func shorten(s string, width int) string {
	if utf8.RuneCountInString(s) <= width {
		return s
	}
	return strings.TrimRight(string([]rune(s)[:width-1]), " ") + "…"
}

// counts is the summary line.
func counts(a *verdict.Audit) string { return countLine(a.Count, a.Open()) }
