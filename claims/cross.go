package claims

import (
	"fmt"
	"slices"
	"strings"

	"weighhouse/claims/wording"
	"weighhouse/measure/setting"
	"weighhouse/measure/unit"
)

// CrossFinding is a finding about several claims together.
type CrossFinding struct {
	wording.Finding
	Claims []string
	Place  string // of the first of them
}

// agreement is how far two stated numbers may differ, relative to the larger, and still count as one number rounded
// differently (judgement).
const agreement = 0.05

// Cross checks claims against each other: units that disagree, rate against area and air changes, months against hours,
// watts against yearly energy, the lowest setting's noise or watts beside the highest setting's rate, the best particle
// as the headline, and sources that print different numbers on one date. Like is compared with like: claims of the product
// itself, of one filter, setting, particle, share removed and room. Where a claim does not say which, or its number can
// hardly be meant, the finding is a question.
func Cross(cs []Claim) []CrossFinding {
	x := crossing{}
	for _, c := range cs {
		if c.ofProduct() && (c.Seen == nil || c.Seen.Held() == nil) {
			x.claims = append(x.claims, c)
		}
	}
	x.areaAndRate()
	x.lowBesideHigh()
	x.monthsAndHours()
	x.wattsAndEnergy()
	x.bestParticle()
	x.sources()
	x.unitPairs()
	x.filterMoney()
	x.grades()
	return x.out
}

type crossing struct {
	claims []Claim
	out    []CrossFinding
}

// add makes a finding from the rule's row; detail stands before the rule's own reason.
func (x *crossing) add(rule, detail string, cs ...Claim) {
	var quotes []string
	f := CrossFinding{Place: cs[0].Place.String()}
	for _, c := range cs {
		f.Claims = append(f.Claims, c.ID)
		quotes = append(quotes, said(c))
	}
	f.Finding = wording.RuleFinding(rule, strings.Join(quotes, " | "))
	f.Why = strings.TrimSpace(detail + " " + f.Why)
	x.out = append(x.out, f)
}

// found adds a finding where the claims speak of one thing for sure, and a question where that is not sure.
func (x *crossing) found(l likeness, rule, detail string, cs ...Claim) {
	for _, c := range cs {
		if c.Claimed != nil && !Plausible(c.Attribute, c.Claimed.Low, c.Claimed.High) {
			l = l.and(unsure)
		}
	}
	if l == different {
		return
	}
	x.add(rule, detail, cs...)
	if f := &x.out[len(x.out)-1]; l == unsure {
		f.Class, f.Severity = "ASK", wording.Severity("ASK")
		f.Why = strings.TrimSpace(detail + " The two may be of different settings, particles, rooms or filters, or a number may have been read wrongly; if they are of one, they do not fit together.")
	}
}

// said is the claim's own words, or its number and unit as written.
func said(c Claim) string {
	if c.Wording != "" {
		return c.Wording
	}
	if c.Claimed != nil {
		return c.Claimed.Text
	}
	return string(c.Attribute)
}

// top reports whether a claim is for the highest setting: it names none, or one that is not among the low ones.
func top(c Claim) bool { return !setting.Below(c.Setting) }

// of lists the claims of an attribute that carry a number with a unit.
func (x *crossing) of(a Attribute) []Claim {
	var out []Claim
	for _, c := range x.claims {
		if c.Attribute == a && c.Claimed != nil && c.Claimed.Unit != "" {
			out = append(out, c)
		}
	}
	return out
}

// sameDay reports whether two captures can be set against each other: one date, or a date unknown.
func sameDay(a, b Claim) bool {
	return a.Captured == b.Captured || a.Captured == "" || b.Captured == ""
}

