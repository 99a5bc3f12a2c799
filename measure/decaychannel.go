package measure

import "strings"

// setChannels puts beside each run with the unit on what another channel of the same log shows, where one counts and one
// weighs fine particles: a rate that the two do not share is one that their aerosol, its size or the sensor moves.
func setChannels(order []*decayPhases) {
	for _, p := range order {
		for _, q := range order {
			if p == q || !fineParticle(p.particle) || !fineParticle(q.particle) || len(p.off.fits) == 0 || len(q.off.fits) == 0 {
				continue
			}
			kp, _ := meanRate(p.off.fits)
			kq, _ := meanRate(q.off.fits)
			for _, s := range p.on {
				t := q.setting(s.name)
				if t == nil {
					continue
				}
				for i := range s.fits {
					for j := range t.fits {
						if f, g := &s.fits[i], &t.fits[j]; otherChannel(f, g) {
							f.second.channel = arc{k: g.K - kq + kp, u: g.Within, effect: g.BackgroundEffect, neff: g.Serial.NEff}
						}
					}
				}
			}
		}
	}
}

// otherChannel reports whether two runs are one mass and one count channel of one log.
func otherChannel(f, g *DecayFit) bool {
	a, _, _ := strings.Cut(f.log.run.Log, "\x00")
	b, _, _ := strings.Cut(g.log.run.Log, "\x00")
	return a != "" && a == b && weighs(f) != weighs(g) && f.log.run.T[f.First] < g.log.run.T[g.Last-1] && g.log.run.T[g.First] < f.log.run.T[f.Last-1]
}

// weighs reports whether a channel shows mass.
func weighs(f *DecayFit) bool {
	u := f.log.run.ValueUnit
	return strings.HasSuffix(u, "g/m3") || u == "" && massColumn(f.log.run.Column)
}
