package ranking

import (
	"bytes"
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"weighhouse/measure/sheet"
	"weighhouse/verdict/rank"
)

// WriteCSV writes one row for each unit, or option of a unit, under each criterion, in the order of print. Numbers are
// unrounded; a blank was not measured. Text that a spreadsheet would take for a formula gets an apostrophe before it.
func WriteCSV(w io.Writer, r *rank.Ranking) error {
	var b bytes.Buffer
	c := csv.NewWriter(&b)
	rows := [][]string{{"criterion", "title", "unit", "better", "rank", "rank low", "rank high", "letters", "label", "case", "option", "value", "U", "low", "high", "note"}}
	for _, k := range r.Criteria {
		for _, e := range k.Entries {
			unit, note := k.Unit, e.Note
			if e.Measure != "" {
				unit = e.Measure
			}
			if k.Why != "" {
				note = strings.TrimPrefix(note+"; not ranked: "+k.Why, "; ")
			}
			row := []string{k.ID, k.Title, unit, k.Better, e.Rank, place(e.RankLow), place(e.RankHigh), e.Letters, e.Label, r.Units[e.Unit].Case, e.Option,
				number(e.Value), number(e.Expanded), number(e.Interval[0]), number(e.Interval[1]), note}
			for i := range row {
				row[i] = sheet.PlainCell(row[i])
			}
			rows = append(rows, row)
		}
	}
	if err := c.WriteAll(rows); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

func number(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'g', -1, 64)
}

func place(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}
