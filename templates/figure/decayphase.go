package figure

import (
	"fmt"
	"strings"

	"weighhouse/measure"
	"weighhouse/templates/numeral"
)

// phaseColour is how a phase of a log is shaded.
var phaseColour = map[string]Tone{"fill": Faint, "plateau": Wash, "natural": Soft, "on": Accent, "floor": Faint}

// drawPhases draws the phases that were found in a log as a shaded bar along the head of the panel, each with its name
// below it where that has room, and a line where one ends.
func (p decayPanel) drawPhases(s Surface, phases []measure.PhaseSpan, x axis) {
	const high = 3.5
	t := text(small, Soft, Start)
	for _, q := range phases {
		from, to := x.at(max(q.Hours[0], x.lo)), x.at(min(q.Hours[1], x.hi))
		if q.Hours[1] <= x.lo || q.Hours[0] >= x.hi || to-from < 0.5 {
			continue
		}
		s.Polygon(box(from, p.top, to, p.top+high), phaseColour[q.Phase], Stroke{})
		if to < x.to-1 {
			s.Line(Point{to, p.top}, Point{to, p.split}, Stroke{0.3, Faint, Solid})
		}
		if t.Face.Width(q.Phase, t.Size) < to-from-2 {
			s.Text(Point{from + 1.5, p.top + high + 6.5}, q.Phase, t)
		}
	}
}

// phasesText tells the same in words.
func phasesText(phases []measure.PhaseSpan) string {
	var out []string
	for _, q := range phases {
		part := fmt.Sprintf("%s from %s to %s h", q.Phase, numeral.Short(q.Hours[0]), numeral.Short(q.Hours[1]))
		if q.Phase == "natural" || q.Phase == "on" {
			part += " at " + numeral.Short(q.Rate) + " per hour"
		}
		out = append(out, part)
	}
	return "Found in the log: " + strings.Join(out, "; ") + "."
}
