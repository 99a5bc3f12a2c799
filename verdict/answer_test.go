package verdict

import (
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
)

func TestAnswersAreTiedToClaims(t *testing.T) {
	row := func(id string, a claims.Attribute, text string) Row {
		c := claims.Claim{ID: id, Attribute: a}
		if text != "" {
			c.Claimed = &claims.Range{Text: text}
		}
		return Row{Claim: c}
	}
	rows := func() []Row {
		return []Row{row("C1", claims.DeliveryRate, "340 m3/h"), row("C2", claims.DeliveryRate, "34 m3/h"), row("C9", claims.StandbyPower, "0.5 W"), row("C10", claims.Noise, "52 dB(A)"),
			row("C13", claims.FilterEfficiency, "99 %"), row("C21", claims.CarbonMass, "500 g")}
	}
	for _, x := range []struct{ text, want string }{
		{"Our figure of 340 m³/h was taken in a chamber.", "C1"},
		{"Our figure of 340 m3/h.", "C1"},
		{"1340 m³/h and 340 m³/hour", ""},
		{"The standby figure was measured without radio.", "C9"},
		{"The mass of 500 g counts the frame.", "C21"},
		{"We agree on C1 and C10, not on C 9.", "C1 C10"},
		{"AC1 and C100 are part numbers.", ""},
		{"The noise was measured at 2 m.", "C10"},
		{"99 % of our customers are content.", ""}, // a percentage alone is no tie
		{"The delivery rates differ.", ""},         // nor part of a word
		{"Thank you for your letter.", ""},
	} {
		a := &Audit{Replies: []claims.Reply{{Text: x.text}}, Rows: rows()}
		a.answer()
		var got []string
		for _, r := range a.Rows {
			if r.Answer != "" {
				got = append(got, r.Claim.ID)
				if r.Answer != x.text || len(r.Answers) != 1 {
					t.Errorf("%q: %q of %v", x.text, r.Answer, r.Answers)
				}
			}
		}
		if strings.Join(got, " ") != x.want {
			t.Errorf("%q: tied to %v, want %q", x.text, got, x.want)
		}
	}
	long := strings.Repeat("We have read your letter with care. ", 15) + "C1 stands. We wish you well."
	a := &Audit{Replies: []claims.Reply{{Text: "Hello."}, {Text: long + "\nC1 again."}}, Rows: rows()}
	a.answer()
	if got := a.Rows[0]; got.Answer != "C1 stands.\nC1 again." || len(got.Answers) != 1 || got.Answers[0] != 1 {
		t.Errorf("a long answer: %q of %v", got.Answer, got.Answers)
	}
}

func TestRatiosInWords(t *testing.T) {
	for x, want := range map[float64]string{1.6: "1.6 times", 2: "twice", 0.5: "half", 1.0 / 3: "a third of", 0.25: "a quarter of", 0.2: "a fifth of", 0.1: "a tenth of", 0.0955: "about a tenth of",
		0.49: "about half", 0.35: "0.35 times", 0.06: "0.06 times", 0.0001: "less than a thousandth of", 12: "12 times"} {
		if got := times(x); got != want {
			t.Errorf("%v: %q, want %q", x, got, want)
		}
	}
	c := claims.Claim{Attribute: claims.FilterEfficiency, Claimed: &claims.Range{Low: 99, High: 99, Unit: "%"}}
	for value, want := range map[float64]string{99.9: "lets through a tenth of what the claim allows", 98.4: "lets through 1.6 times what the claim allows", 100: "no particle was counted behind the filter", 99: "as claimed"} {
		if got := gapWords(c, &measure.Measurement{Value: value, Unit: "%"}, &Gap{Value: value - 99, Unit: "%"}); got != want {
			t.Errorf("%v %%: %q, want %q", value, got, want)
		}
	}
}

// The record of the lab book decides which conditions are said not to be recorded; an ioniser that it does not mention
// keeps a claim open.
func TestConditionsOfTheRecord(t *testing.T) {
	r := Row{Claim: claims.Claim{Attribute: claims.Power}}
	r.withConditions(TestRecord{Fields: []Field{{"notes", "reading room"}}})
	if len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "voltage is not recorded") {
		t.Errorf("no voltage: %q", r.Notes)
	}
	r.Notes = nil
	r.withConditions(TestRecord{Fields: []Field{{"notes", "mains 229.8 V throughout"}}})
	if len(r.Notes) != 0 {
		t.Errorf("229.8 V: %q", r.Notes)
	}
	for _, x := range []struct {
		notes string
		want  Outcome
		said  int
	}{{"reading room", Inconclusive, 1}, {"ioniser on in all runs", Contradicted, 0}} {
		r := Row{Claim: claims.Claim{Attribute: claims.DeliveryRate, Basis: claims.ParseBasis("ioniser on")}, Verdict: Contradicted}
		r.withConditions(TestRecord{Fields: []Field{{"notes", x.notes}}})
		if r.Verdict != x.want || len(r.Notes) != x.said {
			t.Errorf("%q: %s, %q", x.notes, r.Verdict, r.Notes)
		}
	}
}
