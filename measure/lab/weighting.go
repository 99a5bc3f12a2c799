package lab

import (
	"regexp"
	"strings"

	"weighhouse/measure/sheet"
	"weighhouse/measure/unit"
)

var (
	notA  = regexp.MustCompile(`(?:^|[^a-z])l ?[czgd](?: ?(?:eq|pk|peak|max|min|[fsi]p?|f ?max|s ?max|[ne])|[^a-z]|$)|(?:^|[^a-z])[cz][ -]weight|unweighted|(?:^|[^a-z])(?:flat|linear)(?:[^a-z]|$)|(?:^|[^a-z])db ?\(?[czg]\)?(?:[^a-z]|$)`)
	isA   = regexp.MustCompile(`(?:^|[^a-z])l ?p? ?a(?: ?(?:eq|max|min|[fsi]|f ?max|s ?max|[ne]\d*)|[^a-z]|$)|(?:^|[^a-z])a[ -]weight|db ?\(?a\)?(?:[^a-z]|$)`)
	aBand = regexp.MustCompile(`^[\d.,]+ ?k? ?(?:hz)?$`)
)

// weighting reads from a log's header and its unit whether levels are A-weighted. why says what they are where they are no
// sound level that can stand for one in dB(A): of another weighting, of one band of frequencies, or no level at all. The
// names of levels are those of IEC 61672-1 (from memory): L, the weighting, then what is made of it.
func weighting(header, unitText string) (a bool, why string) {
	name := sheet.FoldName(header)
	plain := name // without the unit
	if unitText != "" {
		plain = sheet.FoldName(strings.ReplaceAll(header, unitText, " "))
	}
	u, known := unit.Lookup(unitText)
	low := strings.ToLower(strings.ReplaceAll(unitText, " ", ""))
	switch {
	case notA.MatchString(name) && !isA.MatchString(plain):
		return false, "is of another weighting by its name"
	case known && u.Name == "dB(A)":
		return true, ""
	case known && u.Dimension != unit.Level:
		return false, "is in " + unitText + ", which is no unit of sound level"
	case !known && strings.HasPrefix(low, "db"):
		return false, "is in " + unitText + ", which is no A-weighted level"
	case !known && sheet.ElectricalUnit(unitText):
		return false, "is in " + unitText + ", which is no unit of sound level"
	case aBand.MatchString(name):
		return false, "is of one band of frequencies by its name"
	}
	return isA.MatchString(name), ""
}
