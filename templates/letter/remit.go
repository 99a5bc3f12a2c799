package letter

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"weighhouse/templates/numeral"
)

// outside says why a claim lies outside a body's remit, "" where it lies within: the body takes only claims of other kinds,
// or does not look at the medium on which the claim was seen.
func (b *Body) outside(c *Claim) string {
	if len(b.takes) > 0 && !slices.ContainsFunc(b.takes, func(kind string) bool {
		return strings.EqualFold(string(c.Attribute), kind) || slices.ContainsFunc(c.Rules, func(r Text) bool { return strings.HasPrefix(string(r), kind) })
	}) {
		return "the body takes up " + string(b.Remit)
	}
	seen := tokens(string(c.Source))
	for _, medium := range b.leavesOut {
		if holds(seen, medium) {
			return "seen on the " + medium + ", which the body does not look at"
		}
	}
	return ""
}

// tokens are the words of a text in small letters, between spaces.
func tokens(s string) string {
	return " " + strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ") + " "
}

func holds(tokens, words string) bool { return strings.Contains(tokens, " "+words+" ") }

// bounds sets the claims apart that the chosen body does not take up, and says where the product's region or the days of the
// captures do not suit the body.
func (v *View) bounds(day time.Time) {
	b := v.Body
	if b == nil {
		return
	}
	n := 0
	var old []string
	for _, c := range v.Claims {
		if !c.Complained() {
			continue
		}
		if why := b.outside(c); why != "" {
			c.Outside = Text(why)
			continue
		}
		n++
		if seen, err := time.Parse(time.DateOnly, string(c.Captured)); b.within > 0 && err == nil && day.Sub(seen) > time.Duration(b.within)*24*time.Hour {
			old = append(old, string(c.ID))
		}
	}
	if n == 0 && len(v.Left()) > 0 {
		v.Warnings = append(v.Warnings, fmt.Sprintf("no claim of this case is within the remit of %s: %s", b.ID, string(b.Remit)))
	}
	if len(old) > 0 {
		v.Warnings = append(v.Warnings, fmt.Sprintf("%s: captured more than %s before %s; the body looks at what has appeared within that time: capture again, or ask the body",
			strings.Join(old, ", "), numeral.Several(b.within, "day"), string(v.Issued)))
	}
	region := tokens(string(v.Product.Region))
	at := func(b *Body) bool {
		return slices.ContainsFunc(b.regions, func(r string) bool { return holds(region, r) })
	}
	if all := load().bodies; !at(b) && slices.ContainsFunc(all, func(o Body) bool { return at(&o) }) {
		v.Warnings = append(v.Warnings, fmt.Sprintf("the product's region is %q, the body acts in %s: see that it can look at this offer", string(v.Product.Region), string(b.Place)))
	}
}

// Left lists the claims that would be taken up, were they not outside the body's remit.
func (v *View) Left() (out []*Claim) {
	for _, c := range v.Claims {
		if c.Outside != "" {
			out = append(out, c)
		}
	}
	return out
}

// mostFirst is how many claims the first page of a dossier holds.
const mostFirst = 5

// First lists the claims of the first page: contradicted ones, those with a grave question on their words, those that cannot
// be assessed; within each in the order of the book.
func (v *View) First() []*Claim {
	out := v.Complained()
	weight := func(c *Claim) int {
		switch {
		case c.Verdict == "contradicted":
			return 0
		case c.Grave:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(out, func(a, b *Claim) int { return weight(a) - weight(b) })
	return out[:min(len(out), mostFirst)]
}

// Request is what is asked of the trader for one claim.
func (c *Claim) Request() Text {
	switch {
	case c.Verdict == "contradicted":
		return "to amend the figure, or to show the test on which it rests"
	case c.Grave:
		return "to amend or to stop the words, or to show the evidence on which they rest"
	}
	return "to amend the statement so that it can be tested: with its conditions and their source"
}

// Checked says when an entry was last looked at, and asks to check where that is more than a year before the letter.
func (v *View) Checked(day Text) Text {
	seen, err := time.Parse(time.DateOnly, string(day))
	issued, bad := time.Parse(time.DateOnly, string(v.Issued))
	if err != nil || bad != nil {
		return "check"
	}
	s := "looked at on " + day
	if issued.After(seen.AddDate(1, 0, 0)) {
		s += ", more than a year before this letter: check"
	}
	return s
}
