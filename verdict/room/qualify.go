package room

import (
	"fmt"
	"math"
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
