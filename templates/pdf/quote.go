package pdf

import (
	"slices"
	"strings"

	"weighhouse/templates/document"
	"weighhouse/verdict"
)

// context is the wording that holds a finding's quote, with the quote marked; the quote alone where no claim's wording
// holds it.
func (r *report) context(f verdict.Finding) document.Text {
	if f.Quote == "" {
		return nil
	}
	for _, id := range f.Claims {
		for _, row := range r.a.Rows {
			if row.Claim.ID != id {
				continue
			}
			if from, to, ok := span(row.Claim.Wording, f); ok {
				return cutAt(row.Claim.Wording, []stretch{{from, to}})
			}
		}
	}
	if t := r.parts(f); t != nil {
		return t
	}
	return document.Text{document.Plain("… "), document.Mark(f.Quote), document.Plain(" …")}
}

// joint stands in a quote between the words of two claims that are set against each other.
const joint = " | "

// parts is the context of a quote that joins the words of several claims: each in its own wording, with its claim. It
// is nil where a part stands in no claim's wording.
func (r *report) parts(f verdict.Finding) document.Text {
	ps := strings.Split(f.Quote, joint)
	if len(ps) < 2 {
		return nil
	}
	var t document.Text
	for i, p := range ps {
		if i > 0 {
			t = append(t, document.Plain("\n"))
		}
		found := false
		for _, row := range r.a.Rows {
			at := strings.Index(row.Claim.Wording, p)
			if p == "" || at < 0 || !slices.Contains(f.Claims, row.Claim.ID) {
				continue
			}
			t = append(t, document.To(claimAnchor(row.Claim.ID), row.Claim.ID), document.Plain("\u00a0 "))
			t = append(t, cutAt(row.Claim.Wording, []stretch{{at, at + len(p)}})...)
			found = true
			break
		}
		if !found {
			return nil
		}
	}
	return t
}

// span finds a finding's quote in a wording: at its own offsets where the same words stand there, else where it first
// stands.
func span(wording string, f verdict.Finding) (from, to int, ok bool) {
	if f.Quote == "" {
		return 0, 0, false
	}
	if f.Start >= 0 && f.End <= len(wording) && f.Start < f.End && wording[f.Start:f.End] == f.Quote {
		return f.Start, f.End, true
	}
	i := strings.Index(wording, f.Quote)
	return i, i + len(f.Quote), i >= 0
}

// stretch is a part of a wording, as byte offsets.
type stretch struct{ from, to int }

// cutAt gives a wording in quotation marks with stretches of it marked; they must be in order and apart.
func cutAt(wording string, ss []stretch) document.Text {
	t := document.Text{document.Plain("“")}
	at := 0
	for _, s := range ss {
		if s.from > at {
			t = append(t, document.Plain(wording[at:s.from]))
		}
		t = append(t, document.Mark(wording[s.from:s.to]))
		at = s.to
	}
	if at < len(wording) {
		t = append(t, document.Plain(wording[at:]))
	}
	return append(t, document.Plain("”"))
}

// quoted is a claim's wording with the quotes of all its findings marked.
func (r *report) quoted(row verdict.Row) document.Text {
	w := row.Claim.Wording
	on := make([]bool, len(w)+1)
	for _, i := range row.Findings {
		if i < 0 || i >= len(r.a.Findings) {
			continue
		}
		if from, to, ok := span(w, r.a.Findings[i]); ok {
			for j := from; j < to; j++ {
				on[j] = true
			}
		}
	}
	var ss []stretch
	for i := 0; i < len(w); i++ {
		if on[i] && (i == 0 || !on[i-1]) {
			ss = append(ss, stretch{i, i + 1})
		} else if on[i] {
			ss[len(ss)-1].to = i + 1
		}
	}
	return cutAt(w, ss)
}