func (x *crossing) areaAndRate() {
	for _, a := range x.of(RoomArea) {
		if a.Basis.AirChanges == 0 {
			continue
		}
		ceiling, named := a.Basis.Ceiling, true
		if ceiling == 0 {
			ceiling, named = 2.4, false
		}
		need := a.Claimed.Low * a.Basis.AirChanges * ceiling
		var best *Claim
		sure := different
		for _, r := range x.of(DeliveryRate) {
			l := settingsAlike(a, r)
			if setting.Below(r.Setting) && l == different || !sameDay(a, r) || a.Particle != "" && r.Particle != "" && a.Particle != r.Particle {
				continue
			}
			if best == nil || r.Claimed.High > best.Claimed.High {
				best, sure = &r, max(l, unsure)
			}
		}
		if best == nil || need <= best.Claimed.High*(1+agreement) {
			continue
		}
		height := fmt.Sprintf("%g m", ceiling)
		if !named {
			height += " (not stated; the lowest of the published rules)"
		}
		x.found(sure, "CX-02", fmt.Sprintf("%s at %g air changes an hour under a ceiling of %s needs %.0f m3/h; the largest such rate claimed is %.0f m3/h, enough for %.0f m2.",
			a.Claimed.Text, a.Basis.AirChanges, height, need, best.Claimed.High, best.Claimed.High/(a.Basis.AirChanges*ceiling)), a, *best)
	}
}

func (x *crossing) lowBesideHigh() {
	rate, rated := Claim{}, false
	for _, r := range x.of(DeliveryRate) {
		if highestOf(r) && (!rated || r.Claimed.High > rate.Claimed.High) {
			rate, rated = r, true
		}
	}
	if !rated {
		return
	}
	for _, p := range []struct {
		attribute    Attribute
		rule, detail string
	}{
		{Noise, "CX-03", "The level is that of the setting %q, the delivery rate that of the highest; no level is stated for the highest setting."},
		{Power, "CX-04", "The watts are those of the setting %q, the delivery rate that of the highest; no watts are stated for the highest setting."},
	} {
		var low *Claim
		high := false
		for _, c := range x.of(p.attribute) {
			if top(c) {
				high = true
			} else if low == nil {
				low = &c
			}
		}
		if low == nil || high {
			continue
		}
		x.add(p.rule, fmt.Sprintf(p.detail, low.Setting), *low, rate)
		if f := &x.out[len(x.out)-1]; rate.Setting == "" {
			f.Class, f.Severity = "INCOMPLETE", wording.Severity("INCOMPLETE")
			f.Why = fmt.Sprintf("Stated for the setting %q; the delivery rate names no setting and is read as that of the highest, for which none is stated. If so, the two never happen together.", low.Setting)
		}
	}
}

func (x *crossing) monthsAndHours() {
	lives := x.of(FilterLife)
	for _, m := range lives {
		if !m.Calendar {
			continue
		}
		for _, h := range lives {
			if h.Calendar || !sameDay(m, h) || m.element() != h.element() {
				continue
			}
			l := settingsAlike(m, h).and(likenessOf(m.Basis.EndOfLife, h.Basis.EndOfLife, ""))
			if d := m.Basis.HoursPerDay; d > 0 {
				if !agree(m.Claimed.High, h.Claimed.High) {
					x.found(l, "CX-07", fmt.Sprintf("%s at %g h/day are %.0f running hours; %s are claimed too.", m.Claimed.Text, d, m.Claimed.High, h.Claimed.Text), m, h)
				}
			} else if perDay := 24 * h.Claimed.Low / m.Claimed.High; perDay > 24 || perDay < 1 {
				x.found(l, "CX-07", fmt.Sprintf("%s and %s agree only at %.1f hours a day.", m.Claimed.Text, h.Claimed.Text, perDay), m, h)
			}
		}
	}
}

