package main

import (
	"fmt"
	"strings"

	texts "weighhouse/templates/words"
	"weighhouse/verdict"
)

// mostLeft is how many lines a block of the terminal lists of what was left out.
const mostLeft = 8

// printLeft writes what was not decided and what was not used: claims held open, refused readings and runs, and parts of the
// inputs that were not read, those of one cause together.
func printLeft(s screen, a *verdict.Audit) {
	var held []string
	claims := map[string][]string{}
	for i := range a.Rows {
		if h := a.Rows[i].HoldText(); h != "" {
			if claims[h] == nil {
				held = append(held, h)
			}
			claims[h] = append(claims[h], a.Rows[i].Claim.ID)
		}
	}
	var lines []string
	for _, h := range held {
		if strings.HasPrefix(h, "refused, ") {
			lines = append(lines, strings.Join(claims[h], ", ")+": what was measured of it was refused, see below")
			continue
		}
		lines = append(lines, strings.Join(claims[h], ", ")+": "+h)
	}
	printLines(s, "Held open:", lines)
	lines = nil
	for _, g := range verdict.RefusedByCause(a.Refused) {
		lines = append(lines, placesText(g.Places)+g.Text())
	}
	printLines(s, "Refused:", lines)
	lines = nil
	for _, x := range a.NotRead {
		lines = append(lines, x.Place+": "+x.Text)
	}
	printLines(s, texts.Upper(a.NotReadWords())+":", lines)
}

// placesText is the place of the first of some rows, with how many more there are.
func placesText(places []string) string {
	switch n := len(places); {
	case n == 0 || places[0] == "":
		return ""
	case n == 1:
		return places[0] + ": "
	default:
		return fmt.Sprintf("%s and %d more: ", places[0], n-1)
	}
}

func printLines(s screen, head string, lines []string) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(s, "\n%s\n", head)
	for i, l := range lines {
		if i == mostLeft {
			fmt.Fprintf(s, "  and %d more, in the report\n", len(lines)-i)
			return
		}
		fmt.Fprintf(s, "  %s\n", clean(l))
	}
}
