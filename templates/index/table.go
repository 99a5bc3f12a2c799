package index

import (
	"bytes"
	"encoding/csv"
	"io"
	"strconv"
	"strings"
	"unicode"

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
	if err := c.Write(append(append(append(head, "findings"), kinds...), "problem")); err != nil {
		return err
	}
	for _, r := range sorted(rows) {
		line := []string{text(r.Case), text(r.Folder), string(r.State), text(r.Maker), text(r.Model), text(r.Variant), r.Issued, text(r.Version)}
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
			line = append(line, text(r.link(k)))
		}
		if err := c.Write(append(line, text(strings.ReplaceAll(r.Problem, "\n", "; ")))); err != nil {
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

// text makes foreign text fit for a cell: valid, without control characters, and no formula.
func text(s string) string {
	return sheet.Guarded(strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r // a byte that is not UTF-8 becomes U+FFFD
	}, s)))
}
