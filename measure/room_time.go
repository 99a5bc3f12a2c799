package measure

import (
	"fmt"
	"math"

	"weighhouse/measure/uncertainty"
)

// Removal is the part of the particles removed by a number of air changes in a well-mixed room, 1 − e^(−n): one air
// change removes 63.2 %, not all.
func Removal(changes float64) float64 { return -math.Expm1(-changes) }

// ChangesFor is the number of air changes that removes a part (0…1), −ln(1 − r); +Inf for all of it.
func ChangesFor(removal float64) float64 { return -math.Log1p(-removal) }

// MinutesToRemove is the time in minutes to remove a part at air changes an hour, −ln(1 − r)·60/ACH: perfect mixing, no
// source. US CDC, Guidelines for Environmental Infection Control, table B.1.
func MinutesToRemove(removal, ach float64) float64 { return ChangesFor(removal) * 60 / ach }

// CleanTime is the time in minutes in which a delivery rate removes a fraction (0…1, exclusive) of the particles of a
// volume in m3, well mixed and without a source: t = ln(1/(1−r))/(CADR/V + a), a the natural removal in 1/h, 0 for the
// unit alone. Volume, fraction and a are conditions of the claim and carry no uncertainty.
//
// The probability of a claim follows from that of the rate, since the time falls as the rate rises. It is NotTestable
// where a condition is out of range or the rate and natural removal together are not above zero.
func CleanTime(rate Measurement, volume, fraction, natural float64) Measurement {
	m := Measurement{Attribute: "clean time", Unit: "min", Setting: rate.Setting, Particle: rate.Particle, Instrument: rate.Instrument}
	if !(volume > 0) || !(fraction > 0 && fraction < 1) || !(natural >= 0) || !finite(volume, natural, rate.Value) {
		m.Method = "No clean time."
		m.Warn(NotTestable, fmt.Sprintf("a clean time needs a volume above zero, a fraction between 0 and 1 and a natural removal from 0: %g m3, %g, %g 1/h", volume, fraction, natural))
		m.Expand()
		return m
	}
	k := rate.Value/volume + natural
	if k <= 0 {
		m.Method = "No clean time."
		m.Warn(NotTestable, fmt.Sprintf("a rate of %.3g m3/h clears nothing: no time removes %g %%", rate.Value, 100*fraction))
		m.Expand()
		return m
	}
	n := ChangesFor(fraction)
	m.Value = 60 * n / k
	m.Budget = scaled(rate.Budget, m.Value/(k*volume), "delivery rate: ")
	m.Expand()
	ct := clearing{rate: rate, volume: volume, changes: n, natural: natural}
	m.Exact = ct
	m.Interval = [2]float64{ct.minutes(rate.Value+rate.Expanded, m.Value), ct.minutes(rate.Value-rate.Expanded, m.Value+m.Expanded)}
	m.Method = fmt.Sprintf("t = ln(1/(1-r))/(CADR/V + a): %g %% of the particles of %.4g m3, well mixed, no source, natural removal %g an hour. One air change removes 63.2 %%.", 100*fraction, volume, natural)
	m.inherit(&rate, "delivery rate")
	return m
}

// clearing is the distribution behind a clean time.
type clearing struct {
	rate                     Measurement
	volume, changes, natural float64
}

// minutes is the time at a rate, or the given value where that rate clears nothing.
func (c clearing) minutes(rate, otherwise float64) float64 {
	k := rate/c.volume + c.natural
	if k <= 0 {
		return otherwise
	}
	return 60 * c.changes / k
}

// AtLeast is the probability that the time is at least limit minutes: that the rate is at most the one that takes just
// that time, V·(60·n/limit − a).
func (c clearing) AtLeast(limit float64) (float64, string) {
	if limit <= 0 {
		return 1, ""
	}
	need := c.volume * (60*c.changes/limit - c.natural)
	if c.rate.Exact != nil {
		p, note := c.rate.Exact.AtLeast(need)
		return 1 - p, note
	}
	if c.rate.Std == 0 {
		if c.rate.Value <= need {
			return 1, ""
		}
		return 0, ""
	}
	return uncertainty.CDF((need-c.rate.Value)/c.rate.Std, c.rate.DOF), ""
}
