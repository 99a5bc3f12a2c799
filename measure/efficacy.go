package measure

import (
	_ "embed"
	"fmt"
	"math"
	"sync"

	"weighhouse/measure/uncertainty"
	"weighhouse/measure/unit"
)

//go:embed efficacy_tiers.csv
var efficacyCSV string

// Tier is one row of efficacy_tiers.csv: the least delivery rate per watt of a published scheme for a band of rates.
type Tier struct {
	Scheme, Name string
	From, Below  float64 // band of the delivery rate, m3/h; 0 and +Inf where open
	Minimum      float64 // m3/(W h)
	Text         string  // the minimum as published: "1.9 cfm/W"
	Since        string  // date or year from which it holds
	Status       string  // "" in force, "withdrawal proposed", "superseded"
	Checked      string  // the day on which the status was looked at
	Note         string
	Source, Mark string
}

// superseded is the status of a tier of an edition that another has replaced: it is listed, and nothing is held against it.
const superseded = "superseded"

var loadTiers = sync.OnceValue(func() []Tier {
	var out []Tier
	for _, r := range table(efficacyCSV) {
		to := func(text, from, base string, blank float64) float64 {
			if text == "" {
				return blank
			}
			v, err := unit.Convert(number(text), from, base)
			if err != nil {
				panic(err)
			}
			return v
		}
		out = append(out, Tier{
			Scheme: r["scheme"], Name: r["tier"], Since: r["from"], Status: r["status"], Checked: r["checked"], Note: r["note"], Source: r["source"], Mark: r["mark"],
			From: to(r["rate_from"], r["rate_unit"], "m3/h", 0), Below: to(r["rate_below"], r["rate_unit"], "m3/h", math.Inf(1)),
			Minimum: to(r["minimum"], r["unit"], "m3/(W h)", 0), Text: r["minimum"] + " " + r["unit"],
		})
	}
	return out
})

// EfficacyTiers lists the published minima of the delivery rate per watt.
func EfficacyTiers() []Tier { return append([]Tier(nil), loadTiers()...) }

// TierCheck sets a measured efficacy beside one published minimum, as information: no claim is judged by it.
type TierCheck struct {
	Tier        Tier
	Probability float64 // that the efficacy is at least the minimum, 0…1
}

// EfficacyResult is a delivery rate per watt.
type EfficacyResult struct {
	Measurement
	CfmPerWatt float64
	Tiers      []TierCheck // those whose band holds the measured rate
}

// Efficacy is the delivery rate per watt in m3/(W h), with the published tiers of the rate's band as information:
// η = CADR/P, u²(η)/η² = u²(CADR)/CADR² + u²(P)/P². Rate and watts must be of one setting; else, and where the watts
// are not above zero, the result is NotTestable and carries no tiers.
func Efficacy(rateM3h, watts *Measurement) EfficacyResult {
	r := EfficacyResult{Measurement: Measurement{Attribute: "efficacy", Unit: "m3/(W h)", DOF: math.Inf(1)}}
	m := &r.Measurement
	if rateM3h == nil || watts == nil || !finite(rateM3h.Value, watts.Value) || watts.Value <= 0 {
		m.Method = "No efficacy."
		m.Warn(NotTestable, "an efficacy needs a delivery rate and a power above zero")
		m.Expand()
		return r
	}
	m.Setting, m.Particle = rateM3h.Setting, rateM3h.Particle
	m.Value = rateM3h.Value / watts.Value
	m.Budget = append(scaled(rateM3h.Budget, 1/watts.Value, "delivery rate: "), scaled(watts.Budget, m.Value/watts.Value, "power: ")...)
	m.Method = "Delivery rate over power at one setting; published tiers beside it as information."
	m.Expand()
	m.inherit(rateM3h, "delivery rate")
	m.inherit(watts, "power")
	r.CfmPerWatt = m.Value / unit.Must("cfm/W").Factor
	if Fold(rateM3h.Setting) != Fold(watts.Setting) {
		m.Warn(SettingsDiffer, fmt.Sprintf("the rate is of setting %q and the power of setting %q", rateM3h.Setting, watts.Setting))
		m.Warn(NotTestable, "a rate at one setting over the power at another is no efficacy")
		return r
	}
	for _, t := range TiersFor(rateM3h.Value) {
		r.Tiers = append(r.Tiers, TierCheck{Tier: t, Probability: atLeast(m, t.Minimum)})
	}
	return r
}

// atLeast is the probability that the true value of a result with a t distribution is at least the limit.
func atLeast(m *Measurement, limit float64) float64 {
	if m.Std == 0 {
		if m.Value >= limit {
			return 1
		}
		return 0
	}
	return uncertainty.CDF((m.Value-limit)/m.Std, m.DOF)
}

// TiersFor lists the tiers whose band holds a delivery rate in m3/h, from included, below excluded.
func TiersFor(rate float64) []Tier {
	var out []Tier
	for _, t := range loadTiers() {
		if t.Status != superseded && rate >= t.From && rate < t.Below {
			out = append(out, t)
		}
	}
	return out
}

// IntegratedEnergyFactor is IEF = CADR/(AEC·1000/5840) = CADR/(P_active + 0.5·P_inactive), in the rate's unit per watt.
// 10 CFR 430 subpart B appendix FF (from memory). It is 0 where the watts are not above zero.
func IntegratedEnergyFactor(rate, active, inactive float64) float64 {
	w := active + 0.5*inactive
	if !(w > 0) {
		return 0
	}
	return rate / w
}

// Represented is what a sample of units allows a US maker to represent. 10 CFR 429.68: one-tailed 95 % t, n − 1 degrees
// of freedom.
type Represented struct {
	Mean, SD float64
	Limit    float64 // UCL95 of an energy, LCL95 of an energy factor
	Value    float64 // an energy must be represented at or above it, a factor at or below it
}

// RepresentedEnergy is the least annual energy that may be represented: max(mean, UCL95/1.10). It needs two units.
func RepresentedEnergy(kwh []float64) (Represented, error) {
	r, half, err := sample(kwh)
	r.Limit = r.Mean + half
	r.Value = math.Max(r.Mean, r.Limit/1.10)
	return r, err
}

// RepresentedFactor is the greatest integrated energy factor that may be represented: min(mean, LCL95/0.90).
func RepresentedFactor(ief []float64) (Represented, error) {
	r, half, err := sample(ief)
	r.Limit = r.Mean - half
	r.Value = math.Min(r.Mean, r.Limit/0.90)
	return r, err
}

func sample(x []float64) (r Represented, half float64, err error) {
	if len(x) < 2 || !finite(x...) {
		return r, 0, fmt.Errorf("a sample of %d units: 10 CFR 429 takes at least two, each with a number", len(x))
	}
	r.Mean, r.SD = meanSD(x)
	n := float64(len(x))
	return r, uncertainty.Quantile(0.95, n-1) * r.SD / math.Sqrt(n), nil
}
