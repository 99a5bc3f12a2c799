package numeral

import (
	"math"
	"strconv"
	"testing"
)

func TestRounded(t *testing.T) {
	for _, c := range []struct {
		value, expanded float64
		v, u            string
	}{
		{10.05762, 0.027, "10.058", "0.027"},                     // GUM 7.2.6: 10.057 62 Ω with 27 mΩ becomes 10.058 Ω (JCGM 100:2008, from memory)
		{100.02147, 0.00079, "100.02147", "0.00079"},             // GUM 7.2.4: (100,021 47 ± 0,000 79) g (from memory)
		{28050, 28.05, "28050", "28"},                            // GUM 7.2.6: 28,05 kHz should be rounded down to 28 kHz (from memory); value made up
		{217.37, 142.1, "220", "140"},                            // two digits left of the point
		{0.0996, 0.00996, "0.100", "0.010"},                      // a carry into a new digit
		{999.6, 99.6, "1000", "100"},                             // and left of the point
		{-3.21, 0.5, "-3.21", "0.50"}, {-0.004, 1, "0.0", "1.0"}, // no minus before a zero
		{340.25, 0, "340.2", ""}, {5, math.NaN(), "5", ""}, {math.Inf(1), 1, Unknown, ""}, {1e300, 1e299, "1e+300", "1e+299"},
	} {
		if v, u := Rounded(c.value, c.expanded); v != c.v || u != c.u {
			t.Errorf("Rounded(%v, %v) = %q, %q; want %q, %q", c.value, c.expanded, v, u, c.v, c.u)
		}
	}
}

// The examples of NIST SP 811 (2008) B.7.1 (from memory).
func TestSignificant(t *testing.T) {
	for _, c := range []struct {
		digits int
		want   string
	}{{3, "6.97"}, {5, "6.9750"}, {2, "7.0"}} {
		if got := Significant(6.9749515, c.digits); got != c.want {
			t.Errorf("to %d digits %q, want %q", c.digits, got, c.want)
		}
	}
}

// What a filter lets through is what a percentage near 100 says: classes of EN 1822-1 and ISO 29463-1 keep their digits.
func TestOf(t *testing.T) {
	for _, c := range []struct {
		x    float64
		unit string
		want string
	}{
		{99.95, "%", "99.95"}, {99.995, "%", "99.995"}, {99.9995, "%", "99.9995"}, {99.999995, "%", "99.999995"}, {85, "%", "85"}, {100, "%", "100"}, {97.5, "%", "97.5"},
		{306, "m3/h", "306"}, {7.21345, "min", "7.213"}, {123456, "h", "123456"}, {0.25, "W", "0.25"}, {math.NaN(), "W", Unknown}, {math.Copysign(0, -1), "W", "0"},
	} {
		if got := Of(c.x, c.unit); got != c.want {
			t.Errorf("Of(%v, %q) = %q, want %q", c.x, c.unit, got, c.want)
		}
	}
	for x, want := range map[float64]string{23.24: "23", 9.94: "9.9", 9.96: "10", 0.04: "0.0", -31.5: "-32", 150: "150"} {
		if got := Percent(x); got != want {
			t.Errorf("Percent(%v) = %q, want %q", x, got, want)
		}
	}
	if Signed("3.0") != "+3.0" || Signed("-3.0") != "-3.0" || Signed("0.0") != "0.0" || Signed(Unknown) != Unknown {
		t.Error("signs")
	}
}

// The uncertainty is never printed more than 5 % below what it is, the bound of EA-4/02 for rounding down (from memory).
func TestRoundingDownIsSmall(t *testing.T) {
	for x := 1.0; x < 100; x += 0.0137 {
		_, u := Rounded(1000, x)
		got, err := strconv.ParseFloat(u, 64)
		if err != nil {
			t.Fatal(err)
		}
		if got < x*0.95 {
			t.Errorf("%v printed as %s", x, u)
		}
	}
}
