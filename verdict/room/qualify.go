package room

import (
	"fmt"
	"math"
	"regexp"
	"sort"
	"strings"
	"time"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/qualification"
	"weighhouse/verdict"
)

// The bounds of what counts as a certificate (judgement, all but the wish for an accredited result of the very specimen).
const (
	mostU      = 0.10 // of the rate, at k = 2
	mostHours  = 20.0 // of running between the certificate and the test in the room: a loaded filter lowers the rate
	mostMonths = 12
)

// Specimen is one row of the qualification table with what the room gave for it. Refused says why it does not count; ""
// where it does.
type Specimen struct {
	Row
	Reference qualification.Reference
	Particle  string
	Setting   string
	Tested    string // day of the test in the room
	Refused   string
	Z         float64 // leave-one-out, NaN where it was not used

	identity Identity
}

// Used reports whether the specimen counts.
func (s Specimen) Used() bool { return s.Refused == "" && !s.Excluded }

// Identity is what must stay the same for a qualification to hold.
type Identity struct {
	Volume    float64 // as stated, m3
	Sensor    string
	Mixing    string
	Released  string
	Particle  string
	Placement string
}

// Watch is the chart of one check unit, or the reason why there is none.
type Watch struct {
	Unit  string
	Chart *qualification.Chart
	Why   string
}

// Qualification is what a room book says of its room on a day.
type Qualification struct {
	Book       string
	Day        string
	Facts      []Fact
	Specimens  []Specimen
	Identity   Identity
	Model      *qualification.Model // of the specimens that count; nil where the room is not qualified
	WithAll    *qualification.Model // with those that were left out by hand; nil where none was
	Why        string               // why the room is not qualified
	Findings   []qualification.Finding
	Watches    []Watch
	ValidUntil string // the last day on which enough certificates are young enough
	Noise      []Noise
	Notes      []string
}

// Open gives the audit of a case folder or an audit.json, named from the book's folder, made without any room book.
type Open func(path string) (*verdict.Audit, error)

// Qualify joins the book with the audits of its reference and check units and fits the model as of a day (YYYY-MM-DD).
// self is the serial number or sample of a unit under audit, which is never its own reference; "" for none. particle picks
// the particle where the cases measured several; "" takes the one most rows have.
func (b *Book) Qualify(open Open, day, self, particle string) *Qualification {
	q := &Qualification{Book: b.Name, Day: day, Facts: b.Facts, Noise: b.Noise}
	for _, n := range b.Notes {
		q.Notes = append(q.Notes, n.String())
	}
	for _, r := range b.Rows {
		q.Specimens = append(q.Specimens, specimen(r, open, day, self, particle))
	}
	q.sameRoom()
	var used, all []qualification.Reference
	for _, s := range q.Specimens {
		if s.Refused != "" {
			continue
		}
		all = append(all, s.Reference)
		if !s.Excluded {
			used = append(used, s.Reference)
		}
	}
	q.fit(used, all)
	q.validity()
	q.watch(b.Checks, open)
	return q
}

func (q *Qualification) fit(used, all []qualification.Reference) {
	m, err := qualification.Fit(used)
	if err == nil {
		q.Findings, err = m.Findings()
	}
	if err != nil {
		q.Why = err.Error()
		return
	}
	q.Model = m
	if len(all) > len(used) {
		if q.WithAll, err = qualification.Fit(all); err != nil {
			q.WithAll = nil
		}
	}
	z, k := m.LeaveOneOut(), 0
	for i := range q.Specimens {
		q.Specimens[i].Z = math.NaN()
		if q.Specimens[i].Used() && k < len(z) {
			q.Specimens[i].Z = z[k]
			k++
		}
	}
}

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

// sameRoom refuses specimens that were not tested in the room as most of them were.
func (q *Qualification) sameRoom() {
	count := map[Identity]int{}
	for _, s := range q.Specimens {
		if s.Used() {
			count[s.identity]++
		}
	}
	var ids []Identity
	for id := range count {
		ids = append(ids, id)
	}
	sort.Slice(ids, func(i, j int) bool {
		if count[ids[i]] != count[ids[j]] {
			return count[ids[i]] > count[ids[j]]
		}
		return fmt.Sprint(ids[i]) < fmt.Sprint(ids[j])
	})
	if len(ids) == 0 {
		return
	}
	q.Identity = ids[0]
	for i := range q.Specimens {
		if s := &q.Specimens[i]; s.Refused == "" {
			if d := q.Identity.differs(s.identity); d != "" {
				s.Refused = "it was not tested as the others: " + d
			}
		}
	}
}

