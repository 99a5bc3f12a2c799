package document

import (
	"math"
	"strings"

	"weighhouse/templates/figure"
)

// behindPoint gives, of each decimal column, the most room that a cell needs from the decimal sign of its number on.
func (s *tableSetter) behindPoint() []float64 {
	tails := make([]float64, len(s.t.Columns))
	for j, c := range s.t.Columns {
		if c.Align != Decimal {
			continue
		}
		for _, r := range s.t.Rows {
			if j >= len(r) {
				continue
			}
			if ls := s.d.set(r[j], s.widths[j], s.t.Size, figure.Ink); len(ls) == 1 {
				tails[j] = math.Max(tails[j], s.tail(ls[0]))
			}
		}
	}
	return tails
}

// widen gives decimal columns the room that their numbers need when they stand below each other.
func (s *tableSetter) widen(most []float64) {
	for j, c := range s.t.Columns {
		if c.Align != Decimal {
			continue
		}
		before, behind := 0.0, 0.0
		for _, r := range s.t.Rows {
			if j >= len(r) {
				continue
			}
			if ls := s.d.set(r[j], math.Inf(1), s.t.Size, figure.Ink); len(ls) == 1 {
				t := s.tail(ls[0])
				before, behind = math.Max(before, ls[0].w-t), math.Max(behind, t)
			}
		}
		most[j] = math.Max(most[j], before+behind+0.1)
	}
}

// tail is the width of a line from the decimal sign of its first number on, or from the number's end where it has
// none.
func (s *tableSetter) tail(l line) float64 {
	for _, p := range l.pieces {
		i := strings.IndexAny(p.text, "0123456789")
		if i < 0 {
			continue
		}
		for i < len(p.text) {
			if c := p.text[i]; c >= '0' && c <= '9' {
				i++
			} else if n := len("\u00a0"); strings.HasPrefix(p.text[i:], "\u00a0") && i+n < len(p.text) && p.text[i+n] >= '0' && p.text[i+n] <= '9' {
				i += n // between groups of digits
			} else {
				break
			}
		}
		return l.w - p.x - s.d.measure(p.text[:i], p.face, p.size)
	}
	return 0
}

// inset is how far the cell of a decimal column stands from the column's right edge. A cell of several lines, and one
// that would leave its column, stands at the edge.
func (s *tableSetter) inset(row, j int, ls []line) float64 {
	if row < 0 || s.t.Columns[j].Align != Decimal || len(ls) != 1 {
		return 0
	}
	return math.Max(0, math.Min(s.tails[j]-s.tail(ls[0]), s.widths[j]-ls[0].w))
}
