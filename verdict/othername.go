package verdict

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strings"
	"sync"

	"weighhouse/claims"
)

//go:embed othernames.csv
var otherNamesCSV string

// otherName is a row of othernames.csv: words that name another quantity than the attribute of their row, unless other words
// beside them say that it is meant after all.
type otherName struct {
	attribute     claims.Attribute
	words, butNot []string
	names         string
}

var otherNames = sync.OnceValue(func() []otherName {
	var out []otherName
	for _, r := range otherNameTable().Rows {
		out = append(out, otherName{claims.Attribute(r[0]), strings.Split(r[1], "|"), strings.Split(r[2], "|"), r[3]})
	}
	return out
})

func otherNameTable() RuleTable {
	all, err := csv.NewReader(strings.NewReader(otherNamesCSV)).ReadAll()
	if err != nil {
		panic("othernames.csv: " + err.Error())
	}
	return RuleTable{Name: "othernames", About: "words that name another quantity than the attribute of their row: nothing is contradicted on them", Header: all[0], Rows: all[1:]}
}

// underOtherName holds a contradicted claim open whose own words name another quantity than its row does: the row may have
// been written down wrongly, and the maker promised something else.
func (r *Row) underOtherName() {
	if r.Verdict != Contradicted || r.Claim.Wording == "" {
		return
	}
	text := strings.ToLower(r.Claim.Wording)
	holds := func(words []string) string {
		for _, w := range words {
			if strings.Contains(text, w) {
				return w
			}
		}
		return ""
	}
	for _, n := range otherNames() {
		if r.Claim.Attribute != n.attribute || holds(n.butNot) != "" {
			continue
		}
		if w := holds(n.words); w != "" {
			r.holdOpen(fmt.Sprintf("the words speak of %q, which names %s, and the row judges them as a %s; the maker's own definition of the figure would settle it", w, n.names, n.attribute))
			return
		}
	}
}
