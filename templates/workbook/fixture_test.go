package workbook

import (
	"math"
	"math/rand/v2"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
	"weighhouse/verdict"
)

// The test's audit is invented: the Brindlecote Air Works and their Fennow 40 do not exist. Its readings are made by the
// model C(t) = Cb + A·exp(−k·t) with serially correlated noise from a fixed seed, and reduced and judged by the program
// itself, so that every formula meets numbers as they come in practice.
const seed = 40

var room = lab.Room{Volume: 30.5, U: 0.4, Text: "study, 4.40 × 2.84 × 2.44 m"}

// decayLog makes a log of one run: a rise, then a decay at k per hour, one reading every step seconds.
func decayLog(r *rand.Rand, k, step float64, minutes int) (t, c []float64) {
	noise := 0.0
	for s := -180.0; s <= float64(minutes)*60; s += step {
		noise = 0.6*noise + 0.8*r.NormFloat64()*0.01
		v := 1.8
		if s >= 0 {
			v += 260 * math.Exp(-k*s/3600) * (1 + noise)
		}
		t, c = append(t, s+180), append(c, math.Round(v*10)/10)
	}
	return t, c
}

// decayRuns makes three runs with the unit off, three at max and one at low. long sets the sampling step that gives more
// readings than a curve holds.
func decayRuns(step float64) []measure.DecayRun {
	r := rand.New(rand.NewPCG(seed, 1))
	var out []measure.DecayRun
	add := func(name, state, setting string, k float64, minutes int) {
		t, c := decayLog(r, k*(1+0.02*r.NormFloat64()), step, minutes)
		out = append(out, measure.DecayRun{Name: name, State: state, Setting: setting, Particle: "smoke", Instrument: "pm-1", T: t, C: c,
			From: math.NaN(), To: math.NaN(), Background: 1.8, BackgroundU: 0.3, Linear: 1000, ValueUnit: "ug/m3", Day: math.NaN(),
			Place: "lab.xlsx: sheet decay, row " + name})
	}
	for _, n := range []string{"n1", "n2", "n3"} {
		add(n, "off", "", 0.24, 40)
	}
	for _, n := range []string{"e1", "e2", "e3"} {
		add(n, "on", "max", 5.1, 40)
	}
	add("l1", "on", "low", 2.2, 40)
	return out
}

