package verdict

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/lab"
	"weighhouse/measure/uncertainty"
)

// TestOneMeasurementOneVerdict: a figure that follows from another, stated exactly as the formula gives it, gets the same
// verdict and nearly the same probability as that other, whatever was measured: it is one product.
func TestOneMeasurementOneVerdict(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 3))
	number := func(id string, a claims.Attribute, v float64, unit, basis string) claims.Claim {
		info, _ := claims.Lookup(string(a))
		return claims.Claim{ID: id, Attribute: a, Bound: info.Bound, BoundGiven: true, Basis: claims.ParseBasis(basis), UnitText: unit,
			Claimed: &claims.Range{Low: v, High: v, Unit: unit, Text: fmt.Sprintf("%.9f %s", v, unit)}}
	}
	seen := map[Outcome]int{}
	for range 300 {
		watts, rate := 10+80*rng.Float64(), 100+400*rng.Float64()
		spec := &claims.Spec{Claims: []claims.Claim{
			number("P", claims.Power, watts, "W", ""), number("E", claims.AnnualEnergy, watts*24*365/1000, "kWh", "24 h/day"), number("E2", claims.AnnualEnergy, watts*8*365/1000, "kWh", "8 h/day"),
			number("D", claims.DeliveryRate, rate, "m3/h", ""), number("A", claims.RoomArea, rate/(5*2.5), "m2", "5 ach; 2.5 m ceiling"),
			number("T", claims.CleanTime, 60*math.Log(10)*40/rate, "min", "40 m3; 90 %")}}
		of := func(id string, a claims.Attribute, v, u float64, unit string) measure.Measurement {
			m := measure.Measurement{ID: id, Attribute: string(a), Setting: "max", Value: v, Unit: unit, Budget: uncertainty.Budget{{Name: "all", U: u, DOF: math.Inf(1), Kind: "B"}}}
			m.Expand()
			return m
		}
		bench := &lab.Results{Measurements: []measure.Measurement{
			of("M1", claims.Power, watts*(1+0.4*rng.Float64()), watts*0.03*rng.Float64(), "W"), of("M2", claims.DeliveryRate, rate*(0.75+0.3*rng.Float64()), rate*0.04*rng.Float64(), "m3/h")}}
		row := map[string]Row{}
		for _, r := range Build(Evidence{Spec: spec, Bench: bench}).Rows {
			row[r.Claim.ID] = r
		}
		for _, pair := range [][2]string{{"P", "E"}, {"P", "E2"}, {"D", "A"}, {"D", "T"}} {
			a, b := row[pair[0]], row[pair[1]]
			seen[b.Verdict]++
			if b.Probability == nil || math.Abs(*a.Probability-*b.Probability) > 1e-5 {
				t.Fatalf("%s %s %v, %s %s %v: limits %v and %v", pair[0], a.Verdict, a.Probability, pair[1], b.Verdict, b.Probability, a.Limit, b.Limit)
			}
			if a.Verdict != b.Verdict && math.Abs(*a.Probability-Risk) > 1e-4 && math.Abs(*a.Probability-1+Risk) > 1e-4 {
				t.Errorf("%s is %s and %s %s", pair[0], a.Verdict, pair[1], b.Verdict)
			}
		}
	}
	if seen[Supported] < 100 || seen[Contradicted] < 100 || seen[Inconclusive] < 20 {
		t.Errorf("verdicts seen: %v", seen)
	}
}

