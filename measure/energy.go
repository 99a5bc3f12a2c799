package measure

import (
	"fmt"
	"math"

	"weighhouse/measure/uncertainty"
)

// Flags of energy results.
const (
	StandbyAssumed Flag = "standby assumed" // no standby power was measured: a range stands in
	WeakStandby    Flag = "weak standby"    // the standby power behind it is not testable by itself
	SettingsDiffer Flag = "settings differ" // rate and watts are of different settings
)

// daysPerYear is the year of energy statements.
const daysPerYear = 365

// Where no standby power was measured, it is taken as between 0 and 2 W: 2 W is the most that ENERGY STAR v1.x allows
// and the most for networked standby in Regulation (EU) 2023/826 (both read); its use here is this project's choice.
const (
	standbyMiddle = 1.0
	standbyHalf   = 1.0
)

// AnnualKWh is the energy of a year in kWh, E = (P_on·h_on + P_standby·h_standby)·365/1000, watts and hours a day.
func AnnualKWh(on, standby, hoursOn, hoursStandby float64) float64 {
	return (on*hoursOn + standby*hoursStandby) * daysPerYear / 1000
}

// AnnualEnergy is the energy of a year in kWh from the power on and in standby, with hours a day: 24 and 0 for all day,
// 16 and 8 for the US test procedure (10 CFR 430 subpart B appendix FF: 5840 and 2920 h a year, from memory).
//
// The error of one meter is common to both powers, so its shares add; all other components, and the errors of two
// meters, are taken as independent. Where no meter is named both are taken as one, for caution. A nil standby with
// hours of standby is taken as 1 W ± 1 W (rectangular) and flagged. Hours below zero or over 24 a day in all, or no
// power, give a NotTestable result of 0 kWh.
func AnnualEnergy(on, standby *Measurement, hoursOn, hoursStandby float64) Measurement {
	m := Measurement{Attribute: "annual energy", Unit: "kWh", DOF: math.Inf(1)}
	if on == nil || !finite(hoursOn, hoursStandby) || hoursOn < 0 || hoursStandby < 0 || hoursOn+hoursStandby > 24+1e-9 {
		m.Method = "No annual energy."
		m.Warn(NotTestable, fmt.Sprintf("annual energy needs a power and hours a day of 0 to 24: %g h on, %g h standby", hoursOn, hoursStandby))
		m.Expand()
		return m
	}
	m.Setting, m.Instrument = on.Setting, on.Instrument
	cOn, cStandby := hoursOn*daysPerYear/1000, hoursStandby*daysPerYear/1000
	m.Value = on.Value * cOn
	b := scaled(on.Budget, cOn, "power on: ")
	m.Method = fmt.Sprintf("E = P_on x %g h a day", hoursOn)
	if hoursStandby > 0 {
		m.Method += fmt.Sprintf(" + P_standby x %g h a day", hoursStandby)
		if standby != nil {
			m.Value += standby.Value * cStandby
			s := scaled(standby.Budget, cStandby, "standby: ")
			if on.Instrument == standby.Instrument || on.Instrument == "" || standby.Instrument == "" {
				b, s = mergeMeter(b, s)
			}
			b = append(b, s...)
		} else {
			m.Value += standbyMiddle * cStandby
			b = append(b, uncertainty.Component{Name: "standby: not measured", U: standbyHalf * cStandby / math.Sqrt(3), DOF: math.Inf(1), Kind: "B",
				Note: "taken as 0 to 2 W, rectangular (this project's choice)"})
			m.Warn(StandbyAssumed, "no standby power was measured: 1 W ± 1 W was taken for it")
		}
	}
	m.Method += ", 365 days a year. Price and hours carry no uncertainty."
	m.Budget = b
	m.Expand()
	m.inherit(on, "power on")
	if standby != nil && hoursStandby > 0 {
		m.inherit(standby, "standby")
	}
	return m
}

// scaled is a budget times a sensitivity, its components named by what they belong to.
func scaled(b uncertainty.Budget, c float64, of string) uncertainty.Budget {
	out := make(uncertainty.Budget, len(b))
	for i, k := range b {
		k.Name, k.U = of+k.Name, math.Abs(c)*k.U
		out[i] = k
	}
	return out
}

// mergeMeter adds the meter components of two budgets linearly, as errors of one meter, into one that replaces both.
func mergeMeter(on, standby uncertainty.Budget) (rest, other uncertainty.Budget) {
	find := func(b uncertainty.Budget, name string) int {
		for i, c := range b {
			if c.Name == name {
				return i
			}
		}
		return -1
	}
	i, j := find(on, "power on: "+meterAccuracy), find(standby, "standby: "+meterAccuracy)
	if i < 0 || j < 0 {
		return on, standby
	}
	both := uncertainty.Component{Name: meterAccuracy, U: on[i].U + standby[j].U, DOF: math.Min(on[i].DOF, standby[j].DOF), Kind: "B",
		Note: "one meter's error in both powers, added: " + joinNew(on[i].Note, standby[j].Note)}
	rest = append(append(uncertainty.Budget(nil), on[:i]...), on[i+1:]...)
	other = append(append(uncertainty.Budget(nil), standby[:j]...), standby[j+1:]...)
	return append(rest, both), other
}

// inherit carries the warnings of an input over. A standby power that is not testable by itself still serves in a sum.
func (m *Measurement) inherit(from *Measurement, what string) {
	for _, w := range from.Warnings {
		flag := w.Flag
		if flag == NotTestable && what == "standby" {
			flag = WeakStandby
		}
		m.Warn(flag, what+": "+w.Text)
	}
}
