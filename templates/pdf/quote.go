package pdf

import (
	"weighhouse/templates/document"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// context is the wording that holds a finding's quote, with the quote marked; where it joins the words of several claims,
// each in its own wording, with its claim; the quote alone where no claim's wording holds it.
func (r *report) context(f verdict.Finding) (t document.Text) {
	for i, q := range words.Context(r.a, f) {
		if i > 0 {
			t = append(t, document.Plain("\n"))
		}
		if q.Claim != "" {
			t = append(t, document.To(claimAnchor(q.Claim), q.Claim), document.Plain("\u00a0 "))
		}
		if q.Whole {
			t = append(t, inQuotes(q.Pieces)...)
		} else {
			t = append(append(append(t, document.Plain("… ")), pieces(q.Pieces)...), document.Plain(" …"))
		}
	}
	return t
}

// quoted is a claim's wording with the quotes of all its findings marked.
func (r *report) quoted(row verdict.Row) document.Text { return inQuotes(words.Quoted(r.a, &row)) }

func inQuotes(ps []words.Piece) document.Text {
	return append(append(document.Text{document.Plain("“")}, pieces(ps)...), document.Plain("”"))
}

func pieces(ps []words.Piece) (t document.Text) {
	for _, p := range ps {
		if p.Marked {
			t = append(t, document.Mark(p.Text))
		} else {
			t = append(t, document.Plain(p.Text))
		}
	}
	return t
}
