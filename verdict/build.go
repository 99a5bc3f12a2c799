package verdict

import (
	"crypto/sha256"
	"fmt"
	"math"
	"sort"
	"strings"

	"weighhouse/claims"
	"weighhouse/claims/wording"
	"weighhouse/measure"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
)

// Evidence is all that an audit is built from.
type Evidence struct {
	Version string
	Issued  string // YYYY-MM-DD
	Case    string
	Spec    *claims.Spec
	Bench   *lab.Results // nil for a case with claims alone
	Inputs  []sheet.Input
}

// Cautions stand in every output.
var Cautions = []string{
	"This report compares wording and numbers that were captured at the stated time with measurements of the stated items. It is general information, not legal advice, and makes no finding that any law was broken. A difference may have causes other than the claim.",
	"Results relate only to the items tested. The spread from unit to unit is not part of the uncertainties.",
	"Check current law and local codes, and take qualified advice, before you publish or file.",
	"Electrical work on appliances connected to the mains can hurt people: leave it to those qualified for it. Ozone irritates the lungs even at low levels: do not run a unit that may produce it in a room that people use while it is being assessed.",
}

// Build sets every claim against the results and its words against the rules. It reads no file and needs no clock.
func Build(e Evidence) *Audit {
	a := &Audit{Version: e.Version, Issued: e.Issued, Case: e.Case, Product: e.Spec.Product, Inputs: e.Inputs, Replies: e.Spec.Replies,
		Cautions: Cautions}
	a.ID = identify(e)
	var over []Override
	if b := e.Bench; b != nil {
		a.Measurements = append(a.Measurements, b.Measurements...)
		if b.Room != nil {
			a.Room = &Room{Volume: b.Room.Volume, U: b.Room.U, Text: b.Room.Text}
		}
		for _, t := range b.Tolerances {
			over = append(over, Override{Attribute: claims.Attribute(t.Attribute), Value: t.Value, Unit: t.Unit, Source: t.Source})
		}
		for _, n := range b.Notes {
			a.Notes = append(a.Notes, n.String())
		}
		for _, s := range b.Skipped {
			a.Notes = append(a.Notes, strings.TrimSpace(s.Place+": "+s.Run+": "+s.Text))
		}
		var notes []string
		a.Costs, notes = costsOf(b.Costs, a.Measurements)
		a.Notes = append(a.Notes, notes...)
	}
	for _, n := range e.Spec.Notes {
		a.Notes = append(a.Notes, n.String())
	}
	a.Test = recordOf(e.Spec.Product, e.Bench)
	words := &reader{audit: a}
	for _, c := range e.Spec.Claims {
		words.claim(c)
		a.Rows = append(a.Rows, judge(c, a, over, words.last))
	}
	words.together(e.Spec.Claims)
	a.sortFindings()
	a.History = histories(e.Spec.Claims)
	a.Info = information(a)
	a.Rule = statementOfRule(a)
	return a
}

// identify gives the report its identification (ISO/IEC 17025:2017 7.8.2.1 d): the first 16 hexadecimal digits of the
// SHA-256 over version, date and the hashes of all inputs. The same inputs, version and date give the same.
func identify(e Evidence) string {
	h := sha256.New()
	fmt.Fprintln(h, e.Version, e.Issued)
	for _, i := range e.Inputs {
		fmt.Fprintln(h, i.Path, i.SHA256)
	}
	return fmt.Sprintf("%x", h.Sum(nil))[:16]
}

// judge gives the row of one claim. found holds the wording findings of the claim's own words.
func judge(c claims.Claim, a *Audit, over []Override, found []wording.Finding) Row {
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
	tol, note := toleranceFor(c, over)
	tol, about := aboutTolerance(c, tol)
	lim := limitOf(c, tol)
	r.Tolerance, r.Limit = tol, &lim
	if note != "" {
		r.note("tolerance: " + note)
	}
	if about != "" {
		r.note(about)
	}
	if d.m == nil {
		r.note(d.reason)
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
		r.note("the readings give no result: " + reasonOf(m, measure.NotTestable))
		r.finish()
		return r
	}
	if !m.Finite() {
		r.Measured = nil
		r.note("the readings give no finite result")
		r.finish()
		return r
	}
	r.weigh()
	if c.Attribute == claims.CleanTime && r.Verdict == Contradicted {
		r.withNaturalDecay(a.Measurements)
	}
	r.finish()
	return r
}

