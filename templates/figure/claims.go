package figure

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/claims"
	"weighhouse/templates/numeral"
	"weighhouse/templates/typeface"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// The claims figure: a column of labels, the axis, a column of results.
const (
	claimsLeft  = 140.0
	claimsRight = 311.0
	claimsTop   = 20.0
	claimsRow   = 14.0
	claimsWord  = 57.0 // of the verdicts, at the right end
)

// Claims draws every claim that has a number on one axis, as a share of the claimed number: where the claim stands
// (1), where its limit stands, on which side of it the claim is met (shaded), and the measured value with its 95 %
// interval. Claims of zero have no place on such an axis and are left out, as the description says. The Height is 0
// where there is nothing to draw.
func Claims(a *verdict.Audit) Figure {
	var rows []scaled
	var skipped []string
	for i := range a.Rows {
		r := &a.Rows[i]
		if r.Claim.Claimed == nil {
			continue
		}
		s, ok := scale(r)
		if !ok {
			skipped = append(skipped, r.Claim.ID)
			continue
		}
		rows = append(rows, s)
	}
	if len(rows) == 0 {
		return Figure{ID: "fig-claims"}
	}
	ax := axis{from: claimsLeft, to: claimsRight}
	ax.lo, ax.hi = claimsSpan(rows)
	desc := []string{"Each claim's measured value and limit as a share of the claimed number."}
	for _, r := range rows {
		desc = append(desc, r.sentence())
	}
	if len(skipped) > 0 {
		desc = append(desc, "Not drawn, because a claim of zero or of no finite number has no share: "+strings.Join(skipped, ", ")+".")
	}
	bottom := claimsTop + claimsRow*float64(len(rows))
	return New("fig-claims", "Claimed, limit and measured, as a share of the claimed number", strings.Join(desc, " "), Full, bottom+24, func(s Surface) {
		one := ax.at(1)
		s.Line(Point{one, claimsTop - 4}, Point{one, bottom}, Stroke{0.8, Mid, Solid})
		rows[0].legend(s, ax, claimsTop-8)
		s.Text(Point{Full - claimsWord, claimsTop - 8}, "measured ± U", text(small, Soft, End))
		s.Text(Point{Full - claimsWord + 15, claimsTop - 8}, "verdict", text(small, Soft, Start))
		for i, r := range rows {
			y := claimsTop + claimsRow*(float64(i)+0.5)
			r.draw(s, ax, y)
			s.Line(Point{0, y + claimsRow/2}, Point{Full, y + claimsRow/2}, Stroke{0.3, Faint, Solid})
		}
		ax.under(s, bottom, ticks(ax.lo, ax.hi, 7), "measured ÷ claimed (for dB(A) too, whose scale is logarithmic); the shaded side meets the limit")
	})
}

// scaled is a row with everything on it divided by the claimed number.
type scaled struct {
	row       *verdict.Row
	low, high float64 // limit, infinite where there is none on that side
	value     float64 // NaN where nothing is measured
	min, max  float64 // the 95 % interval
}

func scale(r *verdict.Row) (scaled, bool) {
	c := r.Claim.Claimed
	ref := c.Low
	switch r.Claim.Bound {
	case claims.AtMost:
		ref = c.High
	case claims.About:
		ref = (c.Low + c.High) / 2
	}
	s := scaled{row: r, low: math.Inf(-1), high: math.Inf(1), value: math.NaN()}
	if !(ref > 0) || math.IsInf(ref, 0) {
		return s, false
	}
	if r.Limit != nil {
		s.low, s.high = r.Limit.Low/ref, r.Limit.High/ref
	}
	if m := r.Measured; m != nil && m.Finite() && m.Unit == c.Unit {
		s.value = m.Value / ref
		s.min, s.max = interval(m.Value, m.Expanded, m.Interval)
		s.min, s.max = s.min/ref, s.max/ref
	}
	return s, true
}

// interval is a result's 95 % interval: its own where it has one (counts are not symmetric), else value ± U.
func interval(value, expanded float64, own [2]float64) (float64, float64) {
	if own[0] < own[1] && own[0] <= value && value <= own[1] {
		return own[0], own[1]
	}
	return value - expanded, value + expanded
}

