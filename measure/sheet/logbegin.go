package sheet

import (
	"bytes"
	"fmt"
	"sort"
	"strings"
)

// separators are what stands between the columns of a log, in the order in which they are preferred.
const separators = "\t;,|"

// headLine is a line of the head of a log, or several where quotes hold line breaks.
type headLine struct {
	text   string
	line   int // its last line
	first  int
	offset int
	mark   bool
	fault  string // why it is no sound text
	latin  bool   // it was read as Windows-1252
}

// headLines parts the head of a log into lines.
func headLines(head []byte, foul bool) (out []headLine) {
	const most = MaxPreamble // lines that one pair of quotes may hold
	line := 0
	for at := 0; at < len(head) && line < MaxPreamble+64; {
		end, n := at, 0
		for quotes := 0; ; {
			i := bytes.IndexByte(head[end:], '\n')
			if i < 0 {
				i = len(head) - end - 1
			}
			quotes += bytes.Count(head[end:end+i+1], []byte(`"`))
			end += i + 1
			if n++; quotes%2 == 0 {
				break
			}
			if n == most || end >= len(head) { // a quote that stands alone: the line is taken as it is
				n = 1
				end = at + bytes.IndexByte(append(head[at:len(head):len(head)], '\n'), '\n') + 1
				break
			}
		}
		end = min(end, len(head))
		text := strings.TrimRight(string(head[at:end]), "\r\n")
		h := headLine{first: line + 1, line: line + n, offset: at}
		if foul {
			if k, why := badBytes([]byte(text)); why != "" {
				var ok bool
				if text, ok = windows1252(text); ok {
					h.latin = true
				} else {
					h.fault = why
				}
				_ = k
			}
		}
		h.text = text
		h.mark = strings.HasPrefix(strings.TrimLeft(text, "\" \t\ufeff"), "#")
		out = append(out, h)
		line += n
		at = end
	}
	return out
}

// begin finds the header in the head of a log and gives the data that begins with the first reading; false where there is none.
func (l *csvLog) begin(head []byte, foul bool) ([]byte, bool) {
	lines := headLines(head, foul)
	split := map[byte][]headRow{}
	rowsOf := func(sep byte) []headRow {
		if split[sep] == nil {
			split[sep] = splitHead(lines, sep)
		}
		return split[sep]
	}
	var best frame
	var bestSep, dataSep byte
	found := false
	take := func(f frame, sep, data byte) bool {
		if !found || f.sound {
			best, bestSep, dataSep, found = f, sep, data, true
		}
		return f.sound
	}
	done := false
	for level := 0; level < 4 && !done; level++ {
		begun, marks := level&1 == 1, level >= 2
		for i := range lines {
			if done || i >= MaxPreamble {
				break
			}
			if lines[i].fault != "" || lines[i].mark != marks || clean(lines[i].text) == "" {
				continue
			}
			for _, sep := range separatorsOf(lines[i].text) {
				l.setRule(sep)
				rows := rowsOf(sep)
				if len(rows[i].cells) == 0 {
					continue
				}
				f, ok := l.frameAt(rows, i, begun)
				if !ok {
					continue
				}
				data := sep
				if !f.sound && sep != ' ' { // the names may be parted in another way than the readings
					if mixed := mixHead(rows, rowsOf(' '), i); mixed != nil {
						if g, ok := l.frameAt(mixed, i, begun); ok && g.sound {
							split[0], f, data = mixed, g, ' '
						}
					}
				}
				if done = take(f, sep, data); done {
					if data == ' ' && sep != ' ' {
						split[sep] = split[0]
					}
					break
				}
			}
		}
	}
	if !done {
		for _, sep := range []byte(separators + " ") {
			l.setRule(sep)
			if f, ok := l.framePlaced(rowsOf(sep)); ok && (!done || len(f.columns) > len(best.columns) && sep != ' ') {
				best, bestSep, dataSep, found, done = f, sep, sep, true, true
			}
		}
	}
	if !found {
		for _, h := range lines {
			if h.fault != "" {
				l.failAt(h.first, utf8Hint, "%s", h.fault)
				return nil, false
			}
		}
		l.findLikely(lines, rowsOf)
		if len(lines) >= MaxPreamble && !l.task.guess {
			l.headless()
			l.stop()
		}
		return nil, false
	}
	l.setRule(bestSep)
	if dataSep == ' ' {
		l.rule.comma = false
	}
	l.comma = dataSep
	rows := split[bestSep]
	l.bind(rows, best)
	if best.header >= 0 && lines[best.header].latin {
		l.notes = append(l.notes, fmt.Sprintf("the names hold bytes that are no UTF-8 and were read as Windows-1252: %s", quote(clean(lines[best.header].text))))
	}
	l.fields = make([]logField, len(l.header))
	start, line := len(head), 0
	if best.data < len(lines) {
		start, line = lines[best.data].offset, lines[best.data].first-1
	} else if n := len(lines); n > 0 {
		line = lines[n-1].line
	}
	l.line = line
	if start < len(head) {
		l.reserveRows(head[start:])
	}
	return head[start:], true
}

