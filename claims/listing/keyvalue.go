package listing

import (
	"strings"
)

// keyValue matches a line of a dump of fields, "Standby power;0.5 W".
var keyValue = lazily(`^[^;:\n]{2,90};[^;\n]+$`)

// keysAndValues reads a list of fields that are parted by semicolons as one that is parted by colons: in the offer, where a
// label ends with a colon.
func (t *Text) keysAndValues() {
	lines := strings.Split(t.offer, "\n")
	fields, filled := 0, 0
	for _, l := range lines {
		if strings.TrimSpace(l) != "" {
			filled++
			if keyValue().MatchString(l) {
				fields++
			}
		}
	}
	if t.HTML || fields < 5 || fields*10 < filled*7 {
		return
	}
	for i, l := range lines {
		if keyValue().MatchString(l) {
			lines[i] = strings.Replace(l, ";", ":", 1)
		}
	}
	t.offer = strings.Join(lines, "\n")
}