// withNaturalDecay opens a contradicted clean time again where the settling of the test room, which the words may mean to
// include, would bring it within the limit: the benefit of doubt is the maker's.
func (r *Row) withNaturalDecay(ms []measure.Measurement) {
	rate := base(r.Claim, claims.DeliveryRate, ms).m
	if rate == nil {
		return
	}
	k, n := 0.0, 0.0
	for _, run := range rate.Runs {
		if run.State == "off" && run.Value > 0 {
			k, n = k+run.Value, n+1
		}
	}
	if n == 0 {
		return
	}
	volume, _ := claimedVolume(r.Claim.Basis)
	m := measure.CleanTime(*rate, volume, r.Claim.Basis.Reduction, k/n)
	if p, _ := Probability(*r.Limit, &m); p > Risk {
		r.Verdict = Inconclusive
		r.note(fmt.Sprintf("with the natural decay of the test room, %s per hour, counted too, the time is %s and the probability %s: the words do not say whether a room's own settling is meant, so the claim stays open",
			Round(k/n), number(m.Value, "min"), Chance(p)))
	}
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

// weigh judges a row whose measurement and limit are set.
func (r *Row) weigh() {
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
	r.Verdict, notes = decide(r.Claim, r.Measured, p)
	if note != "" {
		r.note(note)
		if strings.Contains(note, "not testable") {
			r.Verdict = Inconclusive
		}
	}
	for _, n := range notes {
		r.note(n)
	}
	if r.Tolerance.Mark == "memory" || r.Tolerance.Mark == "judgement" && r.Tolerance.Amount > 0 {
		switch {
		case r.Tolerance.Mark == "memory":
			r.note("the tolerance is cited from memory: check the document before the verdict is quoted")
		default:
			r.note("the tolerance is a judgement of this method, not a published figure")
		}
	}
	switch {
	case r.Claim.Attribute == claims.FilterLife:
		r.note("judged by the hours to half the first delivery rate, the end of life of GB/T 18801 and JEM 1467 (second-hand); the claim itself names no end point that was read")
	case side(r.Claim) == claims.About && r.Measured.Exact == nil && r.Limit.High-r.Limit.Low < 2*1.96*r.Measured.Std:
		r.note("the tolerance on both sides is less than 1.96 u: no result with this uncertainty could support the claim")
	}
	if r.Claim.Attribute == claims.Power && r.Verdict == Supported && r.Gap.Value > 0 {
		r.note("the tolerance on rated input is a safety rating; an energy claim of the same unit is judged without it")
	}
	r.GapWords = gapWords(r.Claim, r.Measured, r.Gap)
}

// finish sets the sentence and the question.
func (r *Row) finish() {
	r.Statement = statement(r)
	if r.Verdict != Supported {
		r.Ask = phrases()[r.Claim.Attribute].ask
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

// sortFindings orders findings by severity, then by the place of the first claim, and links rows to them.
func (a *Audit) sortFindings() {
	weight := map[string]int{"high": 0, "medium": 1, "low": 2}
	pos := map[string]int{}
	for i, r := range a.Rows {
		pos[r.Claim.ID] = i
	}
	first := func(f Finding) int {
		if len(f.Claims) == 0 {
			return len(a.Rows)
		}
		return pos[f.Claims[0]]
	}
	sort.SliceStable(a.Findings, func(i, j int) bool {
		x, y := a.Findings[i], a.Findings[j]
		if weight[x.Severity] != weight[y.Severity] {
			return weight[x.Severity] < weight[y.Severity]
		}
		if first(x) != first(y) {
			return first(x) < first(y)
		}
		return x.Start < y.Start
	})
	for i := range a.Rows {
		a.Rows[i].Findings = nil
		for j, f := range a.Findings {
			for _, id := range f.Claims {
				if id == a.Rows[i].Claim.ID {
					a.Rows[i].Findings = append(a.Rows[i].Findings, j)
				}
			}
		}
	}
}

// Count is how many claims have the outcome.
func (a *Audit) Count(o Outcome) int {
	n := 0
	for _, r := range a.Rows {
		if r.Verdict == o {
			n++
		}
	}
	return n
}

// statementOfRule is the decision rule as ISO/IEC 17025:2017 7.8.6 asks a report to state it.
func statementOfRule(a *Audit) RuleStatement {
	s := RuleStatement{}
	separate := map[string]bool{}
	for _, r := range a.Rows {
		if r.Probability != nil {
			s.Numeric++
			separate[r.source()] = true
		}
	}
	s.Separate = len(separate)
	s.AnyWrong = 1 - math.Pow(1-Risk, float64(s.Separate))
	s.Text = []string{
		"Each claim is moved by its tolerance to the maker's side; that is its limit. The measured value y has a standard uncertainty u with ν effective degrees of freedom. p is the probability, by Student's t with ν degrees of freedom, that the true value meets the limit.",
		"Supported: p is 95 % or more. Contradicted: p is 5 % or less, which is to say that the claim is not supported by the evidence supplied; it is the name of a statistical outcome and says nothing of why. Inconclusive: between. Untested: nothing that was measured bears on the claim. Unclear: the claim as worded cannot be tested.",
		"This equals a guard band of w = t(0.95, ν)·u on each side of the limit, with a specific risk of at most 5 % for each statement; w, k, ν and the limit are printed with each such claim. For particle counts, filter life and clean time the exact distribution of the result stands in place of Student's t, and no w is given. The rule is stated here as ISO/IEC 17025:2017 7.8.6 asks, and follows JCGM 106:2012 7.3 and 7.4; its t form for few degrees of freedom is a judgement.",
		"Where a result is an upper bound, or the room is too small for the rate, the claim is never contradicted. Where one run stands alone, the result is indicative.",
	}
	if s.Numeric > 0 {
		s.Text = append(s.Text, fmt.Sprintf("%d claims were judged by a number, by %d separate results. If every claim lay exactly at its limit, the chance of at least one wrong \"contradicted\" would be up to %.0f %%.", s.Numeric, s.Separate, 100*s.AnyWrong))
	}
	return s
}

// source names the result that a row was judged by; claims that hang on one result share it.
func (r *Row) source() string {
	m := r.Measured
	switch r.Claim.Attribute {
	case claims.RoomArea, claims.CleanTime:
		return "delivery rate " + m.Setting + " " + m.Particle
	case claims.AnnualEnergy:
		return "power " + m.Setting
	}
	return m.Attribute + " " + m.Setting + " " + m.Particle
}

// histories brings the claims' histories to their form in the audit.
func histories(cs []claims.Claim) []Thread {
	var out []Thread
	for _, h := range claims.Histories(cs) {
		t := Thread{Attribute: string(h.Attribute), Source: h.Source, Change: h.Change}
		for _, c := range h.Entries {
			text := c.Wording
			if text == "" && c.Claimed != nil {
				text = string(c.Bound) + " " + c.Claimed.Text
			}
			t.Entries = append(t.Entries, ThreadEntry{Claim: c.ID, Captured: c.Captured, Text: text, Evidence: c.Evidence})
		}
		out = append(out, t)
	}
	return out
}
