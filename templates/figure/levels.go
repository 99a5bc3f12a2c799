package figure

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// Levels draws the measured noise and the measured power by setting, one figure each, and with each result the claim
// and the limit that it was judged by. A figure is left out where nothing of its kind was measured.
func Levels(a *verdict.Audit) []Figure {
	var out []Figure
	for _, k := range []struct {
		id, title string
		attrs     []claims.Attribute
		zero      bool
	}{
		{"fig-noise", "Sound pressure level by setting", []claims.Attribute{claims.Noise}, false},
		{"fig-power", "Power by setting", []claims.Attribute{claims.Power, claims.StandbyPower}, true},
	} {
		var ms []*measure.Measurement
		for i := range a.Measurements {
			m := &a.Measurements[i]
			for _, at := range k.attrs {
				if m.Attribute == string(at) && m.Finite() {
					ms = append(ms, m)
				}
			}
		}
		if len(ms) > 0 {
			out = append(out, levels(a, k.id, k.title, ms, k.zero))
		}
	}
	return out
}

const (
	levelsTop = 18.0
	levelsRow = 20.0
	levelsEnd = Half - 4
)

// judged is the row of the audit that rests on the measurement and has a number, or nil.
func judged(a *verdict.Audit, m *measure.Measurement) *verdict.Row {
	for i := range a.Rows {
		r := &a.Rows[i]
		if r.Measured != nil && r.Measured.ID == m.ID && r.Claim.Claimed != nil && r.Claim.Claimed.Unit == m.Unit {
			return r
		}
	}
	return nil
}

func levels(a *verdict.Audit, id, title string, ms []*measure.Measurement, zero bool) Figure {
	ax := axis{from: 0, to: levelsEnd, lo: math.Inf(1), hi: math.Inf(-1)}
	var desc []string
	for _, m := range ms {
		ax.lo, ax.hi = math.Min(ax.lo, m.Value-m.Expanded), math.Max(ax.hi, m.Value+m.Expanded)
		d := fmt.Sprintf("%s: %s", settingName(m), numeral.PlusMinus(m.Value, m.Expanded, m.Unit))
		if r := judged(a, m); r != nil {
			ax.lo, ax.hi = math.Min(ax.lo, r.Claim.Claimed.Low), math.Max(ax.hi, r.Claim.Claimed.High)
			d += ", claimed " + numeral.Range(r.Claim.Claimed.Low, r.Claim.Claimed.High, r.Claim.Claimed.Unit)
			if r.Limit != nil {
				for _, l := range []float64{r.Limit.Low, r.Limit.High} {
					if !math.IsInf(l, 0) {
						ax.lo, ax.hi = math.Min(ax.lo, l), math.Max(ax.hi, l)
					}
				}
				d += ", limit " + numeral.Limit(r.Limit.Low, r.Limit.High, r.Limit.Unit)
			}
		}
		desc = append(desc, d+".")
	}
	if zero {
		ax.lo = 0
	}
	ax.lo, ax.hi = nice(ax.lo, ax.hi, 5)
	bottom := levelsTop + levelsRow*float64(len(ms))
	unit := ms[0].Unit
	return New(id, title, title+". "+strings.Join(desc, " "), Half, bottom+22, func(s Surface) {
		s.Text(Point{0, 7}, "dot and bar: measured ± U; open mark: claimed; upright: limit", text(small, Soft, Start))
		for i, m := range ms {
			y := levelsTop + levelsRow*(float64(i)+0.5)
			s.Text(Point{0, y - 3}, fit(settingName(m), Type{Size: small}, Half/2), text(small, Ink, Start))
			s.Text(Point{levelsEnd, y - 3}, numeral.PlusMinus(m.Value, m.Expanded, m.Unit), text(small, Ink, End))
			s.Line(Point{0, y + 4}, Point{levelsEnd, y + 4}, Stroke{0.3, Faint, Solid})
			if zero {
				s.Polygon(box(ax.at(0), y+2, ax.at(m.Value), y+6), Faint, Stroke{})
			}
			drawLevel(s, ax, y+4, m, judged(a, m))
		}
		ax.under(s, bottom+2, ticks(ax.lo, ax.hi, 5), "")
		s.Text(Point{levelsEnd, bottom + 20}, numeral.Unit(unit), text(small, Soft, End))
	})
}

func drawLevel(s Surface, ax axis, y float64, m *measure.Measurement, r *verdict.Row) {
	if r != nil {
		if r.Limit != nil {
			for _, l := range []float64{r.Limit.Low, r.Limit.High} {
				if !math.IsInf(l, 0) && ax.holds(l) {
					s.Line(Point{ax.at(l), y - 5}, Point{ax.at(l), y + 5}, Stroke{1, Ink, Solid})
				}
			}
		}
		for _, c := range []float64{r.Claim.Claimed.Low, r.Claim.Claimed.High} {
			if x := ax.at(c); ax.holds(c) {
				s.Polygon([]Point{{x, y - 3.2}, {x + 3.2, y}, {x, y + 3.2}, {x - 3.2, y}}, Paper, Stroke{0.8, Ink, Solid})
			}
		}
	}
	s.Line(Point{ax.at(m.Value - m.Expanded), y}, Point{ax.at(m.Value + m.Expanded), y}, Stroke{1.5, Accent, Solid})
	s.Dots([]Point{{ax.at(m.Value), y}}, 4, Accent)
}

func settingName(m *measure.Measurement) string {
	switch {
	case m.Setting == "" && m.Attribute == string(claims.StandbyPower):
		return "standby"
	case m.Setting == "":
		return "setting not named"
	case m.Distance > 0:
		return m.Setting + ", " + numeral.With(numeral.Short(m.Distance), "m")
	}
	return m.Setting
}
