package words

import (
	"reflect"
	"slices"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/verdict"
)

func TestQuestions(t *testing.T) {
	a := &verdict.Audit{Rows: []verdict.Row{{Verdict: verdict.Untested, Ask: "At a? Report?"}, {Verdict: verdict.Supported, Ask: "At b?"}, {Verdict: verdict.Contradicted, Ask: "Report?"},
		{Verdict: verdict.Unclear, Ask: "At a?"}, {Verdict: verdict.Unclear}, {Verdict: verdict.Contradicted, Ask: "At c? Report?"}}}
	got := Questions(a)
	if want := []Question{{[]int{2, 5, 0}, "Report?"}, {[]int{5}, "At c?"}, {[]int{3, 0}, "At a?"}}; !reflect.DeepEqual(got, want) {
		t.Errorf("questions: %v, want %v", got, want)
	}
	if n := Needed(a, got); n != 1 { // one question is for both contradicted claims
		t.Errorf("%d questions are needed, want 1", n)
	}
	a.Rows[2].Ask = "At d?"
	if n := Needed(a, Questions(a)); n != 2 {
		t.Errorf("%d questions are needed, want 2", n)
	}
	if got := QuestionsHead(a); got != "What to ask the maker" {
		t.Error(got)
	}
	a.Replies = []claims.Reply{{Text: "x"}}
	if got := QuestionsHead(a); got != "What to ask the maker, where its answer does not settle it" {
		t.Error(got)
	}
}

func TestAnswerTo(t *testing.T) {
	a := &verdict.Audit{Replies: []claims.Reply{{Sent: "2026-06-08"}, {Received: "2026-06-19", Text: "x"}}, Rows: []verdict.Row{
		{Answer: "C1 is right.", Answers: []int{1}}, {Ask: "Why?"}, {}}}
	for i, want := range [][2]string{{"received 2026-06-19:", "C1 is right."}, {"The maker has answered (2026-06-19); no words on this claim were recognised in its answer.", ""}, {"", ""}} {
		if lead, quote := AnswerTo(a, &a.Rows[i]); lead != want[0] || quote != want[1] {
			t.Errorf("row %d: %q, %q; want %q", i, lead, quote, want)
		}
	}
	if got := AnsweredOn(a); !slices.Equal(got, []int{0}) {
		t.Error(got)
	}
	a.Replies = nil
	if lead, _ := AnswerTo(a, &a.Rows[1]); lead != "" {
		t.Errorf("no answer is recorded: %q", lead)
	}
}

func TestCaptures(t *testing.T) {
	entry := func(id, day string) verdict.ThreadEntry { return verdict.ThreadEntry{Claim: id, Captured: day} }
	row := func(id, day string) verdict.Row { return verdict.Row{Claim: claims.Claim{ID: id, Captured: day}} }
	a := &verdict.Audit{Rows: []verdict.Row{row("C1", "2026-04-20"), row("C2", "2026-07-06"), row("C3", "2026-04-20"), row("C4", "2026-04-20"), row("C5", "2026-07-06"), row("C6", "")},
		History: []verdict.Thread{
			{Entries: []verdict.ThreadEntry{entry("C1", "2026-04-20"), entry("C2", "2026-07-06")}, Change: "the figure fell"},
			{Entries: []verdict.ThreadEntry{entry("C3", "2026-04-20")}, Change: "recorded on 2026-04-20; not among the claims recorded from the same source on 2026-07-06"},
			{Entries: []verdict.ThreadEntry{entry("C4", "2026-04-20"), entry("C5", "2026-07-06")}, Change: "unchanged between 2026-04-20 and 2026-07-06"},
		}}
	changed, absent := Later(a)
	if !slices.Equal(changed, []int{0}) || !slices.Equal(absent, []int{2}) {
		t.Errorf("changed %v, absent %v; want [0], [2]", changed, absent)
	}
	for i, want := range []string{"as printed 2026-04-20; captured on another day too: C2 of 2026-07-06; the figure fell", "as printed 2026-07-06; captured on another day too: C1 of 2026-04-20; the figure fell",
		a.History[1].Change, "", "", ""} {
		if got := Printed(a, &a.Rows[i]); got != want {
			t.Errorf("row %d: %q, want %q", i, got, want)
		}
	}
}

func TestDifference(t *testing.T) {
	m := measure.Measurement{Value: 99.95, Unit: "%", Expanded: 0.0212}
	if got := Difference(&verdict.Row{Measured: &m, Gap: &verdict.Gap{Value: -0.0175, Unit: "%"}}); got != "−0.018\u00a0percentage points" {
		t.Errorf("%q", got)
	}
}
