package measure

import "math"

// hoursPerMonth is the hours in a month of 365/12 days at a number of hours a day.
func hoursPerMonth(hoursPerDay float64) float64 { return hoursPerDay * daysPerYear / 12 }

// LifeMonths turns hours of running into months at hours a day: months = hours/(h·365/12). It is 0 where hours a day
// are not above 0.
func LifeMonths(hours, hoursPerDay float64) float64 {
	if !(hoursPerDay > 0) {
		return 0
	}
	return hours / hoursPerMonth(hoursPerDay)
}

// LifeHours turns months into hours of running at hours a day: hours = months·h·365/12.
func LifeHours(months, hoursPerDay float64) float64 { return months * hoursPerMonth(hoursPerDay) }

// ImpliedHoursPerDay is the daily use at which a life in months and one in hours are the same; 0 where months are not
// above 0.
func ImpliedHoursPerDay(hours, months float64) float64 {
	if !(months > 0) {
		return 0
	}
	return hours / hoursPerMonth(1) / months
}

// FiltersPerYear is hours of running a year over the life of a filter in hours; 0 where the life is not above 0. The
// number bought is the next whole one.
func FiltersPerYear(lifeHours, hoursPerDay float64) float64 {
	if !(lifeHours > 0) {
		return 0
	}
	return hoursPerDay * daysPerYear / lifeHours
}

// Pollution is a room in steady state with particles from outdoors: the usual inputs of a life in days.
type Pollution struct {
	Rate        float64 // delivery rate of the new filter, m3/h
	Volume      float64 // room, m3
	Penetration float64 // part of the outdoor particles that enters, 0…1
	Ventilation float64 // air changes from outdoors, 1/h
	Deposition  float64 // natural loss of particles, 1/h
	Outdoor     float64 // ug/m3
	HoursPerDay float64
	Capacity    float64 // mg taken up until the rate is half
}

// Indoor is the steady concentration in ug/m3 at a delivery rate, C_in = P·kv·C_out/(kv + k0 + CADR/V).
func (p Pollution) Indoor(rate float64) float64 {
	return p.Penetration * p.Ventilation * p.Outdoor / (p.Ventilation + p.Deposition + rate/p.Volume)
}

// Daily is the mass taken up in a day in mg at a delivery rate, CADR·C_in·h/1000.
func (p Pollution) Daily(rate float64) float64 { return rate * p.Indoor(rate) * p.HoursPerDay / 1000 }

// DaysHeld is the days until the capacity is taken up, the rate held at a part of its initial value in both of its
// places: 1 for no decline, 0.75 for the mean of a decline to half. +Inf where nothing is taken up.
func (p Pollution) DaysHeld(part float64) float64 { return p.Capacity / p.Daily(part*p.Rate) }

// Days is the days until the capacity is taken up, exactly, for a rate that declines linearly with the mass taken up,
// CADR(m) = CADR0·(1 − 0.5·m/CCM): the integral of 1/(CADR·C_in) over the mass,
// t = (1000/(h·P·kv·C_out))·(2·CCM/CADR0)·[(kv + k0)·ln 2 + CADR0/(2V)]. +Inf where nothing is taken up.
func (p Pollution) Days() float64 {
	source := p.Penetration * p.Ventilation * p.Outdoor
	return 1000 / (p.HoursPerDay * source) * 2 * p.Capacity / p.Rate *
		((p.Ventilation+p.Deposition)*math.Ln2 + p.Rate/(2*p.Volume))
}

// DaysAt is the days until a capacity in mg is taken up at a known room average in mg/m3, the rate held.
func DaysAt(average, rate, hoursPerDay, capacity float64) float64 {
	return capacity / (average * rate * hoursPerDay)
}
