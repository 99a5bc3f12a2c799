package listing

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"weighhouse/measure/setting"
	"weighhouse/measure/unit"
)

//go:embed words.csv
var wordsCSV string

// Word is one row of the table of words by which a listing says what a number is.
type Word struct {
	Kind, Value string
	Dims        []unit.Dimension // the dimensions that the row bears on; none: any
	Lang        string
	Words       []string // folded spellings
	Source      string
	Mark        string        // read, second-hand, memory, computed, judgement
	Class       setting.Class // of a setting or bare word; Value is its key
}

// Words lists the table.
func Words() []Word { return slices.Clone(vocabulary().rows) }

// spelling is one spelling with its row, ready to be searched for.
type spelling struct {
	text                string
	openLeft, openRight bool
	row                 *Word
	dims                string
}

type lexicon struct {
	rows   []Word
	byKind map[string][]spelling // the longest spelling first
	units  map[string]unit.Unit  // unit.Fold form
	block  map[string]bool

	numbers    map[string]map[string]numeral // language, word
	numberKind map[string]map[string]string  // words that join numbers: point, joint, half, article
}

// The unit of "12 h a day", which package unit does not need.
var hoursADay = unit.Unit{Name: "h/day", Dimension: "hours a day", Factor: 1}

var vocabulary = sync.OnceValue(func() *lexicon {
	r := csv.NewReader(strings.NewReader(wordsCSV))
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		panic(fmt.Sprintf("words.csv: %v", err))
	}
	l := &lexicon{byKind: map[string][]spelling{}, units: map[string]unit.Unit{}, block: map[string]bool{},
		numbers: map[string]map[string]numeral{}, numberKind: map[string]map[string]string{}}
	for _, f := range all[1:] {
		w := Word{Kind: f[0], Value: f[1], Lang: f[3], Source: f[5], Mark: f[6]}
		for _, d := range strings.Fields(f[2]) {
			w.Dims = append(w.Dims, unit.Dimension(d))
		}
		for _, s := range strings.Split(f[4], "|") {
			w.Words = append(w.Words, fold(s))
		}
		l.rows = append(l.rows, w)
	}
	l.settings()
	for i := range l.rows {
		l.enter(&l.rows[i])
	}
	for _, s := range l.byKind {
		sort.SliceStable(s, func(i, j int) bool { return len(s[i].text) > len(s[j].text) })
	}
	return l
})

// settings takes the names of settings from their own table: phrases, bare words, and words that number settings.
func (l *lexicon) settings() {
	for _, r := range setting.Rows() {
		w := Word{Kind: r.Form, Value: r.Key, Lang: r.Lang, Source: r.Source, Mark: r.Mark, Class: r.Class}
		switch r.Form {
		case "cell", "ceiling":
			continue // too common in running text, and bounds of their own
		case "phrase":
			w.Kind = "setting"
		}
		for _, n := range r.Names {
			w.Words = append(w.Words, fold(n))
		}
		l.rows = append(l.rows, w)
	}
}

func (l *lexicon) enter(w *Word) {
	switch w.Kind {
	case "unit":
		u := hoursADay
		if w.Value != hoursADay.Name {
			u = unit.Must(w.Value)
		}
		for _, s := range w.Words {
			l.units[unit.Fold(s)] = u
		}
	case "number", "number scale":
		v, err := strconv.ParseFloat(w.Value, 64)
		if err != nil {
			panic(fmt.Sprintf("words.csv: number %q: %v", w.Value, err))
		}
		if l.numbers[w.Lang] == nil {
			l.numbers[w.Lang] = map[string]numeral{}
		}
		for _, s := range w.Words {
			l.numbers[w.Lang][s] = numeral{value: v, scale: w.Kind == "number scale"}
		}
	case "number word":
		if l.numberKind[w.Lang] == nil {
			l.numberKind[w.Lang] = map[string]string{}
		}
		for _, s := range w.Words {
			l.numberKind[w.Lang][s] = w.Value
		}
	case "block":
		for _, s := range w.Words {
			l.block[unit.Fold(s)] = true
		}
	default:
		for _, s := range w.Words {
			t := strings.Trim(s, "*")
			l.byKind[w.Kind] = append(l.byKind[w.Kind], spelling{text: t, row: w, dims: fmt.Sprint(w.Dims),
				openLeft:  strings.HasPrefix(s, "*") || !wordLike(firstRune(t)),
				openRight: strings.HasSuffix(s, "*") || !wordLike(lastRune(t))})
		}
	}
}

// lookup finds a unit as a listing may spell it; spellings that are common words are blocked.
func (l *lexicon) lookup(s string) (unit.Unit, bool) {
	k := unit.Fold(s)
	if u, ok := l.units[k]; ok {
		return u, true
	}
	if l.block[k] {
		return unit.Unit{}, false
	}
	return unit.Lookup(s)
}

// fold brings text to the form that words are compared in: compatibility forms decomposed, lower case, dashes,
// apostrophes and spaces made one each.
func fold(s string) string {
	var b strings.Builder
	for _, r := range s {
		b.WriteString(foldRune(r))
	}
	return b.String()
}

func foldRune(r rune) string {
	if r == '\n' || r == '\t' {
		return " "
	}
	if r < utf8.RuneSelf {
		return string(unicode.ToLower(r))
	}
	switch r {
	case '’', '‘', '`', '´', 'ʼ':
		return "'"
	case '‐', '‑', '‒', '–', '—', '−':
		return "-"
	case '\u00a0', '\u2009', '\u202f', '\u3000':
		return " "
	}
	return strings.ToLower(norm.NFKC.String(string(r)))
}

