package measure

import (
	"fmt"
	"math"
	"sort"
)

// The limits at which runs look mixed up (judgement): a natural decay of fine particles above one an hour that is nearly as
// fast as the unit; a run with the unit on that is no faster than natural decay while its companions are; readings that
// hardly move.
const (
	mixedNatural = 0.7  // of the highest rate with the unit on, fine particles
	mixedCoarse  = 0.95 // the same for coarse ones, which settle fast
	mixedOn      = 1.25 // of the natural decay
	mixedOthers  = 2.5  // of the natural decay, at least, for the companions
	mixedFlat    = 0.15 // of the largest reading, the least by which readings of a run with the unit on move
)

// mixedUp takes out the runs whose logs can hardly be what their rows say: on and off swapped, a row that names the log of
// another run, a column that is no concentration. Each is a refused run with its likely cause, never a measurement.
func (p *decayPhases) mixedUp() (problems []RunProblem) {
	refuse := func(f *DecayFit, format string, args ...any) bool {
		problems = append(problems, refused(f.log.run, fmt.Sprintf(format, args...)))
		return true
	}
	top, limit, swapped := p.highest(), mixedNatural, ""
	if !fineParticle(p.particle) {
		limit = mixedCoarse
	}
	p.off.fits = without(p.off.fits, func(f *DecayFit) bool {
		for _, s := range p.on {
			for i := range s.fits {
				if sameReadings(f, &s.fits[i]) {
					p.lostOff = true
					return refuse(f, "it uses the readings of run %s, which has the unit on: natural decay is the time before the unit is switched on, or a log of its own; see the log's name, or give from and to", s.fits[i].log.run.Name)
				}
			}
		}
		if math.IsNaN(top) || f.K <= naturalSuspect || f.K <= limit*top {
			return false
		}
		p.lostOff = true
		if top < f.K/2 {
			swapped = fmt.Sprintf("with the unit off the readings fall at %.3g per hour and with it on at %.3g at the most: on and off look swapped; see the state column and the names of the logs", f.K, top)
			return refuse(f, "%s", swapped)
		}
		return refuse(f, "with the unit off the readings fall at %.3g per hour, about as fast as with it on (%.3g): the row may name the log of a run with the unit on, or its window holds one", f.K, top)
	})
	if swapped != "" && len(p.off.fits) == 0 {
		for _, s := range p.on {
			s.fits = without(s.fits, func(f *DecayFit) bool { return refuse(f, "%s", swapped) })
		}
	}
	for _, s := range p.on {
		s.fits = without(s.fits, func(f *DecayFit) bool {
			low, high := f.log.low, f.log.high
			if high-low >= mixedFlat*high || f.K*f.Span > mixedFlat {
				return false
			}
			return refuse(f, "the readings only go from %.4g to %.4g: see that the unit ran, that the log is of this run, and that the value column is the particle sensor's (not another channel or a temperature)", high, low)
		})
	}
	if len(p.off.fits) == 0 {
		return problems
	}
	natural := 0.0
	for _, f := range p.off.fits {
		natural += f.K / float64(len(p.off.fits))
	}
	for _, s := range p.on {
		usual := middleRate(s.fits)
		s.fits = without(s.fits, func(f *DecayFit) bool {
			if len(s.fits) < 3 || usual < mixedOthers*math.Max(natural, naturalLow) || f.K > mixedOn*math.Max(natural, naturalLow) {
				return false
			}
			return refuse(f, "the readings fall at %.3g per hour, as they do with the unit off (%.3g), and those of the other runs at this setting at %.3g: the row may name the log of a natural decay", f.K, natural, usual)
		})
		mean := 0.0
		for _, f := range s.fits {
			mean += f.K / float64(len(s.fits))
		}
		if len(s.fits) > 0 && mean <= natural {
			s.fits = without(s.fits, func(f *DecayFit) bool {
				return refuse(f, "with the unit on the readings fall at %.3g per hour and with it off at %.3g: no delivery rate is zero or below; on and off may be swapped, or the unit did not run", mean, natural)
			})
		}
	}
	return problems
}

// highest is the highest middle rate of the settings, NaN where no run with the unit on is left.
func (p *decayPhases) highest() float64 {
	top := math.NaN()
	for _, s := range p.on {
		if len(s.fits) > 0 && !(middleRate(s.fits) <= top) {
			top = middleRate(s.fits)
		}
	}
	return top
}

// middleRate is the median rate of some runs, the upper one of two.
func middleRate(fits []DecayFit) float64 {
	var k []float64
	for _, f := range fits {
		k = append(k, f.K)
	}
	sort.Float64s(k)
	if len(k) == 0 {
		return math.NaN()
	}
	return k[len(k)/2]
}

// sameReadings reports whether the windows of two runs share a fifth of the shorter one's time in one column of one log.
func sameReadings(a, b *DecayFit) bool {
	if a.log.run.Log == "" || a.log.run.Log != b.log.run.Log {
		return false
	}
	from, to := func(f *DecayFit) float64 { return f.log.run.T[f.First] }, func(f *DecayFit) float64 { return f.log.run.T[f.Last-1] }
	shared := math.Min(to(a), to(b)) - math.Max(from(a), from(b))
	return shared > 0.2*math.Min(to(a)-from(a), to(b)-from(b))
}

// without keeps the fits that drop does not take, in their order.
func without(fits []DecayFit, drop func(*DecayFit) bool) []DecayFit {
	var kept []DecayFit
	for i := range fits {
		if !drop(&fits[i]) {
			kept = append(kept, fits[i])
		}
	}
	return kept
}
