package page

import (
	"fmt"
	"strings"

	"weighhouse/templates/figure"
	"weighhouse/verdict"
)

// anchors are the ids of the page's parts. The audit's own ids come from strangers: they are reduced to what an id and a
// fragment may hold, and made unique.
type anchors struct {
	taken       map[string]bool
	row         []string // of the claims' blocks, by row
	back        []string // of the rows of the claims' table
	finding     []string
	measurement []string
	claimAt     map[string]string // by the audit's id; the first where several share one
	measuredAt  map[string]string
	hasInstr    bool
}

func newAnchors(a *verdict.Audit) *anchors {
	n := &anchors{taken: map[string]bool{}, claimAt: map[string]string{}, measuredAt: map[string]string{}, hasInstr: len(a.Test.Instruments) > 0}
	for i := range a.Rows {
		id := a.Rows[i].Claim.ID
		n.row = append(n.row, n.take("claim-"+id))
		n.back = append(n.back, n.take("row-"+id))
		if _, ok := n.claimAt[id]; !ok {
			n.claimAt[id] = n.row[i]
		}
	}
	for i := range a.Findings {
		n.finding = append(n.finding, n.take(fmt.Sprintf("finding-%d", i+1)))
	}
	for i := range a.Measurements {
		id := a.Measurements[i].ID
		n.measurement = append(n.measurement, n.take("measurement-"+id))
		if _, ok := n.measuredAt[id]; !ok {
			n.measuredAt[id] = n.measurement[i]
		}
	}
	return n
}

// take gives an id like the one asked for that no other part has. It is free with "-title", "-desc", "-head" and "-table"
// after it as well.
func (n *anchors) take(s string) string {
	s = strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '-'
	}, s)
	if len(s) > 60 {
		s = s[:60]
	}
	free := func(id string) bool {
		for _, tail := range []string{"", "-title", "-desc", "-head", "-table"} {
			if n.taken[id+tail] {
				return false
			}
		}
		return true
	}
	id := s
	for i := 2; !free(id); i++ {
		id = fmt.Sprintf("%s-%d", s, i)
	}
	for _, tail := range []string{"", "-title", "-desc", "-head", "-table"} {
		n.taken[id+tail] = true
	}
	return id
}

// claim is a link to a claim's block, or its id alone where the audit has no such claim.
func (n *anchors) claim(id string) span { return link(id, n.claimAt[id]) }

// link is a text that leads to a part of the page; plain text where there is no such part.
func link(text, anchor string) span {
	if anchor == "" {
		return span{Text: text}
	}
	return span{Text: text, Href: "#" + anchor}
}

// claimsOf are links to claims, with commas between.
func (n *anchors) claimsOf(ids []string) []span {
	var out []span
	for i, id := range ids {
		if i > 0 {
			out = append(out, span{Text: ", "})
		}
		out = append(out, n.claim(id))
	}
	return out
}

// rows are links to the blocks of claims, by their index, with commas between.
func (n *anchors) rows(a *verdict.Audit, rows []int) []span {
	var out []span
	for k, i := range rows {
		if k > 0 {
			out = append(out, span{Text: ", "})
		}
		id := a.Rows[i].Claim.ID
		if id == "" {
			id = "claim"
		}
		out = append(out, link(id, n.row[i]))
	}
	return out
}

// drawing is a figure as the page shows it. Wide ones scroll sideways on a narrow screen.
type drawing struct {
	Title string
	SVG   htmlText
	Wide  bool
	Label string // of the scrolling part
}

// draw makes a figure's SVG under an id that is free. It gives false where there is nothing to draw.
func (n *anchors) draw(f figure.Figure) (drawing, bool) {
	if f.Height == 0 {
		return drawing{}, false
	}
	f.ID = n.take(f.ID)
	return drawing{Title: f.Title, SVG: htmlText(figure.SVG(f)), Wide: f.Width > figure.Half, Label: "Figure: " + f.Title}, true
}
