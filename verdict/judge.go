package verdict

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/claims"
	"weighhouse/claims/wording"
	"weighhouse/measure"
	"weighhouse/measure/numeral"
	"weighhouse/measure/source"
)

// judge gives the row of one claim. found holds the wording findings of the claim's own words.
func judge(c claims.Claim, a *Audit, al allowances, found []wording.Finding) Row {
	r := Row{Claim: c, Notes: append([]string(nil), c.Notes...)}
	r.Verdict = Untested
	if c.Claimed == nil || c.Attribute == claims.FilterGrade {
		words := wordsVerdict(c, found)
		r.Verdict = words
		if words == Unclear {
			r.note("the claim is words that no measurement can test as they stand; the findings say what to ask")
		} else {
			r.note("the words name a defined quantity; nothing in the lab book bears on it")
		}
		r.finish()
		return r
	}
	if c.Claimed.Unit == "" {
		r.Verdict = Unclear
		r.finish()
		return r
	}
	if why := unclear(c); why != "" {
		r.Verdict = Unclear
		r.note(why)
		r.finish()
		return r
	}
	d := derive(c, a.Measurements)
	if d.unclear == "" {
		for _, n := range d.notes {
			r.note(n)
		}
	} else {
		r.Verdict = Unclear
		r.note(d.unclear)
		r.finish()
		return r
	}
	tol, note := al.of(c)
	tol, about := aboutTolerance(c, tol)
	lim := limitOf(c, tol)
	r.Tolerance, r.Limit = tol, &lim
	if note != "" {
		r.note("tolerance: " + note)
	}
	if about != "" {
		r.note(about)
	}
	refused := a.refusedFor(c)
	if d.m == nil {
		if len(refused) == 0 {
			r.note(d.reason)
		}
		r.withRefused(refused)
		r.finish()
		return r
	}
	m := d.m
	if m.ID == "" {
		m = a.keep(m)
	}
	r.Measured = m
	if m.Has(measure.NotTestable) && m.Exact == nil && m.Std == 0 {
		r.Measured = nil
		if m.Source != "" {
			r.holdOpen(fmt.Sprintf("%s %s was supplied by %s: %s", numeral.Of(m.Value, m.Unit), m.Unit, m.Source, reasonOf(m, measure.NotTestable)))
		} else {
			r.note("the readings give no result: " + reasonOf(m, measure.NotTestable))
		}
		r.finish()
		return r
	}
	if !m.Finite() {
		r.Measured = nil
		r.note("the readings give no finite result")
		r.finish()
		return r
	}
	on := d.on
	if on == nil {
		on = m
	}
	r.weigh(on)
	if d.nearer != "" {
		r.aFortiori(d.nearer)
	}
	r.withRoomSound()
	r.gate(on, d.again)
	r.byRounding()
	r.underOtherName()
	r.withConditions(a.Test)
	r.withRefused(refused)
	r.withoutSetting(a.Measurements)
	r.withSeen()
	r.finish()
	return r
}

// keep adds a derived result to the measurements, or finds the equal one that is there.
func (a *Audit) keep(m *measure.Measurement) *measure.Measurement {
	for i := range a.Measurements {
		o := &a.Measurements[i]
		if o.Attribute == m.Attribute && o.Setting == m.Setting && o.Particle == m.Particle && o.Value == m.Value && o.Method == m.Method {
			return o
		}
	}
	m.ID = fmt.Sprintf("M%d", len(a.Measurements)+1)
	a.Measurements = append(a.Measurements, *m)
	return m
}

