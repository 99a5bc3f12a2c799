package verdict

import (
	"fmt"
	"math"
	"slices"
)

// Check reports where a written audit does not agree with itself: counts that are not those of its list, a verdict that is
// none, an uncertainty below zero, a probability that is none, a gap of another sign than its numbers, a verdict that its
// probability forbids. A comparison or an index takes no audit that was changed by hand or cut. The error names the first.
func (r *Report) Check() error {
	count := map[string]int{}
	for i := range r.Claims {
		c := &r.Claims[i]
		if !slices.Contains(Outcomes, c.Verdict) {
			return fmt.Errorf("claim %s: verdict: found %q; expected one of %v", c.ID, c.Verdict, Outcomes)
		}
		count[string(c.Verdict)]++
		if err := c.check(); err != nil {
			return fmt.Errorf("claim %s: %w", c.ID, err)
		}
	}
	for _, o := range Outcomes {
		if n, ok := r.Summary[string(o)]; !ok && len(r.Claims) > 0 || n != count[string(o)] {
			return fmt.Errorf("summary: %s: found %d; the list of claims has %d", o, n, count[string(o)])
		}
	}
	if n := r.Summary["findings"]; n != len(r.Findings) {
		return fmt.Errorf("summary: findings: found %d; the list has %d", n, len(r.Findings))
	}
	for _, m := range r.Measurements {
		for name, x := range map[string]*float64{"u": m.Std, "U": m.Expanded, "k": m.K} {
			if x != nil && !(*x >= 0) {
				return fmt.Errorf("measurement %s: %s: found %g; expected 0 or more", m.ID, name, *x)
			}
		}
		for _, b := range m.Budget {
			if !(b.U >= 0) {
				return fmt.Errorf("measurement %s: budget: %s: found u %g; expected 0 or more", m.ID, b.Component, b.U)
			}
		}
	}
	for _, in := range r.Inputs {
		if in.Bytes < 0 || len(in.SHA256) != 64 {
			return fmt.Errorf("inputs: %s: found %d bytes and a SHA-256 of %d digits; expected 0 or more, and 64", in.Path, in.Bytes, len(in.SHA256))
		}
	}
	return nil
}

// check looks at one claim.
func (c *ReportClaim) check() error {
	if m := c.Measured; m != nil && !(m.Std >= 0 && m.Expanded >= 0 && m.K >= 0) {
		return fmt.Errorf("measured: found u %g, U %g and k %g; expected 0 or more", m.Std, m.Expanded, m.K)
	}
	if p := c.Probability; p != nil {
		switch {
		case !(*p >= 0 && *p <= 1):
			return fmt.Errorf("probability: found %g; expected 0 to 1", *p)
		case c.Verdict == Supported && *p < 0.5, c.Verdict == Contradicted && *p > 0.5:
			return fmt.Errorf("found the verdict %q at a probability of %g that the claim holds", c.Verdict, *p)
		}
	}
	if (c.Verdict == Supported || c.Verdict == Contradicted) && c.Claimed != nil && c.Probability != nil && c.Measured == nil {
		return fmt.Errorf("found the verdict %q and no result that it rests on", c.Verdict)
	}
	g := c.Gap
	if g == nil {
		return nil
	}
	if g.Value*g.Percent < 0 {
		return fmt.Errorf("gap: found %g %s and %g %%; expected one sign for both", g.Value, g.Unit, g.Percent)
	}
	if m, q := c.Measured, c.Claimed; m != nil && q != nil && q.Low == q.High && q.Unit == m.Unit {
		if d := m.Value - q.Low; math.Abs(g.Value-d) > 1e-6*math.Max(1, math.Abs(d)) {
			return fmt.Errorf("gap: found %g %s; measured less claimed is %g", g.Value, g.Unit, d)
		}
	}
	return nil
}
