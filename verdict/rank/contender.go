package rank

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"time"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/setting"
	"weighhouse/measure/sheet"
	"weighhouse/measure/uncertainty"
	"weighhouse/verdict"
)

// contender is one unit with what it is compared by.
type contender struct {
	audit *verdict.Audit
	unit  Unit
	rates map[string]*measure.Measurement // by particle, at the highest setting
	rate  *measure.Measurement            // of the particle compared; nil where none was measured
	power *measure.Measurement            // at the same setting
	noise []*measure.Measurement          // at the same setting, one a distance
	price float64                         // NaN where none is stated

	on, off []decay
	natural decayMean // mean natural decay
	excess  float64   // mean of k_e less mean of k_n, 1/h
}

// decay is one run: its rate, the scatter within it, and when it began by its own clock.
type decay struct {
	name   string
	k, std float64 // 1/h
	start  time.Time
	key    string // equal for one run that two cases share
}

// decayMean is a mean rate with its standard uncertainty and degrees of freedom.
type decayMean struct{ k, u, dof float64 }

// newContender takes what is compared out of an audit. The reason is "" where there is something to compare.
func newContender(a *verdict.Audit) (*contender, string) {
	c := &contender{audit: a, rates: map[string]*measure.Measurement{}, price: math.NaN()}
	p := a.Product
	c.unit = Unit{Label: strings.Join(strings.Fields(p.Maker+" "+p.Model+" "+p.Variant), " "), Case: a.Case, Maker: p.Maker, Model: p.Model,
		Variant: p.Variant, Sample: c.field("sample"), Currency: strings.ToUpper(strings.TrimSpace(p.Currency)), Flags: []string{}, Notes: []string{}}
	if c.unit.Label == "" {
		c.unit.Label = a.Case
	}
	c.readPrice(p.Price)
	if s := verdict.MarkedText(a.Marked); s != "" {
		c.unit.Notes = append(c.unit.Notes, "in its audit, "+s)
	}
	if a.Room == nil || len(a.Measurements) == 0 {
		return c, "there is no lab book with a room and results: nothing was measured that could be compared"
	}
	at, notes := verdict.Highest(claims.DeliveryRate, a.Measurements)
	c.unit.Notes = append(c.unit.Notes, notes...)
	for _, m := range at {
		if !m.Finite() || m.Has(measure.NotTestable) {
			continue
		}
		if _, dup := c.rates[m.Particle]; !dup {
			c.rates[m.Particle] = m
		}
		c.unit.Setting = m.Setting
	}
	return c, ""
}

func (c *contender) field(name string) string {
	for _, f := range c.audit.Test.Fields {
		if measure.Fold(f.Name) == name {
			return strings.TrimSpace(f.Value)
		}
	}
	return ""
}

// readPrice reads the product's price by the rules for numbers in books.
func (c *contender) readPrice(text string) {
	if strings.TrimSpace(text) == "" {
		return
	}
	var n sheet.Number
	if err := n.UnmarshalCSV(text); err != nil || !n.Given || !(n.Value > 0) {
		c.unit.Notes = append(c.unit.Notes, fmt.Sprintf("the price %q is no number above zero; it was not used", text))
		return
	}
	c.price, c.unit.Price = n.Value, &n.Value
}

// choose fixes the particle that is compared, and with it the setting, the runs, the power and the noise.
func (c *contender) choose(particle string) {
	c.rate = c.rates[particle]
	if c.rate != nil {
		c.unit.Setting = c.rate.Setting
		for _, f := range c.rate.Flags() {
			c.unit.Flags = append(c.unit.Flags, string(f))
		}
		c.runs()
	}
	c.power = c.atSetting(claims.Power, &c.noise)
	c.atSetting(claims.Noise, &c.noise)
	if c.power != nil {
		v, u := c.power.Value, c.power.Expanded
		c.unit.Watts, c.unit.WattsU = &v, &u
	}
}

