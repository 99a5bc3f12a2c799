package measure

import (
	"errors"
	"fmt"
	"strings"
)

// decayPhases are the reduced runs of one particle.
type decayPhases struct {
	particle string
	off      natural
	on       []*decaySetting
	lostOff  bool // a natural decay was refused
}

// natural are the off runs that serve a particle.
type natural struct {
	fits, left []DecayFit // left: those that the book leaves out
}

// decaySetting are the reduced on runs of one setting.
type decaySetting struct {
	name       string
	fits, left []DecayFit // left: those that the book leaves out
}

func (p *decayPhases) add(f DecayFit) {
	fits, left := &p.off.fits, &p.off.left
	if f.log.run.State == "on" {
		s := p.setting(f.log.run.Setting)
		if s == nil {
			s = &decaySetting{name: f.log.run.Setting}
			p.on = append(p.on, s)
		}
		fits, left = &s.fits, &s.left
	}
	if f.log.run.Exclude != "" {
		f.warn(LeftOut, "Left out of the result by the book, which gives the cause: %s.", f.log.run.Exclude)
		*left = append(*left, f)
		return
	}
	*fits = append(*fits, f)
}

// allLeftOut names the runs of settings of which none is left in.
func (p *decayPhases) allLeftOut() (out []RunProblem) {
	for _, s := range p.on {
		if len(s.fits) > 0 {
			continue
		}
		for _, f := range s.left {
			out = append(out, refused(f.log.run, "left out by the book, as is every other run of its setting: no result"))
		}
	}
	return out
}

func (p *decayPhases) setting(name string) *decaySetting {
	for _, s := range p.on {
		if Fold(s.name) == Fold(name) {
			return s
		}
	}
	return nil
}

// naturalFor finds the off runs that belong to the on runs of p. Off runs of another particle are refused: small and
// coarse particles settle at rates that differ tenfold (Howard-Reed, Wallace and Emmerich 2003). Where there is no off
// run at all, smoke and fine particles take the usual band, and the result says so.
func naturalFor(p *decayPhases, all []*decayPhases) (natural, *Warning, error) {
	if len(p.off.fits) > 0 {
		return p.off, nil, nil
	}
	var others []string
	for _, q := range all {
		if len(q.off.fits) == 0 {
			continue
		}
		if q.particle == "" || p.particle == "" {
			return q.off, &Warning{ParticlesDiffer, "The natural decay and the runs with the unit on do not both name their particle; it is taken to be the same."}, nil
		}
		others = append(others, q.particle)
	}
	if len(others) > 0 {
		return natural{}, nil, fmt.Errorf("no natural decay for particle %q, only for %q; a natural decay of another particle does not serve: log one with the unit off on the same channel",
			p.particle, strings.Join(others, ", "))
	}
	if !fineParticle(p.particle) {
		return natural{}, nil, errors.New("no natural decay, and the usual band holds for smoke and fine particles alone: log a run with the unit off")
	}
	if len(p.off.left) > 0 {
		return natural{}, nil, errors.New("every run with the unit off is left out by the book, and a delivery rate is the difference of the two")
	}
	return natural{}, &Warning{NoNaturalDecay, "There is no natural decay run; the usual band for smoke in a closed room, 0.05 to 0.6 per hour, stands in its place, with its width in the budget."}, nil
}

// fineParticle reports whether the band of natural decay of smoke may stand in: smoke, PM1, PM2.5, or a size up to 0.5 µm.
func fineParticle(particle string) bool {
	switch particle {
	case "", "smoke", "pm1", "pm2.5":
		return true
	}
	var um float64
	if _, err := fmt.Sscanf(particle, "%g", &um); err != nil {
		return false
	}
	return um > 0 && um <= 0.5 && !strings.Contains(particle, "-")
}
