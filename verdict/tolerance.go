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
// not over UpTo, in the case When ("" the usual one, "L_d" and "L+K" for declared levels). The tolerance is the greater of Percent of the claim and Absolute in Unit.
type ToleranceRow struct {
	Attribute claims.Attribute
	When      string
	Above     float64
	UpTo      float64 // +Inf where open
	Percent   float64
	Absolute  float64
	FromK     bool             // the tolerance is the K that the claim declares
	Follows   claims.Attribute // the tolerance is that of this attribute, through the formula
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
		switch from, follows := strings.CutPrefix(r[5], "from "); {
		case r[5] == "K":
			row.FromK = true
		case follows:
			row.Follows = claims.Attribute(from)
		default:
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

// of finds what a claim is allowed, with its own rounding: half of its last digit is read on the maker's side, and the
// tolerance comes on top. The second result is a note on it, or "".
func (al allowances) of(c claims.Claim) (Tolerance, string) {
	t, note := al.direct(c)
	if t.Mark != "case" {
		for _, r := range defaultTolerances() {
			if r.Attribute == c.Attribute && r.Follows != "" {
				t, note = al.follows(c, r.Follows)
			}
		}
	}
	t.Rounding = ownRounding(c)
	return t, note
}

// direct is the tolerance that the case or the table gives a claim itself. It is taken of the low end of a floor, the high
// end of a ceiling.
func (al allowances) direct(c claims.Claim) (Tolerance, string) {
	at := end(c)
	for _, o := range al.over {
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
	if c.Attribute == claims.Noise {
		when = c.Basis.Declared
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

// aboutTolerance widens the zero tolerance of an "about" claim, under which hardly a result could ever agree, to 10 %
// (judgement); of an efficiency, where that is many times what passes, its own rounding stays alone.
func aboutTolerance(c claims.Claim, t Tolerance) (Tolerance, string) {
	if c.Bound != claims.About || t.Amount > 0 || c.Attribute == claims.FilterEfficiency {
		return t, ""
	}
	return Tolerance{Value: 10, Unit: "%", Amount: c.Claimed.Low * 0.1, Rounding: t.Rounding, Mark: "judgement", Source: "10 % for a claim worded \"about\""},
		"\"about\" with no tolerance: 10 % was allowed"
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
