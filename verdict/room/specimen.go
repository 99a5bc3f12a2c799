package room

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/qualification"
	"weighhouse/verdict"
)

// rating finds words that name a figure which is no certificate's.
var rating = regexp.MustCompile(`(?i)\b(rating|rated|label|nameplate|maker|manufacturer|brochure|listing|claim(ed)?|advertis\w*|data ?sheet|none|n/?a)\b`)

func specimen(r Row, open Open, day, self, particle string) Specimen {
	s := Specimen{Row: r, Z: math.NaN()}
	refuse := func(format string, args ...any) Specimen {
		s.Refused = fmt.Sprintf(format, args...)
		return s
	}
	if w := rating.FindString(r.Certificate + " " + r.Laboratory); w != "" {
		return refuse("%q names no certificate: a rating or a maker's own figure is what an audit is about, and cannot qualify a room", strings.TrimSpace(r.Certificate+", "+r.Laboratory))
	}
	if u := 2 * r.U / r.Rate; u > mostU*(1+1e-9) {
		return refuse("the certificate's U of %.1f %% (k = 2) is above %.0f %%", 100*u, 100*mostU)
	}
	if r.Hours > mostHours {
		return refuse("%.3g hours of running since the certificate, more than %.0f: a loaded filter lowers the rate", r.Hours, mostHours)
	}
	if r.Hours < 0 {
		return refuse("%.3g hours of running: expected 0 or more", r.Hours)
	}
	if self != "" && holds(self, r.Serial) {
		return refuse("this is the unit under audit itself")
	}
	if old := after(r.Date, mostMonths); old < day {
		return refuse("the certificate of %s is more than %d months old on %s", r.Date, mostMonths, day)
	}
	if r.Date > day {
		return refuse("the certificate of %s is younger than %s, the day it would serve for", r.Date, day)
	}
	a, err := open(r.Case)
	if err != nil {
		return refuse("its case cannot be used: %v", err)
	}
	return s.join(a, day, particle)
}

// join takes what the room gave for the specimen out of its audit.
func (s Specimen) join(a *verdict.Audit, day, particle string) Specimen {
	refuse := func(format string, args ...any) Specimen {
		s.Refused = fmt.Sprintf(format, args...)
		return s
	}
	sample := field(a, "sample")
	if !holds(sample, s.Serial) {
		return refuse("the certificate is for serial number %q, the case's sample reads %q: a certificate counts for its own specimen alone", s.Serial, sample)
	}
	s.Tested = field(a, "date")
	if s.Tested != "" && s.Tested > day {
		return refuse("it was tested in the room on %s, after %s", s.Tested, day)
	}
	if a.Room == nil {
		return refuse("its case has no room")
	}
	of := func(p string) *measure.Measurement {
		for _, m := range settingOf(a, s.Row.Setting) {
			if m.Finite() && m.Value > 0 && (p == "" || m.Particle == p) {
				return m
			}
		}
		return nil
	}
	want := s.Row.Particle
	if want == "" {
		want = particle
	}
	m := of(want)
	switch {
	case m == nil && want != "":
		return refuse("its case has no delivery rate for %s", want)
	case m == nil:
		return refuse("its case has no delivery rate")
	case m.Has(measure.Indicative):
		return refuse("its rate rests on one run; a reference is measured three times")
	}
	s.Particle, s.Setting = m.Particle, m.Setting
	maker := a.Product.Maker
	if maker == "" {
		maker = s.Product
	}
	y := uncorrected(m)
	s.Reference = qualification.Reference{Name: strings.TrimSpace(s.Product + " " + s.Serial), Serial: s.Serial, Maker: maker, Laboratory: s.Laboratory,
		Measured: y, Repeat: repeat(m) / m.Value, Certified: s.Rate, CertifiedU: s.U, CommonShare: s.Common, X: y / a.Room.Volume}
	s.identity = Identity{Volume: a.Room.Volume, Sensor: m.Instrument, Mixing: field(a, "mixing fan"), Released: field(a, "released"), Particle: m.Particle, Placement: field(a, "place")}
	return s
}

// uncorrected is the rate before any correction for the room.
func uncorrected(m *measure.Measurement) float64 {
	if m.RoomFactor > 0 {
		return m.Value * m.RoomFactor
	}
	return m.Value
}

func settingOf(a *verdict.Audit, setting string) []*measure.Measurement {
	if setting == "" {
		at, _ := verdict.Highest(claims.DeliveryRate, a.Measurements)
		return at
	}
	var out []*measure.Measurement
	for i := range a.Measurements {
		if m := &a.Measurements[i]; m.Attribute == string(claims.DeliveryRate) && measure.Fold(m.Setting) == measure.Fold(setting) {
			out = append(out, m)
		}
	}
	return out
}

// repeat is the part of u that comes from between the runs and from natural decay, in the rate's unit.
func repeat(m *measure.Measurement) float64 {
	u := 0.0
	for _, c := range m.Budget {
		for _, head := range []string{"between runs", "within runs", "run to run", "natural decay"} {
			if strings.HasPrefix(c.Name, head) {
				u = math.Hypot(u, c.U)
				break
			}
		}
	}
	return u
}

// holds reports whether a sample's words hold a serial number as a word of its own.
func holds(sample, serial string) bool {
	word := func(s string) string {
		return " " + strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" ,;:()[]\"'#", r) }), " ") + " "
	}
	return strings.TrimSpace(serial) != "" && strings.Contains(word(sample), word(serial))
}
