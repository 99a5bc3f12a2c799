package words

import (
	"fmt"
	"strings"

	"weighhouse/claims"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// What the parts of a report say of themselves.
const (
	AboutVerdicts = "U: the measurement's expanded uncertainty, about 95 %. Limit: the claim with a tolerance in the maker's favour. Supported: at least 95 % sure that the unit tested meets the limit. " +
		"Contradicted: beyond the limit with a probability of at least 95 %, on the unit tested; a statistical outcome, no motive. Inconclusive: in between. Untested: nothing measured bears on it. Unclear: it cannot be assessed as worded."
	AboutOverview = "Each claim with a number, divided by that number. The shaded side meets the limit; a bar wholly within it supports the claim, one wholly outside contradicts it."
	AboutFindings = "Findings about wording need no measurement. Each names the rule, the exact words, why they cannot be relied on as they stand, and what would settle them."
	AboutFixed    = "A standard or a limit gives these words a meaning. Nothing is open about them; the question asks for the evidence."
	FixedHead     = "What the words state with a fixed meaning"
	AboutMarks    = "Behind a source, or behind each of its documents, stands how it is known: read, in the document named; second-hand, from a restatement, the document itself was not read; memory, to be checked in the document before anyone relies on it; " +
		"computed; judgement, a choice of this program and not of a document; case, given by the tester."
	AboutResults = "u is a standard uncertainty, U = k·u the expanded one, at about 95 %. A share is a component's part of the combined variance u²."
	AboutCosts   = "The total stands at the middle of the tariff, with its expanded uncertainty; below it the range over the tariff and the measured energy. ± is an expanded uncertainty, about 95 %."
	AboutInfo    = "These tables inform; no verdict rests on them."
	AboutRecord  = "The items are those of ISO/IEC 17025:2017, 7.8.2.1, a to p. This counts what is there; it does not grade the work."
	AboutInputs  = "Every file that was read, with its SHA-256: the same files give the same audit."
	NotInPart    = "This report is not to be reproduced except in full."
)

// meaning says what each verdict says of the unit tested.
var meaning = map[verdict.Outcome]string{
	verdict.Supported:    "The true value meets the limit with a probability of 95 % or more.",
	verdict.Contradicted: "Beyond the limit with a probability of at least 95 %, on the unit tested. It is the name of a statistical outcome, and says nothing of why.",
	verdict.Inconclusive: "The probability is between: at this uncertainty the claim is neither supported nor contradicted.",
	verdict.Untested:     "Nothing measured bears on the claim.",
	verdict.Unclear:      "The claim cannot be assessed as worded: a unit, a size or a standard is missing.",
}

// Meaning is what a verdict says of the unit tested, in a sentence.
func Meaning(o verdict.Outcome) string { return meaning[o] }

// Room describes the test room; "" where there is none.
func Room(r *verdict.Room) string {
	if r == nil {
		return ""
	}
	s := "Test room: " + r.Text
	if r.Volume > 0 {
		s += "; volume " + numeral.PlusMinus(r.Volume, 2*r.U, "m3") + " (k = 2)"
	}
	return s + "."
}

// Sure is a row's probability in words, "" where it has none; where a weakness of the measurement holds the verdict
// back, that is said instead.
func Sure(row *verdict.Row) string {
	if row.Probability == nil {
		return ""
	}
	p := *row.Probability
	if row.TooFew || row.Verdict == verdict.Inconclusive && (p <= 0.05 || p >= 0.95) {
		return "held back, see its note"
	}
	return numeral.Sure(p)
}

// Probability says how probable it is that the limit is met, with the guard band; "" where nothing was measured.
func Probability(row *verdict.Row) string {
	if row.Probability == nil {
		return ""
	}
	s := fmt.Sprintf("%s that the limit is met: %s", numeral.Probability(*row.Probability), Sure(row))
	if row.Adjusted != nil {
		s += "; p after Holm's adjustment for all results " + numeral.Probability(*row.Adjusted)
	}
	if row.Guard > 0 && row.Limit != nil {
		s += "; guard band w = " + numeral.With(numeral.Significant(row.Guard, 2), row.Limit.Unit) + " each side of the limit"
	}
	return s
}

// Promise is the claimed number with what the maker wrote and how the bound came about; "" for words alone.
func Promise(c claims.Claim) string {
	if c.Claimed == nil {
		return ""
	}
	s := Claimed(c)
	if w := AsWritten(c); w != "" {
		s += ", written as “" + w + "”"
	}
	if !c.BoundStated() && c.Bound != "" {
		s += " (the usual meaning of such a claim: it does not say “" + string(c.Bound) + "” itself)"
	}
	return s
}

// LimitOf is a row's limit and how it follows from the claim: "≥ 306 m³/h: the claim with 10 % (34 m³/h) in the maker's
// favour"; "" where there is none.
func LimitOf(row *verdict.Row) string {
	l, t := row.Limit, row.Tolerance
	if l == nil {
		return ""
	}
	s := Limit(l) + ": the claim"
	if t.Rounding > 0 {
		s += " read with its own rounding (" + numeral.With(numeral.Plain(t.Rounding), l.Unit) + ")"
	}
	switch {
	case t.Value == 0 && t.Rounding == 0:
		return s + " itself, with no tolerance"
	case t.Value == 0:
		return s + " in the maker's favour, with no tolerance"
	case t.Rounding > 0:
		s += " and"
	}
	s += " with " + numeral.With(numeral.Plain(t.Value), t.Unit)
	if t.Unit == "%" && t.Amount != 0 && l.Unit != "%" {
		s += " (" + numeral.With(numeral.Plain(t.Amount), l.Unit) + ")"
	}
	return s + " in the maker's favour"
}

// Difference is measured less claimed with its sign and unit, at the decimal of the result; of two percentages it is in
// percentage points; "" where there is none.
func Difference(row *verdict.Row) string {
	n, u := row.GapNumber()
	if n == "" {
		return ""
	}
	return numeral.With(numeral.Set(n), u)
}

// Gap is measured less claimed, with the gap as a buyer would say it; "" where there is none. Of a level or of a share
// no percentage is given, since it would say nothing.
func Gap(row *verdict.Row) string {
	s := GapNumbers(row)
	if s != "" && row.GapWords != "" {
		s += ": " + row.GapWords
	}
	return s
}

// GapNumbers is Gap without its words.
func GapNumbers(row *verdict.Row) string {
	s := Difference(row)
	if p := row.GapPercent(); s != "" && p != "" {
		s += " (" + numeral.With(numeral.Set(p), "%") + ")"
	}
	return s
}

// Seen says where and when a claim was captured, and where it stands in the book.
func Seen(c claims.Claim) string {
	var out []string
	for _, s := range []string{c.Source, c.Captured} {
		if s != "" {
			out = append(out, s)
		}
	}
	s := strings.Join(out, ", ")
	join := func(label, t string) {
		if s == "" {
			s = Upper(label) + t
			return
		}
		s += "; " + label + t
	}
	if c.Evidence != "" {
		join("evidence ", c.Evidence)
	}
	if at := c.Place.String(); at != "" {
		join("", strings.NewReplacer("row ", "row\u00a0", "cell ", "cell\u00a0").Replace(at))
	}
	if w := Checked(c); w != "" {
		join("", w)
	}
	return s
}

// Checked says whether a claim's words were found in their capture, and where; "" where nobody looked.
func Checked(c claims.Claim) string {
	x := c.Seen
	switch {
	case x == nil:
		return ""
	case x.Held() != nil:
		return "words, number and capture do not agree: " + strings.Join(x.Why, "; ")
	case x.Capture == claims.Stands && x.InCode:
		return fmt.Sprintf("words found there in the page's code, line\u00a0%d", x.At.Line)
	case x.Capture == claims.Stands:
		return fmt.Sprintf("words found there, line\u00a0%d, column\u00a0%d", x.At.Line, x.At.Column)
	case len(x.Lacks) > 0:
		return "words not checked: " + strings.Join(x.Lacks, "; ")
	}
	return "words not checked"
}

// Followed says what later captures of the same source hold of a claim's words, a sentence each.
func Followed(c claims.Claim) (out []string) {
	if c.Seen == nil {
		return nil
	}
	for _, l := range c.Seen.Later {
		s := "in the capture of " + l.Captured + ", " + l.At.Path + ", "
		switch {
		case l.State == "still there":
			s += fmt.Sprintf("these words still stand, line\u00a0%d", l.At.Line)
		case l.State == "changed":
			s += fmt.Sprintf("line\u00a0%d reads “%s” in their place", l.At.Line, l.Text)
		default:
			s += "these words do not stand any more"
		}
		out = append(out, s)
	}
	return out
}

// Reply says what was sent to the maker and what came of it; an answer's text follows it.
func Reply(x claims.Reply) string {
	s := "Sent "
	if x.Sent == "" {
		s += "on a day not recorded"
	} else {
		s += x.Sent
	}
	if x.Channel != "" {
		s += " by " + x.Channel
	}
	if x.Deadline != "" {
		s += ", answer asked for by " + x.Deadline
	}
	switch {
	case x.Received != "":
		return s + "; answer received " + x.Received + ", here in full:"
	case x.Deadline != "":
		return s + "; no reply by " + x.Deadline + " is recorded."
	}
	return s + "; no reply is recorded."
}
