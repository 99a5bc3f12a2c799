package claims

import (
	"weighhouse/measure"
	"weighhouse/measure/unit"
)

// Info is what the contract fixes of an attribute: its usual bound, the dimension of its units, and the unit that
// audit.json writes. Words is true where a claim may be words alone.
type Info struct {
	Name      Attribute
	Bound     Bound
	Dimension unit.Dimension // "" for filter grade: words
	Unit      string
	Accepted  string // the units that a form offers
}

var infos = []Info{
	{DeliveryRate, AtLeast, unit.Flow, "m3/h", "m3/h, cfm, L/s, m3/min"},
	{Noise, AtMost, unit.Level, "dB(A)", "dB, dB(A)"},
	{Power, AtMost, unit.Power, "W", "W"},
	{StandbyPower, AtMost, unit.Power, "W", "W"},
	{AnnualEnergy, AtMost, unit.Energy, "kWh", "kWh"},
	{FilterGrade, AtLeast, "", "", "words alone"},
	{FilterEfficiency, AtLeast, unit.Ratio, "%", "%"},
	{FilterLife, AtLeast, unit.Time, "h", "h, days, months, years"},
	{RoomArea, AtLeast, unit.Area, "m2", "m2, ft2"},
	{CleanTime, AtMost, unit.Time, "min", "min, h"},
	{CarbonMass, AtLeast, unit.Mass, "g", "g, kg, lb, oz"},
	{Ozone, AtMost, unit.Concentration, "ppb", "ppb, ppm, ug/m3"},
}

// Attributes lists what the contract fixes of every attribute, in its order.
func Attributes() []Info { return append([]Info(nil), infos...) }

// AttributeNames lists the attributes by name.
func AttributeNames() []string {
	out := make([]string, len(infos))
	for i, a := range infos {
		out[i] = string(a.Name)
	}
	return out
}

// Lookup finds an attribute by name; case is ignored, space, hyphen and underscore are alike.
func Lookup(name string) (Info, bool) {
	f := measure.Fold(name)
	for _, a := range infos {
		if string(a.Name) == f {
			return a, true
		}
	}
	return Info{}, false
}
