package verdict

import (
	"fmt"

	"weighhouse/measure"
)

// gate holds a decided row open where the evidence does not carry the outcome: for what the runs themselves show against
// it, and where the same evidence, taken otherwise in one way that nothing rules out, gives another outcome. on is the
// result that the row's own hangs on; again computes the row's result of another such result, nil where it is that itself.
func (r *Row) gate(on *measure.Measurement, again func(measure.Measurement) *measure.Measurement) {
	was, risk := r.Verdict, riskOf(oneRun(on))
	holds := map[Outcome]measure.Side{Contradicted: measure.AgainstContradicted, Supported: measure.AgainstSupported}[was]
	for _, d := range on.Doubts {
		if d.Holds&holds == 0 {
			continue
		}
		if d.As == nil {
			r.holdOpen(fmt.Sprintf("%s; %s would settle it", d.Why, d.Settle))
			continue
		}
		m := d.As
		if again != nil {
			m = again(*d.As)
		}
		if !m.Finite() {
			continue
		}
		p, _ := Probability(*r.Limit, m)
		if was == Contradicted {
			p = beyond(*r.Limit, m)
		}
		if was == Contradicted && p > risk || was == Supported && p < 1-Risk {
			r.holdOpen(fmt.Sprintf("%s (%s, and the probability would be %s); %s would settle it", d.Why, m.String(), Chance(p), d.Settle))
		}
	}
}
