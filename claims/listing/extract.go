package listing

import (
	"fmt"
	"slices"
	"strings"

	"weighhouse/claims"
)

// MaxClaims bounds how many claims are read from one listing.
const MaxClaims = 500

// Extract is what a listing says, in the order in which it says it.
type Extract struct {
	Claims  []Said
	Prices  []Price
	Stated  []Stated       // figures that bear on claims and are none: the fan's air flow, air changes
	Product claims.Product // maker and model only where the listing labels them
	Notes   []string
	figures int      // quantities met
	denied  []extent // figures that the words deny
}

// List is the claims alone.
func (e Extract) List() []claims.Claim {
	out := make([]claims.Claim, len(e.Claims))
	for i, d := range e.Claims {
		out[i] = d.Claim
	}
	return out
}

// Extract finds the claims, prices and labels of a listing. Each claim is listed once, with the other places where the
// listing repeats it.
func (t *Text) Extract() Extract {
	r := &reader{t: t}
	t.sentences(func(s *sentence) {
		r.productOf(s)
		if !strings.HasSuffix(s.text, "?") && !strings.HasSuffix(s.text, "？") { // a question asserts nothing
			r.gradesOf(s)
			if len(s.qs) > 0 {
				r.e.figures += len(s.qs)
				r.claimsOf(s)
			}
			r.apartFrom(s)
		}
		if s.numeric {
			r.pricesOf(s)
		}
	})
	r.listPrice()
	r.currency()
	r.giveApart()
	if len(r.e.Claims) >= MaxClaims {
		r.e.Notes = append(r.e.Notes, fmt.Sprintf("the first %d claims were read; the listing holds more", MaxClaims))
	}
	if t.unread != "" {
		r.e.Notes = append(r.e.Notes, "the listing seems to be in "+t.unread+", which is not read: little of what it claims was found, and what was found may be misread")
	}
	if len(r.e.Claims) == 0 && r.e.figures > 0 {
		r.e.Notes = append(r.e.Notes, fmt.Sprintf("%d figures with units stand in the text and no claim was read from them: read it yourself, and do not take this for a listing without claims", r.e.figures))
	}
	if onlyFilter().MatchString(t.Title + "\n" + lineAt(t.Body, 0)) {
		r.e.Notes = append(r.e.Notes, "this seems to be the listing of a filter alone, not of a cleaner: what is asked of a cleaner does not apply")
	}
	if t.Old {
		r.e.Notes = append(r.e.Notes, "the file is not in UTF-8 and was read as Windows-1252: check accented letters and signs such as €")
	}
	if t.PDF {
		r.e.Notes = append(r.e.Notes, "the file is a PDF: its pages were laid out as lines of text, and places name those lines; check tables against the pages")
	}
	if t.passed*2 > len(t.Body) {
		r.e.Notes = append(r.e.Notes, "more than half of the text was passed over as speaking of something else: check the list of it")
	}
	if t.Unread > 0 {
		r.e.Notes = append(r.e.Notes, fmt.Sprintf("%d characters that the page hides (templates, other variants) were passed over, and what holds a figure is listed as such; open what belongs to the offer before you save the page", t.Unread))
	}
	r.merge()
	finishProduct(&r.e, t.Name)
	return r.e
}

// onlyFilter matches a title that offers a filter for a cleaner and no cleaner.
var onlyFilter = lazily(`(?i)\b(?:replacement|spare|refill)[- ][^\n]{0,30}\b(?:filters?|cartridges?)\b|\b(?:filters?|cartridges?) (?:replacement|refill|set for|kit for|for the)\b|\bersatzfilter|\bfiltres? de (?:rechange|remplacement)|\bfiltros? de (?:repuesto|recambio)|\bfiltr[oi] di ricambio|替换滤(?:芯|网)|交換用?フィルター`)

// merge lists every claim once: equal figures together, a grade that says no more than another under that one.
func (r *reader) merge() {
	slices.SortStableFunc(r.e.Claims, func(a, b Said) int { return a.Start - b.Start })
	var out []Said
	for _, d := range r.e.Claims {
		i := slices.IndexFunc(out, func(o Said) bool { return sameClaim(&o, &d) })
		if i < 0 {
			out = append(out, d)
			continue
		}
		o := &out[i]
		if better(&d, o) {
			d.Also = append(o.Also, fmt.Sprintf("%d:%d", o.Line, o.Col))
			d.figures = append(d.figures, o.figures...)
			out[i] = d
		} else {
			o.Also = append(o.Also, fmt.Sprintf("%d:%d", d.Line, d.Col))
			o.figures = append(o.figures, d.figures...)
		}
	}
	// A better grade may have taken the place of one that others repeat.
	for i := 0; i < len(out); i++ {
		for k := len(out) - 1; k > i; k-- {
			if sameClaim(&out[i], &out[k]) {
				out[i].Also = append(out[i].Also, append([]string{fmt.Sprintf("%d:%d", out[k].Line, out[k].Col)}, out[k].Also...)...)
				out[i].figures = append(out[i].figures, out[k].figures...)
				out = slices.Delete(out, k, k+1)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Said) int { return a.Start - b.Start })
	for i := range out {
		out[i].Claim.ID = fmt.Sprintf("C%d", i+1)
		if out[i].Claim.Attribute == claims.FilterGrade {
			out[i].Value = ""
		}
	}
	r.e.Claims = out
}

// sameClaim reports whether two claims say the same.
func sameClaim(a, b *Said) bool {
	x, y := &a.Claim, &b.Claim
	if x.Attribute != y.Attribute {
		return false
	}
	if x.Claimed == nil || y.Claimed == nil {
		return x.Claimed == nil && y.Claimed == nil && (sameGrade(a.Value, b.Value) || sameGrade(b.Value, a.Value))
	}
	// A repeat that says less (no setting, no particle, no condition) is the same claim; one that says otherwise is not.
	like := func(p, q string) bool { return p == q || p == "" || q == "" }
	return x.Claimed.Low == y.Claimed.Low && x.Claimed.High == y.Claimed.High && like(x.Setting, y.Setting) && like(x.Particle, y.Particle) &&
		like(x.Basis.Text, y.Basis.Text) && x.Calendar == y.Calendar && x.Basis.Element == y.Basis.Element &&
		(a.ran == b.ran || a.Value == b.Value && a.UnitName == b.UnitName) && (a.apart == "") == (b.apart == "")
}

// better reports whether d says more than o.
func better(d, o *Said) bool {
	if d.Claim.Claimed == nil {
		return len(d.Value) > len(o.Value)
	}
	score := func(x *Said) int {
		n := 0
		for _, s := range []string{x.Claim.Setting, x.Claim.Particle, x.Claim.Basis.Text, x.Second} {
			if s != "" {
				n++
			}
		}
		if x.Claim.Setting != "" { // what a test needs most
			n++
		}
		if x.Claim.BoundGiven {
			n++
		}
		return n
	}
	return score(d) > score(o)
}
