package claims

import (
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"

	"weighhouse/measure"
)

//go:embed others.csv
var othersCSV string

// OtherRow is a row of the words by which a claim's source says that others than the maker or seller speak there.
type OtherRow struct {
	Language     string
	Words        []string
	Source, Mark string
}

var others = sync.OnceValue(func() []OtherRow {
	all, err := csv.NewReader(strings.NewReader(othersCSV)).ReadAll()
	if err != nil {
		panic("others.csv: " + err.Error())
	}
	var out []OtherRow
	for _, f := range all[1:] {
		out = append(out, OtherRow{f[0], strings.Split(f[1], "|"), f[2], f[3]})
	}
	return out
})

// Others lists the table.
func Others() []OtherRow { return append([]OtherRow(nil), others()...) }

// OfMaker reports whether a source is the maker's or seller's own by what it says of itself: not a buyer's review, a
// forum, a competitor.
func OfMaker(source string) bool {
	text := " " + strings.Join(strings.FieldsFunc(measure.Fold(source), func(r rune) bool { return strings.ContainsRune(" ,;:()/", r) }), " ") + " "
	for _, r := range others() {
		for _, w := range r.Words {
			w = measure.Fold(w)
			if strings.Contains(text, " "+w+" ") || w[0] >= 0x80 && strings.Contains(text, w) {
				return false
			}
		}
	}
	return true
}
