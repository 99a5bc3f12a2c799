package sheet

import (
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"
)

//go:embed logwords.csv
var logWordsCSV string

// LogWord is a word of loggers as its table states it: of a kind (blank, half, month, weekday, zone, key, remark, counter,
// other, part, elapsed), and what it means there.
type LogWord struct{ Kind, Word, Meaning, Source, Mark string }

// LogWords lists the words by which logs are read, in the order of their table.
func LogWords() []LogWord {
	rows, err := csv.NewReader(strings.NewReader(logWordsCSV)).ReadAll()
	if err != nil {
		panic(err) // the table is a part of the program
	}
	var out []LogWord
	for _, r := range rows[1:] {
		out = append(out, LogWord{r[0], r[1], r[2], r[3], r[4]})
	}
	return out
}

var logWords = sync.OnceValue(func() map[string]map[string]string {
	out := map[string]map[string]string{}
	for _, w := range LogWords() {
		if out[w.Kind] == nil {
			out[w.Kind] = map[string]string{}
		}
		out[w.Kind][w.Word] = w.Meaning
	}
	return out
})

// logWord looks a word up, in lower case; what it means, and whether it is one of the kind.
func logWord(kind, word string) (string, bool) {
	m, ok := logWords()[kind][word]
	return m, ok
}

// noValue reports whether a text is a way of writing that there is no value.
func noValue(text string) bool {
	if len(text) > 24 {
		return false
	}
	w := strings.ToLower(clean(strings.ReplaceAll(text, "\u2212", "-")))
	if _, ok := logWord("blank", w); ok {
		return true
	}
	return strings.Trim(w, "-") == "" && len(w) > 1
}

// halfOf takes AM or PM, in any language of the table, from the head of a text in lower case. half is 'a', 'p' or 0.
func halfOf(low string) (rest string, half byte) {
	longest := 0
	for word, m := range logWords()["half"] {
		if len(word) <= longest || !strings.HasPrefix(low, word) {
			continue
		}
		if r := low[len(word):]; r == "" || r[0] == ' ' || r[0] == '+' || r[0] == '-' || '0' <= r[0] && r[0] <= '9' {
			rest, half, longest = strings.TrimSpace(r), m[0], len(word)
		}
	}
	if half == 0 {
		return low, 0
	}
	return rest, half
}

// knownHalves lists the words for AM and PM, for an error.
func knownHalves() string {
	var am, pm []string
	for _, w := range LogWords() {
		switch {
		case w.Kind != "half":
		case w.Meaning == "am":
			am = append(am, w.Word)
		default:
			pm = append(pm, w.Word)
		}
	}
	return "AM as " + strings.Join(am, ", ") + "; PM as " + strings.Join(pm, ", ")
}
