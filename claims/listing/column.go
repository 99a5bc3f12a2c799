package listing

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// A leaflet may be laid out in columns of running text with spaces between them. They are read one after the other.

// The least that makes columns: lines, the spaces between two columns, and lines with text on both sides of them.
const (
	columnLines  = 8
	columnSpaces = 3
	columnPairs  = 5
)

// columnBlock finds where the lines at the head of a text are laid out in columns: how many lines they are, and the places
// in characters at which a new column begins. n is 0 where there are none. Lines without text belong to the block.
func columnBlock(lines []string) (n int, cuts []int) {
	for n < len(lines) && n < 400 && !strings.Contains(lines[n], "\t") {
		n++
	}
	if n < columnLines || len(columnGap().Split(strings.TrimSpace(lines[0]), -1)) < 2 {
		return 0, nil // a title stands over the columns
	}
	width := 0
	rows := make([][]rune, n)
	for i := range rows {
		rows[i] = []rune(strings.TrimRight(lines[i], " "))
		width = max(width, len(rows[i]))
	}
	if width < 40 || width > 400 {
		return 0, nil
	}
	blank := func(row []rune, at int) bool { return at >= len(row) || row[at] == ' ' || row[at] == '\u00a0' }
	free := make([]int, width) // how many rows have no character there
	for at := range width {
		for _, row := range rows {
			if blank(row, at) {
				free[at]++
			}
		}
	}
	for at := columnSpaces; at < width; at++ { // a column begins where free space ends
		if free[at] == n || free[at-1] < n || free[at-2] < n || free[at-3] < n {
			continue
		}
		pairs := 0
		for _, row := range rows {
			if len(row) > at && strings.TrimSpace(string(row[:at])) != "" {
				pairs++
			}
		}
		if pairs >= columnPairs {
			cuts = append(cuts, at)
		}
	}
	if len(cuts) == 0 || len(cuts) > 4 {
		return 0, nil
	}
	return n, cuts
}

// columns writes such lines column by column, each stretch with its place. A line that only wraps goes on in the next.
func (p *pageReader) columns(lines []string, first int, cuts []int) {
	from := 0
	for k := 0; k <= len(cuts); k++ {
		to := -1
		if k < len(cuts) {
			to = cuts[k]
		}
		before := ""
		for i, line := range lines {
			row := []rune(line)
			hi := len(row)
			if to >= 0 {
				hi = min(hi, to)
			}
			text := string(row[min(from, hi):hi])
			trimmed := strings.TrimSpace(text)
			switch {
			case trimmed == "":
				p.blankLine()
			case goesOn(before, trimmed):
				p.put(piece{text: " ", line: first + i, col: 1, flat: true})
			default:
				p.breakLine()
			}
			if trimmed != "" {
				p.write(piece{text: trimmed, line: first + i, col: 1 + from + utf8.RuneCountInString(text[:strings.Index(text, trimmed)])})
			}
			before = trimmed
		}
		p.line, p.col = first+len(lines)-1, 1
		p.blankLine()
		from = to
	}
}

// goesOn reports whether next continues the sentence of line: neither is a label with its value, and the first does not end.
func goesOn(line, next string) bool {
	if line == "" || columnGap().MatchString(line) || columnGap().MatchString(next) || strings.ContainsRune(".!?:;", lastRune(line)) {
		return false
	}
	r := firstRune(next)
	return unicode.IsLower(r) || unicode.IsDigit(r) || r == '('
}

// blankLine parts two blocks of lines with an empty one.
func (p *pageReader) blankLine() {
	if s := p.body.String(); s != "" && !strings.HasSuffix(s, "\n\n") {
		p.breakLine()
		p.body.WriteByte('\n')
		p.fresh = true
	}
}