// claimsSpan is the part of the axis that shows all rows, within 0 … 2.5 times the claim.
func claimsSpan(rows []scaled) (float64, float64) {
	lo, hi := 0.9, 1.1
	for _, r := range rows {
		for _, v := range []float64{r.low, r.high, r.value, r.min, r.max} {
			if !math.IsNaN(v) && !math.IsInf(v, 0) && (v != 0 || r.value == 0) {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	return nice(math.Max(0, lo-0.03), math.Min(2.5, hi+0.03), 7)
}

func (r scaled) draw(s Surface, ax axis, y float64) {
	c := r.row.Claim
	t := text(label, Ink, Start)
	name := fit(c.ID+"\u00a0 "+string(c.Attribute), t, claimsLeft-8)
	s.Text(Point{0, y + 2.6}, name, t)
	if sub, w := conditions(c), t.Face.Width(name, t.Size)+5; sub != "" && w < claimsLeft-20 {
		s.Text(Point{w, y + 2.6}, fit(sub, Type{Size: small}, claimsLeft-8-w), text(small, Soft, Start))
	}
	h := claimsRow/2 - 2
	if from, to := math.Max(r.low, ax.lo), math.Min(r.high, ax.hi); from < to && (r.low > ax.lo || r.high < ax.hi) {
		s.Polygon(box(ax.at(from), y-h, ax.at(to), y+h), Wash, Stroke{})
	}
	for _, l := range []float64{r.low, r.high} {
		if ax.holds(l) {
			s.Line(Point{ax.at(l), y - h}, Point{ax.at(l), y + h}, Stroke{1, Ink, Solid})
		}
	}
	if math.IsNaN(r.value) {
		s.Text(Point{Full - claimsWord, y + 2.6}, "not measured", text(label, Soft, End))
	} else {
		r.result(s, ax, y)
		m := r.row.Measured
		s.Text(Point{Full - claimsWord, y + 2.6}, fit(words.Measured(m), t, Full-claimsWord-claimsRight-4), text(label, Ink, End))
	}
	Mark(s, r.row.Verdict, Point{Full - claimsWord + 10, y + 0.4}, 5.4)
	s.Text(Point{Full - claimsWord + 15, y + 2.6}, string(r.row.Verdict), text(small, Ink, Start))
}

// result draws the measured value and its interval; where they leave the axis an arrow points to them.
func (r scaled) result(s Surface, ax axis, y float64) {
	bar := Stroke{1.6, Accent, Solid}
	if r.max >= ax.lo && r.min <= ax.hi && r.max > r.min {
		s.Line(Point{ax.at(r.min), y}, Point{ax.at(r.max), y}, bar)
		for _, v := range []float64{r.min, r.max} {
			if ax.holds(v) {
				s.Line(Point{ax.at(v), y - 2.5}, Point{ax.at(v), y + 2.5}, Stroke{0.9, Accent, Solid})
			}
		}
	}
	switch {
	case r.value > ax.hi:
		s.Polygon([]Point{{ax.to + 5, y}, {ax.to - 1, y - 3}, {ax.to - 1, y + 3}}, Accent, Stroke{})
	case r.value < ax.lo:
		s.Polygon([]Point{{ax.from - 5, y}, {ax.from + 1, y - 3}, {ax.from + 1, y + 3}}, Accent, Stroke{})
	default:
		s.Dots([]Point{{ax.at(r.value), y}}, 4.8, Accent)
	}
}

// legend names the line of the claims and, over the first row, its limit, each on its own side.
func (r scaled) legend(s Surface, ax axis, y float64) {
	one := ax.at(1)
	for _, l := range []float64{r.low, r.high} {
		if !ax.holds(l) || l == 1 {
			continue
		}
		mine, other := End, Start
		dx := 2.0
		if l > 1 {
			mine, other, dx = Start, End, -2
		}
		s.Text(Point{ax.at(l) + dx, y}, "limit", text(small, Soft, mine))
		s.Line(Point{ax.at(l), y + 2.5}, Point{ax.at(l), claimsTop + 2}, Stroke{0.6, Mid, Dotted})
		s.Text(Point{one - dx, y}, "claimed", text(small, Soft, other))
		return
	}
	s.Text(Point{one, y}, "claimed", text(small, Soft, Middle))
}

// conditions is the setting and the particle of a claim, as far as it names them.
func conditions(c claims.Claim) string {
	var out []string
	for _, p := range []string{c.Setting, c.Particle} {
		if n, ok := strings.CutSuffix(p, " um"); ok {
			p = n + "\u00a0µm"
		}
		if p != "" && !strings.Contains(string(c.Attribute), p) {
			out = append(out, p)
		}
	}
	return strings.Join(out, " · ")
}

func (r scaled) sentence() string {
	c, l, m := r.row.Claim, r.row.Limit, r.row.Measured
	s := fmt.Sprintf("%s %s: claimed %s %s", c.ID, c.Attribute, c.Bound, numeral.Range(c.Claimed.Low, c.Claimed.High, c.Claimed.Unit))
	if l != nil {
		s += ", limit " + numeral.Limit(l.Low, l.High, l.Unit)
	}
	if math.IsNaN(r.value) {
		s += ", not measured"
	} else {
		s += ", measured " + words.Measured(m)
	}
	return s + ", " + string(r.row.Verdict) + "."
}

var bold = Type{Size: label, Face: typeface.Bold, Tone: Ink}
