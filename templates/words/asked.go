package words

import (
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/verdict"
)

// Question is what to ask the maker of one or more claims.
type Question struct {
	Rows []int // indices into Audit.Rows
	Ask  string
}

// Questions lists what to ask the maker, of the claims that are not supported, each question once with all claims that it
// is for: what is asked of contradicted claims first, then of unclear, inconclusive and untested ones. A claim on which the
// maker has answered is not among them: its answer stands with it.
func Questions(a *verdict.Audit) []Question {
	var out []Question
	at := map[string]int{}
	for _, want := range []verdict.Outcome{verdict.Contradicted, verdict.Unclear, verdict.Inconclusive, verdict.Untested} {
		for i, row := range a.Rows {
			if row.Verdict != want || row.Answer != "" {
				continue
			}
			for _, ask := range single(row.Ask) {
				if k, ok := at[ask]; ok {
					out[k].Rows = append(out[k].Rows, i)
					continue
				}
				at[ask] = len(out)
				out = append(out, Question{[]int{i}, ask})
			}
		}
	}
	return out
}

// single are the questions that a text holds.
func single(ask string) []string {
	var out []string
	for ask = strings.TrimSpace(ask); ask != ""; {
		i := strings.Index(ask, "? ")
		if i < 0 {
			return append(out, ask)
		}
		out = append(out, ask[:i+1])
		ask = strings.TrimSpace(ask[i+1:])
	}
	return out
}

// Needed is how many of the questions must be shown until each contradicted claim has one.
func Needed(a *verdict.Audit, qs []Question) int {
	n := 0
	has := map[int]bool{}
	for k, q := range qs {
		for _, i := range q.Rows {
			if a.Rows[i].Verdict == verdict.Contradicted && !has[i] {
				has[i], n = true, k+1
			}
		}
	}
	return n
}

// QuestionsHead is what the questions stand under. Whether an answer of the maker settles one is not judged.
func QuestionsHead(a *verdict.Audit) string {
	if Answered(a.Replies) == "" {
		return "What to ask the maker"
	}
	return "What to ask the maker, where its answer does not settle it"
}

// Answered says that the maker has answered, and when; "" where no answer is recorded.
func Answered(replies []claims.Reply) string {
	days, any := answerDays(replies, nil)
	switch {
	case !any:
		return ""
	case len(days) == 0:
		return "The maker has answered."
	}
	return "The maker has answered (" + strings.Join(days, ", ") + ")."
}

// answerDays are the days of the answers, of those that are wanted or of all, and whether there is any.
func answerDays(replies []claims.Reply, want []int) (days []string, any bool) {
	for i, x := range replies {
		if x.Received == "" && x.Text == "" || want != nil && !slices.Contains(want, i) {
			continue
		}
		any = true
		if x.Received != "" && !slices.Contains(days, x.Received) {
			days = append(days, x.Received)
		}
	}
	return days, any
}

// AnswerTo is what stands beside a claim of the maker's answer: an introduction, and its words where they name the claim
// or speak of its subject. Both are empty where no answer is recorded, and where none speaks of a claim of which nothing
// is asked.
func AnswerTo(a *verdict.Audit, row *verdict.Row) (lead, quote string) {
	if row.Answer != "" {
		days, _ := answerDays(a.Replies, row.Answers)
		if len(days) > 0 {
			return "received " + strings.Join(days, ", ") + ":", row.Answer
		}
		return "day not recorded:", row.Answer
	}
	if s := Answered(before(a.Replies, row.Claim.Captured)); s != "" && row.Ask != "" {
		return strings.TrimSuffix(s, ".") + "; no words on this claim were recognised in its answer.", ""
	}
	return "", ""
}

// before are the replies that can speak of a capture of a day: an answer that came before it is not silence on it.
func before(replies []claims.Reply, captured string) []claims.Reply {
	var out []claims.Reply
	for _, x := range replies {
		if x.Received == "" || captured == "" || x.Received >= captured {
			out = append(out, x)
		}
	}
	return out
}

// AnsweredOn are the claims that the maker's answers speak of, as indices into Audit.Rows.
func AnsweredOn(a *verdict.Audit) (rows []int) {
	for i := range a.Rows {
		if a.Rows[i].Answer != "" {
			rows = append(rows, i)
		}
	}
	return rows
}

// Later is what later captures of the same source hold of the claims: those that read differently there, and those that
// are not among the claims recorded from it. No motive is implied.
func Later(a *verdict.Audit) (changed, absent []int) {
	for i := range a.Rows {
		switch t, first := thread(a, a.Rows[i].Claim.ID); {
		case t == nil || !first:
		case len(t.Entries) > 1 && latest(t) != a.Rows[i].Claim.Captured:
			changed = append(changed, i)
		case len(t.Entries) == 1:
			absent = append(absent, i)
		}
	}
	return changed, absent
}

// Printed says of a claim whose words or figure differ between captures what changed, and what later captures hold of its
// words; "" of the others.
func Printed(a *verdict.Audit, row *verdict.Row) string {
	var out []string
	if s := printed(a, row); s != "" {
		out = append(out, s)
	}
	return strings.Join(append(out, Followed(row.Claim)...), "; ")
}

func printed(a *verdict.Audit, row *verdict.Row) string {
	t, _ := thread(a, row.Claim.ID)
	if t == nil {
		return ""
	}
	s := "as printed"
	if row.Claim.Captured != "" {
		s += " " + row.Claim.Captured
	}
	if len(t.Entries) == 1 { // the change says the day of this capture too
		return t.Change
	}
	var others []string
	for _, e := range t.Entries {
		if e.Claim != row.Claim.ID {
			others = append(others, e.Claim+" of "+e.Captured)
		}
	}
	if len(others) > 0 {
		s += "; captured on another day too: " + strings.Join(others, ", ")
	}
	return s + "; " + t.Change
}

// thread is the history that a claim is part of, where it tells of a change, and whether the claim is not its last entry
// or its only one.
func thread(a *verdict.Audit, id string) (*verdict.Thread, bool) {
	for k := range a.History {
		t := &a.History[k]
		if t.Change == "" || strings.HasPrefix(t.Change, "unchanged") {
			continue
		}
		for i, e := range t.Entries {
			if e.Claim == id {
				return t, i < len(t.Entries)-1 || len(t.Entries) == 1
			}
		}
	}
	return nil, false
}

func latest(t *verdict.Thread) string { return t.Entries[len(t.Entries)-1].Captured }
