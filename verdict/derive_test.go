package verdict

import (
	"math"
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/uncertainty"
)

func rateOf(v, u float64) measure.Measurement {
	m := measure.Measurement{ID: "M1", Attribute: "delivery rate", Setting: "max", Particle: "smoke", Value: v, Unit: "m3/h"}
	m.Budget = append(m.Budget, component(u))
	m.Expand()
	return m
}

// TestDerivedClaims: what hangs on a rate or a wattage, with values worked by hand, and the conditions without which it
// cannot be tested.
func TestDerivedClaims(t *testing.T) {
	on := measure.Measurement{ID: "M2", Attribute: "power", Setting: "max", Value: 45, Unit: "W"}
	on.Budget = append(on.Budget, component(0.1))
	on.Expand()
	standby := measure.Measurement{ID: "M3", Attribute: "standby power", Setting: "standby", Value: 2, Unit: "W"}
	standby.Budget = append(standby.Budget, component(0.02))
	standby.Expand()
	ms := []measure.Measurement{rateOf(300, 5), on, standby}
	for _, c := range []struct {
		name  string
		a     claims.Attribute
		v     float64
		unit  string
		basis string
		want  float64 // of the measurement; NaN for unclear
	}{
		{"area by air changes", claims.RoomArea, 20, "m2", "5 ach; 2.4 m ceiling", 25},                         // 300/(5 x 2.4)
		{"area without ceiling: 2.4 m", claims.RoomArea, 20, "m2", "5 ach", 25},                                // the same
		{"area by GB/T 18801, high end", claims.RoomArea, 20, "m2", "GB/T 18801", 36},                          // 0.12 x 300
		{"area by 1.55 ft2 a cfm", claims.RoomArea, 20, "m2", "AHAM", 300 * 1.55 * 0.09290304 / 1.69901079552}, // 300 x 1.55 x 0.09290304/1.69901079552
		{"area by JEM 1467", claims.RoomArea, 20, "m2", "JEM 1467", 300 / (3.24052707240 * 2.4)},               // -2 ln 0.12 - 1 an hour
		{"area alone", claims.RoomArea, 20, "m2", "", math.NaN()},                                              //
		{"time to 90 %", claims.CleanTime, 10, "min", "30 m3; 90 %", 60 * math.Ln10 / 10},                      // ln 10 at 10 changes an hour
		{"time by area", claims.CleanTime, 10, "min", "12.5 m2; 2.4 m ceiling; 90 %", 60 * math.Ln10 / 10},
		{"time without a part", claims.CleanTime, 10, "min", "30 m3", math.NaN()},
		{"time without a room", claims.CleanTime, 10, "min", "99 %", math.NaN()},
		{"energy, all day", claims.AnnualEnergy, 400, "kWh", "24 h/day", 394.2},                    // 45 x 8.76
		{"energy, 16 and 8", claims.AnnualEnergy, 300, "kWh", "16 h/day; 8 h/day standby", 268.64}, // 45 x 5.84 + 2 x 2.92
		{"energy, US procedure", claims.AnnualEnergy, 300, "kWh", "10 CFR 430", 268.64},            //
		{"energy, standby not named", claims.AnnualEnergy, 300, "kWh", "12 h/day", 197.1},          // 45 x 4.38
		{"energy alone", claims.AnnualEnergy, 300, "kWh", "", math.NaN()},
	} {
		info, _ := claims.Lookup(string(c.a))
		cl := claims.Claim{ID: "C1", Attribute: c.a, Bound: info.Bound, Claimed: &claims.Range{Low: c.v, High: c.v, Unit: c.unit}, UnitText: c.unit, Basis: claims.ParseBasis(c.basis)}
		r := judge(cl, &Audit{Measurements: ms}, allowances{}, nil)
		if math.IsNaN(c.want) {
			if r.Verdict != Unclear || len(r.Notes) == 0 {
				t.Errorf("%s: %s %v, want unclear with its reason", c.name, r.Verdict, r.Notes)
			}
			continue
		}
		if r.Measured == nil || math.Abs(r.Measured.Value-c.want) > 1e-9*c.want {
			t.Errorf("%s: %+v %v, want %g", c.name, r.Measured, r.Notes, c.want)
		}
	}
}

