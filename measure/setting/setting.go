// Package setting holds the names of fan settings: which names mean one setting, which say of themselves that they are
// the highest or below it, and the words that number one. It is the only list of settings in the program.
package setting

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"sync"

	"weighhouse/measure"
)

//go:embed settings.csv
var table string

// Class says where among a unit's settings one stands by its name.
type Class string

// The classes. A name without one, such as "speed 3", says nothing of its place.
const (
	Lowest    Class = "lowest" // the lowest, or near it: sleep, night, quiet, low
	Middle    Class = "middle"
	Automatic Class = "automatic" // the unit chooses
	Highest   Class = "highest"
	Standby   Class = "standby" // not running
)

// Row is one row of the table. Form says where its names count: a phrase in any text; a bare word in a text only where it
// stands as a label; a cell name in a column for settings alone; an ordinal is a word that numbers settings ("speed 3") and
// names none. Phrases and bare words count in cells too.
type Row struct {
	Key          string // the setting, by the name that stands for all
	Class        Class
	Rank         int // order among names of the highest: 1 before 2; 0 where Class is another
	Form, Lang   string
	Names        []string // as written in the table
	Source, Mark string
}

var rows = sync.OnceValue(func() []Row {
	all, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic("settings.csv: " + err.Error())
	}
	var out []Row
	for _, f := range all[1:] {
		rank := 0
		if f[2] != "" {
			if rank, err = strconv.Atoi(f[2]); err != nil {
				panic("settings.csv: " + err.Error())
			}
		}
		out = append(out, Row{Key: f[0], Class: Class(f[1]), Rank: rank, Form: f[3], Lang: f[4], Names: strings.Split(f[5], "|"), Source: f[6], Mark: f[7]})
	}
	return out
})

// Rows lists the table.
func Rows() []Row { return slices.Clone(rows()) }

type index struct {
	byName   map[string]*Row
	ordinals map[string]bool
}

var lookup = sync.OnceValue(func() index {
	x := index{map[string]*Row{}, map[string]bool{"mode": true, "modus": true, "fan": true}}
	for i := range rows() {
		r := &rows()[i]
		for _, n := range r.Names {
			n = measure.Fold(n)
			switch {
			case r.Form == "ceiling":
			case r.Form == "ordinal":
				for _, w := range strings.Fields(n) {
					x.ordinals[w] = true
				}
			case x.byName[n] == nil:
				x.byName[n] = r
			}
		}
	}
	return x
})

// find gives the row of a name and the name without the words that number or introduce settings: "medium" for "Medium
// speed", "3" for "level 3".
func find(name string) (*Row, string) {
	x, f := lookup(), measure.Fold(name)
	if r := x.byName[f]; r != nil {
		return r, r.Key
	}
	words := slices.DeleteFunc(strings.Fields(f), func(w string) bool { return x.ordinals[w] })
	if len(words) == 0 {
		return nil, f
	}
	f = strings.Join(words, " ")
	if r := x.byName[f]; r != nil {
		return r, r.Key
	}
	return nil, f
}

// Key is the name that stands for a setting however it is written: "medium" for "Medium speed", "quiet" for "silent
// mode", "3" for "level 3", the folded name itself where the table does not hold it. It is "" for a blank and for "max"
// and the like, which ask for the highest setting whatever the unit calls it.
func Key(name string) string {
	_, key := find(name)
	if key == "max" {
		return ""
	}
	return key
}

// Asks reports whether a claim's setting asks for the highest whatever the unit calls it: a blank, "max", "full speed".
func Asks(name string) bool { return Key(name) == "" }

// ClassOf is the class of a setting by its name, "" where the name says nothing of it, as for a blank or "speed 3".
func ClassOf(name string) Class {
	if r, _ := find(name); r != nil {
		return r.Class
	}
	return ""
}

// Below reports whether a name says of itself that the setting is not the highest.
func Below(name string) bool {
	switch ClassOf(name) {
	case Lowest, Middle, Automatic, Standby:
		return true
	}
	return false
}

// Top reports whether a name says of itself that the setting is the highest: max, turbo, boost, high.
func Top(name string) bool { return ClassOf(name) == Highest }

// Sure reports whether a name leaves no setting above it: max, turbo, boost. "High" may have a turbo above it.
func Sure(name string) bool { return Rank(name) < 9 }

// Rank orders names of the highest setting, the surest first: "max", "turbo", "boost", then "high". It is 99 for any other.
func Rank(name string) int {
	if r, _ := find(name); r != nil && r.Rank > 0 {
		return r.Rank
	}
	return 99
}

// Same reports whether two names mean one setting.
func Same(a, b string) bool { return Key(a) == Key(b) }
