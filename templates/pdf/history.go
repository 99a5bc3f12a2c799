package pdf

import (
	"weighhouse/templates/document"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// history sets what one source said of one thing on different days: what was recorded more than once in a block each,
// what stands alone in one table for all that the same is to be said of.
func (r *report) history() {
	if len(r.a.History) == 0 {
		return
	}
	r.Anchor("history")
	r.Heading(1, "What was printed when")
	var changes []string // of threads with one entry, in order
	single := map[string][]verdict.Thread{}
	for _, h := range r.a.History {
		if len(h.Entries) == 1 {
			if single[h.Change] == nil {
				changes = append(changes, h.Change)
			}
			single[h.Change] = append(single[h.Change], h)
			continue
		}
		r.KeepTogether(func() {
			head := words.Upper(h.Attribute)
			if h.Source != "" {
				head += ", " + h.Source
			}
			r.Heading(3, head)
			t := document.Table{Size: 7.5, Tight: true, After: 4, Columns: []document.Column{{Head: "Captured", Width: 10}, {Head: "Claim", Width: 7}, {Head: "Words", Width: 52}, {Head: "Evidence", Width: 31}}}
			for _, e := range h.Entries {
				t.Rows = append(t.Rows, []document.Text{document.T(e.Captured), r.claimLink(e.Claim), document.T("“" + e.Text + "”"), document.T(e.Evidence)})
			}
			r.Table(t)
			if h.Change != "" {
				r.Paragraph(document.Plain(words.Sentence(numeral.Prose(h.Change))))
			}
		})
	}
	for _, c := range changes {
		head := "Recorded once"
		if c != "" {
			head = words.Sentence(numeral.Prose(c))
		}
		r.Heading(3, head)
		t := document.Table{Size: 7.5, Tight: true, RowHeads: true, Columns: []document.Column{{Head: "Of", Width: 19}, {Head: "Captured", Width: 10}, {Head: "Claim", Width: 6}, {Head: "Words", Width: 37}, {Head: "Evidence", Width: 28}}}
		for _, h := range single[c] {
			of := words.Upper(h.Attribute)
			if h.Source != "" {
				of += ", " + h.Source
			}
			e := h.Entries[0]
			t.Rows = append(t.Rows, []document.Text{document.T(of), document.T(e.Captured), r.claimLink(e.Claim), document.T("“" + e.Text + "”"), document.T(e.Evidence)})
		}
		r.Table(t)
	}
}

// claimLink leads to a claim's block, where the audit has it.
func (r *report) claimLink(id string) document.Text {
	if id == "" {
		return nil
	}
	return document.Text{document.To(claimAnchor(id), id)}
}
