package listing

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"weighhouse/claims"
	"weighhouse/claims/wording"
)

// Found is a finding with its place in the listing's source.
type Found struct {
	wording.Finding
	Line, Col int
	Claims    []string // ids of the claims that it is about
}

// Findings lists what a reader should know of the listing's words: the words themselves, what each claim leaves out,
// two units that disagree, and claims that disagree with each other; by place. Body[Start:End] is the Quote.
func Findings(t *Text, e Extract) []Found {
	var out []Found
	add := func(f wording.Finding, ids ...string) {
		x := Found{Finding: f, Claims: ids}
		x.Line, x.Col = t.At(f.Start)
		out = append(out, x)
	}
	all := e.List()
	for _, f := range wording.Check(t.offer, wording.Context{At: e.known(), DecimalComma: t.decimalComma()}) {
		f.Quote = t.Body[f.Start:f.End]
		ids := e.claimsAt(f.Start, f.End)
		if slices.ContainsFunc(e.denied, func(x extent) bool { return x.meets(f.Start, f.End) }) {
			continue // "not for rooms above 50 m²" leaves nothing to ask
		}
		if !e.repeats(out, f, ids) && !e.ofClaims(f, ids) && !claims.Answered(f.Rule, &claims.Claim{}, all) {
			add(f, ids...)
		}
	}
	for _, d := range e.Claims {
		words := d.Claim.Words()
		words.DecimalComma = t.decimalComma()
		for _, f := range wording.Check(t.around(&d), words) {
			if f.Start != 0 || f.End != 0 {
				continue // found in the whole text above
			}
			if slices.ContainsFunc(out, func(x Found) bool {
				return (x.Rule == f.Rule || slices.Contains(x.Also, f.Rule)) && x.Start < d.End && d.Start < x.End
			}) {
				continue
			}
			f.Quote, f.Start, f.End = d.Quote, d.Start, d.End
			add(f, d.Claim.ID)
		}
		if d.apart != "" {
			f := about("CX-09", "The two units disagree by more than rounding: "+d.apart+".", d)
			if !d.far || !d.Sure() {
				f.Unsure()
			}
			add(f, d.Claim.ID)
		}
	}
	e.flow(add)
	e.twoRates(add)
	for _, x := range claims.Cross(all) {
		i := slices.IndexFunc(e.Claims, func(d Said) bool { return len(x.Claims) > 0 && d.Claim.ID == x.Claims[0] })
		if i < 0 || x.Rule == "CX-09" {
			continue // two units of one figure stand side by side, and are compared above
		}
		f := x.Finding
		f.Unsure()
		f.Start, f.End, f.Quote = e.Claims[i].Start, e.Claims[i].End, e.Claims[i].Quote
		if others := e.quotes(x.Claims[1:]); others != "" {
			f.Why += " Compared with: " + others + "."
		}
		add(f, x.Claims...)
	}
	for i := range out {
		if t.unread != "" {
			out[i].Doubt() // the words were read with the words of another language
		}
	}
	slices.SortStableFunc(out, func(a, b Found) int { return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.End, b.End)) })
	return foldFound(out)
}

// foldFound folds what says one thing of one claim into one finding.
func foldFound(all []Found) []Found {
	gone := make([]bool, len(all))
	for i, f := range all {
		for _, id := range wording.FoldsInto(f.Rule) {
			k := slices.IndexFunc(all, func(o Found) bool {
				return o.Rule == id && (o.Start < f.End && f.Start < o.End || len(f.Claims) > 0 && slices.Equal(o.Claims, f.Claims))
			})
			if k >= 0 && !gone[k] {
				all[k].Take(f.Finding)
				gone[i] = true
				break
			}
		}
	}
	var out []Found
	for i, f := range all {
		if !gone[i] {
			out = append(out, f)
		}
	}
	return out
}

// maxAround bounds in bytes the words around a claim that are searched for what it states.
const maxAround = 800

// around is the claim's words with their line, where the conditions of a claim stand: "For smoke, by GB/T 18801, 370 m³/h";
// "It lasts 3,000 hours. By then the rate has fallen to half."
func (t *Text) around(d *Said) string {
	start := strings.LastIndexByte(t.offer[:d.Start], '\n') + 1
	if start > 0 { // a row of a table stands on several lines, each with its label
		above := strings.LastIndexByte(t.offer[:start-1], '\n') + 1
		if i := strings.IndexAny(t.offer[start:], ",:"); i > 3 && strings.HasPrefix(t.offer[above:], t.offer[start:start+i+1]) {
			start = above
		}
	}
	start = max(start, d.Start-maxAround/2)
	for start < d.Start && !utf8.RuneStart(t.offer[start]) {
		start++
	}
	end := min(d.End+len(lineAt(t.offer[d.End:], 0)), d.Start+maxAround)
	for end > d.End && end < len(t.offer) && !utf8.RuneStart(t.offer[end]) {
		end--
	}
	return t.offer[start:max(d.End, end)]
}

