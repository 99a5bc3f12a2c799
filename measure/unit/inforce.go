package unit

import "slices"

// Row is a unit as its table states it: one of it is Factor base units of its dimension; Spellings lists what else it is
// read from, as written in the table of spellings.
type Row struct {
	Name, Dimension, Factor string
	Spellings               []string
	Source, Mark            string
}

// Rows lists every unit with its spellings, in the order of the tables.
func Rows() []Row {
	var out []Row
	for _, r := range rows(unitsCSV) {
		out = append(out, Row{Name: r[0], Dimension: r[1], Factor: r[2], Source: r[3], Mark: r[4]})
	}
	for _, r := range rows(aliasesCSV) {
		i := slices.IndexFunc(out, func(u Row) bool { return u.Name == r[1] })
		out[i].Spellings = append(out[i].Spellings, r[0])
	}
	return out
}
