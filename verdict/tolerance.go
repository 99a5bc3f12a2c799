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
	"weighhouse/measure/numeral"
)

//go:embed tolerances.csv
var tolerancesCSV string

// ToleranceRow is one row of the default tolerances: it holds for claims of Attribute whose value lies above Above and
// not over UpTo, in the case When ("" the usual one, "L_d" and "L+K" for declared levels, "calendar" for a filter life
// given in months). The tolerance is the greater of Percent of the claim and Absolute in Unit.
type ToleranceRow struct {
	Attribute claims.Attribute
	When      string
	Above     float64
	UpTo      float64 // +Inf where open
	Percent   float64
	Absolute  float64
	FromK     bool // the tolerance is the K that the claim declares
	Unit      string
	Source    string
	Mark      string
	Note      string
}

var defaultTolerances = sync.OnceValue(func() []ToleranceRow {
	all, err := csv.NewReader(strings.NewReader(tolerancesCSV)).ReadAll()
	if err != nil {
		panic("tolerances.csv: " + err.Error())
	}
	num := func(s string, blank float64) float64 {
		if s == "" {
			return blank
		}
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			panic("tolerances.csv: " + err.Error())
		}
		return x
	}
	var out []ToleranceRow
	for _, r := range all[1:] {
		row := ToleranceRow{Attribute: claims.Attribute(r[0]), When: r[1], Above: num(r[2], 0), UpTo: num(r[3], math.Inf(1)),
			Percent: num(r[4], 0), Unit: r[6], Source: r[7], Mark: r[8], Note: r[9]}
		if r[5] == "K" {
			row.FromK = true
		} else {
			row.Absolute = num(r[5], 0)
		}
		out = append(out, row)
	}
	return out
})

// DefaultTolerances lists the tolerances in force where a case gives none.
func DefaultTolerances() []ToleranceRow { return append([]ToleranceRow(nil), defaultTolerances()...) }

// Override is one row of a case's tolerances table.
type Override struct {
	Attribute claims.Attribute
	Value     float64
	Unit      string // "%" of the claim, or the claim's own unit
	Source    string
}

// toleranceFor finds what a claim is allowed. limitValue is the claim's number that the tolerance is taken of: the low
// end for a floor, the high end for a ceiling. The second result is a note on it, or "".
func toleranceFor(c claims.Claim, over []Override) (Tolerance, string) {
	at := c.Claimed.Low
	if c.Bound == claims.AtMost || c.Bound == claims.UpTo && ceiling(c.Attribute) {
		at = c.Claimed.High
	}
	for _, o := range over {
		if o.Attribute != c.Attribute {
			continue
		}
		t := Tolerance{Value: o.Value, Unit: o.Unit, Source: o.Source, Mark: "case", Amount: o.Value}
		if o.Unit == "%" && c.Attribute != claims.FilterEfficiency {
			t.Amount = at * o.Value / 100
		}
		if t.Source == "" {
			t.Source = "given in the case, no source stated"
		}
		return t, ""
	}
	when := ""
	switch {
	case c.Attribute == claims.Noise:
		when = c.Basis.Declared
	case c.Attribute == claims.FilterLife && c.Calendar:
		when = "calendar"
	}
	for _, r := range defaultTolerances() {
		if r.Attribute != c.Attribute || r.When != when || at > r.UpTo || r.Above > 0 && at <= r.Above {
			continue
		}
		if r.FromK {
			return Tolerance{Value: c.Basis.K, Unit: r.Unit, Source: r.Source, Mark: r.Mark, Amount: c.Basis.K}, r.Note
		}
		rel := at * r.Percent / 100
		if r.Absolute > rel || r.Percent == 0 {
			return Tolerance{Value: r.Absolute, Unit: r.Unit, Source: r.Source, Mark: r.Mark, Amount: r.Absolute}, r.Note
		}
		return Tolerance{Value: r.Percent, Unit: "%", Source: r.Source, Mark: r.Mark, Amount: rel}, r.Note
	}
	return Tolerance{Unit: c.Claimed.Unit, Source: "no tolerance is stated", Mark: "judgement"}, ""
}

// aboutTolerance widens the zero tolerance of an "about" claim, under which no result could ever agree, to half a unit
// of the claim's last printed digit or 10 %, the greater (judgement).
func aboutTolerance(c claims.Claim, t Tolerance) (Tolerance, string) {
	if c.Bound != claims.About || t.Amount > 0 {
		return t, ""
	}
	half := lastDigit(c.Claimed.Text) / 2
	if c.Claimed.Unit != "" && c.UnitText != "" {
		half = scaleOf(c) * half
	}
	tenth := c.Claimed.Low * 0.1
	if c.Attribute == claims.FilterEfficiency {
		tenth = 0 // a tenth of an efficiency is many times what passes
	}
	if half > tenth {
		return Tolerance{Value: half, Unit: c.Claimed.Unit, Amount: half, Mark: "judgement",
			Source: "half a unit of the last digit printed"}, "\"about\" with no tolerance: half a unit of the last digit was allowed"
	}
	return Tolerance{Value: 10, Unit: "%", Amount: tenth, Mark: "judgement", Source: "10 % for a claim worded \"about\""},
		"\"about\" with no tolerance: 10 % was allowed"
}

// scaleOf is how many JSON units one unit of the claim's text is, found from the claim itself.
func scaleOf(c claims.Claim) float64 {
	x, err := strconv.ParseFloat(strings.ReplaceAll(strings.Fields(c.Claimed.Text + " ")[0], ",", ""), 64)
	if err != nil || x == 0 {
		return 1
	}
	return c.Claimed.Low / x
}

// lastDigit is the worth of the last printed digit of a number: 0.1 for "3.5", 1 for "45" and for "300".
func lastDigit(text string) float64 {
	num := strings.Fields(text + " ")
	if len(num) == 0 {
		return 0
	}
	s := strings.ReplaceAll(num[0], ",", ".")
	if i := strings.LastIndexByte(s, '.'); i >= 0 {
		return math.Pow(10, -float64(len(s)-i-1))
	}
	return 1
}

// ceiling reports whether less of the attribute is better for the buyer.
func ceiling(a claims.Attribute) bool {
	info, ok := claims.Lookup(string(a))
	return ok && info.Bound == claims.AtMost
}

// Words says a tolerance as a report prints it: "10 % of the claim (34 m3/h)".
func (t Tolerance) Words(claimUnit string) string {
	switch {
	case t.Amount == 0:
		return "none"
	case t.Unit == "%" && claimUnit != "%":
		return fmt.Sprintf("%s %% of the claim (%s %s)", short(t.Value), short(t.Amount), claimUnit)
	default:
		return fmt.Sprintf("%s %s", short(t.Value), t.Unit)
	}
}

func short(x float64) string { return numeral.Short(x, 4) }
