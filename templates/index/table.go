package index

import (
	"bytes"
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"weighhouse/measure/sheet"
	"weighhouse/verdict"
)

// kinds are the outputs that a case can have, in the order of their columns.
var kinds = []string{"pdf", "json", "html", "xlsx"}

// WriteCSV writes one row a case, by folder. The outputs are paths relative to the index, with forward slashes. Counts are
// blank for a case that was not audited. Text that a spreadsheet would take for a formula gets an apostrophe before it.
// The same rows give the same bytes, in whatever order they come.
func WriteCSV(w io.Writer, rows []Row) error {
	var b bytes.Buffer
	c := csv.NewWriter(&b)
	head := []string{"case", "folder", "state", "maker", "model", "variant", "issued", "version", "claims"}
	for _, o := range verdict.Outcomes {
		head = append(head, string(o))
	}
	if err := c.Write(append(append(append(head, "findings"), kinds...), "problem", "marked")); err != nil {
		return err
	}
	for _, r := range sorted(rows) {
		line := []string{sheet.PlainCell(r.Case), sheet.PlainCell(r.Folder), string(r.State), sheet.PlainCell(r.Maker), sheet.PlainCell(r.Model), sheet.PlainCell(r.Variant), r.Issued, sheet.PlainCell(r.Version)}
		n := []int{r.Claims}
		for _, o := range verdict.Outcomes {
			n = append(n, r.Counts[o])
		}
		for _, x := range append(n, r.Findings) {
			s := ""
			if r.State == Audited {
				s = strconv.Itoa(x)
			}
			line = append(line, s)
		}
		for _, k := range kinds {
			line = append(line, sheet.PlainCell(r.link(k)))
		}
		if err := c.Write(append(line, sheet.PlainCell(strings.ReplaceAll(r.Problem, "\n", "; ")), sheet.PlainCell(r.Marked))); err != nil {
			return err
		}
	}
	c.Flush()
	if err := c.Error(); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}