// repeats reports whether a finding says of claims what another one says already (an area in m² and again in ft²), or
// asks of the room of a clean time what belongs to an area claim.
func (e Extract) repeats(out []Found, f wording.Finding, ids []string) bool {
	if len(ids) == 0 {
		return false
	}
	times := true
	for _, d := range e.Claims {
		if slices.Contains(ids, d.Claim.ID) && d.Claim.Attribute != claims.CleanTime {
			times = false
		}
	}
	if times && (f.Rule == "CV-01" || f.Rule == "CV-02") {
		return true
	}
	return slices.ContainsFunc(out, func(x Found) bool {
		return x.Rule == f.Rule && x.Why == f.Why && slices.Equal(x.Claims, ids)
	})
}

// ofClaims reports whether a finding on the words sets figures against each other that the claims are set against each other
// for themselves: a level against a rate, an area with its air changes against a rate.
func (e Extract) ofClaims(f wording.Finding, ids []string) bool {
	return slices.ContainsFunc(e.Claims, func(d Said) bool {
		c := &d.Claim
		return slices.Contains(ids, c.ID) &&
			(f.Rule == "CV-06" && c.Attribute == claims.Noise || f.Rule == "CV-07" && c.Attribute == claims.RoomArea && c.Basis.AirChanges > 0)
	})
}

// about makes a finding of a rule that quotes a claim.
func about(rule, why string, d Said) wording.Finding {
	f := wording.RuleFinding(rule, d.Quote)
	f.Start, f.End = d.Start, d.End
	f.Why = strings.TrimSpace(why + " " + f.Why)
	return f
}

// flow compares the rates with the fan's own air flow: no more air can be cleaned than is moved.
func (e Extract) flow(add func(wording.Finding, ...string)) {
	most := 0.0
	var at Stated
	for _, s := range e.Stated {
		if s.Kind == "air flow" && s.Value > most {
			most, at = s.Value, s
		}
	}
	for _, d := range e.Claims {
		if d.Claim.Attribute == claims.DeliveryRate && d.Claim.Claimed != nil && most > 0 && d.Claim.Claimed.Low > most*1.01 {
			f := about("CX-01", fmt.Sprintf("The listing says that the fan moves %s and that %s of clean air come out; no more can be cleaned than is moved.",
				at.Quote, d.Claim.Claimed.Text), d)
			if d.Claim.Claimed.Low <= most*1.05 || !d.Sure() {
				f.Unsure()
			}
			add(f, d.Claim.ID)
		}
	}
}

// twoRates finds two delivery rates for one thing: one particle or none named, one setting, one test.
func (e Extract) twoRates(add func(wording.Finding, ...string)) {
	for i, a := range e.Claims {
		for _, b := range e.Claims[i+1:] {
			x, y := &a.Claim, &b.Claim
			if x.Attribute != claims.DeliveryRate || y.Attribute != claims.DeliveryRate || x.Claimed == nil || y.Claimed == nil || x.Particle != y.Particle || x.Setting != y.Setting ||
				x.Basis.Standard != y.Basis.Standard || x.Claimed.Low <= y.Claimed.High*1.03 && y.Claimed.Low <= x.Claimed.High*1.03 {
				continue
			}
			add(about("CV-09", fmt.Sprintf("%s here and %s at %d:%d.", x.Claimed.Text, y.Claimed.Text, b.Line, b.Col), a), x.ID, y.ID)
			return
		}
	}
}

func (e Extract) quotes(ids []string) string {
	var out []string
	for _, d := range e.Claims {
		if slices.Contains(ids, d.Claim.ID) {
			out = append(out, fmt.Sprintf("%q (%d:%d)", d.Quote, d.Line, d.Col))
		}
	}
	return strings.Join(out, ", ")
}

// shorten cuts s to at most n bytes at a word.
func shorten(s string, n int) string {
	if len(s) <= n {
		return s
	}
	i := strings.LastIndexByte(s[:n], ' ')
	if i < n/2 {
		for i = n; i > 0 && s[i]&0xc0 == 0x80; i-- {
		}
	}
	return s[:i] + " …"
}

// MarshalJSON writes a finding as audit.json does, with its place.
func (f Found) MarshalJSON() ([]byte, error) {
	ids := f.Claims
	if ids == nil {
		ids = []string{}
	}
	return json.Marshal(struct {
		Rule     string   `json:"rule"`
		Also     []string `json:"same_as"` // rules of the same meaning that found the same words
		Class    string   `json:"class"`
		Severity string   `json:"severity"`
		Claims   []string `json:"claims"`
		Quote    string   `json:"quote"`
		Line     int      `json:"line"`
		Col      int      `json:"column"`
		Why      string   `json:"why"`
		Ask      string   `json:"ask"`
		Evidence string   `json:"evidence"`
		Source   string   `json:"source"`
		Mark     string   `json:"mark"`
	}{f.Rule, list(f.Also), f.Class, f.Severity, ids, f.Quote, f.Line, f.Col, f.Why, f.Ask, f.Evidence, f.Source, f.Mark})
}
