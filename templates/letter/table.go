package letter

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strings"
	"sync"

	"weighhouse/verdict"
)

//go:embed bodies.csv
var bodiesCSV string

//go:embed particulars.csv
var particularsCSV string

//go:embed duties.csv
var dutiesCSV string

//go:embed settle.csv
var settleCSV string

//go:embed avoid.csv
var avoidCSV string

// Body is an authority that takes complaints: what it asks for beyond the common dossier, and the duties it looks after.
type Body struct {
	ID          string // plain lower-case word, for --body
	Name, Place Text
	Request     Text // what is asked of it
	Notice      Text // what the sender should know of it
	Source      Text
	Mark        string
	Particulars []Particular
	Duties      []Duty
}

// Particular is one thing that a body asks for.
type Particular struct {
	Item   Text
	Known  string // what of the case answers it: a key of View.Known; "" where the case knows nothing of it
	Blank  Text   // what the sender completes; "" where nothing is left open
	Source Text
	Mark   string
}

// Duty is a published rule that a body applies.
type Duty struct {
	Rule, Duty, Source Text
	Mark               string
}

type tables struct {
	bodies []Body
	settle map[string]Text
	avoid  []avoided
}

// avoided is a word that no letter may say of its own, and what to write in its place.
type avoided struct{ never, write, why string }

var load = sync.OnceValue(func() *tables {
	t := &tables{settle: map[string]Text{}}
	at := map[string]int{}
	for _, r := range rows("bodies.csv", bodiesCSV) {
		at[r[0]] = len(t.bodies)
		t.bodies = append(t.bodies, Body{ID: r[0], Name: Text(r[1]), Place: Text(r[2]), Request: Text(r[3]), Notice: Text(r[4]), Source: Text(r[5]), Mark: r[6]})
	}
	of := func(file, id string) *Body {
		i, ok := at[id]
		if !ok {
			panic(fmt.Sprintf("%s: no body %q", file, id))
		}
		return &t.bodies[i]
	}
	for _, r := range rows("particulars.csv", particularsCSV) {
		b := of("particulars.csv", r[0])
		b.Particulars = append(b.Particulars, Particular{Item: Text(r[1]), Known: r[2], Blank: Text(r[3]), Source: Text(r[4]), Mark: r[5]})
	}
	for _, r := range rows("duties.csv", dutiesCSV) {
		b := of("duties.csv", r[0])
		b.Duties = append(b.Duties, Duty{Rule: Text(r[1]), Duty: Text(r[2]), Source: Text(r[3]), Mark: r[4]})
	}
	for _, r := range rows("settle.csv", settleCSV) {
		t.settle[r[0]] = Text(r[1])
	}
	for _, r := range rows("avoid.csv", avoidCSV) {
		t.avoid = append(t.avoid, avoided{r[0], r[1], r[2]})
	}
	return t
})

func rows(name, text string) [][]string {
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(name + ": " + err.Error())
	}
	return all[1:]
}

// Bodies lists the authorities of the embedded table.
func Bodies() []Body { return append([]Body(nil), load().bodies...) }

// FindBody finds a body by its id, case ignored. The error of an unknown one lists those that there are.
func FindBody(id string) (Body, error) {
	var known []string
	for _, b := range load().bodies {
		if strings.EqualFold(b.ID, strings.TrimSpace(id)) {
			return b, nil
		}
		known = append(known, b.ID)
	}
	return Body{}, fmt.Errorf("no body %q; there are %s", id, strings.Join(known, ", "))
}

// Tables gives the embedded tables as `weighhouse rules` prints tables.
func Tables() []verdict.RuleTable {
	table := func(name, about, text string) verdict.RuleTable {
		all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil {
			panic(name + ": " + err.Error())
		}
		return verdict.RuleTable{Name: name, About: about, Header: all[0], Rows: all[1:]}
	}
	return []verdict.RuleTable{
		table("bodies", "authorities that take complaints, for letter --body", bodiesCSV),
		table("particulars", "what each of them asks for beyond the common dossier", particularsCSV),
		table("duties", "published rules that each of them applies", dutiesCSV),
		table("settle", "what would settle a question about a claim", settleCSV),
		table("avoid", "words that no letter says of its own, and what to write", avoidCSV),
	}
}
