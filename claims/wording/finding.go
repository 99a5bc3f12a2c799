// Package wording reads the words of claims: filter grades, percentages, absolutes, coverage, noise, energy, life, gas
// and evidence wording, against embedded tables of terms and classes.
package wording

// Finding is one place where the words cannot be tested, disagree with themselves, or leave out what a reader needs.
type Finding struct {
	Rule     string // id of the rule: FG-04, PE-01, R2, CX-03 …
	Class    string // CONTRADICTION, UNDEFINED, INCOMPLETE …
	Severity string // high, medium, low
	Quote    string // the exact words, as they stand in the input
	Start    int    // byte offsets of Quote in the text that was checked; both 0 where the finding is about a whole claim
	End      int
	Why      string // one or two sentences that a shopper understands
	Ask      string // what to ask the seller or maker
	Evidence string // what would settle it
	Source   string // the standard or rule behind it
	Mark     string // read, second-hand, memory, computed, judgement

	// Also lists rules of the same meaning that found the same words (a numeric rule and its wording twin, such as R14
	// and PE-01), so that a report shows one finding and loses no id.
	Also []string
}
