package figure

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure"
	"weighhouse/templates/numeral"
)

// decayPanel is the measures of a decay figure: a panel with a logarithmic scale above a panel of residuals.
type decayPanel struct {
	width, height float64
	left, top     float64 // of the upper panel
	split         float64 // its foot
	residuals     float64 // top of the lower panel
	foot          float64 // its foot
	points        int     // that a series is thinned to
}

// panelFor gives the measures of a figure of a width: the narrower it is, the lower.
func panelFor(width float64) decayPanel {
	if width < (Half+Third)/2 {
		return decayPanel{width: width, height: 147, left: 26, top: 14, split: 88, residuals: 98, foot: 124, points: fewPoints}
	}
	return decayPanel{width: width, height: 202, left: 30, top: 15, split: 124, residuals: 138, foot: 175, points: maxPoints}
}

// maxPoints and fewPoints are how many readings of a series are drawn, in a figure of half a column and in a narrower
// one, where more would lie on each other.
const (
	maxPoints = 2000
	fewPoints = 700
)

// Decay draws each run of a decay measurement that has a curve: the readings over time on a logarithmic scale, the
// window that was used (shaded), the fitted line, the background, for a run with the unit on the natural decay, at the
// mean of the runs with the unit off; and below them the residuals of the fit, as natural logarithms. The figures are half a
// column wide, so that two stand side by side.
func Decay(m *measure.Measurement) []Figure {
	return DecayRuns(m, Half, func(*measure.Run) bool { return true })
}

// DecayRuns is Decay of the runs that are wanted, in a width of one's own.
func DecayRuns(m *measure.Measurement, width float64, want func(*measure.Run) bool) []Figure {
	off := naturalOf(m)
	var out []Figure
	for i := range m.Runs {
		r := &m.Runs[i]
		if !usable(r.Curve) || !want(r) {
			continue
		}
		n := off
		if r.State == "off" {
			n = natural{}
		}
		out = append(out, decayRun(m, r, n, i, width))
	}
	return out
}

// natural is the decay with the unit off that an on run is judged beside: the mean of the off runs of its measurement.
type natural struct {
	k    float64 // per hour
	runs int
}

func naturalOf(m *measure.Measurement) (n natural) {
	sum := 0.0
	for _, r := range m.Runs {
		if r.State == "off" && !math.IsNaN(r.Value) && !math.IsInf(r.Value, 0) {
			sum, n.runs = sum+r.Value, n.runs+1
		}
	}
	if n.runs > 0 {
		n.k = sum / float64(n.runs)
	}
	return n
}

// drawn reports whether there is a decay that falls.
func (n natural) drawn() bool { return n.k > 0 }

func (n natural) String() string { return "unit off, " + numeral.Short(n.k) + " per hour" }

// usable reports whether a curve has anything that a logarithmic scale can show.
func usable(c *measure.Curve) bool {
	if c == nil || len(c.Hours) != len(c.Value) || !(c.To > c.From) {
		return false
	}
	for _, v := range c.Value {
		if v > 0 && !math.IsInf(v, 0) {
			return true
		}
	}
	return false
}

func decayRun(m *measure.Measurement, r *measure.Run, off natural, i int, width float64) Figure {
	c := r.Curve
	state := "unit on"
	isOff := strings.HasPrefix(r.State, "off")
	if isOff {
		state = "unit off"
	}
	if r.LeftOut {
		state += ", left out"
	}
	title := "Run " + r.Run + ", " + state
	if m.Setting != "" && !isOff {
		title += ", " + m.Setting
	}
	desc := []string{fmt.Sprintf("Particle reading over time on a logarithmic scale, run %s, %s. The window from %s to %s h is fitted with a decay of %s per hour over a background of %s.",
		r.Run, state, numeral.Short(c.From), numeral.Short(c.To), numeral.Short(c.K), numeral.With(numeral.Short(c.Background), c.ValueUnit))}
	if !math.IsNaN(r.R2) && r.Points > 0 {
		desc = append(desc, fmt.Sprintf("%d readings, R² %s.", r.Points, numeral.Fixed(r.R2, 4)))
	}
	if off.drawn() {
		desc = append(desc, fmt.Sprintf("With the unit off the reading falls by %s per hour, the mean of %s.", numeral.Short(off.k), numeral.Several(off.runs, "run")))
	}
	if len(r.Phases) > 0 {
		desc = append(desc, phasesText(r.Phases))
	}
	desc = append(desc, "Below: how far each reading is from the fitted line.")
	id := fmt.Sprintf("fig-%s-run-%d", anchor(m.ID), i+1)
	p := panelFor(width)
	return New(id, title, strings.Join(desc, " "), p.width, p.height, func(s Surface) { drawDecay(s, r, off, p) })
}