// folded is text in folded form, with the way back.
type folded struct {
	text string
	back []int // offset in the original of each byte of text, and of its end
}

func foldText(s string) folded {
	var b strings.Builder
	back := make([]int, 0, len(s)+1)
	for i, r := range s {
		f := foldRune(r)
		b.WriteString(f)
		for range len(f) {
			back = append(back, i)
		}
	}
	return folded{b.String(), append(back, len(s))}
}

// wordLike reports whether r belongs to a word that needs a boundary; CJK characters do not.
func wordLike(r rune) bool {
	return (unicode.IsLetter(r) || unicode.IsDigit(r)) && !unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana)
}

func firstRune(s string) rune { r, _ := utf8.DecodeRuneInString(s); return r }
func lastRune(s string) rune  { r, _ := utf8.DecodeLastRuneInString(s); return r }

// hit is a word found in a text, by offsets in the original.
type hit struct {
	row        *Word
	start, end int
}

// find lists the words of a kind in f, in order, the longest at each place, none inside another.
func (l *lexicon) find(f folded, kind string) []hit {
	var out []hit
	type span struct {
		a, b int
		dims string // words that bear on different dimensions do not hide each other
	}
	var taken []span
	for _, s := range l.byKind[kind] {
		for from := 0; ; {
			i := strings.Index(f.text[from:], s.text)
			if i < 0 {
				break
			}
			a, b := from+i, from+i+len(s.text)
			from = b
			if !s.openLeft && a > 0 && wordLike(lastRune(f.text[:a])) || !s.openRight && b < len(f.text) && wordLike(firstRune(f.text[b:])) && !(s.text == "cadr" && isDigit(f.text[b])) {
				from = a + 1
				continue
			}
			if slices.ContainsFunc(taken, func(t span) bool { return a < t.b && t.a < b && t.dims == s.dims }) {
				continue
			}
			if s.openRight && strings.HasSuffix(s.text, lastWord(s.text)) {
				b = wordEnd(f.text, b, s)
			}
			taken = append(taken, span{a, b, s.dims})
			out = append(out, hit{s.row, f.back[a], f.back[b]})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].start < out[j].start })
	return out
}

func lastWord(s string) string { return s[strings.LastIndexByte(s, ' ')+1:] }

// wordEnd moves the end of a hit that may go on to the end of its word.
func wordEnd(text string, b int, s spelling) int {
	if !wordLike(lastRune(s.text)) {
		return b
	}
	for b < len(text) {
		r, n := utf8.DecodeRuneInString(text[b:])
		if !wordLike(r) {
			break
		}
		b += n
	}
	return b
}

// languages that the words of the table are of; of the others it holds small words only, so that they are told.
var languages = []string{"en", "de", "fr", "es", "it"}

// language is the language of the table whose small words are most frequent in s, or that its characters are of; "en" where
// neither tells. unread names the language where s is in one that the table does not cover.
func language(s string) (lang, unread string) {
	f := foldText(s[:min(len(s), 64<<10)])
	count, words := map[string]int{}, map[string]int{}
	letters, han, kana, hangul, cyrillic := 0, 0, 0, 0, 0
	for _, r := range f.text {
		switch {
		case unicode.Is(unicode.Han, r):
			han++
		case unicode.In(r, unicode.Hiragana, unicode.Katakana):
			kana++
		case unicode.Is(unicode.Hangul, r):
			hangul++
		case unicode.IsLetter(r):
			letters++
			if unicode.Is(unicode.Cyrillic, r) {
				cyrillic++
			}
		}
	}
	if hangul > 20 && hangul > han+kana {
		return "en", "Korean"
	}
	if cjk := han + kana; cjk*3 > letters { // a character says more than a letter
		if kana*10 > cjk {
			return "ja", ""
		}
		return "zh", ""
	}
	for _, w := range strings.FieldsFunc(f.text, func(r rune) bool { return !unicode.IsLetter(r) && r != '\'' }) {
		words[w]++
	}
	kinds := map[string]int{}
	for _, sp := range vocabulary().byKind["language"] {
		if n := words[sp.text]; n > 0 {
			count[sp.row.Value] += n
			kinds[sp.row.Value]++
		}
	}
	lang = "en"
	best := ""
	for _, l := range languages {
		if count[l] > count[lang] {
			lang = l
		}
	}
	for _, l := range unreadLanguages {
		if count[l.code] >= 4 && kinds[l.code] >= 3 && count[l.code] > 2*count[lang] && (best == "" || count[l.code] > count[best]) {
			unread, best = l.name, l.code
		}
	}
	if letters > 100 && cyrillic*2 > letters && unread == "" {
		unread = "a language in Cyrillic letters"
	}
	return lang, unread
}

// unreadLanguages are those of which the table holds small words only, so that they are told from those that are read.
var unreadLanguages = []struct{ code, name string }{{"nl", "Dutch"}, {"pt", "Portuguese"}, {"pl", "Polish"}, {"sv", "Swedish"}, {"da", "Danish or Norwegian"},
	{"ro", "Romanian"}, {"cs", "Czech or Slovak"}, {"tr", "Turkish"}, {"fi", "Finnish"}, {"hu", "Hungarian"}, {"ru", "Russian"}, {"uk", "Ukrainian"}, {"el", "Greek"},
	{"id", "Indonesian or Malay"}, {"vi", "Vietnamese"}, {"ar", "Arabic"}, {"he", "Hebrew"}}