// TestConditionsThatCannotBeMatched stay untested, never contradicted, and say why.
func TestConditionsThatCannotBeMatched(t *testing.T) {
	noise := measure.Measurement{ID: "M2", Attribute: "noise", Setting: "max", Value: 70, Unit: "dB(A)", Distance: 1}
	noise.Budget = append(noise.Budget, component(1))
	noise.Expand()
	rate := rateOf(10, 1)
	quiet := noise
	quiet.Setting, quiet.ID = "sleep", "M3"
	weak := measure.Measurement{ID: "M4", Attribute: "standby power", Setting: "standby", Value: 1.9, Unit: "W"}
	weak.Budget = append(weak.Budget, component(0.5))
	weak.Expand()
	weak.Warn(measure.NotTestable, "no accuracy is stated")
	for _, c := range []struct {
		name    string
		a       claims.Attribute
		v       float64
		unit    string
		setting string
		part    string
		basis   string
		ms      []measure.Measurement
		want    Outcome
		why     string
	}{
		{"other particle", claims.DeliveryRate, 300, "m3/h", "", "pollen", "", []measure.Measurement{rate}, Untested, "never compared"},
		{"other setting", claims.DeliveryRate, 300, "m3/h", "turbo 2", "smoke", "", []measure.Measurement{rate}, Untested, "setting"},
		{"same", claims.DeliveryRate, 300, "m3/h", "", "smoke", "", []measure.Measurement{rate}, Contradicted, ""},
		{"other distance", claims.Noise, 40, "dB(A)", "", "", "3 m", []measure.Measurement{noise}, Untested, "not converted"},
		{"sound power", claims.Noise, 40, "dB(A)", "", "", "sound power", []measure.Measurement{noise}, Untested, "never compared"},
		{"sound power below a level at 1 m", claims.Noise, 40, "dB(A)", "", "", "sound power", []measure.Measurement{noise}, Untested, "above the sound power claimed"},
		{"no distance", claims.Noise, 40, "dB(A)", "", "", "", []measure.Measurement{noise}, Unclear, "distance"},
		{"only the quiet setting was measured", claims.Noise, 40, "dB(A)", "", "", "1 m", []measure.Measurement{quiet}, Untested, "highest setting"},
		{"standby with an unnamed meter", claims.StandbyPower, 0.5, "W", "", "", "", []measure.Measurement{weak}, Inconclusive, "no accuracy"},
		{"nothing measured", claims.CarbonMass, 500, "g", "", "", "", []measure.Measurement{rate}, Untested, "nothing in the lab book"},
		{"no size", claims.FilterEfficiency, 99.97, "%", "", "", "", []measure.Measurement{rate}, Unclear, "particle size"},
	} {
		info, _ := claims.Lookup(string(c.a))
		cl := claims.Claim{ID: "C1", Attribute: c.a, Bound: info.Bound, Setting: c.setting, Particle: c.part, Basis: claims.ParseBasis(c.basis),
			Claimed: &claims.Range{Low: c.v, High: c.v, Unit: c.unit}, UnitText: c.unit}
		r := judge(cl, &Audit{Measurements: c.ms}, allowances{}, nil)
		if r.Verdict != c.want || !strings.Contains(strings.Join(r.Notes, "\n"), c.why) {
			t.Errorf("%s: %s %q, want %s with %q", c.name, r.Verdict, r.Notes, c.want, c.why)
		}
	}
}

func component(u float64) uncertainty.Component {
	return uncertainty.Component{Name: "all", U: u, DOF: math.Inf(1), Kind: "B"}
}