// atSetting finds the results of an attribute at the setting of the delivery rate, or at the highest where no rate was
// measured. Of several powers the first is taken; all levels are added to noise.
func (c *contender) atSetting(a claims.Attribute, noise *[]*measure.Measurement) *measure.Measurement {
	of := func(keep func(*measure.Measurement) bool) (out []*measure.Measurement) {
		for i := range c.audit.Measurements {
			if m := &c.audit.Measurements[i]; m.Attribute == string(a) && m.Finite() && !m.Has(measure.NotTestable) && keep(m) {
				out = append(out, m)
			}
		}
		return out
	}
	var at []*measure.Measurement
	if c.rate != nil {
		at = of(func(m *measure.Measurement) bool { return setting.Same(m.Setting, c.rate.Setting) })
	}
	if len(at) == 0 && c.rate == nil {
		at, _ = verdict.Highest(a, c.audit.Measurements)
	}
	if len(at) == 0 {
		if any := of(func(*measure.Measurement) bool { return true }); len(any) > 0 {
			c.unit.Notes = append(c.unit.Notes, fmt.Sprintf("%s was not measured at the setting %q, at which the delivery rate was", a, c.unit.Setting))
		}
		return nil
	}
	if a == claims.Noise {
		*noise = append(*noise, at...)
	}
	return at[0]
}

// naturalName begins the name of the budget's components for the natural decay, of package measure.
const naturalName = "natural decay"

// runs takes the decay runs and the natural decay's uncertainty out of the rate and its budget.
func (c *contender) runs() {
	var kn, ke float64
	for _, r := range c.rate.Runs {
		if r.Unit != "1/h" || math.IsNaN(r.Value) {
			continue
		}
		d := decay{name: r.Run, k: r.Value, std: r.Std, start: wall(r.Start),
			key: fmt.Sprintf("%.10g\x00%d\x00%s\x00%s", r.Value, r.Points, r.From, r.To)}
		switch r.State {
		case "on":
			c.on, ke = append(c.on, d), ke+d.k
		case "off":
			c.off, kn = append(c.off, d), kn+d.k
		}
	}
	sort.SliceStable(c.on, func(i, j int) bool { return c.on[i].start.Before(c.on[j].start) })
	c.unit.RunsOn, c.unit.RunsOff = len(c.on), len(c.off)
	if len(c.on) == 0 {
		return
	}
	v := c.audit.Room.Volume
	c.excess = c.rate.Value / v
	c.natural = decayMean{k: ke/float64(len(c.on)) - c.excess, dof: math.Inf(1)}
	if n := len(c.off); n > 0 {
		c.natural.k = kn / float64(n)
		c.excess = ke/float64(len(c.on)) - c.natural.k
	}
	var b uncertainty.Budget
	for _, p := range c.rate.Budget {
		if strings.HasPrefix(p.Name, naturalName) {
			b = append(b, uncertainty.Component{U: p.U / v, DOF: p.DOF})
		}
	}
	c.natural.u, c.natural.dof = b.Combined(), b.EffectiveDOF()
}

// wall is the reading of a clock without its zone, so that two loggers on one shelf can be set in order.
func wall(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), time.UTC)
}

// sharesNatural reports whether two units were set against the same natural decay: the same runs, or for both the usual
// band in place of a run.
func (c *contender) sharesNatural(o *contender) bool {
	if len(c.off) != len(o.off) {
		return false
	}
	seen := map[string]int{}
	for _, d := range c.off {
		seen[d.key]++
	}
	for _, d := range o.off {
		if seen[d.key]--; seen[d.key] < 0 {
			return false
		}
	}
	return true
}

// logs are ln(k_j − k̄_n) of the runs; ok is false where a run is not faster than the natural decay.
func (c *contender) logs() (y []float64, ok bool) {
	for _, d := range c.on {
		if !(d.k > c.natural.k) {
			return nil, false
		}
		y = append(y, math.Log(d.k-c.natural.k))
	}
	return y, len(y) > 0
}
