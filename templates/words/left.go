package words

import (
	"fmt"
	"strings"

	"weighhouse/verdict"
)

// RefusedHead heads the readings and runs that were refused, NotReadHead the parts of the inputs that were not read.
const (
	RefusedHead = "Readings and runs that were refused"
	NotReadHead = "What was not read"
)

// LeftOut counts, for the first page, what was refused and what was not read: "2 runs refused; 3 rows and 1 table not
// read"; "" where nothing was.
func LeftOut(a *verdict.Audit) string {
	var parts []string
	switch n := len(a.Refused); {
	case n == 1:
		parts = append(parts, "1 reading or run refused")
	case n > 1:
		parts = append(parts, fmt.Sprintf("%d readings or runs refused", n))
	}
	if s := a.NotReadWords(); s != "" {
		parts = append(parts, s)
	}
	return strings.Join(parts, "; ")
}

// RefusedLines are the refused runs, those of one cause in one line, each with its place.
func RefusedLines(a *verdict.Audit) (out []string) {
	for _, g := range verdict.RefusedByCause(a.Refused) {
		text := g.Text()
		if g.Places[0] != "" {
			text += " (" + strings.Join(g.Places, "; ") + ")"
		}
		out = append(out, Upper(text))
	}
	return out
}

// NotReadLines are the parts of the inputs that were not read, each with its place.
func NotReadLines(a *verdict.Audit) (out []string) {
	for _, x := range a.NotRead {
		out = append(out, x.Place+": "+x.Text)
	}
	return out
}
