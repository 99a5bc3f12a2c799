package verdict

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

// printedNumber is a number as a claim prints it, its digit groups and decimal sign included.
var printedNumber = regexp.MustCompile(`\d(?:[\d.,'’\x{00a0}\x{2009}\x{202f} ]*\d)?`)

// ownRounding is half a unit of the last digit that a claim prints, in the claim's unit: 0.5 m3/h of "340 m3/h", 0.05 min of
// "7.5 min". The claim is read with it on the maker's side, since a rounded figure says no more than that. Of a range the
// coarser end counts; 0 where the printed number cannot be told.
func ownRounding(c claims.Claim) float64 {
	if c.Claimed == nil || c.Claimed.Unit == "" || c.UnitText == "" {
		return 0
	}
	scale, err := unit.Convert(1, c.UnitText, c.Claimed.Unit)
	if err != nil || scale <= 0 {
		return 0
	}
	if c.Calendar && c.Basis.HoursPerDay > 0 {
		scale *= c.Basis.HoursPerDay / 24
	}
	text := strings.TrimSuffix(strings.TrimSpace(c.Claimed.Text), c.UnitText)
	half := 0.0
	for _, n := range printedNumber.FindAllString(text, -1) {
		for _, end := range []float64{c.Claimed.Low, c.Claimed.High} {
			if digit := lastDigit(n, end/scale); digit > 0 {
				half = math.Max(half, digit/2*scale)
			}
		}
	}
	return half
}

// lastDigit is the worth of the last printed digit of a number whose value is known: 0.1 of "3.5", 1 of "45", of "300" and of
// "1,482"; 0 where the print is not of that value.
func lastDigit(printed string, value float64) float64 {
	digits, n := 0.0, 0
	for _, c := range printed {
		if c >= '0' && c <= '9' {
			digits = 10*digits + float64(c-'0')
		}
	}
	if i := strings.LastIndexAny(printed, ".,"); i >= 0 {
		n = len(printed) - i - 1
	}
	for _, places := range []int{0, n} { // the last sign splits groups, or it is the decimal sign
		if worth := math.Pow(10, -float64(places)); math.Abs(digits*worth-value) <= 1e-9*math.Abs(value) {
			return worth
		}
	}
	return 0
}

// byRounding holds a supported claim open that is met only by reading it to half of its last digit: with the tolerance
// alone it would be contradicted. "1 year" read as half a year says nothing for the claim.
func (r *Row) byRounding() {
	if r.Verdict != Supported || r.Tolerance.Rounding == 0 {
		return
	}
	t := r.Tolerance
	t.Rounding = 0
	plain := limitOf(r.Claim, t)
	if p, _ := Probability(plain, r.Measured); p <= Risk {
		r.holdOpen(fmt.Sprintf("the claim is met only by reading %q to half of its last digit, and is missed without it (probability %s); a figure with more digits would settle it", r.Claim.Claimed.Text, Chance(p)))
	}
}
