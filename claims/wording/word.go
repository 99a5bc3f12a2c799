package wording

// Words is one row of the sets of words that terms and conditions name: "@ioniser" in a term, "setting" in a condition.
type Words struct {
	Set, Language, Words string
	Mark                 string // judgement for English; memory for the others: to be checked by a native reader
}

// Sets lists the sets of words, in the order of their tables.
func Sets() []Words {
	var out []Words
	for _, name := range tableNames("sets_") {
		for _, r := range table(name, 3) {
			mark := "memory"
			if r[1] == "en" {
				mark = "judgement"
			}
			out = append(out, Words{r[0], r[1], r[2], mark})
		}
	}
	return out
}

// Question is what is left to ask of a rule where the text answers a part of its question.
type Question struct{ Rule, Answered, Ask, Mark string }

// Questions lists them, in the order of their table.
func Questions() []Question {
	var out []Question
	for _, r := range table("asks.csv", 4) {
		out = append(out, Question{r[0], r[1], r[2], r[3]})
	}
	return out
}
