package listing

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// sentence is a sentence, bullet or table row of the body, with the words of the table found in it. Offsets of its hits
// and quantities are in text.
type sentence struct {
	text         string
	start        int // in the body
	lang         string
	decimalComma bool
	numeric      bool // it holds a digit or a number word
	folded       folded
	hits         map[string][]hit
	qs           []quantity
	label        int         // end of "label:" before the first quantity; 0 where there is none
	above        *sentence   // the short line over it, which may be its label; nil where there is none
	named        []string    // the names of settings of the listing's own
	life         topic       // what the last time of the sentence before it on the line was about
	ofTime       map[int]int // the room or share that is a condition of a clean time, by index of both
}

// maxSentence bounds a sentence in bytes, so that the work on text without full stops stays linear.
const maxSentence = 2000

// maxLabel is the longest line, in bytes, that may be the label of the line under it.
const maxLabel = 60

// kinds are the kinds of word that sentences are searched for.
var kinds = []string{"topic", "skip", "bound", "setting", "bare", "ordinal", "particle", "separator", "range", "between", "negation",
	"grade context", "label", "price", "filler", "preposition", "rate word", "rate unit", "air word", "elsewhere"}

// decimalComma reports whether the language of the text writes 1.234,5.
func (t *Text) decimalComma() bool { return slices.Contains(languages[1:], t.Lang) }

// sentences cuts the body and calls each with every piece in order.
func (t *Text) sentences(each func(s *sentence)) {
	comma := t.decimalComma()
	var above, lead *sentence
	var last topic
	t.split(func(lo, hi int, firstOfLine bool) {
		s := &sentence{text: t.offer[lo:hi], start: lo, lang: t.Lang, decimalComma: comma, above: above, named: t.settings}
		if !firstOfLine {
			s.above, s.life = nil, last
			if lead != nil && lead.end() <= lo && lo-lead.end() <= 2 {
				s.above = lead
			}
		}
		s.read()
		each(s)
		last, lead = s.life, nil
		if firstOfLine && leadIn().MatchString(s.text) && len(s.qs) == 0 && !s.asks() {
			lead = s
		}
		switch {
		case firstOfLine && len(s.qs) == 0 && (len(s.text) <= maxLabel && !s.numeric || s.asks()):
			s.above = nil
			above = s
		case firstOfLine && bullet(s.text) && above != nil && !above.asks():
			// the head of a list is over each of its items
		default:
			above = nil
		}
	})
}

// leadIn matches a word or three with a full stop that open a line and name what it is about: "Filter life. 9 months at …".
var leadIn = lazily(`^\pL[\pL-]*(?: \pL[\pL-]*){0,2}\.$`)

// end is where the sentence ends in the body.
func (s *sentence) end() int { return s.start + len(s.text) }

// maxQuestion is the longest question, in bytes, that may be over its answer.
const maxQuestion = 200

// asks reports whether the sentence is a question, which the next line may answer.
func (s *sentence) asks() bool { return strings.HasSuffix(s.text, "?") && len(s.text) <= maxQuestion }

// bullet reports whether a line is an item of a list in plain text.
func bullet(s string) bool {
	return len(s) > 2 && strings.ContainsRune("-*+–·>", firstRune(s)) && strings.ContainsRune(" \t", []rune(s)[1])
}

// split cuts the body at line ends that are no mere wrapping, at full stops, and at bullets.
func (t *Text) split(emit func(lo, hi int, firstOfLine bool)) {
	b := t.offer
	lo, first, line := 0, true, 0
	cut := func(hi, next int) {
		for lo < hi && isSpace(b[lo]) {
			lo++
		}
		for hi > lo && isSpace(b[hi-1]) {
			hi--
		}
		if lo < hi {
			emit(lo, hi, first)
			first = false
		}
		lo = next
	}
	for i := 0; i < len(b); {
		r, n := utf8.DecodeRuneInString(b[i:])
		next := i + n
		switch {
		case r == '\n':
			if t.HTML || !wraps(b[line:i], b[next:]) {
				cut(i, next)
				first = true
			}
			line = next
		case r == '•' || r == '●' || r == '▪' || r == '✔' || r == '✓' || r == '★':
			cut(i, next)
		case r == '。' || r == '！' || r == '？':
			cut(next, next)
		case (r == '.' || r == '!' || r == '?') && endsSentence(b[lo:i], b[next:], r):
			cut(next, next)
		case (r == '\u3000' || r == ' ' && strings.HasPrefix(b[next:], " ")) && anotherField(b[lo:i], b[next:]):
			cut(i, next)
		case i-lo > maxSentence && (r == ' ' || i-lo > maxSentence+200):
			cut(next, next)
		}
		i = next
	}
	cut(len(b), len(b))
}

