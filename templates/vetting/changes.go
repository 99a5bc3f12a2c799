package vetting

import (
	"fmt"
	"io"
	"strings"

	"weighhouse/claims/listing"
	"weighhouse/verdict"
)

// ChangesFormat names the JSON form of a comparison and its version.
const ChangesFormat = "weighhouse-listing-changes/1"

// Comparison is what a newer capture of a listing says otherwise than an older one.
type Comparison struct {
	Old, New *Vetting
	listing.Changes
}

// Compare sets a newer capture against an older one.
func Compare(old, now *Vetting) *Comparison {
	return &Comparison{Old: old, New: now, Changes: listing.Compare(old.Report, now.Report)}
}

// WriteChanges writes the comparison as text, every line within the width where its words allow.
func WriteChanges(w io.Writer, c *Comparison, o TextOptions) error {
	if o.Width <= 0 {
		o.Width = 100
	}
	t := &text{o: o}
	t.b.WriteString(t.bold(printable("What the listing changed: "+oneLine(name(c.New)))) + "\n")
	t.line(0, fmt.Sprintf("%d changed, %d dropped, %d added, %d as before. Nothing was measured.", len(c.Changed), len(c.Dropped), len(c.Added), c.Same))
	for _, x := range []struct {
		name string
		v    *Vetting
	}{{"Older", c.Old}, {"Newer", c.New}} {
		t.hang(0, 10, fmt.Sprintf("%-10s", x.name), x.v.Listing+", SHA-256 "+x.v.Input.SHA256)
	}
	for _, p := range []struct {
		title string
		list  []listing.Change
	}{{"Changed", c.Changed}, {"Dropped", c.Dropped}, {"Added", c.Added}} {
		if len(p.list) == 0 {
			continue
		}
		t.part(p.title, "")
		for _, x := range p.list {
			t.b.WriteString("  " + t.bold(printable(x.What)) + "\n")
			if x.Was != "" {
				t.hang(4, 10, "was: ", "“"+x.Was+"” ("+x.WasPlace+")")
			}
			if x.Now != "" {
				t.hang(4, 10, "now: ", "“"+x.Now+"” ("+x.NowPlace+")")
			}
		}
	}
	t.part("Cautions", "")
	t.item("  -", "A claim that is read in one capture and not in the other may have been misread: look at both places before you say that it was dropped.")
	for _, s := range c.New.Cautions {
		t.item("  -", s)
	}
	_, err := io.WriteString(w, t.b.String())
	return err
}

// WriteChangesJSON writes the comparison as JSON; the same captures give the same bytes.
func WriteChangesJSON(w io.Writer, c *Comparison) error {
	data, err := verdict.PlainJSON(struct {
		Format string `json:"format"`
		Tool   struct {
			Version string `json:"version"`
		} `json:"tool"`
		Issued string   `json:"issued"`
		Inputs []any    `json:"inputs"`
		Rest   []string `json:"cautions"`
		listing.Changes
	}{Format: ChangesFormat, Tool: struct {
		Version string `json:"version"`
	}{c.New.Version}, Issued: c.New.Issued, Inputs: []any{c.Old.Input, c.New.Input}, Rest: c.New.Cautions, Changes: c.Changes}, "  ")
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, strings.TrimRight(string(data), "\n")+"\n")
	return err
}
