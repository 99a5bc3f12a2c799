package verdict

import (
	"fmt"
	"math"

	"weighhouse/claims"
)

// statementOfRule is the decision rule as ISO/IEC 17025:2017 7.8.6 asks a report to state it.
func statementOfRule(a *Audit) RuleStatement {
	s := RuleStatement{}
	separate := map[string]bool{}
	for _, r := range a.Rows {
		if r.Probability != nil {
			s.Numeric++
			separate[r.source()] = true
		}
	}
	s.Separate = len(separate)
	s.AnyWrong = 1 - math.Pow(1-Risk, float64(s.Separate))
	s.Text = []string{
		"Each claim is moved by its tolerance to the maker's side; that is its limit. The measured value y has a standard uncertainty u with ν effective degrees of freedom. p is the probability, by Student's t with ν degrees of freedom, that the true value meets the limit.",
		"Supported: p is 95 % or more. Contradicted: p is 5 % or less, which is to say beyond the limit with a probability of at least 95 %, on the unit tested; it is the name of a statistical outcome and says nothing of why. Inconclusive: between. Untested: nothing that was measured bears on the claim. Unclear: the claim as worded cannot be tested.",
		"This equals a guard band of w = t(0.95, ν)·u on each side of the limit, with a specific risk of at most 5 % for each statement; w, k, ν and the limit are printed with each such claim. For particle counts, filter life and clean time the exact distribution of the result stands in place of Student's t, and no w is given. The rule is stated here as ISO/IEC 17025:2017 7.8.6 asks, and follows JCGM 106:2012 7.3 and 7.4; its t form for few degrees of freedom is a judgement.",
		"Where a result is an upper or a lower bound, where the sensor makes it read low, or where the room is too small for the rate, the claim is never contradicted. Where one run stands alone, the result is indicative, and it contradicts only where p is 1 % or less. A claim of a value on both sides is contradicted only where one side alone is passed with 95 %.",
		"A delivery rate decides a claim only where the outcome survives what the runs do not rule out, and the claim is held open elsewhere: no run with the unit on holds a gap, a rise, a clock that was moved or an offset that is not the background; most of them are first-order, mixed and long enough; the outcome is the same with the offset left free and with the later half of the windows alone; for contradicted, also with what mixing can hide added to the rate, and with no natural decay where none was logged; for supported, with the highest usual natural decay there; and with any runs that were left out. The constants are printed by the command rules, in the table gate.",
	}
	if s.Separate > 1 {
		s.Text = append(s.Text, "Beside each verdict stands p after Holm's adjustment for all separate results, each counted once (Scand. J. Statist. 6 (1979) 65): of the smaller of the probabilities that the limit is met and that it is not. The verdict itself goes by p alone.")
	}
	if s.Numeric > 0 {
		claims, results, every := "1 claim was", "1 result", "the claim"
		if s.Numeric > 1 {
			claims, every = fmt.Sprintf("%d claims were", s.Numeric), "every claim"
		}
		if s.Separate > 1 {
			results = fmt.Sprintf("%d separate results", s.Separate)
		}
		s.Text = append(s.Text, fmt.Sprintf("%s judged by a number, by %s. If %s lay exactly at its limit, the chance of at least one wrong \"contradicted\" would be up to %.0f %%.", claims, results, every, 100*s.AnyWrong))
	}
	return s
}

// source names the result that a row was judged by; claims that hang on one result share it.
func (r *Row) source() string {
	m := r.Measured
	switch r.Claim.Attribute {
	case claims.RoomArea, claims.CleanTime:
		return "delivery rate " + m.Setting + " " + m.Particle
	case claims.AnnualEnergy:
		return "power " + m.Setting + " " + m.Particle
	}
	return m.Attribute + " " + m.Setting + " " + m.Particle
}
