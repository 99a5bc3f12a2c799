package measure

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"golang.org/x/text/unicode/norm"

	"weighhouse/measure/unit"
)

// Accuracy is what a data sheet or a calibration certificate says of an instrument: a part in proportion to the
// reading, a constant part, or the class of a sound level meter.
//
// A bare figure is a limit of error a, taken as rectangular: u = a/√3 (GUM 4.3.7). Where the text names a coverage
// factor ("0.4 dB (k = 2)") the figure is an expanded uncertainty: u = a/k.
type Accuracy struct {
	Text    string
	Percent float64 // limit of error in % of the reading, 0 if none
	Abs     float64 // constant limit of error, in Unit, 0 if none
	Unit    string  // canonical base unit of Abs where package unit knows it, else as written; "" if there is no Abs
	Greater bool    // "10 % or 10 ug/m3": the greater of the two counts; else they add
	Class   int     // 1 or 2: class of a sound level meter, 0 if the text names none
	K       float64 // coverage factor that the text names, 0 if none
}

var (
	classPattern    = regexp.MustCompile(`^(?:iec ?\d*(?:-\d+)?,? ?)?(?:class|type|klasse|classe|clase) ?([12]|ii?)$`)
	coveragePattern = regexp.MustCompile(`[(,;]?\s*k\s*=\s*(\d+(?:[.,]\d+)?)\s*\)?$`)
	greaterPattern  = regexp.MustCompile(`[,;(]?\s*(?:whichever (?:is )?(?:the )?(?:greater|larger|higher|bigger)|the (?:greater|larger) of the two)\s*\)?$`)
	partPattern     = regexp.MustCompile(`^(?:\+/-|\+-|±)?\s*(\d+(?:[.,]\d+)?)\s*(.*)$`)
	secondSign      = regexp.MustCompile(`([^+\s])\s*±`) // data sheets write "±3 % ±0.5 W" for a sum
	orPattern       = regexp.MustCompile(`\s+or\s+|\s*/\s*(?:\+/-|±)\s*`)
)

