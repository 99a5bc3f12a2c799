package listing

import (
	"fmt"
	"slices"
	"strings"

	"weighhouse/claims"
)

// Change is what two captures of one listing say of one thing: a claim, a price or words with a finding. A side that does not say
// it is empty.
type Change struct {
	What     string `json:"what"` // "noise at the setting \"sleep\"", "price of the product", "words: BIO-01"
	Was      string `json:"was"`  // the words of the older capture
	Now      string `json:"now"`
	WasPlace string `json:"was_at"`
	NowPlace string `json:"now_at"`
}

// Changes is what a newer capture of a listing changed, dropped and added.
type Changes struct {
	Changed []Change `json:"changed"`
	Dropped []Change `json:"dropped"`
	Added   []Change `json:"added"`
	Same    int      `json:"same"` // claims and prices that both state alike
}

// Compare sets a newer capture of a listing against an older one.
func Compare(old, now Report) Changes {
	c := Changes{Changed: []Change{}, Dropped: []Change{}, Added: []Change{}}
	c.compare(statements(old), statements(now))
	return c
}

// statement is one thing that a capture says, by what it is about.
type statement struct{ about, value, words, place string }

func statements(r Report) (out []statement) {
	at := func(line, col int) string { return fmt.Sprintf("%s:%d:%d", r.Listing, line, col) }
	for _, d := range r.Claims {
		x := &d.Claim
		about := string(x.Attribute)
		if x.Particle != "" {
			about += " for " + x.Particle
		}
		if x.Setting != "" {
			about += fmt.Sprintf(" at the setting %q", x.Setting)
		}
		if x.Basis.Element != "" {
			about += " of the " + x.Basis.Element
		}
		value := strings.ToLower(squash1(d.Quote))
		if x.Claimed != nil {
			value = fmt.Sprintf("%s %.6g %.6g %s", x.Bound, x.Claimed.Low, x.Claimed.High, strings.Join(x.Basis.Parts, ";"))
		}
		out = append(out, statement{about, value, squash1(d.Quote), at(d.Line, d.Col)})
	}
	for _, p := range r.Prices {
		out = append(out, statement{"price: " + p.Kind, fmt.Sprintf("%.6g %s", p.Value, p.Currency), squash1(p.Quote), at(p.Line, p.Col)})
	}
	for _, f := range r.Findings {
		if len(f.Claims) == 0 && f.Quote != "" && f.Class != "DEFINED" { // of words that are no claim
			out = append(out, statement{"words: " + f.Rule, strings.ToLower(squash1(f.Quote)), squash1(f.Quote), at(f.Line, f.Col)})
		}
	}
	return out
}

func squash1(s string) string { return strings.Join(strings.Fields(s), " ") }

// compare pairs the statements about one thing: first those of one value, then the rest in their order.
func (c *Changes) compare(was, now []statement) {
	take := func(list *[]statement, fits func(statement) bool) (statement, bool) {
		i := slices.IndexFunc(*list, fits)
		if i < 0 {
			return statement{}, false
		}
		s := (*list)[i]
		*list = slices.Delete(*list, i, i+1)
		return s, true
	}
	var left []statement
	for _, w := range was {
		if _, ok := take(&now, func(n statement) bool { return n.about == w.about && n.value == w.value }); ok {
			c.Same++
			continue
		}
		left = append(left, w)
	}
	for _, w := range left {
		n, ok := take(&now, func(n statement) bool { return n.about == w.about && !strings.HasPrefix(w.about, "words") })
		if ok {
			c.Changed = append(c.Changed, Change{w.about, w.words, n.words, w.place, n.place})
		} else {
			c.Dropped = append(c.Dropped, Change{What: w.about, Was: w.words, WasPlace: w.place})
		}
	}
	for _, n := range now {
		c.Added = append(c.Added, Change{What: n.about, Now: n.words, NowPlace: n.place})
	}
}

// Sure reports whether a claim was read without an assumption: what its notes say was assumed makes it unsure.
func (d *Said) Sure() bool {
	return !slices.ContainsFunc(d.Claim.Notes, func(n string) bool {
		return strings.Contains(n, "read as") || strings.HasPrefix(n, "several figures") || strings.HasPrefix(n, "one figure for several")
	})
}

// Reading counts what was read of a listing and how surely.
type Reading struct {
	Sure    int `json:"sure"`     // claims read without an assumption
	Unsure  int `json:"unsure"`   // claims that rest on one
	NotRead int `json:"not_read"` // figures with a unit that were taken for no claim and no condition of one
	Passed  int `json:"passed"`   // stretches passed over as being about something else
	Hidden  int `json:"hidden"`   // characters that the page hides
}

func (t *Text) reading(e Extract) (r Reading) {
	taken := 0
	for i := range e.Claims {
		d := &e.Claims[i]
		if d.Sure() {
			r.Sure++
		} else {
			r.Unsure++
		}
		if d.Claim.Claimed != nil {
			taken += len(d.figures)
		}
		taken += conditionsOf(&d.Claim)
	}
	r.NotRead = max(e.figures-taken-len(e.Stated), 0)
	r.Passed, r.Hidden = len(t.Asides), t.Unread
	return r
}

// conditionsOf is how many figures stand in the conditions of a claim.
func conditionsOf(c *claims.Claim) (n int) {
	for _, p := range c.Basis.Parts {
		if hasDigit(p) && !strings.ContainsAny(p, ":") {
			n++
		}
	}
	if strings.HasSuffix(c.Particle, "um") {
		n++
	}
	return n
}

// Sentence is the sentence of the listing that holds Body[start:end], for a quote that has to stand alone.
func (t *Text) Sentence(start, end int) string {
	lo, hi := start, end
	t.split(func(a, b int, _ bool) {
		if a <= start && start < b {
			lo, hi = min(lo, a), max(hi, b)
		}
	})
	return squash1(strings.ToValidUTF8(t.Body[lo:hi], " "))
}
