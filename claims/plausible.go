package claims

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"sync"
)

//go:embed plausible.csv
var plausibleCSV string

// PlausibleRow is the range beyond which a value of an attribute, or of a room, is hardly meant.
type PlausibleRow struct {
	Of           string
	Low, High    float64
	Unit         string
	Source, Mark string
}

var plausible = sync.OnceValue(func() []PlausibleRow {
	all, err := csv.NewReader(strings.NewReader(plausibleCSV)).ReadAll()
	if err != nil {
		panic("plausible.csv: " + err.Error())
	}
	var out []PlausibleRow
	for _, f := range all[1:] {
		lo, err1 := strconv.ParseFloat(f[1], 64)
		hi, err2 := strconv.ParseFloat(f[2], 64)
		if err1 != nil || err2 != nil {
			panic("plausible.csv: " + f[0])
		}
		out = append(out, PlausibleRow{f[0], lo, hi, f[3], f[4], f[5]})
	}
	return out
})

// PlausibleRows lists the table.
func PlausibleRows() []PlausibleRow { return append([]PlausibleRow(nil), plausible()...) }

// PlausibleRange is the range of an attribute, or of "room volume" and "room length"; ok is false where there is none.
func PlausibleRange(of string) (r PlausibleRow, ok bool) {
	for _, p := range plausible() {
		if p.Of == of {
			return p, true
		}
	}
	return PlausibleRow{}, false
}

// Plausible reports whether a claimed number, in the attribute's JSON unit, is one that can be meant.
func Plausible(a Attribute, low, high float64) bool {
	p, ok := PlausibleRange(string(a))
	return !ok || low >= p.Low && high <= p.High
}
