package workbook

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/uncertainty"
	"weighhouse/templates/xlsx"
	"weighhouse/verdict"
)

// derived lists the formulas of results that are computed from another result under the conditions of a claim: the room
// area and clean time of a delivery rate, the energy of a year of a power.
func (b *book) derived(r *result) []expr {
	if r.claim == nil {
		return nil
	}
	basis := r.claim.Claim.Basis
	var out []expr
	for _, base := range b.all {
		m, at := base.m, base.cell(resValue)
		switch {
		case base.row >= r.row:
		case r.m.Attribute == "room area" && m.Attribute == "delivery rate":
			for _, h := range []float64{basis.Ceiling, 2.4} {
				if basis.AirChanges > 0 && h > 0 {
					out = append(out, expr{fmt.Sprintf("%s/(%v*%v)", at, basis.AirChanges, h), m.Value / (basis.AirChanges * h),
						fmt.Sprintf("%s/(%v air changes an hour × %v m)", m.ID, basis.AirChanges, h)})
				}
			}
			for _, rule := range measure.AreaRules() {
				out = append(out, expr{fmt.Sprintf("%s*%.15g", at, rule.PerM3h()), m.Value * rule.PerM3h(),
					fmt.Sprintf("%s × %.6g m² per m³/h, %s", m.ID, rule.PerM3h(), rule.Name)})
			}
		case r.m.Attribute == "clean time" && m.Attribute == "delivery rate":
			for _, v := range []float64{basis.RoomVolume, basis.RoomArea * basis.Ceiling, basis.RoomArea * 2.4} {
				if x := basis.Reduction; v > 0 && x > 0 && x < 1 {
					out = append(out, expr{fmt.Sprintf("60*-LN(1-%v)*%.15g/%s", x, v, at), 60 * -math.Log1p(-x) * v / m.Value,
						fmt.Sprintf("60·ln(1/(1 − %v))·%.6g m³/%s", x, v, m.ID)})
					if k := verdict.NaturalDecay(m); k > 0 {
						out = append(out, expr{fmt.Sprintf("60*-LN(1-%v)/(%s/%.15g+%.15g)", x, at, v, k), 60 * -math.Log1p(-x) / (m.Value/v + k),
							fmt.Sprintf("60·ln(1/(1 − %v))/(%s/%.6g m³ + natural decay %.4g per hour)", x, m.ID, v, k)})
					}
				}
			}
		case r.m.Attribute == "annual energy" && m.Attribute == "power":
			out = append(out, b.energy(base, basis.HoursPerDay, basis.StandbyHours)...)
		}
	}
	for _, e := range out {
		if near(e.value, r.m.Value) {
			r.baseOf = b.base(e.formula)
			break
		}
	}
	return finite(out)
}

// energy lists the formulas of a year's energy at hours a day.
func (b *book) energy(on *result, hours, standby float64) []expr {
	var out []expr
	if hours == 0 {
		hours, standby = 16, 8
	}
	f := fmt.Sprintf("%s*%v", on.cell(resValue), hours)
	v := on.m.Value * hours
	out = append(out, expr{f + "*365/1000", v * 365 / 1000, fmt.Sprintf("%s × %v h a day × 365/1000", on.m.ID, hours)})
	for _, off := range b.all {
		if off.m.Attribute == "standby power" && standby > 0 {
			out = append(out, expr{fmt.Sprintf("(%s+%s*%v)*365/1000", f, off.cell(resValue), standby), (v + off.m.Value*standby) * 365 / 1000,
				fmt.Sprintf("(%s × %v h + %s × %v h) × 365/1000", on.m.ID, hours, off.m.ID, standby)})
		}
	}
	return out
}

// base is the first result whose value a formula uses.
func (b *book) base(f string) *result {
	var found *result
	for _, r := range b.all {
		// The row must end where the number ends, or E1 would be found in E12.
		for i := strings.Index(f, r.cell(resValue)); i >= 0 && found == nil; i = -1 {
			end := i + len(r.cell(resValue))
			if end == len(f) || f[end] < '0' || f[end] > '9' {
				found = r
			}
		}
	}
	return found
}

// scaledComponent takes a component over from the result that this one is computed from: in proportion, where one is
// proportional to the other.
func (b *book) scaledComponent(r *result, c uncertainty.Component) []expr {
	b.derived(r) // finds the base
	base := r.baseOf
	if r.m.Attribute == "annual energy" && r.claim != nil {
		return b.energyComponent(r.claim.Claim.Basis, c)
	}
	if base == nil || base.m.Value == 0 {
		return nil
	}
	var out []expr
	for i, x := range base.m.Budget {
		if strings.HasSuffix(c.Name, x.Name) {
			out = append(out, expr{
				fmt.Sprintf("%s*ABS(%s/%s)", xlsx.On(budgetsName, xlsx.At(budU, base.from+i)), r.cell(resValue), base.cell(resValue)),
				x.U * math.Abs(r.m.Value/base.m.Value), "in proportion to the same component of " + base.m.ID})
			for _, kv := range settled(r, base) {
				out = append(out, expr{
					fmt.Sprintf("%s*ABS(%s/(%s+%.15g))", xlsx.On(budgetsName, xlsx.At(budU, base.from+i)), r.cell(resValue), base.cell(resValue), kv),
					x.U * math.Abs(r.m.Value/(base.m.Value+kv)), "from the same component of " + base.m.ID + ", beside the natural decay"})
			}
		}
	}
	return out
}

// settled lists the rates, m3/h, at which natural decay clears the rooms that a clean time may be of.
func settled(r, base *result) (out []float64) {
	k := verdict.NaturalDecay(base.m)
	if r.m.Attribute != "clean time" || r.claim == nil || k == 0 {
		return nil
	}
	b := r.claim.Claim.Basis
	for _, v := range []float64{b.RoomVolume, b.RoomArea * b.Ceiling, b.RoomArea * 2.4} {
		if v > 0 {
			out = append(out, k*v)
		}
	}
	return out
}

// energyComponent takes a component of a year's energy over from the power on or in standby, by its hours.
func (b *book) energyComponent(basis claims.Basis, c uncertainty.Component) []expr {
	hours, standby := basis.HoursPerDay, basis.StandbyHours
	if hours == 0 {
		hours, standby = 16, 8
	}
	var out []expr
	for _, x := range b.all {
		h := map[string]float64{"power": hours, "standby power": standby}[x.m.Attribute]
		for i, p := range x.m.Budget {
			if h > 0 && strings.HasSuffix(c.Name, p.Name) {
				out = append(out, expr{fmt.Sprintf("%s*%v*365/1000", xlsx.On(budgetsName, xlsx.At(budU, x.from+i)), h), p.U * h * 365 / 1000,
					fmt.Sprintf("the same component of %s × %v h a day × 365/1000", x.m.ID, h)})
			}
		}
	}
	return out
}
