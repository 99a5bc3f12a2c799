package qualification

import (
	"fmt"
	"math"
	"sort"
)

// The rules by which a room is used, each a judgement of the method that the package implements but for the
// tenability of an uncorrected bias (GUM F.2.4.5; Magnusson and Ellison, Anal. Bioanal. Chem. 390 (2008) 201; memory).
const (
	Fewest       = 3    // reference units, below which a room is not qualified
	fewCertain   = 5    // units, below which the qualification carries a flag
	unfitTau     = 0.08 // scatter above which results may support and never contradict
	unfitBias    = 0.20 // bias above which the same holds
	unfitRepeat  = 0.05 // a unit's own repeatability; half of the units above it make the room unfit
	oddUnit      = 3.0  // leave-one-out z beyond which a unit is flagged
	tenable      = 2.0  // bias over its standard uncertainty below which a factor of 1 is tenable
	poorlyMixed  = 2.0  // slope over its standard uncertainty beyond which a stronger mixing fan is advised
	benefitBelow = 8    // units, below which a lowering correction never turns a claim into contradicted
	belowRange   = 0.8  // of the smallest x
	aboveRange   = 1.25 // of the largest x
	fewestMakers = 3
)

// Component is what a qualified room does to one rate.
type Component struct {
	Prediction
	ULab    float64 // shared by the certificates
	Z       float64 // bias over its standard uncertainty
	Tenable bool    // a factor of 1 is tenable: nothing is corrected and the bias is part of U
	Factor  float64 // F = e^m; the rate is divided by it where it is applied
	Applied bool
	U       float64 // relative standard uncertainty that the room brings, with DOF degrees of freedom
	Doubted bool    // the correction lowers the rate and few units stand behind it: it contradicts only what the uncorrected rate contradicts
}

// For gives the component of a unit with x air changes an hour. It is an error where x lies outside the range of the
// references: there the room counts as not qualified.
func (m *Model) For(x float64) (Component, error) {
	if x < belowRange*m.Low || x > aboveRange*m.High {
		return Component{}, fmt.Errorf("%.3g air changes an hour lie outside %.3g to %.3g, the range for which the room is qualified", x, belowRange*m.Low, aboveRange*m.High)
	}
	c := Component{Prediction: m.Predict(x), ULab: m.ULab}
	c.Factor = math.Exp(c.M)
	c.Z = c.M / math.Hypot(c.ULine, c.ULab)
	c.U = math.Hypot(c.UP, c.ULab)
	if c.Tenable = math.Abs(c.Z) < tenable; c.Tenable {
		c.U = math.Hypot(c.U, c.M)
		return c, nil
	}
	c.Applied = true
	c.Doubted = len(m.References) < benefitBelow && c.M > 0
	return c, nil
}

// Finding is one thing to know about a room: what it is, in a sentence. Bars says that results from the room may support
// a claim and never contradict one.
type Finding struct {
	Code string
	Text string
	Bars bool
}

// Findings checks the room against the rules. It gives an error where the room cannot count as qualified at all.
func (m *Model) Findings() ([]Finding, error) {
	n := len(m.References)
	if n < Fewest {
		return nil, fmt.Errorf("%d reference units; a room is qualified by %d at the least", n, Fewest)
	}
	var out []Finding
	add := func(code string, bars bool, format string, args ...any) {
		out = append(out, Finding{code, fmt.Sprintf(format, args...), bars})
	}
	if n < fewCertain {
		add("few reference units", false, "%d reference units: with a large scatter between units and room the interval would hold the truth in about 90 of 100 cases only.", n)
	}
	if m.Tau > unfitTau {
		add("room unfit", true, "The scatter between units and room is %.2g %%, above %.0f %%: results may support a claim and contradict none.", 100*m.Tau, 100*unfitTau)
	}
	if worst := m.worstBias(); math.Abs(worst) > unfitBias {
		add("room unfit", true, "The room shifts rates by up to %.2g %%, more than %.0f %%: results may support a claim and contradict none.", 100*math.Expm1(worst), 100*unfitBias)
	}
	if s := median(m.References, func(r Reference) float64 { return r.Repeat }); s > unfitRepeat {
		add("room unfit", true, "Half of the reference units repeat within no better than %.2g %%: results may support a claim and contradict none.", 100*s)
	}
	for i, z := range m.LeaveOneOut() {
		if math.Abs(z) > oddUnit {
			add("odd unit", false, "%s stands %.1f standard deviations from what the others predict. It is kept and widens the scatter; look for the cause, and leave it out only with the cause in the book.", m.References[i].Name, z)
		}
	}
	if z := m.Psi / m.UPsi; math.Abs(z) > poorlyMixed {
		add("poorly mixed", false, "The shift changes with the air changes of the unit by %.2g %% for each per hour: the room is poorly mixed, and a stronger mixing fan would help.", 100*m.Psi)
	}
	makers := map[string]bool{}
	for _, r := range m.References {
		makers[r.Maker] = true
	}
	if len(makers) < fewestMakers {
		add("few makers", false, "The reference units come from %d makers; %d at the least, with two shapes of outlet, would say more of other units.", len(makers), fewestMakers)
	}
	return out, nil
}

// worstBias is the predicted shift farthest from zero within the range of the references.
func (m *Model) worstBias() float64 {
	a, b := m.Predict(m.Low).M, m.Predict(m.High).M
	if math.Abs(a) > math.Abs(b) {
		return a
	}
	return b
}

func median(refs []Reference, of func(Reference) float64) float64 {
	xs := make([]float64, len(refs))
	for i, r := range refs {
		xs[i] = of(r)
	}
	sort.Float64s(xs)
	n := len(xs)
	return (xs[n/2] + xs[(n-1)/2]) / 2
}
