package measure

import "weighhouse/measure/numeral"

// Written is a result as every report prints it, without its unit: the value and its expanded uncertainty at one decimal,
// or, where the distribution is not symmetric, the value and the ends of its 95 % interval.
type Written struct {
	Value    string
	Expanded string // "" where there is none, and where the interval stands instead
	Low      string // "" where Expanded stands
	High     string
}

// Written rounds a result for reading. A result with an exact distribution is rounded by half of its interval.
func (m *Measurement) Written() Written {
	side := m.side()
	v, u := numeral.Rounded(m.Value, side)
	if m.Exact == nil || u == "" {
		return Written{Value: v, Expanded: u}
	}
	d := numeral.Decimals(side, 2)
	return Written{Value: v, Low: numeral.Fixed(m.Interval[0], d), High: numeral.Fixed(m.Interval[1], d)}
}

// Decimals is how many decimals Written gives a value; ok is false where no uncertainty says so.
func (m *Measurement) Decimals() (d int, ok bool) {
	side := m.side()
	return numeral.Decimals(side, 2), finite(side) && side > 0
}

// Round writes a number of the result's own kind, such as its difference from a claim, at the decimal of its value.
func (m *Measurement) Round(x float64) string {
	if d, ok := m.Decimals(); ok {
		return numeral.Fixed(x, d)
	}
	return numeral.Of(x, "")
}

// side is the uncertainty by which a result is rounded.
func (m *Measurement) side() float64 {
	if half := (m.Interval[1] - m.Interval[0]) / 2; m.Exact != nil && half > 0 {
		return half
	}
	return m.Expanded
}

// String is the result in plain words: "262 ± 21 m3/h", "99.950 % (99.926 to 99.968)".
func (m *Measurement) String() string {
	w := m.Written()
	switch {
	case w.Low != "":
		return w.Value + " " + m.Unit + " (" + w.Low + " to " + w.High + ")"
	case w.Expanded != "":
		return w.Value + " ± " + w.Expanded + " " + m.Unit
	}
	return w.Value + " " + m.Unit
}
