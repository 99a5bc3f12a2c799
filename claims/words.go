package claims

import (
	"weighhouse/claims/wording"
	"weighhouse/measure/setting"
	"weighhouse/measure/unit"
)

// Words is what the claim's columns say beside its wording, for the rules on words.
func (c *Claim) Words() wording.Context {
	x := wording.Context{Attribute: string(c.Attribute), Bound: string(c.Bound), Setting: c.Setting, Particle: c.Particle, BasisText: c.Basis.Text,
		Standard: c.Basis.Standard, Distance: c.Basis.Distance, AirChanges: c.Basis.AirChanges, HoursPerDay: c.Basis.HoursPerDay,
		Ceiling: c.Basis.Ceiling, Flow: c.Basis.Flow, SizeUm: SizeUm(c.Particle), SoundPower: c.Basis.SoundPower, SoundPressure: c.Basis.SoundPressure,
		Capped: c.BoundGiven && c.Bound == AtMost && !setting.Below(c.Setting)}
	if c.Claimed == nil {
		return x
	}
	x.Numeric, x.Value, x.High, x.Unit = c.Claimed.Unit != "", c.Claimed.Low, c.Claimed.High, c.Claimed.Unit
	switch {
	case c.Attribute == Noise && !c.Weighting && x.Numeric:
		x.Unit = "dB"
	case c.Calendar && c.Basis.HoursPerDay == 0:
		month := unit.Must("month").Factor
		x.Value, x.High, x.Unit = x.Value/month, x.High/month, "month"
	}
	return x
}

// Answered reports whether claims of the same day answer what a rule asks of claim c's words: the level at the top
// setting of a "from 24 dB" stands in another claim, or the watts of an "energy-saving", the grams of "activated carbon".
func Answered(rule string, c *Claim, all []Claim) bool {
	x := crossing{claims: all}
	switch rule {
	case "NS-06", "CV-06":
		for _, n := range x.of(Noise) {
			if sameDay(*c, n) && (n.Claimed.High > n.Claimed.Low || n.ID != c.ID && top(n) && (n.Setting != "" || n.BoundGiven && n.Bound == AtMost)) {
				return true
			}
		}
		for _, r := range x.of(DeliveryRate) {
			if rule == "CV-06" && sameDay(*c, r) && !top(r) {
				return true // a rate of the quiet setting stands beside its level
			}
		}
	case "EG-01":
		settings := map[string]bool{}
		for _, p := range x.of(Power) {
			if sameDay(*c, p) {
				settings[setting.Key(p.Setting)] = true
			}
		}
		return len(settings) > 1 || len(x.of(AnnualEnergy)) > 0 // the watts at each setting, or the energy of a year
	case "GC-01":
		return len(x.of(CarbonMass)) > 0
	case "OZ-03":
		return len(x.of(Ozone)) > 0
	}
	return false
}
