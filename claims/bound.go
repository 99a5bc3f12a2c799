package claims

import (
	"regexp"
	"strings"
	"sync"
)

// Words and signs by which a text states on which side of a number it promises, before the number or behind it.
var (
	boundBefore = sync.OnceValue(func() map[Bound]*regexp.Regexp {
		return map[Bound]*regexp.Regexp{
			AtLeast: regexp.MustCompile(`(?i)(?:\b(?:at\s+least|min(?:imum|\.)?(?:\s+of)?|more\s+than|over|above|not?\s+less\s+than|not\s+under|exceeds|from)|[>≥])\s*$`),
			AtMost:  regexp.MustCompile(`(?i)(?:\b(?:at\s+most|max(?:imum|\.)?(?:\s+of)?|less\s+than|under|below|no(?:t)?\s+more\s+than|not\s+over|(?:does\s+)?not\s+exceed|within|up\s+to)|[<≤])\s*$`),
			About:   regexp.MustCompile(`(?i)(?:\b(?:about|around|approx(?:imately|\.)?|roughly|ca\.?)|[~≈])\s*$`),
			UpTo:    regexp.MustCompile(`(?i)\bup\s+to\s*$`),
		}
	})
	boundBehind = sync.OnceValue(func() map[Bound]*regexp.Regexp {
		return map[Bound]*regexp.Regexp{
			AtLeast: regexp.MustCompile(`(?i)^[^\d.;]{0,12}\b(?:or\s+(?:more|longer|larger|better)|min(?:imum)?|and\s+(?:more|above))\b`),
			AtMost:  regexp.MustCompile(`(?i)^[^\d.;]{0,12}\b(?:or\s+(?:less|lower|below|better)|max(?:imum)?|and\s+below)\b`),
		}
	})
	digits = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\d+(?:[.,]\d+)*`) })
)

// BoundStated reports whether the claim states its bound itself: in the bound column, or in its words beside its number.
func (c *Claim) BoundStated() bool {
	if c.BoundGiven {
		return true
	}
	re := boundBefore()[c.Bound]
	if re == nil || c.Claimed == nil {
		return false
	}
	want := digits().FindString(c.Claimed.Text)
	for _, at := range digits().FindAllStringIndex(c.Wording, -1) {
		if want == "" || strings.ReplaceAll(c.Wording[at[0]:at[1]], ",", "") != strings.ReplaceAll(want, ",", "") {
			continue
		}
		if re.MatchString(c.Wording[:at[0]]) {
			return true
		}
		if behind := boundBehind()[c.Bound]; behind != nil && behind.MatchString(c.Wording[at[1]:]) {
			return true
		}
	}
	return false
}