func drawDecay(s Surface, r *measure.Run, off natural, p decayPanel) {
	c := r.Curve
	x, y := p.axes(c)
	unit := c.ValueUnit
	if unit == "" {
		unit = "sensor reading"
	}
	s.Text(Point{0, 7}, fit(numeral.Unit(unit)+", logarithmic scale", Type{Size: small}, p.width), text(small, Soft, Start))

	s.Polygon(box(x.at(c.From), p.top, x.at(c.To), p.split), Wash, Stroke{})
	p.drawPhases(s, r.Phases, x)
	for _, v := range logTicks(y.lo, y.hi, 9) {
		s.Line(Point{x.from, y.at(v)}, Point{x.to, y.at(v)}, Stroke{0.3, Faint, Solid})
		s.Text(Point{x.from - 3, y.at(v) + 2.2}, numeral.Plain(tidy(v)), text(small, Soft, End))
	}
	foot := p.split - 4.0
	if y.holds(c.Background) {
		foot = y.at(c.Background) - 3
	}
	s.Text(Point{x.at(c.From) + 3, foot}, "window", text(small, Soft, Start))
	if y.holds(c.Background) && c.Background > 0 {
		s.Line(Point{x.from, y.at(c.Background)}, Point{x.to, y.at(c.Background)}, Stroke{0.6, Mid, Dashed})
		s.Text(Point{x.to, y.at(c.Background) - 2}, "background "+numeral.Short(c.Background), text(small, Soft, End))
	}
	if off.drawn() {
		drawNatural(s, x, y, c, off)
	}
	s.Dots(p.readings(c, x, y), 1.5, Mid)
	line := fitted(c, x, y, c.K)
	s.Polyline(line, Stroke{1.2, Accent, Solid})
	if n := len(line); n > 0 {
		// beside a steep line, above a level one
		mid := line[n/2]
		name, t := "fit, "+numeral.Short(c.K)+" per hour", text(small, Ink, Start)
		s.Text(Point{math.Min(mid.X+5, x.to-t.Face.Width(name, t.Size)), mid.Y - 6}, name, t)
	}
	s.Line(Point{x.from, p.split}, Point{x.to, p.split}, Stroke{0.5, Mid, Solid})
	p.drawResiduals(s, c, x)
}

func (p decayPanel) axes(c *measure.Curve) (x, y axis) {
	x = axis{from: p.left, to: p.width - 2, lo: math.Inf(1), hi: math.Inf(-1)}
	y = axis{from: p.split, to: p.top, lo: math.Inf(1), hi: math.Inf(-1), log: true}
	for i, v := range c.Value {
		x.lo, x.hi = math.Min(x.lo, c.Hours[i]), math.Max(x.hi, c.Hours[i])
		if v > 0 && !math.IsInf(v, 0) {
			y.lo, y.hi = math.Min(y.lo, v), math.Max(y.hi, v)
		}
	}
	x.lo, x.hi = math.Min(x.lo, c.From), math.Max(x.hi, c.To)
	if c.Background > 0 {
		y.lo = math.Min(y.lo, c.Background)
	}
	y.lo = math.Max(y.lo, y.hi/1e5) // a stray near-zero reading must not press the curve flat
	y.lo, y.hi = y.lo/1.15, y.hi*1.6
	return x, y
}

