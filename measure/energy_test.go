package measure

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"weighhouse/measure/uncertainty"
	"weighhouse/measure/unit"
)

// result makes a measurement with one component.
func result(attribute, setting string, value, u, dof float64, component string) *Measurement {
	m := &Measurement{Attribute: attribute, Setting: setting, Value: value, Unit: "W", Method: "given",
		Budget: uncertainty.Budget{{Name: component, U: u, DOF: dof, Kind: "B", Note: "given"}}}
	m.Expand()
	return m
}

// AEC = (5840·P_active + 2920·P_inactive)/1000, 10 CFR 430 subpart B appendix FF (from memory); the all-day figure and
// the running cost are plain arithmetic, computed.
func TestAnnualEnergy(t *testing.T) {
	for _, c := range []struct{ on, standby, hOn, hStandby, kwh float64 }{
		{40, 1, 16, 8, 236.52}, {45, 2, 16, 8, 268.64}, {45, 0, 24, 0, 394.2}, {1, 0, 12, 0, 4.380}, {1, 0, 8, 0, 2.920},
	} {
		m := AnnualEnergy(result("power", "max", c.on, 1, 8, meterAccuracy), result("standby power", "standby", c.standby, 0.1, 8, meterAccuracy), c.hOn, c.hStandby)
		wantRel(t, "annual energy", m.Value, c.kwh, 1e-9)
		wantRel(t, "annual energy, plain", AnnualKWh(c.on, c.standby, c.hOn, c.hStandby), c.kwh, 1e-9)
		wantPrintable(t, m)
		if m.Attribute != "annual energy" || m.Unit != "kWh" || m.Setting != "max" {
			t.Errorf("%+v", m)
		}
	}
}

// One meter's error moves both powers together: u = c1·u1 + c2·u2 (GUM 5.2.2 note 1, r = 1); two meters' do not: √(…²).
func TestAnnualEnergyOfOneMeterOrTwo(t *testing.T) {
	on, sb := result("power", "max", 40, 0.8, math.Inf(1), meterAccuracy), result("standby power", "standby", 1, 0.3, math.Inf(1), meterAccuracy)
	on.Instrument, sb.Instrument = "P1", "P1"
	one := AnnualEnergy(on, sb, 16, 8)
	wantRel(t, "one meter", one.Std, 5.840*0.8+2.920*0.3, 1e-12)
	sb.Instrument = "P2"
	two := AnnualEnergy(on, sb, 16, 8)
	wantRel(t, "two meters", two.Std, math.Hypot(5.840*0.8, 2.920*0.3), 1e-12)
	sb.Instrument = ""
	wantRel(t, "a meter not named is taken as the same", AnnualEnergy(on, sb, 16, 8).Std, one.Std, 1e-12)
	if len(one.Budget) != 1 || len(two.Budget) != 2 {
		t.Errorf("%v, %v", one.Budget, two.Budget)
	}
}

func TestAnnualEnergyWithoutStandby(t *testing.T) {
	on := result("power", "max", 40, 0.8, math.Inf(1), meterAccuracy)
	m := AnnualEnergy(on, nil, 16, 8)
	wantRel(t, "1 W stands in", m.Value, 236.52, 1e-12)
	u, _ := component(t, m, "standby: not measured")
	wantRel(t, "0 to 2 W, rectangular", u, 2.920/math.Sqrt(3), 1e-12)
	if !m.Has(StandbyAssumed) {
		t.Error("not flagged")
	}
	if all := AnnualEnergy(on, nil, 24, 0); all.Has(StandbyAssumed) {
		t.Error("no standby hours need no standby power")
	}
	for _, bad := range [][2]float64{{-1, 0}, {20, 5}, {math.NaN(), 0}, {12, math.Inf(1)}} {
		m := AnnualEnergy(on, nil, bad[0], bad[1])
		if !m.Has(NotTestable) {
			t.Errorf("hours %v pass", bad)
		}
		wantPrintable(t, m)
	}
	weak := result("standby power", "standby", 1, 0.5, 8, meterAccuracy)
	weak.Warn(NotTestable, "too coarse")
	if m := AnnualEnergy(on, weak, 16, 8); m.Has(NotTestable) || !m.Has(WeakStandby) {
		t.Errorf("a weak standby power makes the whole energy untestable: %v", m.Warnings)
	}
}

// The levels of the US standard, 10 CFR 430.32(ee) (second-hand), in m³/(W·h): computed from the exact foot.
func TestEfficacyTiers(t *testing.T) {
	want := map[string]float64{"1.7 cfm/W": 2.888318, "1.9 cfm/W": 3.228121, "2.0 cfm/W": 3.398022, "2.4 cfm/W": 4.077626, "2.9 cfm/W": 4.927131}
	for _, tier := range EfficacyTiers() {
		if w, ok := want[tier.Text]; ok {
			wantRel(t, tier.Text, tier.Minimum, w, 1e-6)
			delete(want, tier.Text)
		}
		if tier.Source == "" || tier.Mark == "" {
			t.Errorf("%+v has no source", tier)
		}
	}
	if len(want) > 0 {
		t.Errorf("levels missing: %v", want)
	}
	// Edges from memory: 99.9 in the first band, 100 and 149.9 in the second, 150 in the third.
	for cfm, level := range map[float64]string{99.9: "1.7 cfm/W", 100: "1.9 cfm/W", 149.9: "1.9 cfm/W", 150: "2.0 cfm/W"} {
		rate, err := unit.Convert(cfm, "cfm", "m3/h")
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, tier := range TiersFor(rate) {
			if tier.Name == "Tier 1" {
				found = true
				if tier.Text != level {
					t.Errorf("%g cfm: %s, want %s", cfm, tier.Text, level)
				}
			}
		}
		if !found {
			t.Errorf("%g cfm: no tier", cfm)
		}
	}
	for _, rate := range []float64{1, 50, 300} { // GB/T 18801-2015 was replaced on 2023-05-01 (catalogue of standards): nothing is held against it
		for _, tier := range TiersFor(rate) {
			if tier.Status == superseded {
				t.Errorf("%g m3/h is held against %s, which was superseded", rate, tier.Scheme)
			}
		}
	}
	for _, tier := range EfficacyTiers() {
		if _, err := time.Parse(time.DateOnly, tier.Checked); err != nil {
			t.Errorf("%s %s: %v", tier.Scheme, tier.Name, err)
		}
	}
}

