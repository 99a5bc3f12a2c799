package listing

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// ref is a mark behind words that sends the reader to a note: an asterisk, a dagger, a raised figure.
type ref struct {
	at   int // its byte in the body
	mark string
}

// note is a line that begins with such a mark, Body[start:end].
type note struct {
	start, end int
	mark       string
}

var (
	nextNote = lazily(`[.;] +([¹²³⁴-⁹]|[†‡§]) ?[^\s\d]`)
	marks    = lazily(`\*{1,3}|※\d?|[†‡§]|[¹²³⁴-⁹]|\[[1-9]\]`)
	noteHead = lazily(`(?m)^[ \t]*(\*{1,3}|※\d?|[†‡§]|[¹²³⁴-⁹]|\[[1-9]\]|\(?[1-9][).]?)[ \t:]*(?:[^\s\d*]|\d+[^\d\s.)])`)
)

// notes finds the marks and the lines that they send to, and blanks both marks in the offer, so that no mark is read as
// part of a number or a unit. A mark that no line answers, and a line that no mark sends to, is left as it is.
func (t *Text) findNotes() {
	type found struct {
		note
		head int // where its mark ends
	}
	var lines []found
	for _, m := range noteHead().FindAllStringSubmatchIndex(t.Body, -1) {
		lines = append(lines, found{note{m[2], 0, plainMark(t.Body[m[2]:m[3]])}, m[3]})
		line := lineAt(t.Body[m[3]:], 0)
		for _, n := range nextNote().FindAllStringSubmatchIndex(line, 9) { // "¹ AHAM AC-1-2020. ² At 1 m."
			lines = append(lines, found{note{m[3] + n[2], 0, plainMark(line[n[2]:n[3]])}, m[3] + n[3]})
		}
	}
	if len(lines) == 0 {
		return
	}
	answered := map[string]bool{}
	count := map[string]int{}
	for _, l := range lines {
		answered[l.mark] = true
		count[l.mark]++
	}
	blank := []byte(t.offer)
	clear := func(lo, hi int) {
		for i := lo; i < hi; i++ {
			blank[i] = ' '
		}
	}
	used := map[string]bool{}
	for _, m := range marks().FindAllStringIndex(t.Body, -1) {
		mark := plainMark(t.Body[m[0]:m[1]])
		if !answered[mark] || !sendsOn(t.Body, m[0], m[1]) || count[mark] > maxSame {
			continue
		}
		used[mark] = true
		if len(t.refs) < maxParts {
			t.refs = append(t.refs, ref{m[0], mark})
		}
		clear(m[0], m[1])
	}
	for i, l := range lines {
		if !used[l.mark] || count[l.mark] > maxSame {
			continue
		}
		end := l.start + len(lineAt(t.Body[l.start:], 0))
		if i+1 < len(lines) && lines[i+1].start < end {
			end = lines[i+1].start
		}
		t.notes = append(t.notes, note{l.start, end, l.mark})
		clear(l.start, l.head)
	}
	t.offer = string(blank)
}

// maxSame is how many lines may begin with one mark and be notes; more are the items of a list.
const maxSame = 2

// plainMark is a mark without its brackets, a raised figure as a plain one.
func plainMark(s string) string {
	s = strings.Trim(s, "()[].")
	if r, n := utf8.DecodeRuneInString(s); n == len(s) {
		switch {
		case r == '¹':
			return "1"
		case r == '²' || r == '³':
			return string('2' + r - '²')
		case r >= '⁴' && r <= '⁹':
			return string('4' + r - '⁴')
		}
	}
	return s
}

// sendsOn reports whether s[lo:hi] stands as a mark: directly behind words, not as an exponent, not before more of a word.
func sendsOn(s string, lo, hi int) bool {
	before, _ := utf8.DecodeLastRuneInString(s[:lo])
	after, _ := utf8.DecodeRuneInString(s[hi:])
	if lo == 0 || before == '\n' || unicode.IsLetter(after) || unicode.IsDigit(after) || after == '/' {
		return false
	}
	if r, _ := utf8.DecodeRuneInString(s[lo:hi]); r == '²' || r == '³' {
		return !isLength(s[:lo])
	}
	return !unicode.IsSpace(before) || s[lo] == '*' || s[lo] == '['
}

// isLength reports whether s ends with a unit of length, whose raised figure is an exponent.
func isLength(s string) bool {
	word := s[max(0, len(s)-12):]
	if i := strings.LastIndexFunc(word, func(r rune) bool { return !unicode.IsLetter(r) }); i >= 0 {
		_, n := utf8.DecodeRuneInString(word[i:])
		word = word[i+n:]
	}
	switch strings.ToLower(word) {
	case "m", "cm", "mm", "dm", "km", "ft", "in", "yd", "foot", "feet", "inch":
		return true
	}
	return false
}

// noteAt is the note that holds the byte at; nil where none does.
func (t *Text) noteAt(at int) *note {
	for i := range t.notes {
		if n := &t.notes[i]; n.start <= at && at < n.end {
			return n
		}
	}
	return nil
}

// sentTo reports whether a figure that stands at Body[x.start:x.end] is sent to the notes of a mark: the mark stands behind
// it on its line, or before it in the label or in the heading of its block.
func (t *Text) sentTo(x extent, mark string) bool {
	for i, r := range t.refs {
		if r.mark != mark {
			continue
		}
		lo := strings.LastIndexByte(t.Body[:r.at], '\n') + 1
		hi := lo + len(lineAt(t.Body, lo))
		if !strings.ContainsFunc(t.offer[lo:hi], unicode.IsDigit) { // a heading: it speaks for its block
			if until := t.blockEnd(hi); x.start >= hi && x.start < until {
				return true
			}
			continue
		}
		from := lo
		if i > 0 && t.refs[i-1].at > lo {
			from = t.refs[i-1].at
		}
		to := hi
		if i+1 < len(t.refs) && t.refs[i+1].at < hi {
			to = t.refs[i+1].at
		}
		if x.start >= from && x.end <= r.at {
			return true
		}
		if x.start > r.at && x.start < to && !strings.ContainsFunc(t.offer[from:r.at], unicode.IsDigit) {
			return true
		}
	}
	return false
}

// blockEnd is where the block of lines that begins at lo ends: at the next heading of the page, at an empty line, or at
// a note.
func (t *Text) blockEnd(lo int) int {
	end := len(t.Body)
	for _, h := range t.heads {
		if h.start >= lo {
			end = min(end, h.start)
			break
		}
	}
	if i := strings.Index(t.Body[lo:], "\n\n"); i >= 0 && !t.HTML {
		end = min(end, lo+i)
	}
	for _, n := range t.notes {
		if n.start >= lo {
			end = min(end, n.start)
		}
	}
	return end
}

// headAt is the heading of the page that holds the byte at; nil where none does.
func (t *Text) headAt(at int) *head {
	for i := range t.heads {
		if h := &t.heads[i]; h.start <= at && at < h.end {
			return h
		}
	}
	return nil
}
