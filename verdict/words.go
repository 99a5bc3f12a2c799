package verdict

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strings"
	"sync"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/numeral"
)

//go:embed words.csv
var wordsCSV string

// phrase is a row of words.csv: how a gap is said, and the names by which a text speaks of the attribute.
type phrase struct {
	form, above, below string
	named              []string
}

var phrases = sync.OnceValue(func() map[claims.Attribute]phrase {
	all, err := csv.NewReader(strings.NewReader(wordsCSV)).ReadAll()
	if err != nil {
		panic("words.csv: " + err.Error())
	}
	out := map[claims.Attribute]phrase{}
	for _, r := range all[1:] {
		out[claims.Attribute(r[0])] = phrase{r[1], r[2], r[3], strings.Split(r[4], "|")}
	}
	return out
})

// gapWords says the gap of a row as a buyer would, and no more than is shown: "delivers 23 % less clean air than claimed"
// where the claim is decided and the gap is larger than the uncertainty; "reads 10 % below, within the uncertainty" where it
// is not, "reads 12 % below, undecided" where the claim is open all the same.
func (r *Row) gapWords() string {
	c, m, g := r.Claim, r.Measured, r.Gap
	shown := gapWords(c, m, g)
	amount := gapAmount(c, m, g)
	if amount == "" || shown == "as claimed" {
		return shown
	}
	way := "above"
	if g.Value < 0 {
		way = "below"
	}
	within := math.Abs(g.Value) <= m.Expanded
	if m.Exact != nil {
		within = m.Interval[0] <= m.Value-g.Value && m.Value-g.Value <= m.Interval[1]
	}
	switch {
	case within:
		return fmt.Sprintf("reads %s %s, within the uncertainty", amount, way)
	case len(r.Hold) > 0:
		return fmt.Sprintf("reads %s %s, held open", amount, way)
	case r.Verdict == Inconclusive:
		return fmt.Sprintf("reads %s %s, undecided", amount, way)
	case r.Verdict == Supported && (g.Value > 0) == (side(c) == claims.AtMost) && side(c) != claims.About:
		return shown + ", within the tolerance"
	}
	return shown
}

// gapAmount is the size of a gap with its unit, "" where it is said otherwise.
func gapAmount(c claims.Claim, m *measure.Measurement, g *Gap) string {
	switch phrases()[c.Attribute].form {
	case "percent":
		return numeral.Percent(math.Abs(g.Percent)) + " %"
	case "amount":
		return m.Round(math.Abs(g.Value)) + " " + g.Unit
	case "leak":
		return m.Round(math.Abs(g.Value)) + " percentage points"
	}
	return ""
}

// gapWords says a gap that is shown.
func gapWords(c claims.Claim, m *measure.Measurement, g *Gap) string {
	p := phrases()[c.Attribute]
	amount := ""
	switch p.form {
	case "percent":
		amount = numeral.Percent(math.Abs(g.Percent)) + " %"
	case "amount":
		amount = m.Round(math.Abs(g.Value)) + " " + g.Unit
	case "leak":
		allowed, through := 100-c.Claimed.Low, 100-m.Value
		switch {
		case g.Value == 0:
			return "as claimed"
		case allowed <= 0 || through < 0:
			return fmt.Sprintf("differs by %s percentage points", m.Round(math.Abs(g.Value)))
		case through == 0:
			return "no particle was counted behind the filter"
		}
		amount = times(through / allowed)
	}
	if p.form != "leak" && (amount == "" || g.Value == 0 || nothing(amount)) {
		return "as claimed"
	}
	words := p.above
	if g.Value < 0 {
		words = p.below
	}
	return strings.Replace(words, "{}", amount, 1)
}

// nothing reports whether a number with its unit was rounded to zero.
func nothing(amount string) bool {
	n, _, _ := strings.Cut(amount, " ")
	return strings.Trim(n, "0.") == ""
}

// GapNumber is measured less claimed with its sign, at the decimal of the result, and its unit, "percentage points" of two
// percentages; "" where there is none.
func (r *Row) GapNumber() (number, unit string) {
	if r.Gap == nil || r.Measured == nil {
		return "", ""
	}
	unit = r.Gap.Unit
	if unit == "%" {
		unit = "percentage points"
	}
	return numeral.Signed(r.Measured.Round(r.Gap.Value)), unit
}

