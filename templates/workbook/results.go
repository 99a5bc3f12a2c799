package workbook

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure/uncertainty"
	"weighhouse/templates/words"
	"weighhouse/templates/xlsx"
)

// Columns of Measurements.
const (
	resID = 1 + iota
	resAttribute
	resSetting
	resParticle
	resValue
	resUnit
	resU
	resEff
	resDOF
	resK
	resExpanded
	resRelative
	resLow
	resHigh
	resReads
	resHow
	resVolume
	resVolumeU
	resDistance
	resInstrument
	resMethod
	resWarnings
)

// Columns of Budgets.
const (
	budOf = 1 + iota
	budName
	budKind
	budU
	budUnit
	budDOF
	budShare
	budTerm
	budHow
	budNote
)

func (b *book) results() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: resultsName, FreezeRows: 1, FreezeCols: 2, Filter: true, PagesWide: 3}
	s.Widths(8, 16, 11, 10, 11, 9, 11, 12, 11, 8, 11, 9, 11, 11, 20, 46, 14, 10, 12, 14, 56, 56)
	s.Head("result", "attribute", "setting", "particle", "value", "unit", "standard u", "ν effective", "ν used", "k", "U = k·u", "U/value", "value − U", "value + U", "as reported",
		"how the numbers came", "room volume V [m3]", "u(V) [m3]", "distance [m]", "instrument", "method", "what weakens it")
	for _, r := range b.all {
		s.Add(b.result(r)...)
	}
	return s
}

// result lays out one row of Measurements.
func (b *book) result(r *result) []xlsx.Cell {
	m := r.m
	at := func(col int) string { return xlsx.At(col, r.row) }
	var how []string
	say := func(what, text string) {
		if text != "" {
			how = append(how, what+": "+text)
		}
	}
	value, text := live(m.Value, "number from the audit, see the method", b.valueOf(r)...)
	say("value", text)
	var combined, effective []expr
	if len(m.Budget) > 0 {
		us := xlsx.On(budgetsName, xlsx.Down(budU, r.from, r.to))
		combined = []expr{{"SQRT(SUMSQ(" + us + "))", m.Budget.Combined(), ""}}
	}
	u, text := live(m.Std, "number from the audit", combined...)
	say("u", text)
	eff := xlsx.Cell{}
	if len(m.Budget) > 0 {
		terms := xlsx.On(budgetsName, xlsx.Down(budTerm, r.from, r.to))
		eff = formula(fmt.Sprintf(`IF(SUM(%s)=0,"%s",1/SUM(%s))`, terms, infinite, terms), m.Budget.EffectiveDOF())
		effective = dofExprs(at(resEff), m.Budget.EffectiveDOF())
	}
	dof := xlsx.Cell{}
	if math.IsInf(m.DOF, 1) && math.IsInf(m.Budget.EffectiveDOF(), 1) && len(m.Budget) > 0 {
		dof = xlsx.Cell{Value: infinite, Formula: effective[0].formula, Look: xlsx.Look{Right: true}}
	} else {
		dof, text = live(m.DOF, "number from the audit", effective...)
		say("ν", text)
	}
	t := uncertainty.Quantile(0.975, m.DOF)
	student := fmt.Sprintf("IF(ISNUMBER(%s),_xlfn.T.INV.2T(0.05,%s),_xlfn.NORM.S.INV(0.975))", at(resDOF), at(resDOF))
	k, text := live(m.K, "number from the audit", expr{student, t, ""},
		expr{"MAX(2," + student + ")", math.Max(2, t), "not below 2, for a run-to-run spread that is assumed"})
	say("k", text)
	if m.Exact != nil {
		say("interval", "from the exact distribution, no formula of a spreadsheet")
	}
	expanded, text := live(m.Expanded, "number from the audit", expr{at(resK) + "*" + at(resU), m.K * m.Std, ""})
	say("U", text)
	low, _ := live(m.Interval[0], "", expr{at(resValue) + "-" + at(resExpanded), m.Value - m.Expanded, ""})
	high, _ := live(m.Interval[1], "", expr{at(resValue) + "+" + at(resExpanded), m.Value + m.Expanded, ""})
	relative := xlsx.Cell{}
	if m.Value != 0 {
		relative = formatted(formula(at(resExpanded)+"/ABS("+at(resValue)+")", m.Expanded/math.Abs(m.Value)), "0.0%")
	}
	volume, volumeU, distance := xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}
	if b.roomed(r) {
		volume, volumeU = given(b.a.Room.Volume), given(b.a.Room.U)
	}
	if m.Distance > 0 {
		distance = given(m.Distance)
	}
	return []xlsx.Cell{xlsx.Text(m.ID), xlsx.Text(m.Attribute), xlsx.Text(m.Setting), xlsx.Text(m.Particle), reported(m, value), xlsx.Text(m.Unit), u,
		formatted(eff, "0.0"), formatted(dof, "0"), formatted(k, "0.000"), reported(m, expanded), relative, reported(m, low), reported(m, high), xlsx.Text(words.Measured(m)), xlsx.Wrapped(strings.Join(how, "\n")),
		volume, volumeU, distance, xlsx.Text(m.Instrument), xlsx.Wrapped(m.Method), xlsx.Wrapped(warnings(m.Warnings))}
}

// dofExprs truncates effective degrees of freedom to a whole number, not below one. The millionth part that is added
// first keeps a whole number from being cut to the one below it by the last digit of the arithmetic.
func dofExprs(eff string, nu float64) []expr {
	f := fmt.Sprintf(`IF(ISNUMBER(%s),MAX(1,INT(%s*(1+1E-12))),"%s")`, eff, eff, infinite)
	return []expr{{f, math.Max(1, math.Floor(nu*(1+1e-12))), ""}}
}

