package mossgate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/uncertainty"
	"weighhouse/verdict"
)

func claim(n int, at claims.Attribute, b claims.Bound, low, high float64, unit, text, setting, wording, source string) claims.Claim {
	c := claims.Claim{ID: fmt.Sprintf("C%d", n), Attribute: at, Bound: b, BoundGiven: n%2 == 0, Setting: setting, Wording: wording, Source: source,
		Captured: "2031-01-20", Evidence: "captures/listing-2031-01-20.png", Place: sheet.Place{Book: "spec.xlsx", Sheet: "claims", Row: n + 1}}
	if unit != "" {
		c.Claimed = &claims.Range{Low: low, High: high, Unit: unit, Text: text}
	}
	return c
}

func rows(a *verdict.Audit) []verdict.Row {
	m := func(id string) *measure.Measurement {
		for i := range a.Measurements {
			if a.Measurements[i].ID == id {
				return &a.Measurements[i]
			}
		}
		panic("no measurement " + id)
	}
	ten := verdict.Tolerance{Value: 10, Unit: "%", Source: "GB/T 18801: measured at least 90 % of nominal", Mark: "memory"}
	db := verdict.Tolerance{Value: 3, Unit: "dB(A)", Source: "GB/T 18801-2015: nominal + 3 dB(A)", Mark: "second-hand"}
	watts := verdict.Tolerance{Value: 20, Unit: "%", Source: "IEC 60335-1, clause 10, table 1", Mark: "read"}
	none := verdict.Tolerance{Unit: "%", Source: "no published tolerance: none is allowed", Mark: "judgement"}
	c1 := claim(1, claims.DeliveryRate, claims.UpTo, 320, 320, "m3/h", "320 m³/h", "max", "CADR up to 320 m³/h for smoke, tested by independent experts!", "listing, second picture")
	c1.Particle = "smoke"
	c14 := claim(14, claims.DeliveryRate, claims.AtLeast, 300, 300, "m3/h", "300 m³/h", "max", "and up to 300 m³/h for dust", "box, back")
	c14.Particle = "dust"
	c7 := claim(7, claims.FilterEfficiency, claims.AtLeast, 99.97, 99.97, "%", "99.97%", "", "Our filter captures 99.97% of everything in the air you breathe.", "website, product page")
	c7.Particle = "0.3 um"
	c3 := claim(3, claims.Noise, claims.AtMost, 24, 24, "dB(A)", "24 dB", "sleep", "Whisper quiet: only 24 dB at night", "listing, headline")
	c3.Basis = claims.Basis{Text: "1 m", Parts: []string{"1 m"}, Distance: 1}
	c9 := claim(9, claims.RoomArea, claims.AtLeast, 62, 62, "m2", "62 m²", "", "For rooms of 62 m² in 12 minutes", "box, front")
	c9.Basis = claims.Basis{Text: "2 ach; 2.4 m ceiling", Parts: []string{"2 ach", "2.4 m ceiling"}, AirChanges: 2, Ceiling: 2.4}
	rs := []verdict.Row{
		row(c1, m("M1"), ten, verdict.Contradicted, "cleans 28 % less air than claimed", "At which setting, for which particle and in which chamber were 320 m³/h measured?",
			"\"up to\" on a benefit is judged as \"at least\" of the stated figure", "the tolerance is quoted from memory of the document; check it before you rely on the verdict"),
		row(claim(2, claims.Noise, claims.AtMost, 52, 52, "dB(A)", "52 dB(A)", "max", "max. 52 dB(A)", "manual, page 14"), m("M2"), db, verdict.Inconclusive,
			"2.6 dB louder than claimed, about the smallest step that is heard", "At what distance and by which standard was the level measured?"),
		row(c3, m("M3"), db, verdict.Inconclusive, "at most 7 dB louder than claimed", "Is the 24 dB a sound pressure level at 1 m, or a sound power level?",
			"the room's own sound was too near: the level is an upper bound, which can support the claim but not contradict it"),
		row(claim(4, claims.Power, claims.AtMost, 48, 48, "W", "48 W", "max", "48 W", "rating plate"), m("M4"), watts, verdict.Supported, "uses 8 % less than claimed", ""),
		row(claim(5, claims.StandbyPower, claims.AtMost, 0.5, 0.5, "W", "< 0.5 W", "standby", "standby < 0.5 W", "manual, page 14"), m("M5"),
			verdict.Tolerance{Value: 0.1, Unit: "W", Source: "Reg. (EU) 2019/2022 Annex IV", Mark: "read"}, verdict.Supported, "uses 24 % less than claimed", ""),
		row(claim(6, claims.FilterGrade, "", 0, 0, "", "", "", "True HEPA H13 grade filter with nano silver", "box, front"), nil, verdict.Tolerance{}, verdict.Unclear, "",
			"Which standard and edition was the filter tested to, at what air flow, and may we see the report?"),
		row(c7, m("M6"), none, verdict.Contradicted, "lets through 23 times as many particles as claimed", "At which particle size and which air flow does the filter, as built in, reach this figure?"),
		row(claim(8, claims.FilterLife, claims.AtLeast, 4380, 5840, "h", "6-8 "+strings.Repeat("months", 34), "", "滤网寿命 6–8 个月 (filter life 6–8 months)", "listing, table 寸法"), nil, none, verdict.Untested, "",
			"For how many hours a day and what dust load is the filter life meant?", "nothing measured bears on it: no loading runs"),
		row(c9, m("M7"), none, verdict.Contradicted, "serves a room 22 % smaller than claimed", "Which air change rate and ceiling height does the area assume?"),
		row(claim(10, claims.CleanTime, claims.AtMost, 0.2*60, 0.2*60, "min", "12 minutes", "max", "62 m² in 12 minutes", "box, front"), m("M8"), ten, verdict.Inconclusive, "takes about as long as claimed", "For which room volume and which share of particles removed does the time hold?"),
		row(claim(11, claims.AnnualEnergy, claims.AtMost, 190, 190, "kWh", "190 kWh/yr", "", "190 kWh/yr", "website, energy table"), m("M9"), none, verdict.Supported, "uses 9 % less than claimed", ""),
		row(claim(12, claims.CarbonMass, claims.AtLeast, 350, 350, "g", "350 g", "", "350 g of activated carbon", "box, side"), m("M10"), none, verdict.Supported, "3 % more than claimed", ""),
		row(claim(13, claims.Ozone, claims.AtMost, 5, 5, "ppb", "5 ppb", "", "ozone free (< 5 ppb)", "website, questions"), nil, none, verdict.Untested, "", "Which laboratory measured the ozone, how near to the outlet, and when?",
			"nothing measured bears on it"),
		row(c14, m("M11"), ten, verdict.Supported, "cleans 6 % more air than claimed", ""),
	}
	rs[0].Statement = "The unit tested delivers 231 m³/h of smoke-free air at max (U = 16 m³/h); the limit is 288 m³/h. The claim is beyond the limit with a probability of at least 95 %, on the unit tested."
	rs[7].Claim.Calendar = true
	return rs
}

