package numeral

import (
	"math"
	"testing"
)

func TestPlusMinus(t *testing.T) {
	for _, c := range []struct {
		v, u float64
		unit string
		want string
	}{
		// GUM 7.2.2 and 7.2.6 (JCGM 100:2008, from memory): "100.021 47 g" with 0.000 70 g, the value at the digit of the uncertainty
		{100.02147, 0.00070, "g", "100.02147 ± 0.00070 g"},
		{10.05762, 0.027, "g", "10.058 ± 0.027 g"}, // GUM 7.2.6 example: 10.057 62 becomes 10.058 with u 27 mΩ
		{217.37, 14.21, "m3/h", "217 ± 14 m³/h"},
		{217.37, 142.1, "m3/h", "220 ± 140 m³/h"},
		{0.0996, 0.00996, "W", "0.100 ± 0.010 W"},
		{5, 0, "W", "5 W"},
		{5, math.NaN(), "W", "5 W"},
		{-3.21, 0.5, "dB(A)", "−3.21 ± 0.50 dB(A)"},
		{math.Inf(1), 1, "W", "–"},
	} {
		if got := PlusMinus(c.v, c.u, c.unit); got != nb(c.want) {
			t.Errorf("PlusMinus(%v, %v, %s) = %q, want %q", c.v, c.u, c.unit, got, nb(c.want))
		}
	}
}

// nb turns the spaces of a test's text into the unbreakable ones that numbers carry.
func nb(s string) string {
	out := []rune(s)
	for i, r := range out {
		if r == ' ' {
			out[i] = '\u00a0'
		}
	}
	return string(out)
}

func TestNumbers(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct{ got, want string }{
		{Plain(300), "300"}, {Plain(0.25), "0.25"}, {Plain(7.21345), "7.213"}, {Plain(-0.5), "−0.5"}, {Plain(123456), nb("123 456")},
		{Plain(math.NaN()), "–"}, {Plain(0), "0"}, {Plain(math.Copysign(0, -1)), "0"}, {Fixed(-0.001, 1), "0.0"},
		{Range(6, 8, "h"), "6 to 8" + nb(" h")}, {Range(6, 6, "h"), nb("6 h")}, {Range(math.Inf(-1), 8, "h"), nb("8 h")},
		{Limit(270, inf, "m3/h"), nb("≥ 270 m³/h")}, {Limit(-inf, 53, "dB(A)"), nb("≤ 53 dB(A)")}, {Limit(27, 33, "W"), "27 to 33" + nb(" W")},
		{Limit(-inf, inf, "W"), "–"},
		{Plain(2.5e300), nb("2.5 × 10³⁰⁰")}, {Plain(-3e-9), nb("−3 × 10⁻⁹")}, {PlusMinus(1e-300, 1e-300, "W"), nb("1 × 10⁻³⁰⁰ ± 1 × 10⁻³⁰⁰ W")},
		{Set("-82.3"), "−82.3"}, {Set("+12345.5"), nb("+12 345.5")}, {Set(""), "–"}, {Of(99.9995, "%"), nb("99.9995 %")}, {Of(100, "%"), nb("100 %")}, {Of(95, "%"), nb("95 %")},
		{Share(0.0004), nb("below 0.1 %")}, {Share(0.043), nb("4.3 %")}, {Share(0.86), nb("86 %")},
		{Probability(0.0001), "below 0.001"}, {Probability(0.0054), "0.005"}, {Probability(0.05), "0.050"}, {Probability(0.0500037), "just above 0.05"}, {Probability(0.9499), "just below 0.95"}, {Probability(0.53), "0.53"}, {Probability(1), "above 0.999"}, {Probability(math.NaN()), "–"},
		{Significant(0.0996, 2), "0.10"}, {Significant(1234, 2), "1200"}, {Unit("furlong"), "furlong"}, {Bytes(1234567), nb("1235 kB")},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// The words of Sure must change exactly where the verdict does: at 0.05 and at 0.95, both ends belonging to the verdict.
func TestSureFollowsTheDecisionRule(t *testing.T) {
	above, below := math.Nextafter(0.05, 1), math.Nextafter(0.95, 0)
	if Sure(0.05) == Sure(above) || Sure(0.95) == Sure(below) {
		t.Errorf("0.05 %q, just above %q; 0.95 %q, just below %q", Sure(0.05), Sure(above), Sure(0.95), Sure(below))
	}
}

func TestProse(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"340 m3/h is 200.1 cfm", "340 m³/h is 200.1 cfm"}, {"2.00 m3/(W h)", "2.00 m³/(W h)"}, {"area, m2", "area, m²"}, {"of the ft2", "of the ft²"}, {"10 ug/m3 and 0.3 um", "10 µg/m³ and 0.3 µm"},
		{"0.3\u00a0um", "0.3\u00a0µm"}, {"5.01 x 3.59 x 2.51 m", "5.01 × 3.59 × 2.51 m"}, {"measurement M2, run off-m3", "measurement M2, run off-m3"}, {"um, ug", "um, ug"},
		{"m3", "m³"}, {"pm10m3 x", "pm10m3 x"}, {"", ""}, {"Ä m2ä m2", "Ä m2ä m²"}, {"caf\xe9 m2", "caf\xe9 m²"},
	} {
		if got := Prose(c.in); got != c.want {
			t.Errorf("Prose(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}