// GapPercent is measured less claimed in percent of the claim, with its sign; "" where that says nothing: of a level, of a
// share, of a claim of zero.
func (r *Row) GapPercent() string {
	if r.Gap == nil || r.Gap.Unit == "dB(A)" || r.Gap.Unit == "%" {
		return ""
	}
	return numeral.Signed(numeral.Percent(r.Gap.Percent))
}

// plainParts are ratios that have a name.
var plainParts = []struct {
	ratio float64
	name  string
}{{2, "twice"}, {1.0 / 2, "half"}, {1.0 / 3, "a third of"}, {1.0 / 4, "a quarter of"}, {1.0 / 5, "a fifth of"}, {1.0 / 10, "a tenth of"}}

// times says a ratio before what it is a ratio of: "1.6 times", "about a tenth of" within 5 % of one.
func times(x float64) string {
	for _, p := range plainParts {
		switch d := math.Abs(x/p.ratio - 1); {
		case d < 0.01:
			return p.name
		case d < 0.05:
			return "about " + p.name
		}
	}
	if x < 0.001 {
		return "less than a thousandth of"
	}
	return numeral.Short(x, 2) + " times"
}

// number writes a value that carries no uncertainty here, with its unit.
func number(x float64, unit string) string {
	return strings.TrimSpace(numeral.Of(x, unit) + " " + unit)
}

// about writes a value that is worked out from a result, for orientation: three significant digits.
func about(x float64) string { return numeral.Short(x, 3) }

// statement is the verdict in one sentence, in words that go no further than the evidence.
func statement(r *Row) string {
	c := r.Claim
	switch r.Verdict {
	case Untested:
		return "Untested: nothing that was measured bears on this claim."
	case Unclear:
		return "Unclear: the claim cannot be assessed as worded."
	}
	if r.Measured == nil {
		return heldSentence(r)
	}
	m := r.Measured
	limit := ""
	switch side(c) {
	case claims.AtLeast:
		limit = "at least " + number(r.Limit.Low, r.Limit.Unit)
	case claims.AtMost:
		limit = "at most " + number(r.Limit.High, r.Limit.Unit)
	default:
		limit = "between " + numeral.Of(r.Limit.Low, r.Limit.Unit) + " and " + number(r.Limit.High, r.Limit.Unit)
	}
	how, result := "Measured on the unit tested", m.String()
	switch w := m.Written(); {
	case m.Has(measure.LowerBound):
		result = reasonOf(m, measure.LowerBound)
	case w.Low != "":
		if m.Has(measure.Extrapolated) {
			how = "Estimated for the unit tested, beyond the last reading"
		}
		result = fmt.Sprintf("%s %s (95 %% interval %s to %s)", w.Value, m.Unit, w.Low, w.High)
	}
	head := fmt.Sprintf("%s: %s; the claim with its rounding and tolerance asks for %s. ", how, result, limit)
	if r.TooFew {
		return head + "Too few particles were counted to tell: the question stays open (inconclusive)."
	}
	chance := fmt.Sprintf("The probability that the true value meets this is %s", Chance(*r.Probability))
	switch r.Verdict {
	case Supported:
		return head + chance + ": the claim is supported."
	case Contradicted:
		return head + chance + ": the claim is contradicted, that is, beyond the limit with a probability of at least 95 %, on the unit tested."
	}
	if len(r.Hold) > 0 {
		return head + chance + ". The claim is held open (inconclusive): " + r.HoldText() + "."
	}
	return head + chance + ": the question stays open (inconclusive)."
}

// Chance writes a probability for reading: "73 %", "more than 99.9 %", "less than 0.1 %".
func Chance(p float64) string {
	switch {
	case p > Risk && p < Risk+0.0005:
		return "just above 5 %"
	case p <= Risk && p > Risk-0.0005:
		return "just below 5 %"
	case p >= 1-Risk && p < 1-Risk+0.0005:
		return "just above 95 %"
	case p < 1-Risk && p > 1-Risk-0.0005:
		return "just below 95 %"
	case p > 0.999:
		return "more than 99.9 %"
	case p < 0.001:
		return "less than 0.1 %"
	case p < 0.1 || p > 0.9:
		return numeral.Fixed(100*p, 1) + " %"
	}
	return numeral.Fixed(100*p, 0) + " %"
}