func measurements() []measure.Measurement {
	inf := math.Inf(1)
	ms := []measure.Measurement{
		decay("M1", "max", "smoke", 231.4, 3.77, 3, uncertainty.Budget{
			{Name: "scatter of the runs", U: 4.9, DOF: 2, Kind: "A", Note: "standard deviation of the mean of 3 runs"},
			{Name: "room volume", U: 2.3, DOF: 50, Kind: "B", Note: "1 % from the tape measure"},
			{Name: "background", U: 3.1, DOF: inf, Kind: "B", Note: "0.3 µg/m³ on the clean-air reading"},
			{Name: "natural decay", U: 1.2, DOF: 3, Kind: "A", Note: "2 runs with the unit off"}}),
		{ID: "M2", Attribute: "noise", Setting: "max", Value: 54.6, Unit: "dB(A)", Distance: 1, Budget: uncertainty.Budget{
			{Name: "instrument", U: 0.7, DOF: inf, Kind: "B", Note: "class 2, ±1.4 dB"}, {Name: "positions", U: 0.4, DOF: 3, Kind: "A"}, {Name: "background correction", U: 0.1, DOF: inf, Kind: "B"}},
			Method: "Energy mean of 4 positions at 1 m, corrected for the background of 31.0 dB(A) (ISO 3746).", Instrument: "S1"},
		{ID: "M3", Attribute: "noise", Setting: "sleep", Value: 31.2, Unit: "dB(A)", Distance: 1, Budget: uncertainty.Budget{{Name: "instrument", U: 0.7, DOF: inf, Kind: "B"}, {Name: "positions", U: 0.6, DOF: 3, Kind: "A"}},
			Method: "Energy mean of 4 positions at 1 m; background 30.4 dB(A), less than 3 dB below.", Instrument: "S1",
			Warnings: []measure.Warning{{Flag: measure.UpperBound, Text: "the background is less than 3 dB below the unit: the level is an upper bound"}}},
		{ID: "M4", Attribute: "power", Setting: "max", Value: 44.1, Unit: "W", Budget: uncertainty.Budget{{Name: "meter", U: 0.37, DOF: inf, Kind: "B", Note: "1 % + 0.2 W"}, {Name: "repeats", U: 0.11, DOF: 4, Kind: "A"}},
			Method: "Mean of 5 readings over 10 minutes each.", Instrument: "W1"},
		{ID: "M5", Attribute: "standby power", Setting: "standby", Value: 0.38, Unit: "W", Budget: uncertainty.Budget{{Name: "meter", U: 0.03, DOF: inf, Kind: "B"}},
			Method: "Mean over 30 minutes (IEC 62301).", Instrument: "W1"},
		{ID: "M6", Attribute: "filter efficiency", Particle: "0.3 um", Value: 99.31, Unit: "%", Budget: uncertainty.Budget{{Name: "counting", U: 0.05, DOF: inf, Kind: "A"}, {Name: "volumes", U: 0.02, DOF: 50, Kind: "B"}},
			Method: "1 − penetration, from 61 204 particles before and 422 behind the filter."},
		{ID: "M7", Attribute: "room area", Value: 48.2, Unit: "m2", Budget: uncertainty.Budget{{Name: "delivery rate", U: 1.3, DOF: 7, Kind: "A"}}, Method: "Delivery rate M1 over 2 air changes per hour and 2.4 m."},
		{ID: "M8", Attribute: "clean time", Setting: "max", Value: 12.9, Unit: "min", Budget: uncertainty.Budget{{Name: "delivery rate", U: 0.4, DOF: 7, Kind: "A"}}, Method: "From M1 and the room of 62 m² × 2.4 m."},
		{ID: "M9", Attribute: "annual energy", Value: 172.4, Unit: "kWh", Budget: uncertainty.Budget{{Name: "power", U: 3.0, DOF: inf, Kind: "B"}, {Name: "standby", U: 0.2, DOF: inf, Kind: "B"}}, Method: "10.6 h a day at M4, 13.4 h at M5."},
		{ID: "M10", Attribute: "carbon mass", Value: 362, Unit: "g", Budget: uncertainty.Budget{{Name: "scale", U: 1, DOF: inf, Kind: "B"}}, Method: "Weighed once, shaken out of its frame.",
			Warnings: []measure.Warning{{Flag: measure.Indicative, Text: "one weighing alone: the result is indicative"}}},
		decay("M11", "max", "dust", 318, 5.18, 2, uncertainty.Budget{{Name: "scatter of the runs", U: 6.2, DOF: 1, Kind: "A"}, {Name: "room volume", U: 3.1, DOF: 50, Kind: "B"}, {Name: "background", U: 2.2, DOF: inf, Kind: "B"}}),
	}
	for i := range ms {
		ms[i].Expand()
		if len(ms[i].Runs) == 0 {
			for j := range 3 {
				ms[i].Runs = append(ms[i].Runs, measure.Run{Run: fmt.Sprint(j + 1), Value: ms[i].Value + 0.2*float64(j-1)*ms[i].Std, Unit: ms[i].Unit, Std: ms[i].Std, R2: math.NaN(), Points: 1,
					Place: fmt.Sprintf("lab.xlsx: sheet sound, row %d", j+2)})
			}
		}
	}
	return ms
}

