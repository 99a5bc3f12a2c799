package verdict

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/sheet"
)

// NotRead is a part of the inputs that was left out: where it stands, what it is (row, column, table, reading), how many of
// them, and why.
type NotRead struct {
	Place string `json:"place"`
	What  string `json:"what"`
	Count int    `json:"count"`
	Text  string `json:"text"`
	table string // folded name of the table that it stands in or belongs to
}

// notRead gathers what the notes of reading and the runs say was left out.
func notRead(notes []sheet.Note, ms []measure.Measurement) (out []NotRead) {
	for _, n := range notes {
		if n.Lost == "" {
			continue
		}
		table := n.Place.Sheet
		if table == "" {
			table = strings.TrimSuffix(path.Base(n.Place.Book), path.Ext(n.Place.Book))
		}
		out = append(out, NotRead{Place: n.Place.String(), What: n.Lost, Count: max(1, n.Count), Text: n.Text, table: sheet.FoldName(table)})
	}
	for _, m := range ms {
		for _, r := range m.Runs {
			if r.Dropped > 0 {
				table := map[string]string{"noise": "sound", "power": "power", "standby power": "power"}[m.Attribute]
				out = append(out, NotRead{Place: r.Place, What: sheet.LostReading, Count: r.Dropped, Text: warningOf(r.Flags, measure.Dropouts), table: table})
			}
		}
	}
	return out
}

func warningOf(ws []measure.Warning, f measure.Flag) string {
	for _, w := range ws {
		if w.Flag == f {
			return w.Text
		}
	}
	return ""
}

// NotReadWords counts what was not read: "3 rows and 1 table not read"; "" where all was.
func (a *Audit) NotReadWords() string {
	var parts []string
	for _, what := range []string{sheet.LostTable, sheet.LostColumn, sheet.LostRow, sheet.LostCell, sheet.LostReading} {
		n := 0
		for _, x := range a.NotRead {
			if x.What == what {
				n += x.Count
			}
		}
		switch {
		case n == 1:
			parts = append(parts, "1 "+what)
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %ss", n, what))
		}
	}
	switch n := len(parts); n {
	case 0:
		return ""
	case 1:
		return parts[0] + " not read"
	default:
		return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1] + " not read"
	}
}

// bearing are the tables of the lab book whose rows bear on an attribute.
var bearing = map[claims.Attribute][]string{
	claims.DeliveryRate: {"decay", "room"}, claims.Noise: {"sound"}, claims.Power: {"power"}, claims.StandbyPower: {"power"},
	claims.FilterEfficiency: {"counts"}, claims.FilterLife: {"loading"}, claims.CarbonMass: {"weights"},
}

// mostLost is how many parts that were not read a claim lists.
const mostLost = 3

// withNotRead tells a claim of what was not read in the tables that it is judged by.
func (r *Row) withNotRead(all []NotRead) {
	if r.Claim.Claimed == nil {
		return
	}
	tables := append([]string{"results"}, bearing[restsOn(r.Claim.Attribute)]...)
	var mine []NotRead
	for _, x := range all {
		if slices.Contains(tables, x.table) {
			mine = append(mine, x)
		}
	}
	for i, x := range mine {
		if i == mostLost {
			r.note(fmt.Sprintf("not read, and listed in the notes: %d more parts of the lab book that bear on this", len(mine)-i))
			break
		}
		r.note("not read, " + x.Place + ": " + x.Text)
	}
}
