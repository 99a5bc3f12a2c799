package measure

import (
	"fmt"
	"strings"
)

// rowName is a row's label, its setting where it has none.
func rowName(name, setting string) string {
	if name != "" {
		return name
	}
	return setting
}

// plural is "1 reading", "3 readings".
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// joinNew adds a text to a list in words, unless it stands there already.
func joinNew(list, text string) string {
	switch {
	case text == "":
		return list
	case list == "":
		return text
	}
	for _, t := range strings.Split(list, "; ") {
		if t == text {
			return list
		}
	}
	if strings.Contains(list, text) {
		return list
	}
	return list + "; " + text
}

// at is " at 1.5 m", or nothing where no distance is recorded.
func at(metres float64) string {
	if metres == 0 {
		return ""
	}
	return fmt.Sprintf(" at %g m", metres)
}

// clock is an elapsed time in seconds for people.
func clock(seconds float64) string {
	if seconds > 1e8 || seconds < -1e8 { // seconds since an epoch, not elapsed
		return fmt.Sprintf("%.0f s", seconds)
	}
	return fmt.Sprintf("%.1f min", seconds/60)
}

func logWords(ls []level) string {
	n := 0
	for _, l := range ls {
		if l.reading.Log != nil {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(" (%d of them the equivalent continuous level of a log)", n)
}

func backgroundWords(ls []level) string {
	var far, corrected, bounded int
	for _, l := range ls {
		switch {
		case l.bound != "":
			bounded++
		case l.cB > 0:
			corrected++
		default:
			far++
		}
	}
	var parts []string
	if far > 0 {
		parts = append(parts, fmt.Sprintf("%s more than 15 dB above it, not corrected", plural(far, "reading")))
	}
	if corrected > 0 {
		parts = append(parts, fmt.Sprintf("%s 6 to 15 dB above it, corrected", plural(corrected, "reading")))
	}
	if bounded > 0 {
		parts = append(parts, fmt.Sprintf("%s nearer to it or without it, an upper bound", plural(bounded, "reading")))
	}
	return strings.Join(parts, "; ") + " (criteria after ISO 3744, from memory)"
}
