package verdict

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/unit"
)

//go:embed bases.csv
var basesCSV string

// energyBasis is a row of bases.csv: a named procedure and the hours a day that it counts.
type energyBasis struct {
	keys    []string
	on, off float64
}

var energyBases = sync.OnceValue(func() []energyBasis {
	all, err := csv.NewReader(strings.NewReader(basesCSV)).ReadAll()
	if err != nil {
		panic("bases.csv: " + err.Error())
	}
	var out []energyBasis
	for _, r := range all[1:] {
		on, err1 := strconv.ParseFloat(r[3], 64)
		off, err2 := strconv.ParseFloat(r[4], 64)
		if err1 != nil || err2 != nil {
			panic("bases.csv: " + r[0])
		}
		out = append(out, energyBasis{strings.Split(r[2], "|"), on, off})
	}
	return out
})

// energyHours are the hours a day in use and in standby that a claim of yearly energy is for, 0 where it names none. Who
// names a test procedure, and no hours, means those of that.
func energyHours(b claims.Basis) (on, off float64) {
	if b.HoursPerDay > 0 {
		return b.HoursPerDay, b.StandbyHours
	}
	for _, e := range energyBases() {
		for _, key := range e.keys {
			if named(b.Text, key) {
				return e.on, e.off
			}
		}
	}
	return 0, b.StandbyHours
}

// named reports whether a claim's conditions name a rule or a procedure by a key: as words of their own, and a bare number
// not as an amount, so that "430 ft2" is not the procedure 430 and "1.55 m" not the rule 1.55.
func named(text, key string) bool {
	text = measure.Fold(text)
	for from := 0; key != ""; {
		i := strings.Index(text[from:], key)
		if i < 0 {
			return false
		}
		at := from + i
		before, _ := utf8.DecodeLastRuneInString(text[:at])
		after := text[at+len(key):]
		next, _ := utf8.DecodeRuneInString(after)
		if !inWord(before) && !inWord(next) && !(amount(key) && measured(after)) {
			return true
		}
		from = at + len(key)
	}
	return false
}

func inWord(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r) || r == '.' || r == ',')
}

// amount reports whether a key is a number alone.
func amount(key string) bool { return strings.Trim(key, "0123456789./") == "" }

// measured reports whether a text goes on with a unit or a percent sign.
func measured(after string) bool {
	words := strings.Fields(strings.NewReplacer(";", " ; ", "%", " % ").Replace(after))
	if len(words) == 0 {
		return false
	}
	_, known := unit.Lookup(words[0])
	return known || words[0] == "%"
}
