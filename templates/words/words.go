// Package words writes the parts of an audit as short texts for readers: what a claim is about, what it promises, what
// was measured, how sure the verdict is, and which words a finding is about. Reports that are set differently say the
// same thing with it. It computes no result and rounds by package numeral.
package words

import (
	"math"
	"slices"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/source"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// Upper gives a text a capital first letter, unless it begins with a symbol such as kWh.
func Upper(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	next, _ := utf8.DecodeRuneInString(s[n:])
	if n == 0 || r == utf8.RuneError || unicode.IsUpper(next) {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// Sentence gives a text its capital letter and its full stop.
func Sentence(s string) string {
	s = Upper(strings.TrimSpace(s))
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// Shorten cuts a text to n characters with an ellipsis, at a space where one is near; runs of white space become one
// space.
func Shorten(s string, n int) string {
	rs := []rune(strings.Join(strings.Fields(s), " "))
	if len(rs) <= n {
		return string(rs)
	}
	cut := n - 1
	for i := cut; i > cut-12 && i > 0; i-- {
		if rs[i] == ' ' {
			cut = i
			break
		}
	}
	return strings.TrimRight(string(rs[:cut]), " ,;.") + "…"
}

// Product is maker and model, or what there is of them.
func Product(a *verdict.Audit) string {
	if s := strings.TrimSpace(a.Product.Maker + " " + a.Product.Model); s != "" {
		return s
	}
	return "product not named"
}

// Eyebrow is the line above a report's title.
func Eyebrow(a *verdict.Audit) string {
	s := "Claims audit"
	if a.Case != "" {
		s += " · case " + a.Case
	}
	return s + " · issued " + a.Issued
}

// Field is the value of a field of the test record, or "".
func Field(a *verdict.Audit, name string) string {
	for _, f := range a.Test.Fields {
		if strings.EqualFold(f.Name, name) {
			return f.Value
		}
	}
	return ""
}

// Subject is what a claim is about: "delivery rate, max, smoke".
func Subject(c claims.Claim) string {
	s := string(c.Attribute)
	for _, p := range []string{c.Setting, c.Particle} {
		if p != "" && !strings.Contains(s, p) {
			s += ", " + Particle(p)
		}
	}
	return s
}

// Particle is the printed form of a particle: "0.3 um" becomes "0.3 µm", pm2.5 becomes PM2.5.
func Particle(p string) string {
	if n, ok := strings.CutSuffix(p, " um"); ok {
		return n + "\u00a0µm"
	}
	if strings.HasPrefix(p, "pm") {
		return "PM" + p[2:]
	}
	return p
}

// Claimed is the claimed number with its bound: "≥ 320 m³/h". A range stands without a sign, which would read as one
// for its low end.
func Claimed(c claims.Claim) string {
	r := c.Claimed
	if r == nil {
		return numeral.Dash
	}
	if c.Calendar && c.Basis.HoursPerDay == 0 && r.Text != "" {
		return r.Text // months of an unknown use are no running hours
	}
	n := numeral.Range(r.Low, r.High, r.Unit)
	switch {
	case c.Bound == claims.AtLeast && r.Low == r.High:
		return "≥\u00a0" + n
	case c.Bound == claims.AtMost && r.Low == r.High:
		return "≤\u00a0" + n
	case c.Bound == claims.About, c.Bound == claims.UpTo:
		return string(c.Bound) + " " + n
	}
	return n
}

// AsWritten is the number as the maker wrote it, where that says something that the tidied one does not; else "".
func AsWritten(c claims.Claim) string {
	if c.Claimed == nil || c.Claimed.Text == "" || c.Calendar && c.Basis.HoursPerDay == 0 {
		return ""
	}
	same := func(s string) string {
		return strings.Map(func(r rune) rune {
			if unicode.IsSpace(r) || strings.ContainsRune("≥≤<>", r) {
				return -1
			}
			return unicode.ToLower(r)
		}, norm.NFKC.String(s))
	}
	if same(c.Claimed.Text) == same(numeral.Range(c.Claimed.Low, c.Claimed.High, c.Claimed.Unit)) {
		return ""
	}
	return c.Claimed.Text
}

// Measured is a result with its expanded uncertainty, or a dash. A result whose distribution is not symmetric stands
// with its interval, which says more than one number would.
func Measured(m *measure.Measurement) string {
	if m == nil {
		return numeral.Dash
	}
	w := m.Written()
	switch {
	case w.Low != "" && m.Finite():
		est := ""
		if m.Has(measure.Extrapolated) {
			est = "\u00a0est."
		}
		return numeral.With(numeral.Set(w.Value), m.Unit) + est + " (" + numeral.Set(w.Low) + " to " + numeral.Set(w.High) + ")"
	case w.Expanded != "":
		return numeral.With(numeral.Set(w.Value)+"\u00a0±\u00a0"+numeral.Set(w.Expanded), m.Unit)
	}
	return numeral.With(numeral.Set(w.Value), m.Unit)
}

// Interval is the 95 % interval of a result, both ends at the decimal of its value.
func Interval(m *measure.Measurement) string {
	return numeral.Set(m.Round(m.Interval[0])) + " to " + numeral.With(numeral.Set(m.Round(m.Interval[1])), m.Unit)
}

// Limit is the side on which the limit stands, or a dash.
func Limit(l *verdict.Limit) string {
	if l == nil {
		return numeral.Dash
	}
	return numeral.Limit(l.Low, l.High, l.Unit)
}

// DOF writes degrees of freedom; ∞ where no component is estimated from few readings.
func DOF(nu float64) string {
	switch {
	case math.IsInf(nu, 1):
		return "∞"
	case nu == math.Trunc(nu):
		return numeral.Fixed(nu, 0)
	}
	return numeral.Short(nu)
}

// marks explains the marks of sources in the tables of rules.
var marks = map[string]string{
	"read":        "read in the document named",
	"second-hand": "from a restatement; the document itself was not read",
	"memory":      "from memory; check the document before relying on it",
	"computed":    "follows by computation",
	"judgement":   "a choice of this program, not of a document",
	"case":        "given by the tester for this case",
}

// Sourced is a source with what its mark means; where its documents are known in different ways, with what that of each
// means. A source that says itself that there is none stands alone where its mark would send the reader to a document.
func Sourced(text, mark string) string {
	if text != "" && source.Mixed(text, mark) {
		var out []string
		for _, p := range source.Split(text, mark) {
			out = append(out, sourced(p.Document, p.Mark))
		}
		if w := wording(text, mark); w != "" {
			out = append(out, sourced(w, mark))
		}
		return strings.Join(out, "; ")
	}
	return sourced(text, mark)
}

func sourced(source, mark string) string {
	m, ok := marks[mark]
	if !ok {
		m = mark
	}
	if documentless(source) && mark != "judgement" && mark != "case" {
		m = ""
	}
	switch {
	case source == "" && mark == "":
		return ""
	case source == "" && m == "":
		return "no source is named"
	case source == "":
		return m
	case m == "":
		return source
	}
	return source + " (" + m + ")"
}

// Marked is Sourced in few words: the mark itself behind the source, for a report that explains the marks elsewhere
// (AboutMarks).
func Marked(text, mark string) string {
	switch {
	case text == "" || mark == "":
		return text
	case source.Mixed(text, mark):
		if w := wording(text, mark); w != "" {
			return text + "; " + w + " (" + mark + ")"
		}
		return text
	case documentless(text) && mark != "case":
		return text
	}
	return text + " (" + mark + ")"
}

// wording names what is from memory where the documents are known better: the meaning of words of another language.
func wording(text, mark string) string {
	if w := source.Weakest(source.Split(text, mark)); mark == "memory" && w != "memory" && w != "judgement" {
		return "the meaning of the words"
	}
	return ""
}

// documentless reports whether a source says that no document stands behind it.
func documentless(source string) bool {
	return source == "" || strings.Contains(source, "no source") || strings.HasPrefix(source, "common practice") || strings.HasPrefix(source, "no standard is known")
}

// rank orders the severities; what is not known comes last.
var rank = map[string]int{"high": 1, "medium": 2, "low": 3}

// Weightiest gives the indices of the findings, the gravest first, in the audit's order within one severity.
func Weightiest(fs []verdict.Finding) []int {
	out := make([]int, len(fs))
	for i := range out {
		out[i] = i
	}
	of := func(i int) int {
		if n, ok := rank[fs[i].Severity]; ok {
			return n
		}
		return len(rank) + 1
	}
	sort.SliceStable(out, func(i, j int) bool { return of(out[i]) < of(out[j]) })
	return out
}

// Open is Weightiest of the findings that leave something open: without those of words that have a fixed meaning, where only
// the evidence is asked for.
func Open(fs []verdict.Finding) []int {
	return slices.DeleteFunc(Weightiest(fs), func(i int) bool { return fs[i].Fixed() })
}

// Fixed is Weightiest of the findings of words that have a fixed meaning.
func Fixed(fs []verdict.Finding) []int {
	return slices.DeleteFunc(Weightiest(fs), func(i int) bool { return !fs[i].Fixed() })
}

// RuleName is a finding's rule with those that say the same of the same words: "FG-11 (also R6)".
func RuleName(f verdict.Finding) string {
	if len(f.Also) == 0 {
		return f.Rule
	}
	return f.Rule + " (also\u00a0" + strings.Join(f.Also, ",\u00a0") + ")"
}