// ParseAccuracy reads "3 %", "1.4 dB", "3 % + 0.5 W", "class 2", "±2 dB(A)", "0.1 g", "10 % or 10 ug/m3",
// "0.4 dB (k = 2)". A percentage is one of the reading; one of full scale is an error, because the scale is unknown,
// and so is a number of digits. The error says what would do; the place is the caller's to add.
func ParseAccuracy(text string) (Accuracy, error) {
	a := Accuracy{Text: strings.TrimSpace(text)}
	fail := func(format string, args ...any) (Accuracy, error) {
		return Accuracy{}, fmt.Errorf("accuracy %q: %s; accepted: \"3 %%\", \"1.4 dB\", \"3 %% + 0.5 W\", \"class 2\", \"0.4 dB (k = 2)\"",
			text, fmt.Sprintf(format, args...))
	}
	s := strings.ToLower(strings.Join(strings.Fields(norm.NFKC.String(text)), " "))
	if s == "" {
		return fail("nothing is stated")
	}
	if m := classPattern.FindStringSubmatch(s); m != nil {
		a.Class = 1
		if m[1] == "2" || m[1] == "ii" {
			a.Class = 2
		}
		return a, nil
	}
	if m := coveragePattern.FindStringSubmatch(s); m != nil {
		a.K, _ = strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
		if !(a.K >= 1 && a.K <= 4) {
			return fail("a coverage factor of %s is not between 1 and 4", m[1])
		}
		s = strings.TrimSpace(s[:len(s)-len(m[0])])
	}
	if m := greaterPattern.FindString(s); m != "" {
		a.Greater = true
		s = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(s[:len(s)-len(m)]), "("))
	}
	if s = strings.TrimSpace(s); strings.HasPrefix(s, "±(") && strings.HasSuffix(s, ")") {
		s = s[len("±(") : len(s)-1]
	}
	var parts []string
	if or := orPattern.Split(s, -1); len(or) > 1 {
		a.Greater, parts = true, or
	} else {
		s = strings.ReplaceAll(strings.ReplaceAll(s, "+/-", "±"), "+-", "±")
		parts = strings.Split(secondSign.ReplaceAllString(s, "$1+±"), "+")
	}
	if len(parts) > 2 {
		return fail("more than two parts")
	}
	var percents, constants int
	for _, p := range parts {
		m := partPattern.FindStringSubmatch(strings.TrimSpace(p))
		if m == nil {
			return fail("%q is no number with a unit", strings.TrimSpace(p))
		}
		x, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
		if err != nil || math.IsInf(x, 0) {
			return fail("%q is no number", m[1])
		}
		switch u := strings.TrimSpace(m[2]); u {
		case "":
			return fail("%s has no unit", m[1])
		case "%", "percent", "% of reading", "% of the reading", "% rdg", "% reading", "% of measured value", "% v.mw.", "% mw":
			a.Percent = x
			percents++
		default:
			if h := strings.NewReplacer(" ", "", ".", "").Replace(u); h == "%rh" {
				a.Abs, a.Unit = x, "%RH" // relative humidity is itself a percentage: a constant part
				constants++
				continue
			}
			if strings.HasPrefix(u, "%") {
				return fail("%q is not a part of the reading: give it as a percentage of the reading or in the unit itself", u)
			}
			if strings.HasPrefix(u, "digit") || strings.HasPrefix(u, "dgt") || strings.HasPrefix(u, "count") || strings.HasPrefix(u, "lsd") {
				return fail("a number of digits needs the meter's resolution: give it in the unit itself")
			}
			known, ok := unit.Lookup(u)
			if !ok {
				return fail("%q is no unit that is known", u)
			}
			// A particle monitor's ug/m3 is a mass of particles, not ozone: it is kept as it stands.
			a.Abs, a.Unit = x, known.Name
			if base := unit.Base(known.Dimension); known.Dimension != unit.Concentration && base.Name != "" {
				a.Abs, a.Unit = x*known.Factor, base.Name
			}
			constants++
		}
	}
	if percents > 1 || constants > 1 {
		return fail("two parts of one kind")
	}
	if a.Percent == 0 && a.Abs == 0 {
		return fail("an accuracy of zero is not possible")
	}
	if a.Percent > 100 {
		return fail("more than 100 %% of the reading")
	}
	return a, nil
}

// U is the standard uncertainty at a reading in Unit: (Percent/100·|reading| + Abs)/√3, or the greater of the two
// parts where Greater is set, or a/K where the text names a coverage factor, or that of a sound level meter's class.
func (a Accuracy) U(reading float64) float64 {
	if a.Class != 0 {
		return instrument(fmt.Sprintf("class %d", a.Class)).U(reading)
	}
	p := a.Percent / 100 * math.Abs(reading)
	limit := p + a.Abs
	if a.Greater {
		limit = math.Max(p, a.Abs)
	}
	if a.K > 0 {
		return limit / a.K
	}
	return limit / math.Sqrt(3)
}

// DOF is the degrees of freedom of U: +Inf for limits of error, beyond which the instrument practically never is
// (GUM G.4.3), 8 for a meter's class, which is known to about a quarter (GUM G.4.2), and 50 for a certificate.
func (a Accuracy) DOF() float64 {
	switch {
	case a.Class != 0:
		return instrument(fmt.Sprintf("class %d", a.Class)).DOF()
	case a.K > 0:
		return TypeBDOF(0.10)
	}
	return math.Inf(1)
}

// note says in words how U was found.
func (a Accuracy) note() string {
	switch {
	case a.Class != 0:
		return instrument(fmt.Sprintf("class %d", a.Class)).note()
	case a.K > 0:
		return fmt.Sprintf("stated %q, expanded: divided by k = %g", a.Text, a.K)
	}
	return fmt.Sprintf("stated %q, a limit of error: divided by √3 (GUM 4.3.7)", a.Text)
}

// TypeBDOF is the degrees of freedom of a standard uncertainty that is itself doubtful by the fraction doubt:
// ν = ½·(Δu/u)⁻². GUM G.4.2, eq. (G.3).
func TypeBDOF(doubt float64) float64 {
	if doubt <= 0 {
		return math.Inf(1)
	}
	return 0.5 / (doubt * doubt)
}
