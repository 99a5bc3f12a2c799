package measure

import (
	"fmt"
	"math"
	"strings"
)

// judge puts on a delivery rate the flags that its runs earn together.
func (p *decayPhases) judge(m *Measurement, on, off []DecayFit, kOn, kOff replication, o DecayOptions) {
	delta := kOn.mean - kOff.mean
	pooledOn := kOn.runs == 2 && !kOn.assumed
	switch {
	case kOn.scattered || kOff.scattered:
		m.Warn(Indicative, "Two runs of a phase differ by more than the scatter assumed for such runs: their own difference stands in the budget, with one degree of freedom. The result is indicative; repeat the runs.")
	case len(on) < 3 && !pooledOn || len(off) < 3:
		m.Warn(Indicative, fmt.Sprintf("%s with the unit on and %s with it off: with fewer than three of each the scatter from run to run is assumed, not measured. The result is indicative.",
			plural(len(on), "run"), plural(len(off), "run")))
	}
	if delta > tooFast {
		m.Warn(RoomTooSmall, fmt.Sprintf("The unit takes %.1f per hour of this room, above 26.8 per hour: in a room so small for it a unit is seen to deliver less than it does (28 to 55 %% less in one study). A shortfall proves nothing here; use a larger room.", delta))
	}
	if kOn.runs > 1 && kOn.sd > unsteadyOn {
		m.Warn(Unsteady, fmt.Sprintf("The runs with the unit on scatter by %.2f per hour (standard deviation), above 0.48 per hour.", kOn.sd))
	}
	if kOff.runs > 1 && kOff.sd > unsteadyOff {
		m.Warn(Unsteady, fmt.Sprintf("The natural decays scatter by %.2f per hour (standard deviation), above 0.12 per hour.", kOff.sd))
	}
	if delta <= 0 {
		m.Warn(PoorFit, "With the unit on the smoke goes no faster than with it off: no delivery rate shows.")
	}
	if !on[0].source.measured {
		m.Warn(NoBackground, fmt.Sprintf("No reading of the air after clearing is there; the background is %s. Let the log run on, with the unit on, until the reading has stood still for five minutes.", on[0].source.how))
	}
	if days, ok := daysApart(on, off); ok && days > 1 {
		m.Warn(DaysApart, fmt.Sprintf("The natural decay was logged %.1f days apart from the runs with the unit on; both belong to one day.", days))
	}
	for _, f := range on {
		if f.low {
			m.Warn(ReadsLow, fmt.Sprintf("Run %s uses readings where the sensor no longer follows the smoke, which makes the rate come out low; a shortfall proves nothing here.", f.log.run.Name))
		}
	}
	checkOffsetTogether(m, on)
}

// daysApart is the longest time in days from an on run to its nearest off run, by the clocks of their logs.
func daysApart(on, off []DecayFit) (days float64, ok bool) {
	for _, f := range on {
		near := math.Inf(1)
		for _, g := range off {
			if d := math.Abs(f.log.run.Day - g.log.run.Day); d < near {
				near = d
			}
		}
		if !math.IsInf(near, 1) {
			days, ok = math.Max(days, near), true
		}
	}
	return days, ok
}

// checkOffsetTogether compares the mean rate with that of the free-offset fits over all long runs: what one run's noise
// hides, several show. The limit is twice the combined expanded uncertainty (k = 2).
func checkOffsetTogether(m *Measurement, on []DecayFit) {
	var d, uu, k, common, n float64
	for _, f := range on {
		if math.IsNaN(f.FreeK) {
			continue
		}
		n++
		d += f.FreeK - f.K
		k += f.K
		uu += f.FreeU*f.FreeU + f.Within*f.Within
		common += f.BackgroundEffect
	}
	if n < 2 {
		return
	}
	d, k, common = d/n, k/n, common/n
	if u := math.Hypot(math.Sqrt(uu)/n, common); math.Abs(d) > 2*2*u && math.Abs(d) > 0.02*k {
		word := "higher"
		if d < 0 {
			word = "lower"
		}
		m.Warn(OffsetMismatch, fmt.Sprintf("With the offset left free the runs give a rate %.0f %% %s than with the stated background: the background may not be what the sensor shows in clean air.", 100*math.Abs(d)/k, word))
	}
}

// methodText says in a few sentences how the rate was found.
func methodText(on, off []DecayFit, ke, kn float64, o DecayOptions) string {
	var b strings.Builder
	place := "an ordinary room"
	if Fold(o.Method) == "chamber" {
		place = "a chamber"
	}
	fmt.Fprintf(&b, "Particle decay in %s of %.4g m³: the rate is the volume times the difference of the decay with the unit on (%.4g per hour, %s) and of natural decay (%.3g per hour, ",
		place, o.Volume, ke, plural(len(on), "run"), kn)
	if len(off) == 0 {
		b.WriteString("the usual band, no run). ")
	} else {
		fmt.Fprintf(&b, "%s). ", plural(len(off), "run"))
	}
	b.WriteString("Each decay is the slope of the logarithm of the reading less its background, over the run's own phase of the log (found by optimal partitioning into straight pieces), from when mixing is over, or where an optical sensor has come down to 300 µg/m³, to where the smoke has fallen to a tenth or to ten steps of the sensor; ends that the book sets are held to the same limits.")
	return b.String()
}