// nextField matches a label and its colon behind white space.
var nextField = lazily(`^[ \x{3000}\x{00a0}]*\pL[^\n:;.,]{0,30}: ?[^\n]`)

// anotherField reports whether white space parts a label with its value from the next label: "Power: 48 W  Standby: 0.4 W".
func anotherField(before, after string) bool {
	i := strings.IndexByte(before, ':')
	return i > 0 && i < 60 && hasDigit(before[i:]) && nextField().MatchString(front(after, 90))
}

func isSpace(c byte) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }

// wraps reports whether a line end only wraps a sentence.
func wraps(line, rest string) bool {
	line = strings.TrimRight(line, " \t")
	if len(line) < 40 || rest == "" || isSpace(rest[0]) {
		return false
	}
	if strings.ContainsRune(".!?:;", lastRune(line)) {
		return false
	}
	r := firstRune(rest)
	if end := lastRune(line); unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana) && end != '，' && end != '、' {
		return false // such lines are rows; a sentence goes on behind its comma
	}
	if small(lastWord(line)) {
		return true // "… the one with the"
	}
	if i := strings.IndexByte(rest, ':'); i >= 0 && i < 60 && !strings.Contains(rest[:i], ". ") && !strings.Contains(rest[:i], "\n") {
		return false // the next line has a label of its own
	}
	return unicode.IsLower(r) || len(line) >= 60 && (unicode.IsLetter(r) || unicode.IsDigit(r) || r == '(')
}

// small reports whether a word is one of those that no line ends with unless it is wrapped: an article, "of", "with".
func small(w string) bool {
	w = strings.ToLower(w)
	for _, s := range vocabulary().byKind["language"] {
		if s.text == w && slices.Contains(languages, s.row.Value) && w != "air" && w != "luft" && w != "aire" && w != "aria" && w != "room" && w != "stufe" && w != "vitesse" {
			return true
		}
	}
	return false
}

// abbreviations after which a full stop ends no sentence.
var abbreviations = []string{"approx", "ca", "max", "min", "nr", "no", "sq", "ft", "incl", "inkl", "env", "bzw", "z.b", "e.g", "i.e", "vs",
	"std", "hrs", "aprox", "máx", "mín", "cu", "mind", "etc", "usw", "p.ex"}

func endsSentence(before, after string, r rune) bool {
	if after == "" {
		return true
	}
	next, n := utf8.DecodeRuneInString(after)
	if r == '?' && (unicode.Is(unicode.Han, next) || next == '*' || next == '_') {
		return true
	}
	if !unicode.IsSpace(next) && next != '"' && next != '”' && next != ')' {
		return false
	}
	if r != '.' {
		return true
	}
	if strings.HasSuffix(before, "...") || strings.HasSuffix(before, ". . .") || strings.HasPrefix(strings.TrimLeft(after, " "), ".") {
		return false // leaders between a label and its value
	}
	if ordinal().MatchString(before) {
		return false
	}
	before = before[max(0, len(before)-12):]
	w := strings.ToLower(before[strings.LastIndexAny(before, " (/,;:\u00a0")+1:])
	if slices.Contains(abbreviations, w) || len(w) == 1 && unicode.IsLetter(rune(w[0])) && !afterDigit(before[:len(before)-1]) && !strings.HasSuffix(before[:len(before)-1], "/") {
		return false
	}
	rest := strings.TrimLeft(after[n:], " \n\t\u00a0")
	return rest == "" || !unicode.IsLower(firstRune(rest))
}

// ordinal matches the number of an item of a list: "3." or "> 2.".
var ordinal = lazily(`^[>*+(\s-]*\d{1,2}$`)

// afterDigit reports whether s ends with a number: the letter after it is a unit ("44 W.") and no abbreviation.
func afterDigit(s string) bool {
	s = strings.TrimRight(s, " \u00a0")
	return s != "" && isDigit(s[len(s)-1])
}