// decay is a delivery rate with n runs on and two off, in a room of 61.4 m³, with curves of realistic noise: seeded, so
// that they are the same each time.
func decay(id, setting, particle string, rate, k float64, n int, b uncertainty.Budget) measure.Measurement {
	m := measure.Measurement{ID: id, Attribute: "delivery rate", Setting: setting, Particle: particle, Value: rate, Unit: "m3/h", Budget: b, Instrument: "P1",
		Method: "Mean over the runs of V·(k_on − k_off), each k from a weighted fit of ln(C − background) over the window."}
	rnd := rand.New(rand.NewPCG(40, uint64(len(id))+uint64(rate)))
	for i := range n + 2 {
		kk, state, hours := k*(1+0.02*(rnd.Float64()-0.5)), "on", 1.0
		if i >= n {
			kk, state, hours = 0.12+0.01*rnd.Float64(), "off", 2.0
		}
		c := &measure.Curve{Background: 1.4, A: 260, K: kk, From: 0, To: hours * 0.62, ValueUnit: "ug/m3"}
		for t := -0.05; t < hours; t += hours / 360 {
			v := c.Background + c.A*math.Exp(-kk*t)
			if t < 0 {
				v = c.Background + c.A*(1+0.6*t*20)
			}
			v *= 1 + 0.03*rnd.NormFloat64()
			c.Hours, c.Value = append(c.Hours, t), append(c.Value, math.Round(v*10)/10)
		}
		r := measure.Run{Run: fmt.Sprintf("%s%d", map[string]string{"on": "D", "off": "N"}[state], i+1), State: state, Value: kk, Unit: "1/h", Std: 0.01 * kk, From: "10:0" + fmt.Sprint(i) + ":30", To: "10:41:00",
			Points: 223, R2: 0.9987, Curve: c, Place: fmt.Sprintf("lab.xlsx: sheet decay, row %d", i+2)}
		if i == 1 {
			r.Flags = []measure.Warning{{Flag: "late start", Text: "the window begins 4 minutes after the peak"}}
		}
		m.Runs = append(m.Runs, r)
	}
	return m
}
