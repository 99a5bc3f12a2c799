package workbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weighhouse/measure"
	"weighhouse/measure/uncertainty"
	"weighhouse/templates/words"
	"weighhouse/templates/xlsx"
	"weighhouse/verdict"
)

// Columns of Claims.
const (
	claID = 1 + iota
	claAttribute
	claSetting
	claParticle
	claBound
	claLow
	claHigh
	claUnit
	claVerdict
	claMeasured
	claU
	claDOF
	claExpanded
	claReads
	claTolerance
	claToleranceUnit
	claAmount
	claRounding
	claLimitLow
	claLimitHigh
	claProbability
	claGuard
	claGap
	claGapPercent
	claWords
	claHow
	claOf
	claWording
	claSource
	claCaptured
	claToleranceSource
	claNotes
)

func (b *book) claims() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: claimsName, FreezeRows: 1, FreezeCols: 2, Filter: true, PagesWide: 3}
	s.Widths(7, 16, 9, 9, 9, 11, 11, 9, 14, 12, 12, 10, 10, 20, 12, 8, 13, 11, 11, 11, 14, 10, 10, 10, 26, 40, 8, 40, 22, 11, 40, 56)
	s.Head("claim", "attribute", "setting", "particle", "promised", "claimed from", "claimed to", "unit", "verdict", "measured", "standard u", "ν", "U", "as reported",
		"tolerance", "of", "tolerance in the unit", "own rounding", "limit, low", "limit, high", "probability that the limit is met", "guard band w", "gap", "gap %", "in words",
		"how the numbers came", "result", "wording", "source", "seen on", "where the tolerance is from", "notes")
	for i := range b.a.Rows {
		s.Add(b.claim(first+i, &b.a.Rows[i])...)
	}
	area := fmt.Sprintf("%s:%s", xlsx.At(claVerdict, first), xlsx.At(claVerdict, max(first, s.Next()-1)))
	s.Emphasis = []xlsx.Emphasis{
		{Range: area, Word: string(verdict.Contradicted)}, {Range: area, Word: string(verdict.Supported)},
		{Range: area, Word: string(verdict.Inconclusive), Italic: true},
	}
	return s
}

// claim lays out one row of Claims.
func (b *book) claim(row int, r *verdict.Row) []xlsx.Cell {
	c := r.Claim
	cells := make([]xlsx.Cell, claNotes)
	set := func(col int, x xlsx.Cell) { cells[col-1] = x }
	at := func(col int) string { return xlsx.At(col, row) }
	var how []string
	say := func(what, text string) {
		if text != "" {
			how = append(how, what+": "+text)
		}
	}
	for col, text := range map[int]string{claID: c.ID, claAttribute: string(c.Attribute), claSetting: c.Setting, claParticle: c.Particle,
		claBound: string(c.Bound), claSource: c.Source, claCaptured: c.Captured} {
		set(col, xlsx.Text(text))
	}
	set(claWords, xlsx.Wrapped(r.GapWords))
	set(claWording, xlsx.Wrapped(c.Wording))
	notes := append([]string(nil), r.Notes...)
	if w := words.Checked(c); w != "" {
		notes = append(notes, w)
	}
	if h := words.Printed(b.a, r); h != "" {
		notes = append(notes, "captures: "+h+" (see "+recordName+")")
	}
	if lead, quote := words.AnswerTo(b.a, r); lead != "" {
		if quote != "" {
			lead += " “" + quote + "”"
		}
		notes = append(notes, "maker's answer, in full in "+recordName+": "+lead)
	}
	set(claNotes, xlsx.Wrapped(strings.Join(notes, "\n")))
	if c.Claimed != nil {
		set(claLow, given(c.Claimed.Low))
		set(claHigh, given(c.Claimed.High))
		set(claUnit, xlsx.Text(c.Claimed.Unit))
	}
	if r.Limit != nil && c.Claimed != nil {
		t := r.Tolerance
		set(claTolerance, given(t.Value))
		set(claToleranceUnit, xlsx.Text(t.Unit))
		set(claToleranceSource, xlsx.Wrapped(words.Marked(t.Source, t.Mark)))
		b.limits(r, at, set, say)
	}
	if m := r.Measured; m != nil {
		if m.Has(measure.Extrapolated) {
			say("measured", "estimated, beyond the last reading")
		}
		set(claOf, xlsx.Text(m.ID))
		set(claReads, xlsx.Text(words.Measured(m)))
		if x := b.find(m.ID); x != nil && x.m.Value == m.Value && x.m.Std == m.Std {
			for col, from := range map[int]int{claMeasured: resValue, claU: resU, claExpanded: resExpanded} {
				v := map[int]float64{claMeasured: m.Value, claU: m.Std, claExpanded: m.Expanded}[col]
				cell := formula(x.cell(from), v)
				if col != claU {
					cell = reported(m, cell)
				}
				set(col, cell)
			}
			set(claDOF, formatted(formula(x.cell(resDOF), m.DOF), "0"))
		} else {
			set(claMeasured, reported(m, given(m.Value)))
			set(claU, given(m.Std))
			set(claExpanded, reported(m, given(m.Expanded)))
			set(claDOF, formatted(given(m.DOF), "0"))
			say("measured", "numbers from the audit")
		}
		b.judged(r, at, set, say)
	}
	b.outcome(r, at, set, say)
	set(claHow, xlsx.Wrapped(strings.Join(how, "\n")))
	return cells
}

