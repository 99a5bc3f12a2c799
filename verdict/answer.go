package verdict

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"weighhouse/claims"
)

// longLine is how many characters a line of an answer may have and still be shown beside a claim whole; of a longer one
// the sentences that speak of the claim are shown. The answer stands in full in its own part of the report.
const longLine = 400

// answer ties the maker's answers to the claims that they speak of: those that they name by id, by the claimed number with
// its unit, or by a name of the attribute that is in words.csv. What they say is not judged.
func (a *Audit) answer() {
	for n, x := range a.Replies {
		for _, p := range passages(x.Text) {
			ids := a.namedIn(p)
			for _, line := range strings.Split(p, "\n") {
				pieces := parts(line)
				for _, part := range pieces {
					folded := norm.NFKC.String(strings.ToLower(part))
					for i := range a.Rows {
						r := &a.Rows[i]
						switch {
						case ids != nil && ids[r.Claim.ID] && (len(pieces) == 1 || speaksOf(folded, r.Claim)),
							ids == nil && !(x.Received != "" && r.Claim.Captured > x.Received) && speaksOf(folded, r.Claim):
							r.answered(n, strings.TrimSpace(part))
						}
					}
				}
			}
		}
	}
}

// passages cuts an answer into what belongs together: paragraphs between blank lines, and within one a new passage where a
// line begins with the id of a claim.
func passages(text string) []string {
	var out []string
	var now []string
	end := func() {
		if now != nil {
			out = append(out, strings.Join(now, "\n"))
		}
		now = nil
	}
	for _, line := range strings.FieldsFunc(strings.ReplaceAll(text, "\r\n", "\n"), func(r rune) bool { return r == '\r' }) {
		for _, l := range strings.Split(line, "\n") {
			switch {
			case strings.TrimSpace(l) == "":
				end()
				continue
			case now != nil && (heads.MatchString(l) || !heads.MatchString(now[0])):
				end()
			}
			now = append(now, l)
		}
	}
	end()
	return out
}

// heads matches a line that begins with the id of a claim: "C1:", "- C1 and C2", "Re C3".
var heads = regexp.MustCompile(`(?i)^[\s\-–•*>]*(?:re:?\s+|claims?\s+|zu\s+|ad\s+)?\pL{1,3}-?\d+\b`)

var fromTo = regexp.MustCompile(`(?i)\b(\pL{1,3})(\d{1,3})\s*(?:-|–|to|bis|à)\s*(\pL{1,3})?(\d{1,3})\b`)

// namedIn gives the claims that a passage names by their ids, "C2 to C4" included; nil where it names none. A passage that
// names claims speaks of these alone.
func (a *Audit) namedIn(text string) map[string]bool {
	var out map[string]bool
	folded := strings.ToLower(text)
	for _, m := range fromTo.FindAllStringSubmatch(folded, -1) {
		lo, _ := strconv.Atoi(m[2])
		hi, _ := strconv.Atoi(m[4])
		for k := lo; k <= hi && hi-lo < 100; k++ {
			folded += fmt.Sprintf(" %s%d ", m[1], k)
		}
	}
	for _, r := range a.Rows {
		if id := r.Claim.ID; strings.IndexFunc(id, unicode.IsDigit) >= 0 && strings.IndexFunc(id, unicode.IsLetter) >= 0 && wordIn(folded, strings.ToLower(id)) {
			if out == nil {
				out = map[string]bool{}
			}
			out[id] = true
		}
	}
	return out
}

func (r *Row) answered(reply int, text string) {
	if k := len(r.Answers); k == 0 || r.Answers[k-1] != reply {
		r.Answers = append(r.Answers, reply)
	}
	if r.Answer != "" {
		r.Answer += "\n"
	}
	r.Answer += text
}

// parts is a line of an answer, or its sentences where it is long.
func parts(line string) []string {
	if len([]rune(line)) <= longLine {
		return []string{line}
	}
	var out []string
	from := 0
	for i, r := range line {
		if (r == '.' || r == '!' || r == '?') && (i+1 == len(line) || line[i+1] == ' ') {
			out = append(out, line[from:i+1])
			from = i + 1
		}
	}
	if strings.TrimSpace(line[from:]) != "" {
		out = append(out, line[from:])
	}
	return out
}

// speaksOf reports whether a text, folded, names a claim by its id, its number with its unit, or its attribute.
func speaksOf(text string, c claims.Claim) bool {
	if strings.IndexFunc(c.ID, unicode.IsDigit) >= 0 && wordIn(text, strings.ToLower(c.ID)) {
		return true
	}
	for _, name := range phrases()[c.Attribute].named {
		if wordIn(text, strings.ToLower(name)) {
			return true
		}
	}
	if c.Claimed == nil || c.Claimed.Text == "" {
		return false
	}
	m := numberUnit.FindStringSubmatch(norm.NFKC.String(strings.ToLower(c.Claimed.Text)))
	return m != nil && m[2] != "%" && wordIn(spaceless(text), m[1]+m[2])
}

var numberUnit = regexp.MustCompile(`^\s*(\d[\d.,]*)\s*([^\d\s].*?)\s*$`)

var beforeUnit = regexp.MustCompile(`(\d)\s+([^\d\s])`)

// spaceless takes the spaces between numbers and their units out of a text.
func spaceless(s string) string { return beforeUnit.ReplaceAllString(s, "$1$2") }

// wordIn reports whether a word stands in a text with neither letter, digit nor a part of a number beside it.
func wordIn(text, word string) bool {
	for from := 0; word != ""; {
		i := strings.Index(text[from:], word)
		if i < 0 {
			return false
		}
		i += from
		before, after := text[:i], text[i+len(word):]
		if !endsJoined(before) && !beginsJoined(after) {
			return true
		}
		from = i + len(word)
	}
	return false
}

func endsJoined(s string) bool {
	rs := []rune(s[max(0, len(s)-8):])
	n := len(rs)
	if n == 0 {
		return false
	}
	last := rs[n-1]
	return unicode.IsLetter(last) || unicode.IsDigit(last) || (last == '.' || last == ',') && n > 1 && unicode.IsDigit(rs[n-2])
}

func beginsJoined(s string) bool {
	for _, r := range s {
		return unicode.IsLetter(r) || unicode.IsDigit(r)
	}
	return false
}