// differs says in what two identities differ, "" where they do not.
func (id Identity) differs(o Identity) string {
	for _, p := range []struct{ what, a, b string }{
		{"the room's stated volume is %s in place of %s m³", fmt.Sprintf("%.6g", o.Volume), fmt.Sprintf("%.6g", id.Volume)},
		{"the sensor is %q in place of %q", o.Sensor, id.Sensor},
		{"the mixing fan is %q in place of %q", o.Mixing, id.Mixing},
		{"what was released is %q in place of %q", o.Released, id.Released},
		{"the particle is %q in place of %q", o.Particle, id.Particle},
		{"the place is %q in place of %q", o.Placement, id.Placement},
	} {
		if measure.Fold(p.a) != measure.Fold(p.b) {
			return fmt.Sprintf(p.what, p.a, p.b)
		}
	}
	return ""
}

// validity finds the last day on which enough certificates are young enough.
func (q *Qualification) validity() {
	if q.Model == nil {
		return
	}
	var ends []string
	for _, s := range q.Specimens {
		if s.Used() {
			ends = append(ends, after(s.Date, mostMonths))
		}
	}
	sort.Sort(sort.Reverse(sort.StringSlice(ends)))
	q.ValidUntil = ends[qualification.Fewest-1]
}

// watch charts each check unit over its sessions.
func (q *Qualification) watch(checks []Check, open Open) {
	byUnit, order := map[string][]qualification.Session{}, []string{}
	for _, c := range checks {
		if _, seen := byUnit[c.Unit]; !seen {
			order = append(order, c.Unit)
			byUnit[c.Unit] = nil
		}
		a, err := open(c.Case)
		if err != nil {
			q.Notes = append(q.Notes, fmt.Sprintf("%s: the session of %s cannot be used: %v", c.Place, c.Date, err))
			continue
		}
		at, _ := verdict.Highest(claims.DeliveryRate, a.Measurements)
		if len(at) == 0 || !at[0].Finite() || !(at[0].Value > 0) {
			q.Notes = append(q.Notes, fmt.Sprintf("%s: the session of %s has no delivery rate", c.Place, c.Date))
			continue
		}
		byUnit[c.Unit] = append(byUnit[c.Unit], qualification.Session{Day: dayNumber(c.Date), Name: c.Date, Rate: uncorrected(at[0])})
	}
	for _, u := range order {
		w := Watch{Unit: u}
		var err error
		if w.Chart, err = qualification.NewChart(byUnit[u]); err != nil {
			w.Why = fmt.Sprintf("%v; there are %d", err, len(byUnit[u]))
		}
		q.Watches = append(q.Watches, w)
	}
}

// Bars says why results of a test on a day may not contradict a claim, "" where they may.
func (q *Qualification) Bars(day string) string {
	for _, f := range q.Findings {
		if f.Bars {
			return f.Text
		}
	}
	for _, w := range q.Watches {
		if w.Chart == nil {
			continue
		}
		if p := w.Chart.At(dayNumber(day)); p != nil && p.State == qualification.Action {
			return fmt.Sprintf("The check unit %s stood beyond its action limit in the session of %s: the room is out of control until the cause is found.", w.Unit, p.Name)
		}
	}
	return ""
}

// field finds a field of an audit's test table, "" where it is absent.
func field(a *verdict.Audit, name string) string {
	for _, f := range a.Test.Fields {
		if measure.Fold(f.Name) == name {
			return strings.TrimSpace(f.Value)
		}
	}
	return ""
}

// holds reports whether a sample's words hold a serial number as a word of its own.
func holds(sample, serial string) bool {
	word := func(s string) string {
		return " " + strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" ,;:()[]\"'#", r) }), " ") + " "
	}
	return strings.TrimSpace(serial) != "" && strings.Contains(word(sample), word(serial))
}

// after is the day so many months later.
func after(day string, months int) string {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return ""
	}
	return t.AddDate(0, months, 0).Format(time.DateOnly)
}

// dayNumber counts days since 1970-01-01, NaN for what is no day.
func dayNumber(day string) float64 {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return math.NaN()
	}
	return float64(t.Unix()) / 86400
}
