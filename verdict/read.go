package verdict

import (
	"slices"

	"weighhouse/claims"
	"weighhouse/claims/wording"
)

// reader collects the wording findings of claims, each once.
type reader struct {
	audit *Audit
	all   []claims.Claim
	last  []wording.Finding // of the claim read last
}

// claim checks one claim's words with all that is known of it.
func (r *reader) claim(c claims.Claim) {
	text := c.Wording
	if text == "" && c.Claimed == nil {
		r.last = nil
		return
	}
	r.last = slices.DeleteFunc(wording.Check(text, c.Words()), func(f wording.Finding) bool { return claims.Answered(f.Rule, &c, r.all) })
	if c.Bound == claims.UpTo && !ceiling(c.Attribute) && !unbounded(r.last) && !roomAtRate(c) {
		r.last = append(r.last, wording.RuleFinding("PE-06", upToQuote(c)))
	}
	for _, f := range r.last {
		if f.Quote == "" {
			f.Quote = whole(c)
		}
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

// unbounded reports whether a finding says already that the words name only a ceiling.
func unbounded(fs []wording.Finding) bool {
	for _, f := range fs {
		if f.Class == "UNBOUNDED" {
			return true
		}
	}
	return false
}

// roomAtRate reports whether "up to" names the largest room for a stated air change rate: that is a bound with its condition,
// not a ceiling read as typical.
func roomAtRate(c claims.Claim) bool {
	return c.Attribute == claims.RoomArea && c.Basis.AirChanges > 0
}

// whole is what a finding about a whole claim quotes: its words, or its number as written.
func whole(c claims.Claim) string {
	if c.Wording != "" || c.Claimed == nil {
		return c.Wording
	}
	return c.Claimed.Text
}

// upToQuote is the claim's own "up to", or its number as written.
func upToQuote(c claims.Claim) string {
	if c.Wording != "" {
		return c.Wording
	}
	return "up to " + c.Claimed.Text
}