func (l *csvLog) setRule(sep byte) { l.rule = numberRule{comma: sep == ';', log: true} }

// separatorsOf gives the separators of a line, those first that stand there most often outside quotes; blanks last.
func separatorsOf(text string) []byte {
	n := map[byte]int{}
	quoted := false
	for i := 0; i < len(text); i++ {
		c := text[i]
		if c == '"' {
			quoted = !quoted
		} else if !quoted && strings.IndexByte(separators, c) >= 0 {
			n[c]++
		}
	}
	var out []byte
	for _, c := range []byte(separators) {
		if n[c] > 0 {
			out = append(out, c)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return n[out[i]] > n[out[j]] })
	if len(out) == 0 && strings.ContainsAny(clean(text), " ") {
		out = append(out, ' ')
	}
	return out
}

// splitHead splits the lines of a head at one separator, or at runs of blanks.
func splitHead(lines []headLine, sep byte) []headRow {
	out := make([]headRow, len(lines))
	for i, h := range lines {
		r := headRow{line: h.line, first: h.first, offset: h.offset, mark: h.mark}
		switch {
		case h.fault != "":
		case sep == ' ':
			r.cells = strings.Fields(h.text)
		case strings.IndexByte(h.text, sep) >= 0:
			if strings.IndexByte(h.text, '"') < 0 {
				r.cells = strings.Split(h.text, string(sep))
			} else if cells, ok := splitLine(h.text, sep); ok {
				r.cells = cells
			}
		}
		if r.mark && len(r.cells) > 0 && clean(r.cells[0]) == "#" {
			r.mark = false // a column that numbers the rows
			for _, c := range r.cells[1:] {
				if timeLike(c) {
					r.mark = true
				}
			}
		}
		out[i] = r
	}
	return out
}

// mixHead joins a header that is split in one way with rows that are split at blanks, where they have as many columns; nil where they have not.
func mixHead(names, blanks []headRow, header int) []headRow {
	n := len(trimmed(names[header].cells))
	for i := header + 1; i < len(blanks); i++ {
		if blanks[i].mark || len(blanks[i].cells) == 0 {
			continue
		}
		if len(names[i].cells) > 1 || len(blanks[i].cells) != n {
			return nil
		}
		out := append([]headRow(nil), names[:header+1]...)
		return append(out, blanks[header+1:]...)
	}
	return nil
}

// findLikely looks for the line that people would take for the header: of those with most columns the first that holds no time or number.
func (l *csvLog) findLikely(lines []headLine, rowsOf func(byte) []headRow) {
	words := func(cells []string) int {
		n := 0
		for _, c := range cells {
			if clean(c) != "" && !timeLike(c) {
				n++
			}
		}
		return n
	}
	most := -1
	for i, h := range lines {
		seps := separatorsOf(h.text)
		if h.mark || len(seps) == 0 && clean(h.text) == "" {
			continue
		}
		cells := []string{clean(h.text)}
		if len(seps) > 0 && seps[0] != ' ' {
			cells = trimmed(rowsOf(seps[0])[i].cells)
		}
		if n := 2*words(cells) + len(cells); n > most && len(cells) > 0 && (l.likely == nil || len(cells) > 1) {
			l.likely, l.at, most = cells, h.line, n
		}
	}
}
