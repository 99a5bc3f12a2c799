package measure

import (
	"regexp"
	"strconv"
	"strings"

	"weighhouse/measure/unit"
)

// Particles are the names that a particle column takes beside a size such as "0.3 um".
var Particles = []string{"smoke", "dust", "pollen", "pm1", "pm2.5", "pm10"}

var sizePattern = regexp.MustCompile(`^(\d+(?:[.,]\d+)?)(?:\s*(?:-|–|to)\s*(\d+(?:[.,]\d+)?))?\s*(um|µm|μm|micron|microns|micrometre|micrometres|micrometer|micrometers|nm)$`)

// Particle brings a particle's name or size to one form: "PM 2.5" → "pm2.5", "0,3 µm" → "0.3 um", "300 nm" → "0.3 um".
// A blank stays blank. The second result is false when the text is neither a known name nor a size.
func Particle(text string) (string, bool) {
	s := Fold(text)
	if s == "" {
		return "", true
	}
	flat := strings.ReplaceAll(strings.ReplaceAll(s, " ", ""), ",", ".")
	switch flat {
	case "tobaccosmoke", "cigarettesmoke":
		return "smoke", true
	case "pm25":
		return "pm2.5", true
	}
	for _, p := range Particles {
		if flat == p {
			return p, true
		}
	}
	m := sizePattern.FindStringSubmatch(strings.ReplaceAll(strings.TrimSpace(strings.ToLower(text)), "μ", "µ"))
	if m == nil {
		return text, false
	}
	u, _ := unit.Lookup(m[3])
	num := func(s string) string {
		x, _ := strconv.ParseFloat(strings.ReplaceAll(s, ",", "."), 64)
		if u.Name == "nm" {
			x /= 1000
		}
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	if m[2] != "" {
		return num(m[1]) + "-" + num(m[2]) + " um", true
	}
	return num(m[1]) + " um", true
}

// Fold brings a name of a setting, column or attribute to the form by which names are compared: case is ignored, and
// space, hyphen and underscore are alike.
func Fold(s string) string {
	s = strings.Map(func(r rune) rune {
		switch r {
		case '-', '_', '\u00a0', '\t', '\u2010', '\u2011':
			return ' '
		}
		return r
	}, strings.ToLower(s))
	return strings.Join(strings.Fields(s), " ")
}
