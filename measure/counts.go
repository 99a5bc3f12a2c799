package measure

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"

	"weighhouse/measure/uncertainty"
)

// CountReading is one row of the counts table: particles counted before and behind the filter.
type CountReading struct {
	SizeUm      float64 // the size, or the low end of the size channel, in µm
	SizeHighUm  float64 // the high end of the channel; NaN or 0 for a single size
	Up, Down    float64 // particles counted, whole numbers
	UpVolume    float64 // air sampled in L; NaN where not recorded
	DownVolume  float64
	Setting     string
	Instrument  string
	Place, Name string
}

// OverDispersed is the flag of counts whose repeats scatter by more than counting statistics allow.
const OverDispersed Flag = "more scatter than counting"

// countPool is the rows of one size and setting, summed.
type countPool struct {
	first     CountReading
	particle  string
	up, down  float64
	low, high float64 // lowest and highest ratio of volumes, downstream over upstream
	rows      []CountReading
	noVolume  bool
}

// ReduceCounts makes one Measurement of attribute "filter efficiency" in % for each size and setting, in order of first
// appearance: E = 1 − (N_d/V_d)/(N_u/V_u). Rows of one size and setting are summed.
//
// The counts are Poisson; given their sum, N_d is binomial with π = q/(1 + q), q = P·V_d/V_u at the penetration P. The
// interval is that of Clopper and Pearson for π, turned into P = π/(1 − π)·V_u/V_d: exact for any count, zero included.
// The probability of a claim comes from the same distribution (see Counts). Repeats that scatter by more than counting
// allows (χ² at 1 %) widen the result by treating the counts as divided by the ratio of variances.
func ReduceCounts(rs []CountReading) ([]Measurement, []RunProblem) {
	var problems []RunProblem
	pools, order := map[string]*countPool{}, []string(nil)
	for _, r := range rs {
		if why := r.unusable(); why != "" {
			problems = append(problems, RunProblem{Run: rowName(r.Name, r.particle()), Place: r.Place, Text: why, Attribute: "filter efficiency", Setting: r.Setting, Particle: r.particle()})
			continue
		}
		key := Fold(r.Setting) + "\x00" + r.particle()
		p := pools[key]
		if p == nil {
			p = &countPool{first: r, particle: r.particle(), low: math.Inf(1)}
			pools[key] = p
			order = append(order, key)
		}
		p.add(r)
	}
	var out []Measurement
	for _, key := range order {
		p := pools[key]
		if p.up == 0 {
			problems = append(problems, RunProblem{Run: p.particle, Place: p.first.Place, Text: "no particle was counted upstream: an efficiency needs particles in front of the filter", Attribute: "filter efficiency", Setting: p.first.Setting, Particle: p.particle})
			continue
		}
		if p.penetration() > 1 {
			problems = append(problems, RunProblem{Run: p.particle, Place: p.first.Place, Attribute: "filter efficiency", Setting: p.first.Setting, Particle: p.particle,
				Text: fmt.Sprintf("the efficiency is below 0: for the same volume more particles were counted behind the filter (%.0f) than before it (%.0f); the columns upstream and downstream may be swapped, or the filter leaks or sheds", p.down, p.up)})
			continue
		}
		out = append(out, p.result())
	}
	return out, problems
}

// particle is the size as the results name it: "0.3 um", "0.3-0.5 um".
func (r CountReading) particle() string {
	num := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	if finite(r.SizeHighUm) && r.SizeHighUm > r.SizeUm {
		return num(r.SizeUm) + "-" + num(r.SizeHighUm) + " um"
	}
	return num(r.SizeUm) + " um"
}

// unusable says why a row cannot be used, "" if it can.
func (r CountReading) unusable() string {
	whole := func(x float64) bool { return finite(x) && x >= 0 && x == math.Trunc(x) && x < 1e15 }
	volume := func(x float64) bool { return finite(x) && x > 0 }
	switch {
	case !finite(r.SizeUm) || r.SizeUm <= 0:
		return "no particle size is given"
	case !whole(r.Up):
		return fmt.Sprintf("upstream %g is no count; a whole number of particles is needed, not a concentration", r.Up)
	case !whole(r.Down):
		return fmt.Sprintf("downstream %g is no count; a whole number of particles is needed, not a concentration", r.Down)
	case math.IsNaN(r.UpVolume) != math.IsNaN(r.DownVolume):
		return "one sampled volume is given and the other is not: give both, or neither where they are equal"
	case !math.IsNaN(r.UpVolume) && (!volume(r.UpVolume) || !volume(r.DownVolume)):
		return fmt.Sprintf("sampled volumes %g and %g L: both must be above zero", r.UpVolume, r.DownVolume)
	}
	return ""
}

