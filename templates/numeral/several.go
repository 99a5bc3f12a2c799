package numeral

import "fmt"

// Several is a number of things in words: "1 finding", "3 findings"; plural, where it is given, stands for the noun with
// an s.
func Several(n int, noun string, plural ...string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case len(plural) > 0:
		return fmt.Sprintf("%d %s", n, plural[0])
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
