package verdict

import (
	"math"
	"strings"
	"testing"

	"weighhouse/measure"
	"weighhouse/measure/lab"
)

func watts(setting, attribute string, w, u float64) measure.Measurement {
	m := measure.Measurement{ID: "P" + setting, Attribute: attribute, Setting: setting, Value: w, Unit: "W", Instrument: "P"}
	m.Budget = append(m.Budget, component(u))
	m.Expand()
	return m
}

// TestCosts: 45 W all day at 0.30 a kWh are 394.2 kWh and 118.26; 16 h with 2 W for 8 h are 268.64 kWh and 80.592
// (computed: E = (P h + P_standby (24 - h)) 365/1000). Filters, ranges and currencies are worked by hand.
func TestCosts(t *testing.T) {
	ms := []measure.Measurement{watts("max", "power", 45, 0.5), watts("standby", "standby power", 2, 0.1), rateOf(300, 5)}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
			t.Errorf("%s: %.10g, want %.10g", what, got, want)
		}
	}
	tariff := lab.Cost{Item: "electricity", Low: 0.30, High: 0.30, Currency: "EUR"}
	hours := func(h float64) lab.Cost { return lab.Cost{Item: "hours per day", Low: h, High: h} }
	cs, notes := costsOf([]lab.Cost{tariff, hours(24), hours(16)}, ms)
	if len(cs) != 2 || len(notes) != 0 {
		t.Fatalf("%+v %v", cs, notes)
	}
	near("16 h kWh", cs[0].EnergyKWh, 268.64)
	near("16 h cost", cs[0].Total, 80.592)
	near("24 h kWh", cs[1].EnergyKWh, 394.2)
	near("24 h cost", cs[1].Total, 118.26)
	near("1,000 m3 of clean air", cs[1].PerThousand, 118.26*1000/(300*8760))
	filter := func(option string, price float64) lab.Cost {
		return lab.Cost{Item: "filter", Low: price, High: price, Currency: "EUR", Option: option}
	}
	per := func(option string, n float64) lab.Cost {
		return lab.Cost{Item: "filters per year", Low: n, High: n, Option: option}
	}
	cs, _ = costsOf([]lab.Cost{{Item: "electricity", Low: 0.2, High: 0.4, Currency: "EUR"}, hours(24), filter("maker", 45), per("maker", 2), filter("other", 27.5), per("other", 2.5)}, ms)
	if len(cs) != 2 {
		t.Fatalf("%+v", cs)
	}
	near("maker's total", cs[0].Total, 118.26+90)
	near("low", cs[0].Low, (394.2-cs[0].EnergyU)*0.2+90)
	near("high", cs[0].High, (394.2+cs[0].EnergyU)*0.4+90)
	near("whole filters", cs[1].Whole, 3)
	near("other's filters", cs[1].FilterCost, 68.75)
	// Other currencies are never added, a missing number is asked for, a measured life stands in for filters a year.
	_, notes = costsOf([]lab.Cost{tariff, hours(24), {Item: "filter", Low: 45, High: 45, Currency: "USD"}, per("", 2)}, ms)
	if len(notes) != 1 || !strings.Contains(notes[0], "not added") {
		t.Errorf("currencies: %v", notes)
	}
	_, notes = costsOf([]lab.Cost{tariff, hours(24), filter("", 45)}, ms)
	if len(notes) != 1 || !strings.Contains(notes[0], "filters per year") {
		t.Errorf("no filters a year: %v", notes)
	}
	life := measure.Measurement{Attribute: "filter life", Value: 4380, Unit: "h"}
	cs, notes = costsOf([]lab.Cost{tariff, hours(24), filter("", 45)}, append(ms, life))
	if len(cs) != 1 || len(notes) != 0 {
		t.Fatalf("%+v %v", cs, notes)
	}
	near("filters from a life of 4380 h", cs[0].FilterCost, 90)
	if _, notes := costsOf([]lab.Cost{tariff}, ms); len(notes) != 1 {
		t.Errorf("no hours: %v", notes)
	}
	if _, notes := costsOf([]lab.Cost{tariff, hours(24)}, nil); len(notes) != 1 {
		t.Errorf("no power: %v", notes)
	}
}
