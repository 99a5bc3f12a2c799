package letter

import (
	"fmt"
	"strings"

	"weighhouse/measure/sheet"
	"weighhouse/templates/numeral"
)

// Exhibit is a file that a dossier rests on.
type Exhibit struct {
	Number             string // "E1"
	Path, What, SHA256 Text
	Size               Text
	Capture            bool
	Claims             []Text // that a capture is the evidence of
}

// Sighting is where and when one or more claims were seen.
type Sighting struct {
	Source, Captured, Exhibit, Evidence Text
	Claims                              []Text
}

// Sightings joins the claims that were seen at one place on one day.
func Sightings(cs []*Claim) []*Sighting {
	var out []*Sighting
	at := map[string]*Sighting{}
	for _, c := range cs {
		key := string(c.Source + "\x00" + c.Captured + "\x00" + c.Evidence)
		if at[key] == nil {
			at[key] = &Sighting{Source: c.Source, Captured: c.Captured, Exhibit: c.Exhibit, Evidence: c.Evidence}
			out = append(out, at[key])
		}
		at[key].Claims = append(at[key].Claims, c.ID)
	}
	return out
}

// Made is a file that was written from the case, such as audit.pdf.
type Made struct {
	sheet.Input
	What string
}

// exhibits numbers the files: what was written, captures in the order of the claims, then the other inputs.
func (v *View) exhibits(made []Made) {
	add := func(in sheet.Input, e Exhibit) {
		e.Number = fmt.Sprintf("E%d", len(v.Exhibits)+1)
		e.Path, e.SHA256, e.Size = Text(in.Path), Text(in.SHA256), Text(numeral.Bytes(in.Bytes))
		v.Exhibits = append(v.Exhibits, e)
	}
	for _, m := range made {
		add(m.Input, Exhibit{What: Text(m.What)})
	}
	inputs := map[string]sheet.Input{}
	for _, in := range v.audit.Inputs {
		inputs[in.Path] = in
	}
	done := map[string]bool{}
	for _, r := range v.audit.Rows {
		in, ok := inputs[r.Claim.Evidence]
		if !ok || done[in.Path] {
			continue
		}
		done[in.Path] = true
		e := Exhibit{Capture: true}
		days := ""
		for _, s := range v.audit.Rows {
			if s.Claim.Evidence == in.Path {
				e.Claims = append(e.Claims, Text(s.Claim.ID))
				if s.Claim.Captured != "" && !strings.Contains(days, s.Claim.Captured) {
					days = joined(", ", days, s.Claim.Captured)
				}
			}
		}
		e.What = Text("capture" + label(" of ", days))
		add(in, e)
	}
	for _, in := range v.audit.Inputs {
		if done[in.Path] {
			continue
		}
		what := "readings of the instruments"
		if dir, _, _ := strings.Cut(in.Path, "/"); in.Path == "spec.xlsx" || dir == "spec" {
			what = "what is claimed, as collected"
		} else if in.Path == "lab.xlsx" || dir == "lab" {
			what = "what was measured, as recorded"
		}
		add(in, Exhibit{What: Text(what)})
	}
}