// weigh judges a row whose measurement and limit are set; on is the result that the measurement hangs on, or it itself.
func (r *Row) weigh(on *measure.Measurement) {
	p, note := Probability(*r.Limit, r.Measured)
	r.Probability = &p
	if r.Measured.Exact == nil {
		r.Guard = guard(r.Measured)
	}
	r.Gap = gapOf(r.Claim, r.Measured)
	if side(r.Claim) == claims.About && math.Abs(r.Measured.Value-r.Limit.High) < math.Abs(r.Measured.Value-r.Limit.Low) {
		r.Limit.Value = r.Limit.High
	}
	var notes []string
	var holds []string
	r.Verdict, notes, holds = decide(r.Claim, r.Measured, p, beyond(*r.Limit, r.Measured), oneRun(on))
	if note != "" {
		r.note(note)
		if strings.Contains(note, "not testable") {
			r.Verdict, r.TooFew = Inconclusive, r.Claim.Attribute == claims.FilterEfficiency
		}
	}
	for _, n := range notes {
		r.note(n)
	}
	for _, h := range holds {
		r.holdOpen(h)
	}
	mixed := source.Mixed(r.Tolerance.Source, r.Tolerance.Mark)
	switch {
	case r.Tolerance.Mark == "memory" && mixed:
		r.note("the tolerance's source is cited in part from memory: check the document before the verdict is quoted")
	case r.Tolerance.Mark == "memory":
		r.note("the tolerance is cited from memory: check the document before the verdict is quoted")
	case r.Tolerance.Mark == "judgement" && r.Tolerance.Amount > 0 && mixed:
		r.note("the tolerance is a published figure, and its use for this claim a judgement of this method")
	case r.Tolerance.Mark == "judgement" && r.Tolerance.Amount > 0:
		r.note("the tolerance is a judgement of this method, not a published figure")
	}
	switch {
	case r.Claim.Attribute == claims.FilterLife && r.Claim.Basis.ToHalf:
		r.note("judged by the hours to half the first delivery rate, which is the end that the claim states")
	case r.Claim.Attribute == claims.FilterLife:
		r.note("judged by the hours to half the first delivery rate, the end of life of GB/T 18801 and JEM 1467 (second-hand); the claim itself names no end point that was read")
	case side(r.Claim) == claims.About && r.Measured.Exact == nil && r.Limit.High-r.Limit.Low < 2*1.96*r.Measured.Std:
		r.note("the tolerance on both sides is less than 1.96 u: no result with this uncertainty could support the claim")
	}
}

// finish sets the sentence and the question.
func (r *Row) finish() {
	if r.Measured != nil && r.Gap != nil {
		r.GapWords = r.gapWords()
		if r.Measured.Has(measure.Extrapolated) {
			r.GapWords = "by estimate, " + r.GapWords
		}
		if r.TooFew {
			r.GapWords = "too few particles counted to tell"
		}
	}
	for _, h := range r.Hold {
		r.note("held open: " + h)
	}
	r.Statement = statement(r)
	if r.Verdict != Supported {
		r.Ask = askOf(r)
	}
}

func (r *Row) note(text string) {
	if text == "" {
		return
	}
	for _, n := range r.Notes {
		if n == text {
			return
		}
	}
	r.Notes = append(r.Notes, text)
}

// wordsVerdict is the verdict on a claim that is words alone: unclear when its words cannot be tested as they stand.
func wordsVerdict(c claims.Claim, found []wording.Finding) Outcome {
	if c.Attribute != claims.FilterGrade && strings.TrimSpace(c.Wording) == "" {
		return Unclear
	}
	for _, f := range found {
		if wording.Effect(f.Class) == "unclear" || wording.Stops(f.Rule) && f.Class == "INCOMPLETE" {
			return Unclear
		}
	}
	if c.Attribute != claims.FilterGrade && c.Attribute != claims.Ozone {
		return Unclear // a number without a figure
	}
	if c.Attribute == claims.FilterGrade {
		if _, ok := wording.LookupGrade(c.Wording); !ok {
			return Unclear
		}
	}
	return Untested
}

// unclear gives the reason why a claim with a number cannot be tested as worded, "" where it can.
func unclear(c claims.Claim) string {
	switch c.Attribute {
	case claims.Noise:
		switch {
		case c.Basis.Distance == 0 && c.Basis.SoundPressure:
			return "a sound pressure level without its distance cannot be tested"
		case c.Basis.Distance == 0 && !c.Basis.SoundPower:
			return "a level without its distance, and without saying whether it is a sound pressure or a sound power level, cannot be tested"
		}
	case claims.FilterLife:
		if c.Calendar && c.Basis.HoursPerDay == 0 {
			months := c.Claimed.Low / (365.0 * 24 / 12)
			return fmt.Sprintf("a life in calendar time without hours a day cannot be tested: %s months are %.0f, %.0f or %.0f running hours at 8, 12 or 24 h/day",
				short(months), c.Claimed.Low/3, c.Claimed.Low/2, c.Claimed.Low)
		}
	case claims.FilterEfficiency:
		if c.Particle == "" {
			return "a percentage without its particle size cannot be tested"
		}
	}
	return ""
}

func reasonOf(m *measure.Measurement, f measure.Flag) string {
	for _, w := range m.Warnings {
		if w.Flag == f {
			return w.Text
		}
	}
	return string(f)
}
