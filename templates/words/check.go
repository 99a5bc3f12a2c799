package words

import (
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// Checks lists what may have been written down wrongly, a line each with its place.
func Checks(a *verdict.Audit) []string {
	var out []string
	for _, c := range a.Doubts {
		s := numeral.Prose(c.Text)
		if c.Place != "" {
			s = c.Place + ": " + s
		}
		out = append(out, s)
	}
	return out
}
