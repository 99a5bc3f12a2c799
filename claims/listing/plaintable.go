package listing

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html/atom"
)

// underHeads matches the line under the heads of a table drawn with bars: |---|:--:|.
var underHeads = lazily(`^\s*\|?\s*:?-+:?\s*(?:\|\s*:?-+:?\s*)+\|?\s*$`)

// tableLines is how many of the lines that come first are a table in plain text: heads, a line of dashes and rows, all
// with bars between the cells; or two lines or more of three cells or more with tabs between them. 0 where there is none.
func tableLines(lines []string) int {
	if len(lines) < 2 {
		return 0
	}
	if strings.Contains(lines[0], "|") && underHeads().MatchString(lines[1]) {
		n := 2
		for n < len(lines) && strings.Contains(lines[n], "|") {
			n++
		}
		return n
	}
	tabs := strings.Count(strings.TrimRight(lines[0], "\t "), "\t")
	if tabs < 2 {
		return alignedLines(lines)
	}
	n := 1
	for n < len(lines) && strings.Count(strings.TrimRight(lines[n], "\t "), "\t") == tabs {
		n++
	}
	if n < 2 {
		return 0
	}
	return n
}

// columnGap parts the cells of a table that is laid out with spaces.
var columnGap = lazily(` {2,}`)

// alignedLines is how many of the first lines are a table laid out with spaces: three lines or more of the same three
// cells or more, the first without a number.
func alignedLines(lines []string) int {
	cells := func(s string) int { return len(columnGap().Split(strings.TrimSpace(s), -1)) }
	n := cells(lines[0])
	if headless(lines) {
		n++ // nothing stands over the column of labels
	}
	if n < 3 || strings.Contains(lines[0], ":") {
		return 0
	}
	for _, c := range columnGap().Split(strings.TrimSpace(lines[0]), -1) {
		if !headless(lines) && hasDigit(c) && !numbered().MatchString(c) {
			return 0
		}
	}
	if len(lines) > 1 && withUnits(lines[0], lines[1]) { // a column of units has no head
		n++
	}
	k, least := 1, 3
	if headless(lines) {
		for k < len(lines) && cells(lines[k]) == n {
			k++
		}
		return k
	}
	if secondHead(lines) {
		k, least = 2, 4
	}
	for k < len(lines) && cells(lines[k]) == n {
		k++
	}
	if k < least {
		return 0
	}
	return k
}

// headless reports whether the first line is one of heads with nothing over the column of labels: it begins with spaces, and the
// two lines under it or more, which do not, have one cell more, the second of them not before its head.
func headless(lines []string) bool {
	if len(lines) < 3 || !strings.HasPrefix(lines[0], "   ") || strings.ContainsAny(lines[0], ":.") {
		return false
	}
	cells := func(s string) int { return len(columnGap().Split(strings.TrimSpace(s), -1)) }
	n := cells(lines[0])
	if n < 2 || hasDigit(columnGap().Split(strings.TrimSpace(lines[0]), -1)[0]) && !strings.ContainsFunc(lines[0], unicode.IsLetter) {
		return false
	}
	for _, l := range lines[1:3] {
		if l == "" || l[0] == ' ' || cells(l) != n+1 || len(columnStarts(l)) < 2 || columnStarts(l)[1]+12 < columnStarts(lines[0])[0] {
			return false
		}
	}
	return true
}

// withUnits reports whether a row has one cell more than its heads, the second of them a unit: "Sound power  dB(A)  31  44".
func withUnits(heads, row string) bool {
	cells := columnGap().Split(strings.TrimSpace(row), -1)
	return len(cells) > 3 && len(cells) == len(columnGap().Split(strings.TrimSpace(heads), -1))+1 && isUnit(cells[1])
}

// secondHead reports whether the line under the heads of such a table goes on with them: units in brackets, each beginning
// where a head begins.
func secondHead(lines []string) bool {
	if len(lines) < 2 || !strings.ContainsAny(lines[1], "[(") || !strings.HasPrefix(lines[1], " ") {
		return false
	}
	heads := columnStarts(lines[0])
	for _, at := range columnStarts(lines[1]) {
		if !slices.Contains(heads, at) {
			return false
		}
	}
	return true
}

