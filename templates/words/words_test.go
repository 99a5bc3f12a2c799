package words

import (
	"math"
	"slices"
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/templates/internal/mossgate"
	"weighhouse/verdict"
)

type always struct{}

func (always) AtLeast(float64) (float64, string) { return 1, "" }

func TestWords(t *testing.T) {
	c := func(b claims.Bound, low, high float64, text string) claims.Claim {
		return claims.Claim{Bound: b, Claimed: &claims.Range{Low: low, High: high, Unit: "m3/h", Text: text}}
	}
	p := 0.02
	row := verdict.Row{Limit: &verdict.Limit{Low: 270, High: math.Inf(1), Unit: "m3/h"}, Tolerance: verdict.Tolerance{Value: 10, Unit: "%", Amount: 30}, Probability: &p, Guard: 12.34,
		Measured: &measure.Measurement{Value: 217.37, Expanded: 14.2, Unit: "m3/h"}, Gap: &verdict.Gap{Value: -83, Unit: "m3/h", Percent: -27.7}, GapWords: "delivers 28 % less clean air than claimed", Verdict: verdict.Contradicted}
	held := row
	held.Verdict = verdict.Inconclusive
	level := row
	level.Measured, level.Gap = &measure.Measurement{Value: 53, Expanded: 4.7, Unit: "dB(A)"}, &verdict.Gap{Value: 3, Unit: "dB(A)", Percent: 6}
	exact := row
	exact.Tolerance = verdict.Tolerance{}
	counted := &measure.Measurement{Value: 99.9525, Unit: "%", Exact: always{}, Interval: [2]float64{99.937, 99.9666}, Std: 0.01, Expanded: 0.02, K: 2, DOF: math.Inf(1)}
	for _, x := range []struct{ got, want string }{
		{Claimed(c(claims.AtLeast, 300, 300, "")), "≥ 300 m³/h"}, {Claimed(c(claims.AtMost, 300, 300, "")), "≤ 300 m³/h"}, {Claimed(c(claims.About, 300, 300, "")), "about 300 m³/h"},
		{Claimed(c(claims.UpTo, 300, 300, "")), "up to 300 m³/h"}, {Claimed(c(claims.AtLeast, 6, 8, "")), "6 to 8 m³/h"}, {Claimed(claims.Claim{}), "–"},
		{AsWritten(c("", 300, 300, "300 M³ / h")), ""}, {AsWritten(c("", 300, 300, "300 m3/h")), ""}, {AsWritten(c("", 300, 300, "176.6 cfm")), "176.6 cfm"}, {AsWritten(claims.Claim{}), ""},
		{Promise(c(claims.AtLeast, 300, 300, "176.6 cfm")), "≥ 300 m³/h, written as “176.6 cfm” (the usual meaning of such a claim: it does not say “at least” itself)"},
		{Shorten("one two three four", 10), "one two…"}, {Shorten("short", 10), "short"}, {Shorten(strings.Repeat("x", 30), 10), "xxxxxxxxx…"}, {Shorten("a\n b", 10), "a b"},
		{Subject(claims.Claim{Attribute: "standby power", Setting: "standby"}), "standby power"}, {Subject(claims.Claim{Attribute: "filter efficiency", Particle: "0.3 um"}), "filter efficiency, 0.3 µm"},
		{Subject(claims.Claim{Attribute: "delivery rate", Setting: "max", Particle: "pm2.5"}), "delivery rate, max, PM2.5"}, {Particle("smoke"), "smoke"},
		{Measured(nil), "–"}, {Measured(counted), "99.953 % (99.937 to 99.967)"}, {Measured(&measure.Measurement{Value: 217.3, Expanded: 14.2, Unit: "m3/h"}), "217 ± 14 m³/h"},
		{Limit(nil), "–"}, {LimitOf(&row), "≥ 270 m³/h: the claim with 10 % (30 m³/h) in the maker's favour"}, {LimitOf(&exact), "≥ 270 m³/h: the claim itself, with no tolerance"}, {LimitOf(&verdict.Row{}), ""},
		{Gap(&row), "−83 m³/h (−28 %): delivers 28 % less clean air than claimed"}, {Gap(&level), "+3.0 dB(A): delivers 28 % less clean air than claimed"}, {Gap(&verdict.Row{}), ""},
		{Sure(&row), "very likely misses it"}, {Sure(&held), "held back, see its note"}, {Sure(&verdict.Row{}), ""},
		{Probability(&row), "0.020 that the limit is met: very likely misses it; guard band w = 12 m³/h each side of the limit"}, {Probability(&verdict.Row{}), ""},
		{DOF(math.Inf(1)), "∞"}, {DOF(7), "7"}, {Upper("é"), "É"}, {Upper(""), ""}, {Upper("kWh a year"), "kWh a year"}, {Sentence(" it grew "), "It grew."}, {Sentence("Why?"), "Why?"}, {Sentence(""), ""},
		{RuleName(verdict.Finding{}), ""}, {Upper("\xff"), "\xff"},
		{Sourced("a", "memory"), "a (from memory; check the document before relying on it)"}, {Sourced("", ""), ""}, {Sourced("a", ""), "a"}, {Sourced("", "read"), "no source is named"},
		{Sourced("FIFRA 2(h) (read); EU 528/2012 (memory)", "memory"), "FIFRA 2(h) (read in the document named); EU 528/2012 (from memory; check the document before relying on it)"},
		{Sourced("A (read); B (second-hand)", "memory"), "A (read in the document named); B (from a restatement; the document itself was not read); the meaning of the words (from memory; check the document before relying on it)"},
		{Sourced("our scale's sheet (read)", "case"), "our scale's sheet (read) (given by the tester for this case)"},
		{Marked("A (read); B (memory)", "memory"), "A (read); B (memory)"}, {Marked("A (read); B (second-hand)", "memory"), "A (read); B (second-hand); the meaning of the words (memory)"},
		{Marked("A; B", "read"), "A; B (read)"}, {Marked("common practice, no source", "memory"), "common practice, no source"}, {Marked("", "read"), ""},
		{Product(&verdict.Audit{}), "product not named"}, {Eyebrow(&verdict.Audit{Case: "x", Issued: "2031-01-02"}), "Claims audit · case x · issued 2031-01-02"},
		{Seen(claims.Claim{}), ""}, {Seen(claims.Claim{Source: "box", Captured: "2031-01-02", Evidence: "a.png"}), "box, 2031-01-02; evidence a.png"}, {Seen(claims.Claim{Evidence: "a.png"}), "Evidence a.png"},
		{Room(&verdict.Room{Text: "a", Volume: 45.1, U: 0.2}), "Test room: a; volume 45.10 ± 0.40 m³ (k = 2)."}, {Room(nil), ""},
		{Reply(claims.Reply{Sent: "2031-01-02", Channel: "email", Deadline: "2031-01-16"}), "Sent 2031-01-02 by email, answer asked for by 2031-01-16; no reply by 2031-01-16 is recorded."},
		{Reply(claims.Reply{Received: "2031-01-16"}), "Sent on a day not recorded; answer received 2031-01-16, here in full:"}, {Reply(claims.Reply{}), "Sent on a day not recorded; no reply is recorded."},
	} {
		if got := strings.ReplaceAll(x.got, "\u00a0", " "); got != x.want {
			t.Errorf("got %q, want %q", got, x.want)
		}
	}
	for _, o := range verdict.Outcomes {
		if Meaning(o) == "" {
			t.Errorf("%s has no meaning", o)
		}
	}
}

