package vetting

import (
	"fmt"
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/claims/listing"
)

// Summary is a vetting for a reader with one minute.
type Summary struct {
	Promises  []Promise       // one row a quantity, in the listing's own units
	Disagrees []listing.Found // what contradicts, or likely does
	Ask       []string        // the three questions that weigh most
	Counts    string          // how much was read, and how surely
}

// Promise is what the listing says of one quantity.
type Promise struct {
	Quantity string
	Figures  []string // "380 m³/h (smoke, turbo)"
	Unsure   bool     // one of them rests on an assumption
}

// mostAsked is how many questions stand in the summary.
const mostAsked = 3

func summary(v *Vetting) Summary {
	s := Summary{Ask: v.Questions[:min(len(v.Questions), mostAsked)]}
	for _, a := range claims.Attributes() {
		p := Promise{Quantity: string(a.Name)}
		for i := range v.Claims {
			d := &v.Claims[i]
			if d.Claim.Attribute != a.Name {
				continue
			}
			if f := promised(d); !slices.Contains(p.Figures, f) {
				p.Figures = append(p.Figures, f)
			}
			p.Unsure = p.Unsure || !d.Sure()
		}
		if len(p.Figures) > 0 {
			s.Promises = append(s.Promises, p)
		}
	}
	for _, f := range weighed(v) {
		if strings.HasPrefix(f.Class, "CONTRADICTION") {
			s.Disagrees = append(s.Disagrees, f)
		}
	}
	r := v.Reading
	s.Counts = fmt.Sprintf("%s read surely, %d with an assumption (see the notes at each); %s with a unit taken for no claim; %s passed over",
		count(r.Sure, "claim"), r.Unsure, count(r.NotRead, "figure"), count(r.Passed, "stretch"))
	s.Counts = strings.Replace(s.Counts, "stretchs", "stretches", 1)
	if r.Hidden > 0 {
		s.Counts += fmt.Sprintf("; %d characters hidden by the page", r.Hidden)
	}
	s.Counts += "."
	return s
}

// promised is a claim in the listing's own units with what it is stated for.
func promised(d *listing.Said) string {
	c := &d.Claim
	if c.Claimed == nil {
		return "“" + oneLine(d.Quote) + "”"
	}
	text := oneLine(c.Claimed.Text)
	if c.BoundGiven {
		text = string(c.Bound) + " " + text
	}
	var of []string
	for _, x := range []string{c.Particle, c.Setting, c.Basis.Element} {
		if x != "" {
			of = append(of, x)
		}
	}
	if len(of) > 0 {
		text += " (" + strings.Join(of, ", ") + ")"
	}
	return display(text)
}

// gathered is a finding with the other places at which the same rule says the same.
type gathered struct {
	listing.Found
	Again []listing.Found
}

// gather makes one entry where a rule repeats with the same words of its own.
func gather(fs []listing.Found) (out []gathered) {
	for _, f := range fs {
		i := slices.IndexFunc(out, func(g gathered) bool {
			return g.Rule == f.Rule && g.Severity == f.Severity && g.Why == f.Why && g.Ask == f.Ask
		})
		if i < 0 {
			out = append(out, gathered{Found: f})
			continue
		}
		out[i].Again = append(out[i].Again, f)
		for _, id := range f.Claims {
			if !slices.Contains(out[i].Claims, id) {
				out[i].Claims = append(slices.Clone(out[i].Claims), id)
			}
		}
	}
	return out
}

// again lists the further places of an entry, shortly; "" where there are none.
func again(v *Vetting, fs []listing.Found) string {
	var parts []string
	for _, f := range fs {
		parts = append(parts, "“"+oneLine(f.Quote)+"” ("+place(v, f.Line, f.Col)+")")
	}
	if len(parts) == 0 {
		return ""
	}
	return "The same at: " + strings.Join(parts, ", ") + "."
}
