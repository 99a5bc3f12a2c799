package measure

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"weighhouse/measure/unit"
)

// otherWords are words of a column's header that name another quantity than particles; otherUnits units of one that the
// table of units does not hold.
var (
	otherWords = []string{"temperature", "temp", "humidity", "rh", "hum", "pressure", "baro", "co2", "battery", "voltage", "volt", "noise", "sound", "wind", "lux", "dew", "rpm"}
	otherUnits = []string{"c", "°c", "f", "°f", "k", "v", "mv", "a", "ma", "hpa", "kpa", "mbar", "rh", "%rh", "lux", "lx", "hz", "rpm", "m/s", "va", "db(c)", "db(z)"}
)

// noConcentration says why a column of a log is no concentration of particles, by its unit or else by its name; "" where
// nothing speaks against it.
func noConcentration(column, text string) string {
	say := func(what string) string {
		return fmt.Sprintf("the column %q %s, and a decay takes the readings of a particle sensor: name its column in value", column, what)
	}
	if text != "" {
		if slices.Contains(otherUnits, strings.ToLower(strings.ReplaceAll(text, " ", ""))) {
			return say(fmt.Sprintf("is in %q", text))
		}
		u, known := unit.Lookup(text)
		switch {
		case !known: // 1/cm3, counts, raw …
		case u.Name == "ug/m3", u.Name == "mg/m3":
			return ""
		case u.Dimension == unit.Concentration:
			return say(fmt.Sprintf("is in %q, which is of a gas", text))
		case u.Dimension == unit.Mass, u.Dimension == unit.Volume:
		default:
			return say(fmt.Sprintf("is in %q, a unit of %s", text, u.Dimension))
		}
		if known {
			return ""
		}
	}
	for _, w := range strings.FieldsFunc(strings.ToLower(column), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if slices.Contains(otherWords, w) {
			return say(fmt.Sprintf("has %q in its name", w))
		}
	}
	return ""
}