// roomed reports whether a result hangs on the room's volume.
func (b *book) roomed(r *result) bool { return b.a.Room != nil && r.m.Attribute == "delivery rate" }

// group is the result's runs in a state, nil if it has none.
func (r *result) group(state string) *mean {
	for _, g := range r.means {
		if g.state == state {
			return g
		}
	}
	return nil
}

// rates are the mean rates with the unit on and off, and their difference, as formulas; ok is false where one is missing.
func (r *result) rates() (on, off *mean, delta expr, ok bool) {
	on, off = r.group("on"), r.group("off")
	if on == nil || off == nil {
		return on, off, expr{}, false
	}
	d := on.stats().mean - off.stats().mean
	return on, off, expr{"(" + on.at(meanMean) + "-" + off.at(meanMean) + ")", d, ""}, true
}

// valueOf lists the formulas that may give a result.
func (b *book) valueOf(r *result) []expr {
	var out []expr
	if _, _, d, ok := r.rates(); ok && b.roomed(r) {
		out = append(out, expr{xlsx.At(resVolume, r.row) + "*" + d.formula, b.a.Room.Volume * d.value,
			"V × (mean rate with the unit on − mean rate with it off)"})
	}
	if len(r.means) == 1 {
		g := r.means[0]
		t := g.stats()
		out = append(out, expr{g.at(meanMean), t.mean, "mean of its runs"})
		if g.level() {
			out = append(out, expr{g.at(meanEnergy), t.energy, "energy mean of its runs"})
		}
	}
	return append(out, b.derived(r)...)
}

func (b *book) budgets() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: budgetsName, FreezeRows: 1, FreezeCols: 1, Filter: true}
	s.Widths(8, 46, 6, 12, 9, 10, 10, 13, 50, 66)
	s.Head("result", "component", "type", "u of the result", "unit", "ν", "share of u²", "share²/ν", "how u came", "note")
	for _, r := range b.all {
		for i, c := range r.m.Budget {
			row := r.from + i
			at := func(col int) string { return xlsx.At(col, row) }
			u, how := live(c.U, "number from the audit", b.componentOf(r, c)...)
			share := r.m.Budget.Share(i)
			term := 0.0
			if !math.IsInf(c.DOF, 1) && c.DOF > 0 {
				term = share * share / c.DOF
			}
			total := r.cell(resU)
			shareCell := xlsx.Cell{}
			if near(r.m.Budget.Combined(), r.m.Std) {
				shareCell = formula(fmt.Sprintf("IF(%s=0,0,(%s/%s)^2)", total, at(budU), total), share)
			} else {
				shareCell = given(share)
			}
			s.Add(xlsx.Text(r.m.ID), xlsx.Text(c.Name), xlsx.Text(c.Kind), u, xlsx.Text(r.m.Unit), formatted(given(c.DOF), "0.##"),
				formatted(shareCell, "0.0%"),
				formula(fmt.Sprintf("IF(ISNUMBER(%s),%s^2/%s,0)", at(budDOF), at(budShare), at(budDOF)), term),
				xlsx.Text(how), xlsx.Wrapped(c.Note))
		}
	}
	return s
}

// componentOf lists the formulas that may give a component of a budget: from the spread of the runs, the room, or the
// budget of the result that this one is computed from.
func (b *book) componentOf(r *result, c uncertainty.Component) []expr {
	var out []expr
	on, off, delta, ok := r.rates()
	if b.roomed(r) {
		v, volume := r.cell(resVolume), b.a.Room.Volume
		for _, g := range []*mean{on, off} {
			if g == nil {
				continue
			}
			t, state := g.stats(), " of the runs with the unit "+g.state
			out = append(out,
				expr{v + "*" + g.at(meanBetween), volume * t.between, "V × s/√m" + state},
				expr{v + "*" + g.at(meanWithin), volume * t.within, "V × within-run u" + state})
			for _, assumed := range []float64{0.05, 0.2} {
				out = append(out, expr{fmt.Sprintf("%s*%v*%s/SQRT(%s)", v, assumed, g.at(meanMean), g.at(meanRuns)),
					volume * assumed * t.mean / math.Sqrt(float64(len(g.runs))),
					fmt.Sprintf("V × %v %% of the mean rate/√m%s", 100*assumed, state)})
			}
		}
		if ok {
			out = append(out, expr{"ABS" + delta.formula + "*" + r.cell(resVolumeU), math.Abs(delta.value) * b.a.Room.U, "difference of the rates × u(V)"})
		}
		if strings.Contains(c.Name, "allowance") && r.m.Value != 0 {
			p := math.Round(1e4*c.U/math.Abs(r.m.Value)) / 1e4
			out = append(out, expr{fmt.Sprintf("%v*ABS(%s)", p, r.cell(resValue)), p * math.Abs(r.m.Value), fmt.Sprintf("%.4g %% of the value", 100*p)})
		}
		return finite(out)
	}
	if len(r.means) == 1 {
		t := r.means[0].stats()
		out = append(out, expr{r.means[0].at(meanBetween), t.between, "s/√m of its runs"},
			expr{r.means[0].at(meanWithin), t.within, "√(mean u²)/√m of its runs"})
	}
	return finite(append(out, b.scaledComponent(r, c)...))
}

// finite leaves out candidates without a number, such as s/√m of one run.
func finite(es []expr) []expr {
	out := es[:0]
	for _, e := range es {
		if !math.IsNaN(e.value) && !math.IsInf(e.value, 0) && e.value != 0 {
			out = append(out, e)
		}
	}
	return out
}
