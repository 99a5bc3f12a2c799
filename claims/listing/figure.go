package listing

import (
	"slices"

	"weighhouse/claims/wording"
)

// extent is a stretch of the body, Body[start:end].
type extent struct{ start, end int }

func (x extent) meets(start, end int) bool { return start < x.end && x.start < end }

// claimsAt lists the claims that Body[start:end] is about: those whose figures it holds, else those whose quotes it meets.
func (e Extract) claimsAt(start, end int) []string {
	var figures, quotes []string
	for _, d := range e.Claims {
		if start < d.End && d.Start < end {
			quotes = append(quotes, d.Claim.ID)
		}
		if slices.ContainsFunc(d.figures, func(x extent) bool { return x.meets(start, end) }) {
			figures = append(figures, d.Claim.ID)
		}
	}
	if figures != nil {
		return figures
	}
	return quotes
}

// known tells for any Body[start:end] what the listing says of the claims whose figures stand there.
func (e Extract) known() func(start, end int) []wording.Context {
	type at struct {
		extent
		claim int
	}
	var figures []at
	for i, d := range e.Claims {
		for _, x := range d.figures {
			figures = append(figures, at{x, i})
		}
	}
	slices.SortFunc(figures, func(a, b at) int { return a.start - b.start }) // figures do not overlap, so their ends are in order too
	return func(start, end int) (out []wording.Context) {
		k, _ := slices.BinarySearchFunc(figures, start, func(a at, s int) int {
			if a.end > s {
				return 1
			}
			return -1
		})
		for ; k < len(figures) && figures[k].start < end; k++ {
			out = append(out, e.Claims[figures[k].claim].Claim.Words())
		}
		return out
	}
}
