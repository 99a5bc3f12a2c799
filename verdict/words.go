package verdict

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"weighhouse/claims"
	"weighhouse/measure"
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

// gapWords says a gap as a buyer would: "delivers 23 % less clean air than claimed".
func gapWords(c claims.Claim, m *measure.Measurement, g *Gap) string {
	p := phrases()[c.Attribute]
	amount := ""
	switch p.form {
	case "percent":
		amount = percent(math.Abs(g.Percent))
	case "amount":
		amount = strconv.FormatFloat(math.Abs(g.Value), 'g', 2, 64) + " " + g.Unit
	case "leak":
		allowed, through := 100-c.Claimed.Low, 100-m.Value
		switch {
		case g.Value == 0:
		case allowed <= 0 || through < 0:
			return fmt.Sprintf("differs by %s", number(math.Abs(g.Value), "percentage points"))
		case through == 0:
			return "no particle was counted behind the filter"
		default:
			amount = times(through / allowed)
		}
	}
	if p.form == "leak" && amount == "" {
		return "as claimed"
	}
	if p.form != "leak" && (amount == "" || strings.HasPrefix(amount, "0 ") || strings.HasPrefix(amount, "0.0 ") || g.Value == 0) {
		return "as claimed"
	}
	words := p.above
	if g.Value < 0 {
		words = p.below
	}
	return strings.Replace(words, "{}", amount, 1)
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
	return strconv.FormatFloat(x, 'g', 2, 64) + " times"
}

func percent(x float64) string {
	if x < 1 && x > 0 {
		return strconv.FormatFloat(x, 'f', 1, 64) + " %"
	}
	return strconv.FormatFloat(x, 'f', 0, 64) + " %"
}

// number writes a value for people, with a precision that suits its size, and its unit.
func number(x float64, unit string) string { return strings.TrimSpace(Round(x) + " " + unit) }

// Round writes a value for reading: three significant digits, whole numbers from 100 up, and no exponent within the
// sizes that a report meets. Comparisons never use it.
func Round(x float64) string {
	a := math.Abs(x)
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return "not known"
	case a == 0:
		return "0"
	case a >= 100:
		return strconv.FormatFloat(x, 'f', 0, 64)
	case a >= 10:
		return strconv.FormatFloat(x, 'f', 1, 64)
	case a >= 1:
		return strconv.FormatFloat(x, 'f', 2, 64)
	case a >= 0.001:
		return strconv.FormatFloat(x, 'f', 2-int(math.Floor(math.Log10(a))), 64)
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}

// RoundWith writes a value and its expanded uncertainty to the same decimal place: two significant digits of the
// uncertainty (GUM 7.2.6), so 262.41 and 20.87 become "262" and "21".
func RoundWith(value, expanded float64) (string, string) {
	if expanded <= 0 || math.IsNaN(expanded) || math.IsInf(expanded, 0) {
		return Round(value), "0"
	}
	places := 1 - int(math.Floor(math.Log10(expanded)))
	if places < 0 {
		scale := math.Pow(10, float64(-places))
		return strconv.FormatFloat(math.Round(value/scale)*scale, 'f', 0, 64), strconv.FormatFloat(math.Ceil(expanded/scale-1e-9)*scale, 'f', 0, 64)
	}
	places = min(places, 9)
	return strconv.FormatFloat(value, 'f', places, 64), strconv.FormatFloat(expanded, 'f', places, 64)
}

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
	y, u := RoundWith(r.Measured.Value, r.Measured.Expanded)
	m := r.Measured
	fine := func(x float64) string { return Fine(x, m.Unit) }
	limit := ""
	switch side(c) {
	case claims.AtLeast:
		limit = "at least " + Fine(r.Limit.Low, r.Limit.Unit) + " " + r.Limit.Unit
	case claims.AtMost:
		limit = "at most " + Fine(r.Limit.High, r.Limit.Unit) + " " + r.Limit.Unit
	default:
		limit = "between " + Fine(r.Limit.Low, r.Limit.Unit) + " and " + Fine(r.Limit.High, r.Limit.Unit) + " " + r.Limit.Unit
	}
	head := fmt.Sprintf("Measured on the unit tested: %s ± %s %s; the claim with its tolerance asks for %s. ", y, u, r.Measured.Unit, limit)
	switch {
	case r.Measured.Has(measure.LowerBound):
		head = fmt.Sprintf("Measured on the unit tested: %s; the claim with its tolerance asks for %s. ", reasonOf(r.Measured, measure.LowerBound), limit)
	case m.Exact != nil:
		how := "Measured on the unit tested"
		if m.Has(measure.Extrapolated) {
			how = "Estimated for the unit tested, beyond the last reading"
			fine = func(x float64) string { s, _ := RoundWith(x, (m.Interval[1]-m.Interval[0])/2); return s }
		}
		head = fmt.Sprintf("%s: %s %s (95 %% interval %s to %s); the claim with its tolerance asks for %s. ",
			how, fine(m.Value), m.Unit, fine(m.Interval[0]), fine(m.Interval[1]), limit)
	}
	if r.TooFew {
		return head + "Too few particles were counted to tell: the question stays open (inconclusive)."
	}
	how := fmt.Sprintf("The probability that the true value meets this is %s", Chance(*r.Probability))
	switch r.Verdict {
	case Supported:
		return head + how + ": the claim is supported."
	case Contradicted:
		return head + how + ": the claim is contradicted, that is, not supported by the evidence supplied."
	}
	if len(r.Hold) > 0 {
		return head + how + ". The claim is held open (inconclusive): " + r.HoldText() + "."
	}
	return head + how + ": the question stays open (inconclusive)."
}

// Fine is Round, but for a percentage near 100, where what is let through counts, it keeps enough digits to show it.
func Fine(x float64, unit string) string {
	if unit == "%" && x > 90 && x < 100 {
		places := min(2-int(math.Floor(math.Log10(100-x))), 7)
		s := strconv.FormatFloat(x, 'f', max(places, 1), 64)
		return strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return Round(x)
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
		return strconv.FormatFloat(100*p, 'f', 1, 64) + " %"
	}
	return strconv.FormatFloat(100*p, 'f', 0, 64) + " %"
}