// columnStarts are the places in characters at which the cells of a line laid out with spaces begin.
func columnStarts(line string) (out []int) {
	blanks := 2
	for at, r := range []rune(line) {
		if r == ' ' {
			blanks++
			continue
		}
		if blanks >= 2 {
			out = append(out, at)
		}
		blanks = 0
	}
	return out
}

// spacesToTabs lays out a line of such a table with tabs, each byte at its place.
func spacesToTabs(line string) string {
	trimmed := strings.TrimSpace(line)
	lead := strings.Index(line, trimmed)
	return line[:lead] + columnGap().ReplaceAllStringFunc(trimmed, func(gap string) string { return "\t" + gap[1:] })
}

// plainTable writes the lines of a table as a page's table is written: a line "label, column: value" for each value.
func (p *pageReader) plainTable(lines []string, first int) {
	t := &table{}
	sep := byte('\t')
	if strings.Contains(lines[0], "|") && underHeads().MatchString(lines[1]) {
		sep = '|'
	}
	for i, line := range lines {
		if sep == '|' && i == 1 {
			continue
		}
		p.line, p.col = first+i, 1
		spaced := sep == '\t' && !strings.Contains(line, "\t")
		if spaced && i == 1 && secondHead(lines) {
			continue // it stands with the heads
		}
		laid := line
		if spaced {
			laid = spacesToTabs(line)
		}
		if spaced && i > 0 && withUnits(lines[0], line) {
			k := strings.IndexByte(laid, '\t') // the unit stands with the label
			end := k + 1 + strings.IndexByte(laid[k+1:], '\t')
			name := strings.TrimSpace(laid[k+1 : end])
			laid = laid[:k] + strings.Repeat(" ", end-k) + laid[end:]
			p.cellsOf(t, laid, first+i, sep)
			if len(t.cells) > 0 {
				t.cells[0].add(piece{text: " [" + name + "]", line: first + i, col: 1 + utf8.RuneCountInString(laid[:k]), flat: true})
			}
			p.endRow(t)
			continue
		}
		if spaced && i == 0 && headless(lines) {
			t.open(atom.Td, [2]int{1, 1})
		}
		p.cellsOf(t, laid, first+i, sep)
		if spaced && i == 0 && headless(lines) {
			for _, c := range t.cells {
				c.head = true
			}
		}
		if spaced && i == 0 && secondHead(lines) {
			under := []rune(lines[1])
			starts := columnStarts(lines[1])
			for k, at := range starts {
				end := len(under)
				if k+1 < len(starts) {
					end = starts[k+1]
				}
				if c := slices.Index(columnStarts(line), at); c < len(t.cells) {
					t.cells[c].add(piece{text: " " + strings.TrimSpace(string(under[at:end])), line: first + 1, col: 1 + at})
				}
			}
		}
		if sep == '|' && i == 0 {
			for _, c := range t.cells {
				c.head = true
			}
		}
		p.endRow(t)
	}
	p.breakLine()
}

// cellsOf cuts a line into cells, each with its place. The bars at its ends belong to no cell.
func (p *pageReader) cellsOf(t *table, line string, number int, sep byte) {
	start, end := 0, len(strings.TrimRight(line, "\t "))
	if sep == '|' {
		trimmed := strings.TrimSpace(line)
		start = strings.Index(line, trimmed)
		end = start + len(trimmed)
		if strings.HasPrefix(trimmed, "|") {
			start++
		}
		if len(trimmed) > 1 && strings.HasSuffix(trimmed, "|") && !strings.HasSuffix(trimmed, `\|`) {
			end--
		}
	}
	for at := start; at <= end; {
		stop := at
		for stop < end && (line[stop] != sep || stop > at && line[stop-1] == '\\') {
			stop++
		}
		t.open(atom.Td, [2]int{1, 1})
		text := strings.TrimSpace(line[at:stop])
		if text != "" {
			from := at + strings.Index(line[at:stop], text)
			t.cells[len(t.cells)-1].add(piece{text: text, line: number, col: 1 + utf8.RuneCountInString(line[:from])})
		}
		at = stop + 1
	}
}