func marked(ps []Piece) string {
	s := ""
	for _, p := range ps {
		if p.Marked {
			s += "[" + p.Text + "]"
		} else {
			s += p.Text
		}
	}
	return s
}

func TestQuotes(t *testing.T) {
	a := mossgate.Audit()
	for i, want := range []string{"[True HEPA H13 grade] filter with nano silver", "Our filter [captures 99.97%] of everything in the air you breathe.", "CADR [up to] 320 m³/h for smoke, tested by independent experts!"} {
		if qs := Context(a, a.Findings[i]); len(qs) != 1 || marked(qs[0].Pieces) != want || !qs[0].Whole || qs[0].Claim != "" {
			t.Errorf("finding %d: %v; want %s", i, qs, want)
		}
	}
	f := a.Findings[0]
	f.Quote = "words that stand nowhere"
	if qs := Context(a, f); len(qs) != 1 || marked(qs[0].Pieces) != "[words that stand nowhere]" || qs[0].Whole {
		t.Errorf("a quote without context: %v", qs)
	}
	f.Quote = "HEPA H13 | 99.97%"
	f.Claims = []string{"C6", "C7"}
	if qs := Context(a, f); len(qs) != 2 || marked(qs[0].Pieces) != "True [HEPA H13] grade filter with nano silver" || qs[1].Claim != "C7" || marked(qs[1].Pieces) != "Our filter captures [99.97%] of everything in the air you breathe." {
		t.Errorf("a quote of two claims: %v", qs)
	}
	f.Quote = "HEPA H13 | nowhere"
	if qs := Context(a, f); len(qs) != 1 || qs[0].Whole || marked(qs[0].Pieces) != "[HEPA H13 | nowhere]" {
		t.Errorf("a quote of two claims of which one is not there: %v", qs)
	}
	row := a.Rows[0]
	row.Findings = []int{2, 2, 99, -1, 3}
	if got := marked(Quoted(a, &row)); got != "CADR [up to] 320 m³/h for smoke, tested by independent experts!" {
		t.Errorf("a claim's quotes: %s", got)
	}
	// quotes that overlap are one mark, and the offsets choose among equal words
	b := &verdict.Audit{Findings: make([]verdict.Finding, 3)}
	b.Findings[0].Quote, b.Findings[1].Quote, b.Findings[2].Quote = "abc", "bcd", "a"
	b.Findings[2].Start, b.Findings[2].End = 5, 6
	row.Claim.Wording, row.Findings = "abcd a", []int{0, 1, 2}
	if got := marked(Quoted(b, &row)); got != "[abcd] [a]" {
		t.Errorf("quotes that overlap: %s", got)
	}
	row.Claim.Wording = ""
	if ps := Quoted(b, &row); ps != nil {
		t.Errorf("no wording: %v", ps)
	}
}

func TestOrder(t *testing.T) {
	fs := make([]verdict.Finding, 5)
	for i, s := range []string{"low", "?", "high", "medium", "high"} {
		fs[i].Severity = s
	}
	if got := Weightiest(fs); !slices.Equal(got, []int{2, 4, 3, 0, 1}) {
		t.Errorf("the findings by weight: %v", got)
	}
}

func TestAnswered(t *testing.T) {
	for _, c := range []struct {
		replies []claims.Reply
		want    string
	}{
		{nil, ""},
		{[]claims.Reply{{Sent: "2026-06-08", Deadline: "2026-06-22"}}, ""},
		{[]claims.Reply{{Sent: "2026-06-08", Received: "2026-06-19", Text: "We disagree."}}, "The maker has answered (2026-06-19)."},
		{[]claims.Reply{{Text: "We disagree."}}, "The maker has answered."},
		{[]claims.Reply{{Received: "2026-06-19"}, {Sent: "2026-07-01"}, {Received: "2026-07-08", Text: "x"}}, "The maker has answered (2026-06-19, 2026-07-08)."},
	} {
		if got := Answered(c.replies); got != c.want {
			t.Errorf("%+v: %q, want %q", c.replies, got, c.want)
		}
	}
}
