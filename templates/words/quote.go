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

// Quote is words that a finding is about, in their surroundings.
type Quote struct {
	Claim  string // the id of the claim that they stand in, where several claims are quoted; else ""
	Pieces []Piece
	Whole  bool // the pieces are a claim's whole wording; else the quote alone, torn from its place
}

// joint stands in a quote between the words of claims that are set against each other.
const joint = " | "

// Context is the wording that holds a finding's quote, with the quote marked. A quote that joins the words of several
// claims is given each part in its own wording, with its claim. Where no wording holds it, it is the quote alone. It is
// nil where the finding quotes nothing.
func Context(a *verdict.Audit, f verdict.Finding) []Quote {
	if f.Quote == "" {
		return nil
	}
	if q, _ := contextOf(a, f); q != nil {
		return []Quote{*q}
	}
	var out []Quote
	for _, part := range strings.Split(f.Quote, joint) {
		g := f
		g.Quote, g.Start, g.End = part, 0, 0
		q, id := contextOf(a, g)
		if q == nil {
			return []Quote{{Pieces: []Piece{{f.Quote, true}}}}
		}
		q.Claim = id
		out = append(out, *q)
	}
	return out
}

// contextOf is the wording of the first claim of a finding that holds its quote, and the claim's id; nil where none does.
func contextOf(a *verdict.Audit, f verdict.Finding) (*Quote, string) {
	for _, id := range f.Claims {
		for _, row := range a.Rows {
			if row.Claim.ID != id {
				continue
			}
			w := row.Claim.Wording
			if from, to, ok := find(w, f); ok {
				q := Quote{Whole: true}
				for _, p := range []Piece{{w[:from], false}, {w[from:to], true}, {w[to:], false}} {
					if p.Text != "" {
						q.Pieces = append(q.Pieces, p)
					}
				}
				return &q, id
			}
		}
	}
	return nil, ""
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
