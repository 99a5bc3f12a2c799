package verdict

import (
	"weighhouse/claims"
	"weighhouse/claims/wording"
)

// reader collects the wording findings of claims, each once.
type reader struct {
	audit *Audit
	last  []wording.Finding // of the claim read last
}

// claim checks one claim's words with all that is known of it.
func (r *reader) claim(c claims.Claim) {
	text := c.Wording
	if text == "" && c.Claimed == nil {
		r.last = nil
		return
	}
	r.last = wording.Check(text, contextOf(c))
	if c.Bound == claims.UpTo && !ceiling(c.Attribute) && !unbounded(r.last) {
		r.last = append(r.last, wording.RuleFinding("PE-06", upToQuote(c)))
	}
	for _, f := range r.last {
		place := c.Place
		place.Col, place.Column = 0, ""
		r.add(Finding{Finding: f, Claims: []string{c.ID}, Place: place.String()})
	}
}

// together checks the claims against each other.
func (r *reader) together(cs []claims.Claim) {
	for _, x := range claims.Cross(cs) {
		r.add(Finding{Finding: x.Finding, Claims: x.Claims, Place: x.Place})
	}
}

// add keeps a finding once: the same rule on the same words of several claims becomes one finding with all of them.
func (r *reader) add(f Finding) {
	for i, old := range r.audit.Findings {
		if old.Rule == f.Rule && old.Quote == f.Quote && f.Quote != "" {
			for _, id := range f.Claims {
				if !has(old.Claims, id) {
					r.audit.Findings[i].Claims = append(r.audit.Findings[i].Claims, id)
				}
			}
			return
		}
	}
	r.audit.Findings = append(r.audit.Findings, f)
}

func has(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// contextOf tells the word rules what the other columns of a claim say.
func contextOf(c claims.Claim) wording.Context {
	x := wording.Context{Attribute: string(c.Attribute), Bound: string(c.Bound), Setting: c.Setting, Particle: c.Particle, BasisText: c.Basis.Text,
		Standard: c.Basis.Standard, Distance: c.Basis.Distance, AirChanges: c.Basis.AirChanges, HoursPerDay: c.Basis.HoursPerDay,
		Ceiling: c.Basis.Ceiling, Flow: c.Basis.Flow, SoundPower: c.Basis.SoundPower, SoundPressure: c.Basis.SoundPressure}
	if c.Claimed != nil {
		x.Numeric, x.Value, x.High, x.Unit = c.Claimed.Unit != "", c.Claimed.Low, c.Claimed.High, c.Claimed.Unit
	}
	x.SizeUm = claims.SizeUm(c.Particle)
	return x
}

// unbounded reports whether a finding says already that the words name only a ceiling.
func unbounded(fs []wording.Finding) bool {
	for _, f := range fs {
		if f.Class == "UNBOUNDED" {
			return true
		}
	}
	return false
}

// upToQuote is the claim's own "up to", or its number as written.
func upToQuote(c claims.Claim) string {
	if c.Wording != "" {
		return c.Wording
	}
	return "up to " + c.Claimed.Text
}
