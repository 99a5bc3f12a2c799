package letter

import (
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// Claim is one claim with its verdict, in words.
type Claim struct {
	ID, Attribute, Subject, Wording Text // Wording: words that were found in their capture, or that nobody compared
	Recorded, Unseen                Text // words that are not quoted as seen, and why
	Source, Captured, Place         Text // where it was seen, the day, and the cell of the spec book
	Evidence, Exhibit, SHA256       Text // the capture, its number among the exhibits, its hash
	Conditions                      Text // stated by the claim
	Claimed, Promise                Text // short, and with how it was written and read
	Measured, Coverage              Text // value ± U, and k and ν
	Limit, LimitHow                 Text // short, and how it follows from the claim
	Tolerance                       Text // the source of the tolerance and its mark
	Gap, Probability, Chance        Text // Chance: the bare number, short
	Result                          Text // id of the measurement
	Verdict                         string
	Notes                           []Text
	Rules                           []Text // of the findings on its words
	Ask, Settle                     Text
	Answer                          Text // what the maker's answer says of it, in its words
	Outside                         Text // why the chosen body does not take it up
	Matters                         Text // why such a claim matters to a buyer
	Captures                        Text // what other captures of the same source say of it
	Findings                        []*Finding
	Judged                          bool // by a number
	Grave                           bool // a finding of high severity is about it
	differs                         bool // its words, number and capture do not agree
}

// Complained reports whether a dossier takes the claim up: it is contradicted, it cannot be assessed as worded, or a
// finding of high severity is about its words; and it is within the remit of the body that the dossier goes to. One whose
// words, number and capture do not agree is left out.
func (c *Claim) Complained() bool {
	if c.differs || c.Outside != "" {
		return false
	}
	return c.Verdict == string(verdict.Contradicted) || c.Verdict == string(verdict.Unclear) || c.Grave
}

// Finding is a question on words; findings that ask the same for the same reason are one.
type Finding struct {
	Rule, Class, Why, Ask, Settle, Source Text
	Also                                  []Text // rules of the same meaning
	Severity                              string
	Quotes                                []Text
	Claims                                []Text
	Complained                            bool // a dossier takes one of its claims up
	Unseen                                bool // its quotes were not compared with a capture, or are not in it
}

// findings joins the findings that ask the same question for the same reason.
func (v *View) findings() {
	at := map[string]*Finding{}
	for _, i := range words.Weightiest(v.audit.Findings) {
		f := v.audit.Findings[i]
		key := f.Rule + "\x00" + f.Ask + "\x00" + f.Why
		g := at[key]
		if g == nil {
			g = &Finding{Rule: Text(f.Rule), Class: Text(strings.ToLower(f.Class)), Why: prose(f.Why), Ask: prose(f.Ask), Settle: prose(f.Evidence),
				Source: Text(words.Sourced(f.Source, f.Mark)), Severity: f.Severity}
			for _, r := range f.Also {
				g.Also = append(g.Also, Text(r))
			}
			at[key] = g
			v.Findings = append(v.Findings, g)
		}
		for _, q := range strings.Split(f.Quote, " | ") {
			if q != "" && !has(g.Quotes, q) {
				g.Quotes = append(g.Quotes, Text(q))
			}
		}
		for _, c := range f.Claims {
			if !has(g.Claims, c) {
				g.Claims = append(g.Claims, Text(c))
			}
		}
	}
}

func has(ts []Text, s string) bool {
	for _, t := range ts {
		if string(t) == s {
			return true
		}
	}
	return false
}

func (v *View) claims() {
	for i := range v.audit.Rows {
		v.Claims = append(v.Claims, v.claim(&v.audit.Rows[i]))
	}
	by := map[Text]*Claim{}
	for _, c := range v.Claims {
		by[c.ID] = c
	}
	for _, f := range v.Findings {
		for _, id := range f.Claims {
			if c := by[id]; c != nil {
				c.Findings = append(c.Findings, f)
				c.Rules = append(c.Rules, f.Rule)
				c.Grave = c.Grave || f.Severity == "high"
				f.Unseen = f.Unseen || c.Recorded != ""
			}
		}
	}
}

// markFindings marks the findings of claims that a dossier takes up.
func (v *View) markFindings() {
	by := map[Text]*Claim{}
	for _, c := range v.Claims {
		by[c.ID] = c
	}
	for _, f := range v.Findings {
		for _, id := range f.Claims {
			f.Complained = f.Complained || by[id] != nil && by[id].Complained()
		}
	}
}

func (v *View) claim(r *verdict.Row) *Claim {
	c := r.Claim
	x := &Claim{ID: Text(c.ID), Attribute: Text(c.Attribute), Subject: Text(words.Upper(words.Subject(c))), Wording: Text(c.Wording), Source: Text(c.Source),
		Captured: Text(c.Captured), Place: Text(c.Place.String()), Evidence: Text(c.Evidence), Conditions: prose(c.Basis.Text), Promise: Text(promise(c)),
		LimitHow: Text(words.LimitOf(r)), Gap: Text(gap(r)), Verdict: string(r.Verdict),
		Ask: prose(r.Ask), Settle: load().settle[string(c.Attribute)], Matters: load().matters[string(c.Attribute)], Judged: r.Probability != nil}
	if s := c.Seen; s != nil && !s.Quotable() && c.Wording != "" {
		x.Wording, x.Recorded, x.Unseen, x.differs = "", Text(c.Wording), prose(words.Checked(c)), s.Held() != nil
	}
	x.Answer, x.Captures = Text(r.Answer), prose(words.Upper(words.Printed(v.audit, r)))
	if c.Claimed != nil {
		x.Claimed = Text(words.Claimed(c))
	}
	for _, e := range v.Exhibits {
		if c.Evidence != "" && string(e.Path) == c.Evidence && e.Capture {
			x.Exhibit, x.SHA256 = Text(e.Number), e.SHA256
		}
	}
	if r.Limit != nil {
		x.Limit = Text(words.Limit(r.Limit))
		x.Tolerance = Text(words.Sourced(r.Tolerance.Source, r.Tolerance.Mark))
	}
	if m := r.Measured; m != nil {
		x.Measured, x.Result = Text(words.Measured(m)), Text(m.ID)
		x.Coverage = Text(coverage(m))
	}
	if r.Probability != nil {
		p := numeral.Probability(*r.Probability)
		x.Chance = Text(strings.NewReplacer("below ", "< ", "above ", "> ").Replace(p))
		p += " that the true value meets the limit"
		if r.Guard > 0 && r.Limit != nil {
			p += "; guard band w = " + numeral.With(numeral.Significant(r.Guard, 2), r.Limit.Unit)
		}
		x.Probability = Text(p)
	}
	seen := map[string]bool{}
	for _, n := range append(append([]string(nil), c.Notes...), r.Notes...) {
		if !seen[n] {
			seen[n] = true
			x.Notes = append(x.Notes, prose(words.Upper(n)))
		}
	}
	return x
}

// promise is the claimed number, how it was written, and whether its bound is the usual meaning of such a claim or stands
// in it; "" for words alone.
func promise(c claims.Claim) string {
	if c.Claimed == nil {
		return ""
	}
	s := words.Claimed(c)
	if w := words.AsWritten(c); w != "" {
		s += ", written as “" + w + "”"
	}
	if !c.BoundStated() && c.Bound != "" {
		s += " (usual meaning)"
	}
	return s
}

// coverage says how wide the interval of a result is taken: by k and ν, or by a distribution of its own.
func coverage(m *measure.Measurement) string {
	switch {
	case m.Exact != nil:
		return "95 % interval of its own distribution, not symmetric"
	case m.K > 0 && m.Expanded > 0:
		return "k = " + numeral.Short(m.K) + ", ν = " + words.DOF(m.DOF)
	}
	return ""
}

// gap is by how much the measured value differs from the claim; of a level or of a share no percentage is given, since
// it would say nothing.
func gap(r *verdict.Row) string {
	s := words.GapNumbers(r)
	if s == "" {
		return ""
	}
	s = "differs by " + s
	if r.Measured.Expanded > 0 && r.Measured.Finite() && r.Measured.Exact == nil {
		s += ", U = " + numeral.With(numeral.Set(r.Measured.Written().Expanded), r.Measured.Unit)
	}
	return s
}

// hazards says what was measured of ozone and what the words say of it beside; nothing where ozone was not measured, since
// no letter warns of a danger that was not tested.
func (v *View) hazards() {
	for _, r := range v.audit.Rows {
		if r.Claim.Attribute == claims.Ozone && r.Measured != nil && r.Limit != nil {
			s := r.Claim.ID + " is a claim about ozone"
			if r.Claim.Wording != "" {
				s += ": “" + r.Claim.Wording + "”"
			}
			s += ". Measured: " + words.Measured(r.Measured) + "; limit: " + words.Limit(r.Limit) + "."
			v.Hazards = append(v.Hazards, Text(s))
		}
	}
	if len(v.Hazards) == 0 {
		return
	}
	for _, f := range v.audit.Findings {
		if strings.HasPrefix(f.Rule, "OZ-") || f.Rule == "CX-12" {
			s := numeral.Prose(f.Why)
			if f.Quote != "" {
				s = "“" + f.Quote + "” (" + joined(", ", strings.Join(f.Claims, ", "), f.Rule) + "): " + s
			}
			v.Hazards = append(v.Hazards, Text(s))
		}
	}
}
