package claims

import (
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"weighhouse/measure/setting"
)

// Thread is one claim as one source printed it on different dates.
type Thread struct {
	Attribute Attribute
	Source    string
	Entries   []Claim // by date of capture, at least one
	Change    string  // one sentence, no motive implied
}

var leadingWord = regexp.MustCompile(`(?i)^(rating plate|box|listing|manual|website|web site|label|advertisement|leaflet)\b`)

// SourceKind is the kind of source that a claim names: "listing" for "listing, third bullet".
func SourceKind(source string) string {
	if m := leadingWord.FindString(strings.TrimSpace(source)); m != "" {
		return strings.ToLower(m)
	}
	return strings.ToLower(strings.TrimSpace(strings.SplitN(source, ",", 2)[0]))
}

// Histories orders the captures of each claim by date: same attribute, setting, particle, filter element and
// kind of source. A thread is
// given where the words or the number changed between dates, or where a claim recorded on one date is not among those
// recorded from the same source on a later one.
func Histories(cs []Claim) []Thread {
	type key struct {
		attribute                 Attribute
		setting, particle, source string
		element                   string
	}
	groups := map[key][]Claim{}
	var order []key
	last := map[string]string{} // latest date of each source
	for _, c := range cs {
		if c.Captured == "" {
			continue
		}
		src := SourceKind(c.Source)
		k := key{c.Attribute, setting.Key(c.Setting), c.Particle, src, c.Basis.Element}
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], c)
		if c.Captured > last[src] {
			last[src] = c.Captured
		}
	}
	var out []Thread
	for _, k := range order {
		g := groups[k]
		sort.SliceStable(g, func(i, j int) bool { return g[i].Captured < g[j].Captured })
		t := Thread{Attribute: k.attribute, Source: k.source, Entries: g}
		first, latest := g[0], g[len(g)-1]
		switch {
		case latest.Captured < last[k.source]:
			t.Change = fmt.Sprintf("recorded on %s; not among the claims recorded from the same source on %s", latest.Captured, last[k.source])
		case first.Captured == latest.Captured:
			continue
		default:
			t.Change = change(first, latest)
		}
		out = append(out, t)
	}
	return out
}

// change says in one sentence how the later of two captures differs from the earlier.
func change(a, b Claim) string {
	dates := fmt.Sprintf("between %s and %s", a.Captured, b.Captured)
	switch {
	case a.Claimed != nil && b.Claimed == nil:
		return fmt.Sprintf("the figure %s stood there on %s; on %s words stand in its place", a.Claimed.Text, a.Captured, b.Captured)
	case a.Claimed == nil && b.Claimed != nil:
		return fmt.Sprintf("no figure stood there on %s; on %s it is %s", a.Captured, b.Captured, b.Claimed.Text)
	case a.Claimed != nil && b.Claimed != nil && (a.Claimed.Low != b.Claimed.Low || a.Claimed.High != b.Claimed.High):
		less := b.Claimed.Low < a.Claimed.Low
		word := "rose"
		if less {
			word = "fell"
		}
		by := ""
		if a.Claimed.Low > 0 {
			by = fmt.Sprintf(" (%+.0f %%)", 100*(b.Claimed.Low/a.Claimed.Low-1))
		}
		s := fmt.Sprintf("the figure %s from %s to %s%s %s", word, a.Claimed.Text, b.Claimed.Text, by, dates)
		if info, ok := Lookup(string(a.Attribute)); ok {
			if less == (info.Bound == AtLeast) {
				s += "; the later claim promises less"
			} else {
				s += "; the later claim promises more"
			}
		}
		return s
	case a.Bound != b.Bound:
		return fmt.Sprintf("the same figure was %q and became %q %s", a.Bound, b.Bound, dates)
	case a.Basis.Text != b.Basis.Text:
		return fmt.Sprintf("the stated conditions changed from %q to %q %s", a.Basis.Text, b.Basis.Text, dates)
	case a.Wording != b.Wording:
		return fmt.Sprintf("the words changed %s; the figure did not", dates)
	}
	return "unchanged " + dates
}

var sizeNumber = regexp.MustCompile(`^(\d+(?:\.\d+)?)(?:-\d+(?:\.\d+)?)? um$`)

// SizeUm is the size that a normalised particle names, in micrometres (the lower end of a band); 0 where it names none.
func SizeUm(particle string) float64 {
	m := sizeNumber.FindStringSubmatch(particle)
	if m == nil {
		return 0
	}
	x, _ := strconv.ParseFloat(m[1], 64)
	return x
}