type setter func(col int, x xlsx.Cell)
type sayer func(what, text string)

// limits sets the tolerance in the claim's unit and the limits.
func (b *book) limits(r *verdict.Row, at func(int) string, set setter, say sayer) {
	t, l, c := r.Tolerance, r.Limit, r.Claim.Claimed
	var amounts []expr
	if t.Unit == "%" {
		amounts = []expr{
			{fmt.Sprintf("%s*%s/100", at(claLow), at(claTolerance)), c.Low * t.Value / 100, ""},
			{fmt.Sprintf("%s*%s/100", at(claHigh), at(claTolerance)), c.High * t.Value / 100, ""},
		}
	}
	amount, text := live(t.Amount, "number from the audit", append(amounts, expr{at(claTolerance), t.Value, ""})...)
	set(claAmount, amount)
	set(claRounding, given(t.Rounding))
	say("tolerance", text)
	if !math.IsInf(l.Low, 0) {
		low, text := live(l.Low, "number from the audit", expr{at(claLow) + "-" + at(claRounding) + "-" + at(claAmount), c.Low - t.Rounding - t.Amount, ""})
		set(claLimitLow, low)
		say("low limit", text)
	}
	if !math.IsInf(l.High, 0) {
		candidates := []expr{{at(claHigh) + "+" + at(claRounding) + "+" + at(claAmount), c.High + t.Rounding + t.Amount, ""}}
		if c.Low != 0 {
			candidates = append(candidates, expr{fmt.Sprintf("%s+%s+%s*%s/%s", at(claHigh), at(claRounding), at(claAmount), at(claHigh), at(claLow)), c.High + t.Rounding + t.Amount*c.High/c.Low, ""})
		}
		high, text := live(l.High, "number from the audit", candidates...)
		set(claLimitHigh, high)
		say("high limit", text)
	}
}

