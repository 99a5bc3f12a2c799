package words

import (
	"strings"

	"weighhouse/verdict"
)

// Piece is a part of a quoted text; Marked where a finding is about it.
type Piece struct {
	Text   string
	Marked bool
}

// Quoted is a claim's wording with the quotes of all its findings marked, without quotation marks; the pieces joined are
// the wording. It is nil where the claim has no wording.
func Quoted(a *verdict.Audit, row *verdict.Row) []Piece {
	w := row.Claim.Wording
	on := make([]bool, len(w))
	for _, i := range row.Findings {
		if i < 0 || i >= len(a.Findings) {
			continue
		}
		if from, to, ok := find(w, a.Findings[i]); ok {
			for j := from; j < to; j++ {
				on[j] = true
			}
		}
	}
	var out []Piece
	for from, to := 0, 0; from < len(w); from = to {
		for to = from; to < len(w) && on[to] == on[from]; to++ {
		}
		out = append(out, Piece{w[from:to], on[from]})
	}
	return out
}

// Context is the wording that holds a finding's quote, with the quote marked, and whether a claim's wording holds it;
// where none does it is the quote alone. It is nil where the finding quotes nothing.
func Context(a *verdict.Audit, f verdict.Finding) (ps []Piece, whole bool) {
	if f.Quote == "" {
		return nil, false
	}
	for _, id := range f.Claims {
		for _, row := range a.Rows {
			if row.Claim.ID != id {
				continue
			}
			w := row.Claim.Wording
			if from, to, ok := find(w, f); ok {
				for _, p := range []Piece{{w[:from], false}, {w[from:to], true}, {w[to:], false}} {
					if p.Text != "" {
						ps = append(ps, p)
					}
				}
				return ps, true
			}
		}
	}
	return []Piece{{f.Quote, true}}, false
}

// find gives the byte offsets of a finding's quote in a wording: its own where the same words stand there, else where
// the quote first stands.
func find(wording string, f verdict.Finding) (from, to int, ok bool) {
	if f.Quote == "" {
		return 0, 0, false
	}
	if f.Start >= 0 && f.End <= len(wording) && f.Start < f.End && wording[f.Start:f.End] == f.Quote {
		return f.Start, f.End, true
	}
	i := strings.Index(wording, f.Quote)
	return i, i + len(f.Quote), i >= 0
}
