package listing

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// strangers are listings, with what a fair reader finds in them, by people who had not seen the program.
const strangers = "../../testdata/strangers"

// score adds up, over a set of listings, what was found of what was to be found.
type score struct{ expected, found, right, must, raised, mustNot, unfair, prices, pricesFound, pricesRight int }

func share(n, of int) float64 { return float64(n) / float64(max(of, 1)) }

// TestStrangers keeps what was reached on listings that nobody shaped the program to before they were written. Value,
// bound, setting and particle of a claim must all be right. DEVELOPERS.md tells the figures at first sight.
func TestStrangers(t *testing.T) {
	want, prices, verdicts := csvRows(t, "../strangers/expected.csv"), csvRows(t, "../strangers/prices.csv"), csvRows(t, "../strangers/findings.csv")
	files, err := filepath.Glob(filepath.Join(strangers, "*"))
	if err != nil {
		t.Fatal(err)
	}
	var s score
	for _, file := range files {
		name := filepath.Base(file)
		if filepath.Ext(name) == ".csv" {
			continue
		}
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		x, err := Read(name, f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		e := x.Extract()
		if name == "kwibbel.html" { // Dutch, which is not read, and said so
			if x.unread != "Dutch" || !slices.ContainsFunc(e.Notes, func(n string) bool { return strings.Contains(n, "Dutch") }) {
				t.Errorf("%s: it is not said that the listing is in Dutch: %q, notes %q", name, x.unread, e.Notes)
			}
			continue
		}
		checkPlaces(t, x, e)
		of := func(rows []map[string]string) []map[string]string {
			return slices.DeleteFunc(slices.Clone(rows), func(w map[string]string) bool { return w["listing"] != name })
		}
		s.claims(t, name, of(want), e)
		s.priced(t, name, of(prices), e)
		s.judged(t, x, of(verdicts), Findings(x, e))
	}
	t.Logf("claims: %d expected, %d found, %d right: precision %.3f, recall %.3f", s.expected, s.found, s.right, share(s.right, s.found), share(s.right, s.expected))
	t.Logf("prices: %d expected, %d found, %d right", s.prices, s.pricesFound, s.pricesRight)
	t.Logf("findings: %d of %d that must be raised; %d of %d that must not", s.raised, s.must, s.unfair, s.mustNot)
	if p, r := share(s.right, s.found), share(s.right, s.expected); p < 0.92 || r < 0.92 {
		t.Errorf("precision %.3f and recall %.3f, want 0.92 each", p, r)
	}
	if m, u := share(s.raised, s.must), share(s.unfair, s.mustNot); m < 0.90 || u > 0.01 {
		t.Errorf("%.3f of the findings raised and %.4f unfair ones, want 0.90 or more and 0.01 or less", m, u)
	}
}

func (s *score) claims(t *testing.T, name string, left []map[string]string, e Extract) {
	s.expected, s.found = s.expected+len(left), s.found+len(e.Claims)
	for _, d := range e.Claims {
		i := slices.IndexFunc(left, func(w map[string]string) bool { return saysSame(w, &d) })
		if i < 0 {
			t.Logf("%s:%d:%d: not expected: %s; %q", name, d.Line, d.Col, d.Understood, d.Quote)
			continue
		}
		s.right++
		left = slices.Delete(left, i, i+1)
	}
	for _, w := range left {
		t.Logf("%s: not found: %v", name, w)
	}
}

// saysSame is matches without conditions and second units.
func saysSame(w map[string]string, d *Said) bool {
	c := d.Claim
	bound := ""
	if c.BoundGiven {
		bound = string(c.Bound)
	}
	if string(c.Attribute) != w["attribute"] || (w["low"] == "") != (c.Claimed == nil) {
		return false
	}
	if c.Claimed == nil {
		return true // a grade is words alone
	}
	near := func(want string, got float64) bool {
		v, err := strconv.ParseFloat(want, 64)
		return err == nil && math.Abs(v-got) <= 0.006+1e-4*v // the last of two decimals
	}
	return near(w["low"], c.Claimed.Low) && near(w["high"], c.Claimed.High) && bound == w["bound"] && strings.EqualFold(c.Setting, w["setting"]) && c.Particle == w["particle"]
}

func (s *score) priced(t *testing.T, name string, left []map[string]string, e Extract) {
	s.prices, s.pricesFound = s.prices+len(left), s.pricesFound+len(e.Prices)
	for _, p := range e.Prices {
		i := slices.IndexFunc(left, func(w map[string]string) bool {
			v, err := strconv.ParseFloat(w["value"], 64)
			return err == nil && v == p.Value && w["kind"] == p.Kind && w["currency"] == p.Currency
		})
		if i < 0 {
			t.Logf("%s: price not expected: %s %q", name, p.Kind, p.Quote)
			continue
		}
		s.pricesRight++
		left = slices.Delete(left, i, i+1)
	}
	for _, w := range left {
		t.Logf("%s: price not found: %v", name, w)
	}
}

func (s *score) judged(t *testing.T, x *Text, rows []map[string]string, found []Found) {
	for _, w := range rows {
		at := strings.Index(x.Body, w["quote"])
		i := slices.IndexFunc(found, func(f Found) bool {
			if w["rule"] != "*" && w["rule"] != f.Rule && !slices.Contains(f.Also, w["rule"]) {
				return false
			}
			if at >= 0 && f.Start < at+len(w["quote"]) && at < f.End {
				return true
			}
			return (at < 0 || w["kind"] == "must") && meets(squash(f.Quote), squash(w["quote"])) // the same words elsewhere
		})
		if w["kind"] == "must" {
			if s.must++; i >= 0 {
				s.raised++
			} else {
				t.Logf("%s: not raised: %s %q (%s)", x.Name, w["rule"], w["quote"], w["why"])
			}
			continue
		}
		if s.mustNot++; i >= 0 {
			s.unfair++
			t.Logf("%s: unfair: %s %q, for: %s", x.Name, found[i].Rule, found[i].Quote, w["why"])
		}
	}
}

// meets reports whether of two quotes one holds the other.
func meets(a, b string) bool { return strings.Contains(a, b) || strings.Contains(b, a) }