// judged sets the probability, the guard band and the gap.
func (b *book) judged(r *verdict.Row, at func(int) string, set setter, say sayer) {
	m := r.Measured
	y, u, nu := at(claMeasured), at(claU), at(claDOF)
	dist := func(x string) string {
		return fmt.Sprintf("IF(ISNUMBER(%s),_xlfn.T.DIST((%s)/%s,%s,TRUE),_xlfn.NORM.S.DIST((%s)/%s,TRUE))", nu, x, u, nu, x, u)
	}
	if r.Probability != nil {
		p := *r.Probability
		cell := given(p)
		switch {
		case m.Exact != nil:
			say("probability", "number from the audit, by the exact distribution of the result")
		case m.Std == 0 || r.Limit == nil:
			say("probability", "number from the audit: the result has no uncertainty")
		default:
			if e, ok := b.probability(r, dist, y, at); ok {
				cell = formula(e.formula, p)
			} else {
				say("probability", "number from the audit")
			}
		}
		cell.Look.Format = "0.0000"
		if p != 0 && p < 0.0001 {
			cell.Look.Format = "0.0E+00"
		}
		set(claProbability, cell)
	}
	if r.Guard != 0 && r.Probability != nil {
		f := fmt.Sprintf("IF(ISNUMBER(%s),_xlfn.T.INV.2T(0.1,%s),_xlfn.NORM.S.INV(0.95))*%s", nu, nu, u)
		guard, text := live(r.Guard, "number from the audit", expr{f, uncertainty.Quantile(0.95, m.DOF) * m.Std, ""})
		set(claGuard, guard)
		say("guard band", text)
	}
	if r.Gap == nil || r.Claim.Claimed == nil {
		return
	}
	c := r.Claim.Claimed
	nearest := math.Min(math.Max(m.Value, c.Low), c.High)
	ends := []struct {
		at    string
		value float64
	}{{at(claLow), c.Low}, {at(claHigh), c.High}, {fmt.Sprintf("MIN(MAX(%s,%s),%s)", y, at(claLow), at(claHigh)), nearest}}
	for _, e := range ends {
		if near(m.Value-e.value, r.Gap.Value) && (e.value == 0 || near(100*(m.Value-e.value)/e.value, r.Gap.Percent)) {
			set(claGap, reported(m, formula(y+"-"+e.at, r.Gap.Value)))
			if e.value != 0 {
				set(claGapPercent, formatted(formula(fmt.Sprintf("100*%s/%s", at(claGap), e.at), r.Gap.Percent), "0.0"))
			}
			return
		}
	}
	set(claGap, reported(m, given(r.Gap.Value)))
	set(claGapPercent, formatted(given(r.Gap.Percent), "0.0"))
	say("gap", "numbers from the audit")
}

// tail is how closely a formula must give a probability, absolutely: a probability next to zero is the difference of
// numbers next to one, and its last digits mean nothing.
const tail = 1e-13

// probability is the formula of the decision rule for the limits that the claim has.
func (b *book) probability(r *verdict.Row, dist func(string) string, y string, at func(int) string) (expr, bool) {
	l, m := r.Limit, r.Measured
	cdf := func(d float64) float64 { return uncertainty.CDF(d/m.Std, m.DOF) }
	below, above := !math.IsInf(l.Low, 0), !math.IsInf(l.High, 0)
	var e expr
	switch {
	case below && above:
		e = expr{dist(at(claLimitHigh)+"-"+y) + "-" + dist(at(claLimitLow)+"-"+y), cdf(l.High-m.Value) - cdf(l.Low-m.Value), ""}
	case below:
		e = expr{dist(y + "-" + at(claLimitLow)), cdf(m.Value - l.Low), ""}
	case above:
		e = expr{dist(at(claLimitHigh) + "-" + y), cdf(l.High - m.Value), ""}
	default:
		return e, false
	}
	return e, near(e.value, *r.Probability) || math.Abs(e.value-*r.Probability) <= tail
}

// outcome sets the verdict: by the rule where that gives the audit's word, else the word itself.
func (b *book) outcome(r *verdict.Row, at func(int) string, set setter, say sayer) {
	if r.Probability == nil {
		set(claVerdict, xlsx.Cell{Value: string(r.Verdict)})
		say("verdict", "word from the audit: no probability decides it, see the notes")
		return
	}
	yes, no := xlsx.On(summaryName, fmt.Sprintf("$B$%d", b.yesRow)), xlsx.On(summaryName, fmt.Sprintf("$B$%d", b.noRow))
	p := at(claProbability)
	worsts := []verdict.Outcome{verdict.Contradicted, verdict.Inconclusive}
	if m := r.Measured; m != nil && (m.Has(measure.UpperBound) || m.Has(measure.RoomTooSmall)) {
		slices.Reverse(worsts)
	}
	for _, worst := range worsts {
		got := verdict.Inconclusive
		switch {
		case *r.Probability >= 1-verdict.Risk:
			got = verdict.Supported
		case *r.Probability <= verdict.Risk:
			got = worst
		}
		if got == r.Verdict {
			f := fmt.Sprintf(`IF(%s>=%s,"%s",IF(%s<=%s,"%s","%s"))`, p, yes, verdict.Supported, p, no, worst, verdict.Inconclusive)
			set(claVerdict, xlsx.Cell{Formula: f, Value: string(r.Verdict)})
			if worst == verdict.Inconclusive {
				say("verdict", "such a result never contradicts a claim, see the notes")
			}
			return
		}
	}
	set(claVerdict, xlsx.Cell{Value: string(r.Verdict)})
	say("verdict", "word from the audit: the result cannot decide the claim, see the notes")
}