func TestEfficacy(t *testing.T) {
	rate := result("delivery rate", "max", 300, 9, 6, "between runs")
	power := result("power", "Max", 50, 1, math.Inf(1), meterAccuracy)
	e := Efficacy(rate, power)
	wantPrintable(t, e.Measurement)
	wantRel(t, "rate over power", e.Value, 6, 1e-12)
	wantRel(t, "relative u", e.Std/e.Value, math.Hypot(9.0/300, 1.0/50), 1e-12)
	wantRel(t, "cfm/W", e.CfmPerWatt, 6/1.69901079552, 1e-12)
	if len(e.Tiers) != 2 { // 176.6 cfm: third band of two tiers
		t.Fatalf("%d tiers", len(e.Tiers))
	}
	for _, c := range e.Tiers {
		if c.Probability < 0.95 {
			t.Errorf("6 m³/(W·h) meets %+v", c)
		}
	}
	power.Setting = "low"
	if e := Efficacy(rate, power); !e.Has(SettingsDiffer) || !e.Has(NotTestable) || e.Tiers != nil {
		t.Errorf("rate and watts of two settings: %+v", e)
	}
	power.Value = 0
	for _, p := range []*Measurement{power, nil} {
		e := Efficacy(rate, p)
		wantPrintable(t, e.Measurement)
		if !e.Has(NotTestable) {
			t.Errorf("%+v", e)
		}
	}
}

// IEF: appendix FF (from memory), computed.
func TestIntegratedEnergyFactor(t *testing.T) {
	wantRel(t, "150 cfm, 40 W, 1 W", IntegratedEnergyFactor(150, 40, 1), 3.7037037, 1e-7)
	wantRel(t, "100 cfm, 45 W, 2 W", IntegratedEnergyFactor(100, 45, 2), 2.1739130, 1e-7)
	wantRel(t, "by annual energy", 150/(AnnualKWh(40, 1, 16, 8)*1000/5840), IntegratedEnergyFactor(150, 40, 1), 1e-12)
	wantAbs(t, "no power", IntegratedEnergyFactor(150, 0, 0), 0, 0)
}

// Samples under 10 CFR 429.68 (read): formulas of the rule, values computed with scipy's t.
func TestRepresentedValues(t *testing.T) {
	for _, c := range []struct {
		x                      []float64
		mean, sd, limit, value float64
	}{
		{[]float64{230, 236, 241}, 235.666667, 5.507571, 244.951629, 235.666667},
		{[]float64{214, 236, 259}, 236.333333, 22.501852, 274.268181, 249.334710},
	} {
		r, err := RepresentedEnergy(c.x)
		if err != nil {
			t.Fatal(err)
		}
		for i, w := range []float64{c.mean, c.sd, c.limit, c.value} {
			wantRel(t, "energy", []float64{r.Mean, r.SD, r.Limit, r.Value}[i], w, 1e-7)
		}
	}
	r, err := RepresentedFactor([]float64{3.10, 3.02, 2.95})
	if err != nil {
		t.Fatal(err)
	}
	for i, w := range []float64{3.023333, 0.0750555, 2.896801, 3.023333} {
		wantRel(t, "factor", []float64{r.Mean, r.SD, r.Limit, r.Value}[i], w, 1e-6)
	}
	wantRel(t, "LCL/0.90", r.Limit/0.90, 3.218667, 1e-6)
	for _, bad := range [][]float64{nil, {3}, {3, math.NaN()}} {
		if _, err := RepresentedFactor(bad); err == nil {
			t.Errorf("%v passes", bad)
		}
	}
}

// Energy is linear in power and hours, and its u never falls below that of either part.
func TestAnnualEnergyProperties(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 3))
	for range 500 {
		h := 24 * rng.Float64()
		on := result("power", "max", 5+100*rng.Float64(), rng.Float64(), 1+20*rng.Float64(), meterAccuracy)
		sb := result("standby power", "standby", 3*rng.Float64(), rng.Float64(), 1+20*rng.Float64(), meterAccuracy)
		m := AnnualEnergy(on, sb, h, 24-h)
		wantPrintable(t, m)
		a, b := AnnualEnergy(on, nil, h, 0), AnnualEnergy(sb, nil, 24-h, 0)
		wantRel(t, "sum of its parts", m.Value, a.Value+b.Value, 1e-9)
		if m.Std < a.Std-1e-9 || m.Std < b.Std-1e-9 || m.Std > a.Std+b.Std+1e-9 {
			t.Fatalf("u %g of parts %g and %g", m.Std, a.Std, b.Std)
		}
	}
}
