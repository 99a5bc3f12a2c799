package claims

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"weighhouse/measure/unit"
)

// pairPattern finds one value in two units: "340 m³/h (220 cfm)", "60 m² / 645 sq ft".
var pairPattern = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*([^\d\s()\[\]/|=≈][^\d()\[\]|=≈]{0,14}?)\s*(?:[(\[]|/|\||=|≈|or)\s*(\d+(?:[.,]\d+)?)\s*([^\d\s()\[\]/|=≈][^\d()\[\]|=≈]{0,14}?)\s*(?:[)\],;.]|$|\s)`)

// unitPairs finds values that a claim's own words give in two units which differ by more than their last printed digits
// explain: half of the last place of each.
func (x *crossing) unitPairs() {
	for _, c := range x.claims {
		for _, m := range pairPattern.FindAllStringSubmatch(c.Wording, -1) {
			a, okA := unit.Lookup(strings.TrimSpace(m[2]))
			b, okB := unit.Lookup(strings.TrimSpace(m[4]))
			if !okA || !okB || a.Dimension != b.Dimension || a.Name == b.Name || a.Dimension == unit.Level || a.Dimension == unit.Time {
				continue
			}
			if !x.convert(m[1], a, m[3], b) {
				va := number(m[1])
				x.add("CX-09", fmt.Sprintf("%s %s is %.4g %s, not %s.", m[1], strings.TrimSpace(m[2]), va*a.Factor/b.Factor, b.Name, m[3]), c)
			}
		}
	}
}

// convert reports whether two numbers in two units are one value in any way in which they may be read.
func (x *crossing) convert(m string, a unit.Unit, n string, b unit.Unit) bool {
	for _, s := range readings(m) {
		for _, t := range readings(n) {
			va, vb := number(s), number(t)*b.Factor/a.Factor
			slack := lastPlace(s)/2 + lastPlace(t)/2*b.Factor/a.Factor
			if math.Abs(va-vb) <= slack*(1+1e-9) || agreeWithin(va, vb, 0.01) {
				return true
			}
		}
	}
	return false
}

var grouped = regexp.MustCompile(`^\d{1,3}[.,]\d{3}$`)

// readings are the ways in which a number may be read: "1.200" with its point as decimal sign, and without it.
func readings(s string) []string {
	if grouped.MatchString(s) {
		return []string{s, strings.NewReplacer(".", "", ",", "").Replace(s)}
	}
	return []string{s}
}

// lastPlace is the worth of the last significant place of a number as written: 0.1 for "3.5", 1 for "45", 10 for "340".
func lastPlace(s string) float64 {
	if _, dec, ok := strings.Cut(strings.ReplaceAll(s, ",", "."), "."); ok {
		return math.Pow(10, -float64(len(dec)))
	}
	return math.Pow(10, float64(len(s)-len(strings.TrimRight(s, "0"))))
}

func agreeWithin(a, b, rel float64) bool { return math.Abs(a-b) <= rel*math.Max(a, b) }
