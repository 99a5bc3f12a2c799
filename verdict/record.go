package verdict

import (
	_ "embed"
	"encoding/csv"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/lab"
)

//go:embed record.csv
var recordCSV string

// recordOf sets the test record beside the list of ISO/IEC 17025:2017 7.8.2.1 a–p: sixteen questions whether something is
// stated, not how good it is. A "from" of "test:a|test:b" asks for one of the fields, "+product" for maker and model too.
func recordOf(p claims.Product, b *lab.Results) TestRecord {
	t := TestRecord{}
	if b != nil {
		for _, f := range b.Test {
			t.Fields = append(t.Fields, Field(f))
		}
		for _, i := range b.Instruments {
			t.Instruments = append(t.Instruments, Instrument(i))
		}
	}
	for _, r := range records() {
		item := RecordItem{Letter: r[0], Item: r[1], From: r[2]}
		switch {
		case r[2] == "report":
			item.Present, item.From = true, "this report"
		case r[2] == "measurements":
			item.Present, item.From = b != nil && len(b.Measurements) > 0, "the lab book"
		default:
			from := r[2]
			needsProduct := strings.HasSuffix(from, "+product")
			from = strings.TrimSuffix(from, "+product")
			var fields []string
			for _, f := range strings.Split(from, "|") {
				name := strings.TrimPrefix(f, "test:")
				fields = append(fields, name)
				if b != nil && b.Field(name) != "" {
					item.Present = true
				}
			}
			item.From = "test table: " + strings.Join(fields, " or ")
			if needsProduct {
				item.Present = item.Present && p.Maker != "" && p.Model != ""
				item.From += "; product table"
			}
		}
		t.Complete = append(t.Complete, item)
	}
	return t
}

// records are the rows of record.csv: letter, item, where it is taken from, mark.
func records() [][]string {
	rows, err := csv.NewReader(strings.NewReader(recordCSV)).ReadAll()
	if err != nil {
		panic("record.csv: " + err.Error())
	}
	return rows[1:]
}