// A claim's own tolerance in the case goes before what follows; a tolerance that the case gives the base goes through.
func TestFollowsTheCase(t *testing.T) {
	area := claims.Claim{Attribute: claims.RoomArea, Bound: claims.AtLeast, Basis: claims.ParseBasis("5 ach; 2.5 m ceiling"), Claimed: &claims.Range{Low: 24, High: 24, Unit: "m2", Text: "24 m2"}, UnitText: "m2"}
	for _, c := range []struct {
		over []Override
		want float64
	}{
		{nil, 2.4}, {[]Override{{claims.DeliveryRate, 5, "%", ""}}, 1.2}, {[]Override{{claims.DeliveryRate, 15, "m3/h", ""}}, 1.2}, // 15 of the 300 m3/h that the area implies
		{[]Override{{claims.RoomArea, 1, "m2", ""}, {claims.DeliveryRate, 5, "%", ""}}, 1},
	} {
		if got, _ := (allowances{over: c.over}).of(area); math.Abs(got.Amount-c.want) > 1e-9 || math.Abs(got.Rounding-0.5) > 1e-9 {
			t.Errorf("%v: tolerance %g and rounding %g, want %g and 0.5", c.over, got.Amount, got.Rounding, c.want)
		}
	}
	standby := claims.Claim{Attribute: claims.StandbyPower, Bound: claims.AtMost, Claimed: &claims.Range{Low: 2, High: 2, Unit: "W"}}
	energy := claims.Claim{Attribute: claims.AnnualEnergy, Bound: claims.AtMost, Basis: claims.ParseBasis("10 CFR 430"), Claimed: &claims.Range{Low: 268.64, High: 268.64, Unit: "kWh"}}
	// 45 W at 16 h and 2 W at 8 h a day are 262.8 and 5.84 kWh (worked value, 10 CFR 430 App. FF): 20 % of the one, 10 % of the other
	if got, _ := (allowances{claims: []claims.Claim{standby}}).of(energy); math.Abs(got.Amount-(0.2*262.8+0.1*5.84)) > 1e-9 {
		t.Errorf("energy with standby: %g", got.Amount)
	}
}

func TestOwnRounding(t *testing.T) {
	for _, c := range []struct {
		text, unit, base string
		low, high        float64
		want             float64
	}{
		{"340 m3/h", "m3/h", "m3/h", 340, 340, 0.5}, {"7.5 min", "min", "min", 7.5, 7.5, 0.05}, {"1,482 ft2", "ft2", "m2", 1482 * 0.09290304, 1482 * 0.09290304, 0.5 * 0.09290304},
		{"3,5 m2", "m2", "m2", 3.5, 3.5, 0.05}, {"1.200 m3/h", "m3/h", "m3/h", 1200, 1200, 0.5}, {"99.97 %", "%", "%", 99.97, 99.97, 0.005}, {"0.50 W", "W", "W", 0.5, 0.5, 0.005},
		{"225 cfm", "cfm", "m3/h", 225 * 1.69901079552, 225 * 1.69901079552, 0.5 * 1.69901079552}, {"35-40 m2", "m2", "m2", 35, 40, 0.5}, {"4.5 to 6 min", "min", "min", 4.5, 6, 0.5},
		{"2 300 h", "h", "h", 2300, 2300, 0.5}, {"words", "W", "W", 45, 45, 0}, {"45 W", "", "W", 45, 45, 0},
	} {
		got := ownRounding(claims.Claim{Claimed: &claims.Range{Low: c.low, High: c.high, Unit: c.base, Text: c.text}, UnitText: c.unit})
		if math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g, want %g", c.text, got, c.want)
		}
	}
	months := claims.Claim{Attribute: claims.FilterLife, Calendar: true, Basis: claims.ParseBasis("12 h/day"), UnitText: "months", Claimed: &claims.Range{Low: 2190, High: 2190, Unit: "h", Text: "6 months"}}
	if got := ownRounding(months); math.Abs(got-365.0/12*24/2*12/24) > 1e-6 {
		t.Errorf("6 months at 12 h a day: %g h", got)
	}
}

// A basis is matched as a basis: an amount that holds its number is none.
func TestNamed(t *testing.T) {
	for text, want := range map[string]bool{"10 CFR 430": true, "430 ft2": false, "430": false, "16 h/day; 10 CFR 430.32(ee)": true, "10 CFR 4301": false, "110 CFR 430": true} {
		on, _ := energyHours(claims.ParseBasis(text))
		if (on == 16) != want && text != "16 h/day; 10 CFR 430.32(ee)" {
			t.Errorf("%q: %g hours a day", text, on)
		}
	}
	for _, c := range []struct {
		text, key string
		want      bool
	}{{"1.55 rule", "1.55", true}, {"1.55", "1.55", true}, {"1.55 m", "1.55", false}, {"11.55 rule", "1.55", false}, {"2/3 rule", "2/3", true}, {"2/3 %", "2/3", false}, {"12/3", "2/3", false},
		{"GB/T 18801", "gb/t 18801", true}, {"GB/T 18801-2015", "gb/t 18801", true}, {"schakaca", "kaca", false}, {"by JEM 1467:2015", "jem 1467", true}, {"x", "", false}} {
		if got := named(c.text, c.key); got != c.want {
			t.Errorf("named(%q, %q) = %v", c.text, c.key, got)
		}
	}
}
