package letter

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
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
	Remit       Text   // what it takes up
	Checked     Text   // the day on which the entry was last looked at
	Name, Place Text
	Request     Text // what is asked of it
	Notice      Text // what the sender should know of it
	Source      Text
	Mark        string
	Particulars []Particular
	Duties      []Duty

	regions   []string // words by which a product's region is one in which it acts
	takes     []string // attributes, and beginnings of rule ids, that it alone takes up; none: any
	leavesOut []string // media that it does not look at, as words of a claim's source
	within    int      // days within which a statement must have appeared; 0: none known
}

// Particular is one thing that a body asks for.
type Particular struct {
	Item            Text
	Known           string // what of the case answers it: a key of View.Known; "" where the case knows nothing of it
	Blank           Text   // what the sender completes; "" where nothing is left open
	Checked, Source Text
	Mark            string
}

// Duty is a published rule that a body applies.
type Duty struct {
	Rule, Duty, Checked, Source Text
	Mark                        string
}

type tables struct {
	bodies          []Body
	settle, matters map[string]Text // by attribute: what would settle a question, why it matters to a buyer
	avoid           []avoided
}

// avoided is a word that no letter may say of its own, and what to write in its place.
type avoided struct{ never, write, why string }

var load = sync.OnceValue(func() *tables {
	t := &tables{settle: map[string]Text{}, matters: map[string]Text{}}
	at := map[string]int{}
	for _, r := range rows("bodies.csv", bodiesCSV) {
		at[r[0]] = len(t.bodies)
		within, err := strconv.Atoi(r[6])
		if err != nil && r[6] != "" {
			panic("bodies.csv: " + err.Error())
		}
		t.bodies = append(t.bodies, Body{ID: r[0], Name: Text(r[1]), Place: Text(r[2]), regions: split(r[3]), takes: split(r[4]), leavesOut: split(r[5]), within: within,
			Remit: Text(r[7]), Request: Text(r[8]), Notice: Text(r[9]), Checked: Text(r[10]), Source: Text(r[11]), Mark: r[12]})
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
		b.Particulars = append(b.Particulars, Particular{Item: Text(r[1]), Known: r[2], Blank: Text(r[3]), Checked: Text(r[4]), Source: Text(r[5]), Mark: r[6]})
	}
	for _, r := range rows("duties.csv", dutiesCSV) {
		b := of("duties.csv", r[0])
		b.Duties = append(b.Duties, Duty{Rule: Text(r[1]), Duty: Text(r[2]), Checked: Text(r[3]), Source: Text(r[4]), Mark: r[5]})
	}
	for _, r := range rows("settle.csv", settleCSV) {
		t.settle[r[0]], t.matters[r[0]] = Text(r[1]), Text(r[2])
	}
	for _, r := range rows("avoid.csv", avoidCSV) {
		t.avoid = append(t.avoid, avoided{r[0], r[1], r[2]})
	}
	return t
})

// split gives the words of a cell that stand between bars.
func split(cell string) []string {
	if cell == "" {
		return nil
	}
	return strings.Split(cell, "|")
}

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