func (x *crossing) wattsAndEnergy() {
	for _, e := range x.of(AnnualEnergy) {
		h := e.Basis.HoursPerDay
		for _, p := range x.of(Power) {
			l := settingsAlike(e, p)
			if l == different || !sameDay(e, p) || p.Claimed.Low != p.Claimed.High || e.Claimed.Low != e.Claimed.High {
				continue // of a range no one number can be multiplied
			}
			if x.moreWatts(p) && !setting.Same(p.Setting, e.Setting) {
				continue // a setting in the middle, by its name or not
			}
			if h > 0 {
				kwh := p.Claimed.High * h * 365 / 1000
				if !agree(kwh, e.Claimed.High) && kwh > e.Claimed.High && e.Basis.StandbyHours == 0 {
					x.found(l, "CX-13", fmt.Sprintf("%s for %g h a day are %.0f kWh a year; %s are claimed.", p.Claimed.Text, h, kwh, e.Claimed.Text), e, p)
				}
			} else if p.Claimed.Low > 0 {
				if hours := e.Claimed.Low * 1000 / 365 / p.Claimed.Low; hours > 24.5 || hours < 8*(1-agreement) {
					x.found(l, "CX-13", fmt.Sprintf("%s and %s agree only at %.1f hours a day; the hours are not stated.", e.Claimed.Text, p.Claimed.Text, hours), e, p)
				}
			}
		}
	}
}

// moreWatts reports whether another setting draws more than p.
func (x *crossing) moreWatts(p Claim) bool {
	return slices.ContainsFunc(x.of(Power), func(o Claim) bool { return o.Claimed.High > p.Claimed.High && sameDay(o, p) })
}

// bestParticle notes a headline rate that names no particle and equals the highest of the rates that do.
func (x *crossing) bestParticle() {
	var named []Claim
	for _, r := range x.of(DeliveryRate) {
		if r.Particle != "" && highestOf(r) {
			named = append(named, r)
		}
	}
	if len(named) < 2 {
		return
	}
	best, least := named[0], named[0]
	for _, r := range named {
		if r.Claimed.High > best.Claimed.High {
			best = r
		}
		if r.Claimed.High < least.Claimed.High {
			least = r
		}
	}
	if agree(best.Claimed.High, least.Claimed.High) {
		return
	}
	for _, r := range x.of(DeliveryRate) {
		if r.Particle == "" && highestOf(r) && sameDay(r, best) && sameDay(r, least) && agree(r.Claimed.High, best.Claimed.High) {
			x.add("CX-14", fmt.Sprintf("The headline %s names no particle and is the rate for %s; for %s it is %s.", r.Claimed.Text, best.Particle, least.Particle, least.Claimed.Text), r, best, least)
		}
	}
}

// sources compares what different kinds of source print for one quantity on one date; two units of one number are
// compared too, so that a pair such as m3/h and cfm that differs beyond rounding is found.
func (x *crossing) sources() {
	for i, a := range x.claims {
		for _, b := range x.claims[i+1:] {
			if a.Attribute != b.Attribute || a.Claimed == nil || b.Claimed == nil || a.Claimed.Unit == "" || b.Claimed.Unit == "" {
				continue
			}
			l := settingsAlike(a, b).and(conditionsAlike(a, b))
			if l == different || !sameDay(a, b) || a.Calendar != b.Calendar {
				continue
			}
			if a.Claimed.Low <= b.Claimed.High*1.01 && b.Claimed.Low <= a.Claimed.High*1.01 {
				continue // they overlap
			}
			if SourceKind(a.Source) == SourceKind(b.Source) {
				if ua, ub := unitName(a), unitName(b); ua != ub && a.Attribute != Noise {
					x.found(l, "CX-09", fmt.Sprintf("%s is %.4g %s; %s is %.4g %s.", a.Claimed.Text, a.Claimed.High, a.Claimed.Unit, b.Claimed.Text, b.Claimed.High, b.Claimed.Unit), a, b)
				}
				continue
			}
			x.found(l, "CX-08", fmt.Sprintf("The %s prints %s, the %s %s.", orSource(a), a.Claimed.Text, orSource(b), b.Claimed.Text), a, b)
		}
	}
}

// unitName is the canonical name of a claim's unit, so that two spellings of one unit are one.
func unitName(c Claim) string {
	u, _ := unit.Lookup(c.UnitText)
	return u.Name
}

func orSource(c Claim) string {
	if s := SourceKind(c.Source); s != "" {
		return s
	}
	return "claim " + c.ID
}

func agree(a, b float64) bool { return agreeWithin(a, b, agreement) }
