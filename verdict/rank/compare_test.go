package rank

import (
	"bytes"
	"errors"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"weighhouse/measure"
	"weighhouse/measure/uncertainty"
	"weighhouse/verdict"
)

func compare(t *testing.T, us ...made) *Ranking {
	t.Helper()
	var as []*verdict.Audit
	for _, u := range us {
		as = append(as, u.audit())
	}
	return compareAudits(t, as...)
}

func compareAudits(t *testing.T, as ...*verdict.Audit) *Ranking {
	t.Helper()
	r, err := Compare(as, Options{Version: "test", Issued: "2026-06-01"})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (r *Ranking) criterion(t *testing.T, id string) Criterion {
	t.Helper()
	for _, c := range r.Criteria {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("no criterion %q", id)
	return Criterion{}
}

// offs is a natural decay that several units share.
var offs = []float64{0.20, 0.24, 0.22}

// Which test is used hangs on the layout of the runs alone.
func TestLayout(t *testing.T) {
	k := []float64{5.0, 5.2, 5.1}
	for _, c := range []struct {
		name string
		a, b []string
		want string
	}{
		{"one run of each a day", days(3, "10:00"), days(3, "12:00"), "paired t on ln k, 3 pairs, runs blocked by day"},
		{"by turns on one day", []string{"2026-05-18 10:00", "2026-05-18 12:00", "2026-05-18 14:00"}, []string{"2026-05-18 11:00", "2026-05-18 13:00", "2026-05-18 15:00"}, "paired t on ln k, 3 pairs, interleaved runs"},
		{"turned about", []string{"2026-05-18 10:00", "2026-05-18 13:00", "2026-05-18 14:00"}, []string{"2026-05-18 11:00", "2026-05-18 12:00", "2026-05-18 15:00"}, "paired t on ln k, 3 pairs, interleaved runs"},
		{"one after the other on one day", []string{"2026-05-18 08:00", "2026-05-18 09:00", "2026-05-18 10:00"}, []string{"2026-05-18 11:00", "2026-05-18 12:00", "2026-05-18 13:00"}, "Student's t on ln k, 3 and 3 runs"},
		{"on days of their own", days(3, "10:00"), []string{"2026-06-01 10:00", "2026-06-02 10:00", "2026-06-03 10:00"}, "Student's t on ln k, 3 and 3 runs"},
		{"two on one day, one on another", []string{"2026-05-18 08:00", "2026-05-18 09:00", "2026-05-19 08:00"}, []string{"2026-05-18 10:00", "2026-05-18 11:00", "2026-05-19 09:00"}, "paired t on ln k, 2 pairs, runs blocked by day"},
		{"one day without a counterpart", days(3, "10:00"), []string{"2026-05-18 12:00", "2026-05-19 12:00", "2026-05-25 12:00"}, "paired t on ln k, 2 pairs, runs blocked by day"},
		{"logs that name no day", nil, nil, "Student's t on ln k, 3 and 3 runs"},
	} {
		r := compare(t, made{name: "A", on: k, off: offs, start: c.a}, made{name: "B", on: []float64{4.9, 5.1, 5.0}, off: offs, start: c.b})
		if got := r.criterion(t, "delivery rate").Pairs[0].Method; got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

// With a natural decay that both share, the tests on delivery rates are the textbook tests on ln(k_e − k̄_n), whatever the
// uncertainty of the natural decay and of the volume (GUM 5.2: what is common to both cancels in a difference).
func TestSharedCancels(t *testing.T) {
	a := made{name: "A", on: []float64{5.0, 5.2, 5.1, 5.15}, off: offs, offU: 0.5}
	b := made{name: "B", on: []float64{4.9, 5.1, 4.8, 5.05}, off: offs, offU: 0.5}
	ln := func(ks []float64) (y []float64) {
		for _, k := range ks {
			y = append(y, math.Log(k-mean(offs)))
		}
		return y
	}
	p := compare(t, a, b).criterion(t, "delivery rate").Pairs[0]
	want := Student(ln(a.on), ln(b.on))
	near(t, "Student p", *p.P, want.P, 1e-9)
	near(t, "Welch p", *p.WelchP, Welch(ln(a.on), ln(b.on)).P, 1e-9)
	near(t, "ratio", *p.Ratio, math.Exp(want.Difference), 1e-9)
	a.start, b.start = days(4, "10:00"), days(4, "12:00")
	p = compare(t, a, b).criterion(t, "delivery rate").Pairs[0]
	near(t, "paired p", *p.P, Paired(ln(a.on), ln(b.on)).P, 1e-9)
	if p.WelchP != nil {
		t.Error("a paired test has no Welch beside it")
	}
	// A price shifts the ratio that is tested, so that the natural decay no longer cancels altogether.
	a.price, b.price, a.currency, b.currency = "300", "100", "EUR", "EUR"
	q := compare(t, a, b).criterion(t, "rate per price").Pairs[0]
	c := math.Abs(math.Sqrt(3)-1/math.Sqrt(3)) / math.Sqrt((mean(a.on)-mean(offs))*(mean(b.on)-mean(offs)))
	pure := Paired(ln(a.on), ln(b.on))
	near(t, "t per price", *q.T, (pure.Difference-math.Log(3))/math.Hypot(pure.SE, 0.5*c), 1e-9)
}

// Natural decays of their own do not cancel: each adds u(k_n)/(k_e − k_n), degrees of freedom by Welch and Satterthwaite.
func TestOwnNaturalDecay(t *testing.T) {
	a := made{name: "A", on: []float64{5.0, 5.2, 5.1}, off: offs, offName: "a", offU: 0.03}
	b := made{name: "B", on: []float64{4.7, 4.8, 4.9}, off: []float64{0.3, 0.33, 0.27}, offName: "b", offU: 0.02}
	p := compare(t, a, b).criterion(t, "delivery rate").Pairs[0]
	var x, y []float64
	for i := range a.on {
		x, y = append(x, math.Log(a.on[i]-0.22)), append(y, math.Log(b.on[i]-0.3))
	}
	s := Student(x, y)
	budget := uncertainty.Budget{{U: s.SE, DOF: 4}, {U: 0.03 / (5.1 - 0.22), DOF: 2}, {U: 0.02 / (4.8 - 0.3), DOF: 2}}
	near(t, "t", *p.T, s.Difference/budget.Combined(), 1e-9)
	near(t, "ν", *p.DOF, budget.EffectiveDOF(), 1e-9)
}

func TestSingleRuns(t *testing.T) {
	one := func(name string, k float64) made { return made{name: name, on: []float64{k}, off: offs} }
	r := compare(t, one("A", 5), one("B", 5.4), one("C", 9))
	c := r.criterion(t, "delivery rate")
	if got := printedOf(c); !reflect.DeepEqual(got, []string{"1 Made C a", "2= Made A b", "2= Made B b"}) {
		t.Errorf("one run each, 8 %% and 80 %% apart: got %q", got)
	}
	for _, p := range c.Pairs {
		if !p.Indicative || !strings.Contains(p.Note, "indicative") || !strings.Contains(p.Method, "assumed") {
			t.Errorf("%s, %s: %q %q, want an indicative pair", p.A, p.B, p.Method, p.Note)
		}
	}
	// eight degrees of freedom from others: their pooled repeatability stands in
	many := func(name string) made { return made{name: name, on: []float64{7, 7.1, 7.2, 7.05, 7.15}, off: offs} }
	p := compare(t, one("A", 5), many("D"), many("E")).criterion(t, "delivery rate").Pairs[0]
	if !strings.Contains(p.Method, "repeatability of all units") || *p.DOF != 8 {
		t.Errorf("got %q with %v degrees of freedom", p.Method, *p.DOF)
	}
}

func printedOf(c Criterion) []string { return printed(&c) }

// A unit whose rate is low because the room is too small for it is not ranked below another.
func TestRoomTooSmall(t *testing.T) {
	fast := made{name: "Fast", on: []float64{30, 30.2, 29.9}, off: offs}.audit()
	faster := made{name: "Faster", on: []float64{40, 40.1, 39.8}, off: offs}.audit()
	if c := compareAudits(t, fast, faster).criterion(t, "delivery rate"); !c.Pairs[0].Different {
		t.Fatal("a third apart and not told apart")
	}
	fast.Measurements[0].Warn(measure.RoomTooSmall, "test")
	for _, id := range []string{"delivery rate", "clean time"} {
		c := compareAudits(t, fast, faster).criterion(t, id)
		if p := c.Pairs[0]; p.Different || !strings.Contains(p.Note, "room is too small") {
			t.Errorf("%s: told apart %v, note %q", id, p.Different, p.Note)
		}
	}
	fast.Measurements[0].Warnings = nil
	faster.Measurements[0].Warn(measure.RoomTooSmall, "test")
	if c := compareAudits(t, fast, faster).criterion(t, "delivery rate"); !c.Pairs[0].Different {
		t.Error("the higher rate may be too low: it is higher all the same")
	}
}

func TestUpperBoundOfNoise(t *testing.T) {
	a := made{name: "A", on: []float64{5, 5.1}, off: offs, level: 40, distance: 1}.audit()
	b := made{name: "B", on: []float64{5, 5.1}, off: offs, level: 50, distance: 1}.audit()
	b.Measurements[1].Warn(measure.UpperBound, "test")
	if p := compareAudits(t, a, b).criterion(t, "noise").Pairs[0]; p.Different || !strings.Contains(p.Note, "upper bound") {
		t.Errorf("the louder is an upper bound: told apart %v, note %q", p.Different, p.Note)
	}
	b.Measurements[1].Warnings = nil
	a.Measurements[1].Warn(measure.UpperBound, "test")
	if p := compareAudits(t, a, b).criterion(t, "noise").Pairs[0]; !p.Different {
		t.Error("the quieter is an upper bound: it is quieter all the same")
	}
}

// What was not measured is said to be, and has no rank; distances and currencies are never mixed.
func TestMissing(t *testing.T) {
	a := made{name: "A", on: []float64{5, 5.1, 5.2}, off: offs, watts: 40, level: 40, distance: 1, price: "200", currency: "EUR"}
	b := made{name: "B", on: []float64{5, 5.1, 5.2}, off: offs, level: 40, distance: 2, price: "200", currency: "USD"}
	c := made{name: "C", on: []float64{5, 5.1, 5.2}, off: offs, watts: 50, price: "about two hundred", currency: "EUR"}
	r := compare(t, a, b, c)
	w := r.criterion(t, "rate per watt")
	if !w.Ranked || w.Entries[2].Label != "Made B" || w.Entries[2].Value != nil || w.Entries[2].Rank != "" || !strings.Contains(w.Entries[2].Note, "not measured") {
		t.Errorf("rate per watt without a power: %+v", w.Entries[2])
	}
	n := r.criterion(t, "noise")
	if n.Ranked || !strings.Contains(n.Why, "one distance") || len(n.Pairs) != 0 {
		t.Errorf("levels at 1 m and 2 m: ranked %v, why %q", n.Ranked, n.Why)
	}
	p := r.criterion(t, "rate per price")
	if p.Ranked || !strings.Contains(p.Why, "EUR and USD") || len(p.Pairs) != 0 {
		t.Errorf("two currencies: ranked %v, why %q", p.Ranked, p.Why)
	}
	if y := r.criterion(t, "yearly cost"); y.Ranked {
		t.Error("yearly cost ranked without any cost")
	}
	if len(r.Units[2].Notes) == 0 || !strings.Contains(r.Units[2].Notes[0], "about two hundred") {
		t.Errorf("a price in words: notes %q", r.Units[2].Notes)
	}
	slow := made{name: "D", on: []float64{0.3, 0.1}, off: offs}
	d := compare(t, a, c, slow).criterion(t, "delivery rate")
	if e := d.Entries[2]; e.Label != "Made D" || e.Rank != "" || !strings.Contains(e.Note, "not told from zero") {
		t.Errorf("a unit that does nothing: %+v", e)
	}
}

func TestCosts(t *testing.T) {
	cost := func(option string, total, u, low, high float64) verdict.Cost {
		return verdict.Cost{Option: option, HoursPerDay: 12, EnergyKWh: 100, EnergyCost: 30, Total: total, TotalU: u, Low: low, High: high, Currency: "EUR", FilterCost: total - 30, FilterLow: total - 30, FilterHigh: total - 30}
	}
	a := made{name: "A", on: []float64{5, 5.1}, off: offs}.audit()
	b := made{name: "B", on: []float64{5, 5.1}, off: offs}.audit()
	a.Costs = []verdict.Cost{cost("maker's", 100, 1, 99, 101), cost("other", 60, 1, 59, 61)}
	b.Costs = []verdict.Cost{cost("maker's", 101, 1, 100, 102)}
	c := compareAudits(t, a, b).criterion(t, "yearly cost")
	if got := printedOf(c); !reflect.DeepEqual(got, []string{"1 Made A, other a", "2= Made A, maker's b", "2= Made B, maker's b"}) {
		t.Errorf("got %q", got)
	}
	b.Costs = []verdict.Cost{cost("maker's", 110, 1, 70, 150)} // a range of prices that reaches over both
	for _, p := range compareAudits(t, a, b).criterion(t, "yearly cost").Pairs {
		if want := p.A == "Made A, maker's" && p.B == "Made A, other" || p.A == "Made A, other"; p.Different != want {
			t.Errorf("%s, %s: told apart %v, want %v (%s)", p.A, p.B, p.Different, want, p.Note)
		}
	}
	b.Costs[0].EnergyCost = 40
	if c := compareAudits(t, a, b).criterion(t, "yearly cost"); c.Ranked || !strings.Contains(c.Why, "electricity prices differ") {
		t.Errorf("two tariffs: ranked %v, why %q", c.Ranked, c.Why)
	}
	b.Costs[0].EnergyCost, b.Costs[0].Currency = 30, "USD"
	if c := compareAudits(t, a, b).criterion(t, "yearly cost"); c.Ranked || !strings.Contains(c.Why, "never mixed") {
		t.Errorf("two currencies: ranked %v, why %q", c.Ranked, c.Why)
	}
}

func TestRefusals(t *testing.T) {
	base := made{name: "first", on: []float64{5, 5.1}, off: offs}
	for _, c := range []struct {
		name   string
		change func(a *verdict.Audit)
		want   string
	}{
		{"another volume", func(a *verdict.Audit) { a.Room.Volume = 42 }, "its room is 42 m³, that of first 40 m³"},
		{"other sides of the same volume", func(a *verdict.Audit) { a.Room.Text = "5 x 4 x 2 m" }, "its room is 5 x 4 x 2 m, that of first 4 x 4 x 2.5 m"},
		{"another tester", func(a *verdict.Audit) { a.Test.Fields[0].Value = "Other bench" }, `its tester is "Other bench", that of first "Bench"`},
		{"a chamber", func(a *verdict.Audit) { a.Test.Fields[1].Value = "chamber" }, "was tested in a chamber, first in a room"},
		{"another particle", func(a *verdict.Audit) { a.Measurements[0].Particle = "dust" }, "measured for dust, that of first for smoke"},
		{"no room", func(a *verdict.Audit) { a.Room = nil }, "no lab book with a room"},
		{"the same inputs", func(a *verdict.Audit) {}, ""},
	} {
		x, y := base.audit(), made{name: "second", on: []float64{5, 5.1}, off: offs}.audit()
		c.change(y)
		_, err := Compare([]*verdict.Audit{x, y}, Options{Issued: "2026-06-01"})
		var rs Refusals
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want == "":
		case !errors.As(err, &rs) || !strings.Contains(err.Error(), "second: ") || !strings.Contains(err.Error(), c.want):
			t.Errorf("%s: got %v, want %q of second", c.name, err, c.want)
		}
	}
	// sides in another order are one room; a turned book is no reason to refuse
	x, y := base.audit(), base.audit()
	y.Room.Text = "2.5 x 4 x 4 m"
	if _, err := Compare([]*verdict.Audit{x, y}, Options{}); err != nil {
		t.Error(err)
	}
	d := auditOf(t, "../../testdata/rank/osk-3")
	if _, err := Compare([]*verdict.Audit{d, d}, Options{}); err == nil || !strings.Contains(err.Error(), "same inputs") {
		t.Errorf("a case named twice: %v", err)
	}
	if _, err := Compare([]*verdict.Audit{d}, Options{}); err == nil {
		t.Error("one unit alone was compared")
	}
	if _, err := Compare([]*verdict.Audit{base.audit(), base.audit()}, Options{Particle: "pollen"}); err == nil || !strings.Contains(err.Error(), "not for pollen") {
		t.Errorf("a particle that was not measured: %v", err)
	}
}

// The order in which the cases are named changes no result.
func TestOrderOfCases(t *testing.T) {
	us := []made{
		{name: "A", on: []float64{5, 5.1, 5.2}, off: offs, watts: 40, level: 41, distance: 1, price: "200", currency: "EUR"},
		{name: "B", on: []float64{4, 4.1, 4.05}, off: offs, watts: 20, level: 45, distance: 1, price: "100", currency: "EUR"},
		{name: "C", on: []float64{5.1, 5.1, 5.3}, off: offs, watts: 60, level: 55, distance: 1, price: "300", currency: "EUR"},
	}
	show := func(r *Ranking) (out []string) {
		for _, c := range r.Criteria {
			out = append(out, c.ID)
			out = append(out, printedOf(c)...)
		}
		return out
	}
	want := show(compare(t, us...))
	for _, o := range [][3]int{{0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
		if got := show(compare(t, us[o[0]], us[o[1]], us[o[2]])); !reflect.DeepEqual(got, want) {
			t.Errorf("order %v: got %q, want %q", o, got, want)
		}
	}
}

// The demo data: the truth of fennow-40 and tavvik-35 is 262 and 258 m3/h, of osk-3 203 (testdata/truth.json).
func TestDemo(t *testing.T) {
	as := demo(t)
	r := compareAudits(t, as...)
	c := r.criterion(t, "delivery rate")
	if got := printedOf(c); !reflect.DeepEqual(got, []string{"1= Brindlecote Air Works Fennow 40 a", "1= Quillmarsh Ventilation Tavvik 35 a", "3 Drummelow Home Air Osk 3 b"}) {
		t.Errorf("got %q", got)
	}
	truth := map[[2]int]float64{{0, 1}: 262.0 / 258, {0, 2}: 262.0 / 203, {1, 2}: 258.0 / 203}
	for _, p := range c.Pairs {
		want := truth[[2]int{p.a, p.b}]
		if !(*p.Interval[0] < want && want < *p.Interval[1]) || *p.Interval[1] / *p.Interval[0] > 1.15 {
			t.Errorf("%s over %s: %.4f to %.4f, true %.4f", p.A, p.B, *p.Interval[0], *p.Interval[1], want)
		}
		if p.Method != "paired t on ln k, 4 pairs, runs blocked by day" || *p.DOF != 3 {
			t.Errorf("%s over %s: %q with %v degrees of freedom; the natural decay is shared", p.A, p.B, p.Method, *p.DOF)
		}
	}
	// what audit.json carries is enough for the same comparison
	var read []*verdict.Audit
	for _, a := range as {
		var b bytes.Buffer
		if err := a.WriteJSON(&b); err != nil {
			t.Fatal(err)
		}
		x, err := ReadAudit(&b)
		if err != nil {
			t.Fatal(err)
		}
		read = append(read, x)
	}
	again := compareAudits(t, read...)
	approx := cmpopts.EquateApprox(1e-12, 0)
	if d := cmp.Diff(r.Criteria, again.Criteria, approx, cmpopts.IgnoreUnexported(Pair{})); d != "" {
		t.Errorf("from audit.json:\n%s", d)
	}
}

// No sentence of a ranking accuses, and none orders units that are tied.
func TestWords(t *testing.T) {
	r := compareAudits(t, demo(t)...)
	var b bytes.Buffer
	if err := r.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	text := regexp.MustCompile(`: false,?\n`).ReplaceAllString(b.String(), "\n") // JSON's own word
	if m := regexp.MustCompile(`(?i)\b(false|fake|fraud\w*|lie|lies|illegal\w*|meaningless|this model|winner|best)\b`).FindString(text); m != "" {
		t.Errorf("the ranking holds %q", m)
	}
	if len(r.Cautions) < 3 {
		t.Error("the cautions are missing")
	}
}

func TestReadAudit(t *testing.T) {
	for text, want := range map[string]string{
		"":                     "no audit.json",
		`{"format":"other/1"}`: `found "other/1"`,
		`{"format":"weighhouse-audit/1","room":{"volume_m3":0}}`:                                                                                              "above zero",
		`{"format":"weighhouse-audit/1","measurements":[{"id":"M1","attribute":"delivery rate","runs":[{"run":"a","value":5}]}]}`:                             "state on or off",
		`{"format":"weighhouse-audit/1","measurements":[{"id":"M1","attribute":"delivery rate","runs":[{"run":"a","state":"on","value":5,"start":"noon"}]}]}`: `found "noon"`,
	} {
		if _, err := ReadAudit(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q", text, err, want)
		}
	}
}