// thin gives the indices of n points, evenly taken, so that there are no more than the figure draws.
func (p decayPanel) thin(n int) []int {
	step := max(1, (n+p.points-1)/p.points)
	out := make([]int, 0, n/step+1)
	for i := 0; i < n; i += step {
		out = append(out, i)
	}
	return out
}

func (p decayPanel) readings(c *measure.Curve, x, y axis) []Point {
	ps := make([]Point, 0, min(p.points, len(c.Value)))
	for _, i := range p.thin(len(c.Value)) {
		if v := c.Value[i]; y.holds(v) && x.holds(c.Hours[i]) {
			ps = append(ps, Point{x.at(c.Hours[i]), y.at(v)})
		}
	}
	return ps
}

// fitted is the line A exp(-k t) over the background, within the window: 40 pieces, because the background bends it.
func fitted(c *measure.Curve, x, y axis, k float64) []Point {
	var ps []Point
	for i := 0; i <= 40; i++ {
		t := c.From + (c.To-c.From)*float64(i)/40
		if v := c.Background + c.A*math.Exp(-k*t); y.holds(v) {
			ps = append(ps, Point{x.at(t), y.at(v)})
		}
	}
	return ps
}

// drawNatural draws how the same excess would fall with the unit off, at the rate of natural decay.
func drawNatural(s Surface, x, y axis, c *measure.Curve, off natural) {
	ps := fitted(c, x, y, off.k)
	if len(ps) < 2 {
		return
	}
	s.Polyline(ps, Stroke{0.9, Soft, Dashed})
	name, t := off.String(), text(small, Soft, End)
	last := ps[len(ps)-1]
	above := last.Y // of the highest part of the line that the name stands over
	for _, p := range ps {
		if p.X >= last.X-t.Face.Width(name, t.Size)-2 {
			above = math.Min(above, p.Y)
		}
	}
	s.Text(Point{last.X - 1, above - 2}, name, t)
}

// drawResiduals draws ln of reading over fit within the window, both as excess over the background.
func (p decayPanel) drawResiduals(s Surface, c *measure.Curve, x axis) {
	type dot struct{ t, r float64 }
	ds := make([]dot, 0, min(p.points, len(c.Value)))
	most := 0.0
	for _, i := range p.thin(len(c.Value)) {
		t, e := c.Hours[i], c.Value[i]-c.Background
		if t < c.From || t > c.To || !(e > 0) || !(c.A > 0) {
			continue
		}
		r := math.Log(e / (c.A * math.Exp(-c.K*t)))
		if math.IsInf(r, 0) || math.IsNaN(r) {
			continue
		}
		ds = append(ds, dot{t, r})
		most = math.Max(most, math.Abs(r))
	}
	lim := 0.01
	if most > 0 {
		lim = roundStep(most)
	}
	y := axis{from: p.foot, to: p.residuals + 4, lo: -lim, hi: lim}
	s.Text(Point{x.from - 3, y.at(lim) + 2.2}, "+"+numeral.Plain(tidy(lim)), text(small, Soft, End))
	s.Text(Point{x.from - 3, y.at(0) + 2.2}, "0", text(small, Soft, End))
	s.Text(Point{x.from - 3, y.at(-lim) + 2.2}, numeral.Plain(tidy(-lim)), text(small, Soft, End))
	s.Line(Point{x.from, y.at(0)}, Point{x.to, y.at(0)}, Stroke{0.5, Mid, Solid})
	ps := make([]Point, len(ds))
	for i, d := range ds {
		ps[i] = Point{x.at(d.t), y.at(d.r)}
	}
	s.Dots(ps, 1.4, Ink)
	s.Text(Point{x.to, p.residuals + 1}, "residuals of ln(excess)", text(small, Soft, End))
	x.under(s, p.foot+3, ticks(x.lo, x.hi, 5), "hours since the fit begins")
}