// read finds the words and the quantities of the sentence.
func (s *sentence) read() {
	s.folded = foldText(s.text)
	s.hits = map[string][]hit{}
	v := vocabulary()
	search := kinds
	s.numeric = hasDigit(s.text) || namesNumber(s.text, s.lang) || s.lang == "en" && aYear().MatchString(s.text)
	if !s.numeric && !namesGrade(s.folded.text) {
		search = nil
		if len(s.text) <= maxLabel || s.asks() {
			search = []string{"topic", "skip", "price", "label", "grade context", "setting", "bare", "ordinal", "elsewhere", "particle", "bound"} // it may be the label of the next line, or a condition
		}
	}
	for _, k := range search {
		s.hits[k] = v.find(s.folded, k)
	}
	if s.numeric {
		s.qs = scanQuantities(*s)
	}
	if i := labelEnd(s.text); i > 0 && i <= 90 && (len(s.qs) == 0 || i < s.qs[0].start) {
		s.label = i
	}
}

// leaders are what lays out a label and its value on one line of plain text: dots, a tab, spaces.
var leaders = lazily(`[ \x{00a0}]?(?:\.{4,}|…{2,}|(?:\. ){4,}|_{4,}|\t+| {3,})`)

// labelEnd is where a label at the beginning of s ends: before the first colon that stands in no time or ratio, or before
// leaders; -1 where there is none.
func labelEnd(s string) int {
	end := -1
	for i := 0; i < len(s) && i <= 200; i++ {
		if s[i] == ':' && !(i > 0 && isDigit(s[i-1]) && i+1 < len(s) && isDigit(s[i+1])) {
			end = i
			break
		}
	}
	if end < 0 {
		end = unitLabel(s)
	}
	if loc := leaders().FindStringIndex(s[:min(len(s), 200)]); loc != nil && loc[0] > 0 && (end < 0 || loc[0] < end) {
		end = loc[0]
	}
	return end
}

// unitLabel is where a label ends that only its unit in brackets parts from its value: "Sound level (dB) <30"; -1 where there is
// none.
func unitLabel(s string) int {
	m := unitLabelled().FindStringSubmatchIndex(s[:min(len(s), 120)])
	if m == nil || hasDigit(s[:m[2]]) || !isUnit(s[m[2]:m[3]]) {
		return -1
	}
	return m[3] + 1
}

var unitLabelled = lazily(`^\pL[^:()\[\]\n.;]{2,60}[(\[]([^()\[\]]{1,14}|[^()\[\]]{1,6}\([^()]{1,4}\))[)\]] ?(?:<|>|≤|≥|~|≈|=|max\.?|min\.?){0,2} ?\d`)

// owner is the index of the quantity that a word at [start,end) belongs to, by where it stands: a word in brackets
// belongs to the number before them, a word after a comma to the number that follows. -1 where there are no quantities.
func (s *sentence) owner(start, end int) int {
	i, _ := slices.BinarySearchFunc(s.qs, start, func(q quantity, at int) int { return q.start - at })
	// q[i-1] begins before the word, q[i] at it or after
	switch {
	case len(s.qs) == 0:
		return -1
	case i == 0:
		return 0
	case i == len(s.qs):
		return i - 1
	}
	left, right := s.qs[i-1].last(), s.qs[i].start
	if start < left || end > right {
		return i - 1
	}
	before, after := s.text[left:start], s.text[end:right]
	if open := strings.LastIndexAny(before, "([") >= 0; open {
		if strings.ContainsAny(after, ")]") {
			return i - 1
		}
		return i
	}
	if strings.HasPrefix(strings.TrimLeft(before, " "), "/") && !s.breaks(left+1, start) {
		return i - 1 // "24 dB/sleep"
	}
	if s.breaks(left, start) {
		return i
	}
	for _, h := range s.hits["preposition"] {
		if h.start >= left && h.end <= start && strings.TrimSpace(s.text[h.end:start]) == "" {
			return i - 1 // "18 W on low 45 W on turbo"
		}
	}
	if s.breaks(end, right) {
		return i - 1
	}
	if strings.Trim(after, " :=–-\u00a0") == "" {
		return i
	}
	return i - 1
}

// last is the end of a quantity with the second unit beside it.
func (q *quantity) last() int {
	if q.also != nil {
		return q.also.end
	}
	return q.end
}

// breaks reports whether s.text[lo:hi] holds what separates one statement from the next.
func (s *sentence) breaks(lo, hi int) bool {
	if strings.ContainsAny(s.text[lo:hi], ",;|/:·、，；") || strings.Contains(s.text[lo:hi], " – ") || strings.Contains(s.text[lo:hi], " — ") || strings.Contains(s.text[lo:hi], " - ") {
		return true
	}
	for _, h := range s.hits["separator"] {
		if h.start >= lo && h.end <= hi {
			return true
		}
	}
	return false
}