// ratio is V_d/V_u, one where the volumes are not recorded.
func (r CountReading) ratio() float64 {
	if math.IsNaN(r.UpVolume) {
		return 1
	}
	return r.DownVolume / r.UpVolume
}

func (p *countPool) add(r CountReading) {
	p.up, p.down = p.up+r.Up, p.down+r.Down
	p.low, p.high = math.Min(p.low, r.ratio()), math.Max(p.high, r.ratio())
	p.noVolume = p.noVolume || math.IsNaN(r.UpVolume)
	p.rows = append(p.rows, r)
}

// dispersion is the ratio of the observed variance of the rows to that of counting, χ²/(n − 1), where χ² for equal
// penetration in all rows exceeds its 99 % point; else 1.
func (p *countPool) dispersion() float64 {
	penetration := p.penetration()
	var chi2, n float64
	for _, r := range p.rows {
		q := penetration * r.ratio()
		total := r.Up + r.Down
		pi := q / (1 + q)
		if v := total * pi * (1 - pi); v > 0 {
			d := r.Down - total*pi
			chi2 += d * d / v
			n++
		}
	}
	if n < 2 || chi2 <= (distuv.ChiSquared{K: n - 1}).Quantile(0.99) {
		return 1
	}
	return math.Max(1, chi2/(n-1))
}

// penetration is the pooled estimate: the rows' upstream counts, scaled by their ratio of volumes, as the expectation.
func (p *countPool) penetration() float64 {
	var expected float64
	for _, r := range p.rows {
		expected += r.Up * r.ratio()
	}
	return p.down / expected
}

func (p *countPool) result() Measurement {
	m := Measurement{Attribute: "filter efficiency", Setting: p.first.Setting, Particle: p.particle, Unit: "%", Instrument: p.first.Instrument}
	m.Value = 100 * (1 - p.penetration())
	phi := p.dispersion()
	c := Counts{Up: p.up / phi, Down: p.down / phi, RatioLow: p.low, RatioHigh: p.high}
	low, high := c.Interval(0.95)
	m.Exact = c
	z := uncertainty.Quantile(0.975, math.Inf(1))
	note := fmt.Sprintf("%.0f counted upstream, %.0f downstream; half the exact 95 %% interval over %.3f", p.up, p.down, z)
	m.Budget = uncertainty.Budget{{Name: "counting", U: 100 * (high - low) / 2 / z, DOF: math.Inf(1), Kind: "A", Note: note}}
	m.Expand()
	m.Interval = [2]float64{100 * low, 100 * high}
	m.Method = "Efficiency from counts before and behind, E = 1 - (N_d/V_d)/(N_u/V_u), with the exact conditional (Clopper-Pearson) interval. A figure of the filter as fitted, bypass included: not proof for or against an element's class."
	for _, r := range p.rows {
		run := Run{Run: rowName(r.Name, p.particle), Unit: "%", Points: int(r.Up + r.Down), R2: math.NaN(), Place: r.Place}
		if r.Up > 0 {
			run.Value = 100 * (1 - r.Down/r.Up/r.ratio())
			lo, hi := Counts{r.Up, r.Down, r.ratio(), r.ratio()}.Interval(0.95)
			run.Std = 100 * (hi - lo) / 2 / z
		} else {
			run.Flags = append(run.Flags, Warning{NotTestable, "no particle counted upstream in this row"})
		}
		m.Runs = append(m.Runs, run)
	}
	p.warn(&m, phi)
	return m
}

func (p *countPool) warn(m *Measurement, phi float64) {
	if len(p.rows) == 1 {
		m.Warn(Indicative, "one pair of counts: no repeat shows more than the counting statistics")
	}
	if phi > 1 {
		m.Warn(OverDispersed, fmt.Sprintf("the rows scatter %.1f times as much (in variance) as counting allows: the interval is widened for it", phi))
	}
	if p.noVolume {
		m.Warn("volumes not recorded", "sampled volumes are not recorded: taken as equal before and behind the filter")
	}
	if p.high > p.low*(1+1e-9) {
		m.Warn("volumes differ", "the ratio of sampled volumes differs between rows: the least favourable ratio is used for each limit")
	}
}
