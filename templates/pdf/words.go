package pdf

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// upper gives a text a capital first letter, unless it begins with a symbol such as kWh.
func upper(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	next, _ := utf8.DecodeRuneInString(s[n:])
	if n == 0 || unicode.IsUpper(next) {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// sentence gives a text its capital letter and its full stop.
func sentence(s string) string { return upper(ended(s)) }

// ended gives a text its full stop.
func ended(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// shorten cuts a text to n characters with an ellipsis, at a space where one is near.
func shorten(s string, n int) string {
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

// subject is what a claim is about: "delivery rate, max, smoke".
func subject(c claims.Claim) string {
	s := string(c.Attribute)
	for _, p := range []string{c.Setting, c.Particle} {
		if p != "" && !strings.Contains(s, p) {
			s += ", " + particle(p)
		}
	}
	return s
}

func particle(p string) string {
	if n, ok := strings.CutSuffix(p, " um"); ok {
		return n + "\u00a0µm"
	}
	return strings.Replace(p, "pm", "PM", 1)
}

// claimed is the claimed number with its bound: "≥ 320 m³/h".
func claimed(c claims.Claim) string {
	r := c.Claimed
	if r == nil {
		return numeral.Dash
	}
	n := numeral.Range(r.Low, r.High, r.Unit)
	if c.Calendar && c.Basis.HoursPerDay == 0 && r.Text != "" {
		return r.Text // months of an unknown use are no running hours
	}
	switch c.Bound {
	case claims.AtLeast, claims.AtMost:
		if r.Low != r.High { // a range says its own; a sign before it would read as one for its low end
			return n
		}
	}
	switch c.Bound {
	case claims.AtLeast:
		return "≥\u00a0" + n
	case claims.AtMost:
		return "≤\u00a0" + n
	case claims.About, claims.UpTo:
		return string(c.Bound) + " " + n
	}
	return n
}

// asWritten is the number as the maker wrote it, where that says something that the tidied one does not.
func asWritten(c claims.Claim) string {
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

// measured is the result with its expanded uncertainty, or a dash.
func measured(m *measure.Measurement) string {
	if m == nil {
		return numeral.Dash
	}
	if m.Finite() && m.Exact != nil && m.Interval[0] < m.Interval[1] {
		// a distribution that is not symmetric: its interval says more than one number would
		side := m.Expanded
		if !(side > 0) {
			side = (m.Interval[1] - m.Interval[0]) / 2
		}
		v, _ := numeral.Rounded(m.Value, side)
		return numeral.With(v, m.Unit) + " (" + numeral.Interval(m.Interval[0], m.Interval[1], side, "") + ")"
	}
	return numeral.PlusMinus(m.Value, m.Expanded, m.Unit)
}

func limit(l *verdict.Limit) string {
	if l == nil {
		return numeral.Dash
	}
	return numeral.Limit(l.Low, l.High, l.Unit)
}

// verdictText is the shape of a verdict and its word.
func verdictText(o verdict.Outcome, size float64) document.Text {
	return document.Text{document.Inline(figure.VerdictMark(o, 0.78*size)), document.Bold("\u00a0" + string(o))}
}

// dof writes degrees of freedom; without end where no component is estimated from few readings.
func dof(nu float64) string {
	switch {
	case math.IsInf(nu, 1):
		return "∞"
	case nu == math.Trunc(nu):
		return numeral.Fixed(nu, 0)
	}
	return numeral.Short(nu)
}

// field is the value of a field of the test record, or "".
func field(a *verdict.Audit, name string) string {
	for _, f := range a.Test.Fields {
		if strings.EqualFold(f.Name, name) {
			return f.Value
		}
	}
	return ""
}

// unbroken keeps the parts of a place together: "row 2", "cell C4".
func unbroken(place string) string {
	return strings.NewReplacer("row ", "row\u00a0", "cell ", "cell\u00a0", "sheet ", "sheet\u00a0").Replace(place)
}
