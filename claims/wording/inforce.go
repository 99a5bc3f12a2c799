package wording

// Class is a class of findings.
type Class struct {
	Name     string
	Severity string // high, medium, low
	Effect   string // see Effect
	Meaning  string
	Source   string
	Mark     string
}

// Classes lists the classes of findings, the gravest first.
func Classes() []Class {
	var out []Class
	for _, r := range table("classes.csv", 6) {
		out = append(out, Class{r[0], r[1], r[2], r[3], r[4], r[5]})
	}
	return out
}

// ClaimRule is a check of a claim whose number stands in a column of its own: it is made of claims of Attribute, of the
// bound and the unit where they are named, unless the claim or its words hold what Unless names.
type ClaimRule struct{ Rule, Attribute, Unless, Bound, Unit, Mark string }

// ClaimRules lists them, in the order of their table.
func ClaimRules() []ClaimRule {
	var out []ClaimRule
	for _, r := range table("claim_rules.csv", 6) {
		out = append(out, ClaimRule{r[0], r[1], r[2], r[3], r[4], r[5]})
	}
	return out
}

// Spelling is a way in which running text writes a unit, beside the spellings of package unit.
type Spelling struct{ Text, Unit, Source, Mark string }

// Spellings lists them, in the order of their table.
func Spellings() []Spelling {
	var out []Spelling
	for _, r := range table("units.csv", 4) {
		out = append(out, Spelling{r[0], r[1], r[2], r[3]})
	}
	return out
}