// fixture is the audit of the tests.
func fixture(t testing.TB, step float64) *verdict.Audit {
	t.Helper()
	var ms []measure.Measurement
	keep := func(add []measure.Measurement, bad []measure.RunProblem) {
		t.Helper()
		for _, b := range bad {
			t.Fatal(b.Error())
		}
		ms = append(ms, add...)
	}
	keep(measure.DeliveryRates(decayRuns(step), measure.DecayOptions{Volume: room.Volume, VolumeU: room.U, Method: "room", MethodU: math.NaN()}))
	var sounds []measure.SoundReading
	for i, l := range []float64{46.8, 47.3, 46.1, 48.0} {
		sounds = append(sounds, measure.SoundReading{Setting: "max", Distance: 1, Level: l, Background: 33.5, Instrument: "slm-1",
			Meter: measure.Meter{ID: "slm-1", Kind: measure.ClassTwo}, Name: string(rune('1' + i)), Weighted: true})
	}
	sounds = append(sounds, measure.SoundReading{Setting: "low", Distance: 1, Level: 29.4, Background: 28, Instrument: "slm-1",
		Meter: measure.Meter{ID: "slm-1", Kind: measure.ClassTwo}, Name: "5", Weighted: true})
	keep(measure.ReduceSound(sounds, measure.SoundRoom{}))
	var powers []measure.PowerReading
	for _, w := range []float64{43.1, 43.6, 42.9} {
		powers = append(powers, measure.PowerReading{Setting: "max", Watts: w, Instrument: "wm-1", Meter: measure.Meter{ID: "wm-1",
			Acc: &measure.Accuracy{Text: "1 % + 0.1 W", Percent: 1, Abs: 0.1, Unit: "W"}}})
	}
	for _, w := range []float64{0.81, 0.83} {
		powers = append(powers, measure.PowerReading{Setting: "standby", Watts: w, Instrument: "wm-1", Meter: measure.Meter{ID: "wm-1",
			Acc: &measure.Accuracy{Text: "1 % + 0.1 W", Percent: 1, Abs: 0.1, Unit: "W"}}})
	}
	keep(measure.ReducePower(powers))
	keep(measure.ReduceCounts([]measure.CountReading{
		{SizeUm: 0.3, SizeHighUm: math.NaN(), Up: 48210, Down: 25, UpVolume: 2.83, DownVolume: 28.3, Setting: "max", Instrument: "cnc-1"},
		{SizeUm: 0.3, SizeHighUm: math.NaN(), Up: 47655, Down: 31, UpVolume: 2.83, DownVolume: 28.3, Setting: "max", Instrument: "cnc-1"},
	}))
	for i := range ms {
		ms[i].ID = "M" + string(rune('1'+i))
	}
	rng := func(v float64, unit string) *claims.Range { return &claims.Range{Low: v, High: v, Unit: unit} }
	spec := &claims.Spec{
		Product: claims.Product{Maker: "Brindlecote Air Works", Model: "Fennow 40", Variant: "=SUM(1,1)", Price: "199", Currency: "EUR"},
		Claims: []claims.Claim{
			{ID: "C1", Attribute: claims.DeliveryRate, Claimed: rng(200, "m3/h"), Bound: claims.AtLeast, Particle: "smoke", Wording: "Cleans 200 m³ an hour"},
			{ID: "C2", Attribute: claims.DeliveryRate, Claimed: rng(60, "m3/h"), Bound: claims.AtLeast, Setting: "low", Particle: "smoke", Wording: "60 m³/h in quiet mode"},
			{ID: "C3", Attribute: claims.DeliveryRate, Claimed: &claims.Range{Low: 140, High: 160, Unit: "m3/h"}, Bound: claims.About, Particle: "smoke", Wording: "about 140-160 m³/h"},
			{ID: "C4", Attribute: claims.Noise, Claimed: rng(45, "dB(A)"), Bound: claims.AtMost, Setting: "max", Weighting: true,
				Basis: claims.Basis{Text: "1 m", Distance: 1}, Wording: "+ whisper quiet: 45 dB(A) at 1 m"},
			{ID: "C5", Attribute: claims.Noise, Claimed: rng(22, "dB(A)"), Bound: claims.AtMost, Setting: "low", Weighting: true,
				Basis: claims.Basis{Text: "1 m", Distance: 1}, Wording: "@ only 22 dB(A)"},
			{ID: "C6", Attribute: claims.Power, Claimed: rng(38, "W"), Bound: claims.AtMost, Wording: "-38 W"},
			{ID: "C7", Attribute: claims.StandbyPower, Claimed: rng(0.5, "W"), Bound: claims.AtMost, Wording: "0.5 W in standby"},
			{ID: "C8", Attribute: claims.AnnualEnergy, Claimed: rng(250, "kWh"), Bound: claims.AtMost,
				Basis: claims.Basis{Text: "16 h/day", HoursPerDay: 16, StandbyHours: 8}, Wording: "250 kWh a year"},
			{ID: "C9", Attribute: claims.RoomArea, Claimed: rng(15, "m2"), Bound: claims.AtLeast,
				Basis: claims.Basis{Text: "4.8 ach; 2.4 m ceiling", AirChanges: 4.8, Ceiling: 2.4}, Wording: "for rooms to 15 m²"},
			{ID: "C10", Attribute: claims.CleanTime, Claimed: rng(20, "min"), Bound: claims.AtMost,
				Basis: claims.Basis{Text: "20 m2; 2.4 m; 80 %", RoomArea: 20, Ceiling: 2.4, Reduction: 0.8}, Wording: "80 % in 20 minutes"},
			{ID: "C11", Attribute: claims.FilterEfficiency, Claimed: rng(99.95, "%"), Bound: claims.AtLeast, Particle: "0.3 um", Wording: "99.95 % at 0.3 µm"},
			{ID: "C12", Attribute: claims.FilterGrade, Wording: "True HEPA, medical grade", Source: "box"},
			{ID: "C13", Attribute: claims.CarbonMass, Claimed: rng(300, "g"), Bound: claims.AtLeast, Wording: "300 g of activated carbon"},
		},
		Replies: []claims.Reply{{Sent: "2026-04-01", Channel: "letter", Deadline: "2026-04-15", Text: "=HYPERLINK(\"x\")"}},
	}
	bench := &lab.Results{
		Measurements: ms, Room: &room,
		Costs: []lab.Cost{
			{Item: "electricity", Low: 0.28, High: 0.34, Currency: "EUR"}, {Item: "hours per day", Low: 12, High: 12},
			{Item: "filter", Low: 39.9, High: 39.9, Currency: "EUR", Option: "maker's filter"},
			{Item: "filters per year", Low: 2, High: 2, Option: "maker's filter"},
		},
	}
	return verdict.Build(verdict.Evidence{Version: "test", Issued: "2026-05-04", Case: "fennow", Spec: spec, Bench: bench,
		Inputs: []sheet.Input{{Path: "spec.xlsx", Bytes: 12345, SHA256: "00"}}})
}
