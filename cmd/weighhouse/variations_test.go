package main

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"sort"
	"strings"
	"testing"

	"weighhouse/testdata/variations"
	"weighhouse/verdict"
)

var variationSeed = flag.Uint64("variations", 1, "seed of TestVariations")

// placed is how an error names a cell, a row, a column or a table of a book, or a place in a log.
var placed = regexp.MustCompile(`(spec|lab)(\.xlsx: sheet \w+|/\w+\.csv)|logs/\w+\.csv`)

// TestVariations: a book written in another way, or mixed up, gives the audit of the plain book, or an error that names the
// place, or an audit that says in a note, a refused run or a claim held open what is different; it never differs in silence
// and never contradicts a claim that is true. With -v it counts what came out for the kinds that the program was changed
// for, and for the others.
func TestVariations(t *testing.T) {
	t.Logf("seed %d", *variationSeed)
	plain := auditVariation(t, variations.Plain(), "csv")
	if plain.err != nil {
		t.Fatal(plain.err)
	}
	for _, c := range plain.report.Claims {
		if c.Verdict == verdict.Contradicted {
			t.Fatalf("%s is contradicted in the plain case: %s", c.ID, c.Statement)
		}
	}
	base := noteSet(plain.report)
	counts := map[string]int{}
	for k, kind := range variations.Kinds() {
		forms := variations.Forms
		if testing.Short() {
			forms = forms[k%len(forms):][:1]
		}
		for i, form := range forms {
			r := rand.New(rand.NewPCG(*variationSeed, uint64(100*k+i)))
			c := variations.Plain()
			kind.Make(r, c)
			got := auditVariation(t, c, form)
			if got.skip {
				continue
			}
			what := judgeVariation(plain, got, base, kind.Differ)
			group := "first sight"
			if kind.Mended {
				group = "mended for"
			}
			counts[group+": "+strings.SplitN(what, ":", 2)[0]]++
			if strings.HasPrefix(what, "BAD") {
				t.Errorf("%s, as %s: %s", kind.Name, form, what)
			} else {
				t.Logf("%s, as %s: %.180s", kind.Name, form, strings.ReplaceAll(what, "\n", " / "))
			}
		}
	}
	var lines []string
	for g, n := range counts {
		lines = append(lines, fmt.Sprintf("%s %d", g, n))
	}
	sort.Strings(lines)
	t.Log(strings.Join(lines, "; "))
}

type auditedCase struct {
	report verdict.Report
	err    error
	skip   bool
}

func auditVariation(t *testing.T, c *variations.Case, form string) (out auditedCase) {
	t.Helper()
	dir := t.TempDir()
	ok, err := c.Write(dir, form)
	if err != nil {
		t.Fatal(err)
	}
	if !ok {
		return auditedCase{skip: true}
	}
	l, err := load(dir, "2026-08-03")
	if err != nil {
		return auditedCase{err: err}
	}
	return auditedCase{report: l.audit.Report()}
}

// judgeVariation says what came of a variation; BAD begins what must not be.
func judgeVariation(plain, got auditedCase, base map[string]bool, differ bool) string {
	if got.err != nil {
		text := got.err.Error()
		if !placed.MatchString(text) {
			return "BAD: an error that names no place: " + text
		}
		return "refused: " + text
	}
	was := map[string]verdict.ReportClaim{}
	for _, c := range plain.report.Claims {
		was[c.ID] = c
	}
	for _, c := range got.report.Claims {
		if c.Verdict == verdict.Contradicted {
			return fmt.Sprintf("BAD: %s is true and contradicted: %s", c.ID, c.Statement)
		}
	}
	var fresh []string
	for n := range noteSet(got.report) {
		if !base[n] {
			fresh = append(fresh, n)
		}
	}
	sort.Strings(fresh)
	same := len(got.report.Claims) == len(plain.report.Claims)
	for _, c := range got.report.Claims {
		same = same && c.Verdict == was[c.ID].Verdict && near(c.Measured, was[c.ID].Measured) && (c.Claimed == nil) == (was[c.ID].Claimed == nil) &&
			(c.Claimed == nil || c.Claimed.Low == was[c.ID].Claimed.Low && c.Claimed.Unit == was[c.ID].Claimed.Unit)
	}
	switch {
	case same && !differ:
		return "equal"
	case len(fresh) > 0:
		return "noted: " + fresh[0]
	case same:
		return "equal: though the books differ"
	}
	return "BAD: it differs in silence"
}

func near(a, b *verdict.ReportMeasured) bool {
	if a == nil || b == nil {
		return a == b
	}
	close := func(x, y float64) bool { return math.Abs(x-y) <= 1e-9*math.Max(math.Abs(x), 1e-300) }
	return close(a.Value, b.Value) && close(a.Std, b.Std) && a.Unit == b.Unit
}

// noteSet is what an audit says beside its numbers, without places.
func noteSet(r verdict.Report) map[string]bool {
	out := map[string]bool{}
	for _, n := range notesOf(r) {
		out[n] = true
	}
	for _, f := range r.Refused {
		out["refused "+f.Text()] = true
	}
	for _, c := range r.Claims {
		if c.Hold != "" {
			out["hold "+c.Hold] = true
		}
	}
	return out
}
