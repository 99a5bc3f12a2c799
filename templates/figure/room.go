package figure

import (
	"fmt"
	"math"

	"weighhouse/measure/qualification"
	"weighhouse/measure/uncertainty"
	"weighhouse/verdict/room"
)

// Shift draws what the room did to each reference unit, measured over certified rate against the unit's air changes, with
// the line of the model and the band in which another unit is expected 95 times in a hundred.
func Shift(q *room.Qualification) Figure {
	const height = 190.0
	m := q.Model
	desc := fmt.Sprintf("Measured over certified rate of %d reference units against their air changes an hour, with the model's line and predictive band.", len(m.References))
	return New("fig-shift", "What the room does to a rate", desc, Full, height, func(s Surface) {
		pad := 0.08 * math.Max(m.High-m.Low, 1)
		lo, hi := math.Inf(1), math.Inf(-1)
		const steps = 60
		var line, upper, lower []Point
		for i := range steps + 1 {
			x := m.Low - pad + (m.High-m.Low+2*pad)*float64(i)/steps
			p := m.Predict(x)
			k := uncertainty.Quantile(0.975, p.DOF)
			line = append(line, Point{x, math.Exp(p.M)})
			up, down := math.Exp(p.M+k*p.UP), math.Exp(p.M-k*p.UP)
			upper, lower = append(upper, Point{x, up}), append(lower, Point{x, down})
			lo, hi = math.Min(lo, down), math.Max(hi, up)
		}
		for _, r := range m.References {
			y := math.Exp(r.D())
			u := 2 * math.Sqrt(r.V())
			lo, hi = math.Min(lo, y*math.Exp(-u)), math.Max(hi, y*math.Exp(u))
		}
		lo, hi = nice(math.Min(lo, 1), math.Max(hi, 1), 6)
		ax := axis{lo: m.Low - pad, hi: m.High + pad, from: 34, to: Full - 12}
		ay := axis{lo: lo, hi: hi, from: height - 26, to: 8}
		place := func(ps []Point) []Point {
			out := make([]Point, len(ps))
			for i, p := range ps {
				out[i] = Point{ax.at(p.X), ay.at(p.Y)}
			}
			return out
		}
		band := place(upper)
		down := place(lower)
		for i := len(down) - 1; i >= 0; i-- {
			band = append(band, down[i])
		}
		s.Polygon(band, Wash, Stroke{})
		for _, v := range ticks(lo, hi, 6) {
			s.Line(Point{ax.from, ay.at(v)}, Point{ax.to, ay.at(v)}, Stroke{0.4, Faint, Solid})
			s.Text(Point{ax.from - 4, ay.at(v) + 2.2}, fmt.Sprintf("%.2f", v), text(small, Soft, End))
		}
		s.Line(Point{ax.from, ay.at(1)}, Point{ax.to, ay.at(1)}, Stroke{0.8, Mid, Dashed})
		ax.under(s, height-26, ticks(ax.lo, ax.hi, 8), "air changes an hour")
		s.Polyline(place(line), Stroke{1.2, Accent, Solid})
		for _, r := range m.References {
			y, u := math.Exp(r.D()), 2*math.Sqrt(r.V())
			x := ax.at(r.X)
			s.Line(Point{x, ay.at(y * math.Exp(-u))}, Point{x, ay.at(y * math.Exp(u))}, Stroke{0.8, Soft, Solid})
			s.Dots([]Point{{x, ay.at(y)}}, 4.5, Ink)
		}
		s.Text(Point{ax.from, 7}, "measured ÷ certified", text(small, Soft, Start))
	})
}

// Control draws a check unit's sessions with the limits that were in force for each.
func Control(w room.Watch) Figure {
	const height = 150.0
	ps := w.Chart.Points
	desc := fmt.Sprintf("Rate of the check unit %s over %d sessions with its warning and action limits.", w.Unit, len(ps))
	return New("fig-control-"+anchor(w.Unit), "Check unit "+w.Unit, desc, Full, height, func(s Surface) {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range ps {
			lo, hi = math.Min(lo, p.Rate), math.Max(hi, p.Rate)
			if !math.IsNaN(p.High) {
				lo, hi = math.Min(lo, math.Exp(p.LowAction)), math.Max(hi, math.Exp(p.High))
			}
		}
		lo, hi = nice(lo, hi, 5)
		ax := axis{lo: 0.5, hi: float64(len(ps)) + 0.5, from: 40, to: Full - 12}
		ay := axis{lo: lo, hi: hi, from: height - 26, to: 8}
		for _, v := range ticks(lo, hi, 5) {
			s.Line(Point{ax.from, ay.at(v)}, Point{ax.to, ay.at(v)}, Stroke{0.4, Faint, Solid})
			s.Text(Point{ax.from - 4, ay.at(v) + 2.2}, fmt.Sprintf("%.4g", v), text(small, Soft, End))
		}
		limit := func(of func(qualification.Point) float64, st Stroke) {
			var run []Point
			for i, p := range ps {
				if b := of(p); !math.IsNaN(b) {
					run = append(run, Point{ax.at(float64(i) + 0.5), ay.at(math.Exp(b))}, Point{ax.at(float64(i) + 1.5), ay.at(math.Exp(b))})
				}
			}
			if len(run) > 0 {
				s.Polyline(run, st)
			}
		}
		limit(func(p qualification.Point) float64 { return p.LowAction }, Stroke{1, Mid, Solid})
		limit(func(p qualification.Point) float64 { return p.High }, Stroke{1, Mid, Solid})
		limit(func(p qualification.Point) float64 { return p.LowWarn }, Stroke{0.7, Mid, Dotted})
		limit(func(p qualification.Point) float64 { return p.HighWarn }, Stroke{0.7, Mid, Dotted})
		y := ay.at(math.Exp(w.Chart.Mean))
		s.Line(Point{ax.from, y}, Point{ax.to, y}, Stroke{0.7, Soft, Dashed})
		for i, p := range ps {
			at := Point{ax.at(float64(i) + 1), ay.at(p.Rate)}
			if p.State == qualification.Action {
				s.Polygon(box(at.X-3, at.Y-3, at.X+3, at.Y+3), Accent, Stroke{0.8, Ink, Solid})
				s.Text(Point{at.X, at.Y - 6}, "action", text(small, Ink, Middle))
				continue
			}
			s.Dots([]Point{at}, 4, Ink)
		}
		s.Line(Point{ax.from, ay.from}, Point{ax.to, ay.from}, Stroke{0.5, Mid, Solid})
		s.Text(Point{ax.from, height - 15}, ps[0].Name, text(small, Soft, Start))
		s.Text(Point{ax.to, height - 15}, ps[len(ps)-1].Name, text(small, Soft, End))
		s.Text(Point{ax.from, 7}, "m³/h", text(small, Soft, Start))
	})
}
