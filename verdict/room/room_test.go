package room

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/uncertainty"
	"weighhouse/verdict"
)

// write makes a room book of CSV files and reads it.
func write(t *testing.T, tables map[string]string) (*Book, sheet.Problems) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range tables {
		p := filepath.Join(dir, "room", name+".csv")
		if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	f, err := sheet.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	b, err := f.Book("room")
	if err != nil {
		t.Fatal(err)
	}
	return Read(b)
}

const head = "product,serial,rate,unit,±,k,common ±,laboratory,certificate,date,hours,case,exclude,why\n"

// The rows of the method's worked example as a book: product, serial, rate, ± (k = 2) …
func exampleRows() string {
	c := []float64{180, 290, 455, 98, 246, 345, 149, 401}
	u := []float64{.05, .05, .05, .06, .05, .05, .06, .05}
	s := ""
	for i := range c {
		s += fmt.Sprintf("Unit %d,S-%d,%g,m3/h,%g,,0,Lab,EX-%d,2026-03-0%d,3,case%d,,\n", i, i, c[i], u[i]*c[i], i, i+1, i)
	}
	return s
}

// audits gives what the room measured in the worked example.
func audits(path string) (*verdict.Audit, error) {
	y := []float64{171, 268, 405, 96, 232, 310, 142, 355}
	s := []float64{.015, .012, .018, .020, .015, .014, .017, .016}
	x := []float64{4.75, 7.4, 11.2, 2.7, 6.4, 8.6, 3.9, 9.9}
	var i int
	if _, err := fmt.Sscanf(path, "case%d", &i); err != nil || i >= len(y) {
		return nil, fmt.Errorf("there is no such case")
	}
	m := measure.Measurement{Attribute: "delivery rate", Setting: "max", Particle: "smoke", Value: y[i], Unit: "m3/h", Instrument: "PM-A",
		Budget: uncertainty.Budget{{Name: "between runs", U: s[i] * y[i], DOF: 2}, {Name: "room volume", U: 0.02 * y[i], DOF: math.Inf(1)}}}
	m.Expand()
	return &verdict.Audit{Product: claims.Product{Maker: fmt.Sprint("Maker ", i%3), Model: "M"}, Room: &verdict.Room{Volume: y[i] / x[i]}, Measurements: []measure.Measurement{m},
		Test: verdict.TestRecord{Fields: []verdict.Field{{Name: "sample", Value: fmt.Sprintf("serial S-%d, bought", i)}, {Name: "date", Value: "2026-03-20"}}}}, nil
}

// one is audits in a room of one volume, as the identity of a room asks.
func one(path string) (*verdict.Audit, error) {
	a, err := audits(path)
	if err == nil {
		a.Room.Volume = 36
	}
	return a, err
}

func TestQualify(t *testing.T) {
	b, ps := write(t, map[string]string{"qualification": head + exampleRows()})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	q := b.Qualify(one, "2026-06-01", "", "")
	if q.Model == nil {
		t.Fatal(q.Why)
	}
	if n, labs, makers := q.Counts(); n != 8 || labs != 1 || makers != 3 {
		t.Errorf("counts %d %d %d", n, labs, makers)
	}
	// d and v are those of the worked example: u(c) from U at k = 2, the room volume left out of s
	r := q.Specimens[2].Reference
	if d, v := r.D(), r.V(); math.Abs(d-math.Log(405.0/455)) > 1e-12 || math.Abs(v-(.018*.018+.025*.025)) > 1e-12 {
		t.Errorf("d %g v %g", d, v)
	}
	if q.ValidUntil != "2027-03-06" { // the third youngest certificate, of 6 March 2026, and twelve months
		t.Errorf("valid until %s", q.ValidUntil)
	}
}

// Each kind of row that cannot count is refused with its reason, or is an error where a cell is blank.
func TestRefused(t *testing.T) {
	row := func(cells string) string { return head + exampleRows() + cells + "\n" }
	for _, c := range []struct{ cells, want string }{
		{"U,S-0,180,m3/h,9,,0,Lab,rating plate,2026-03-01,3,case0,,", "names no certificate"},
		{"U,S-0,180,m3/h,9,,0,the manufacturer,EX-9,2026-03-01,3,case0,,", "names no certificate"},
		{"U,S-0,180,m3/h,20,,0,Lab,EX-9,2026-03-01,3,case0,,", "is above 10 %"},
		{"U,S-0,180,m3/h,9,,0,Lab,EX-9,2026-03-01,21,case0,,", "more than 20"},
		{"U,S-0,180,m3/h,9,,0,Lab,EX-9,2025-05-01,3,case0,,", "more than 12 months old"},
		{"U,S-0,180,m3/h,9,,0,Lab,EX-9,2026-07-01,3,case0,,", "is younger than"},
		{"U,S-7,180,m3/h,9,,0,Lab,EX-9,2026-03-01,3,case0,,", "counts for its own specimen alone"},
		{"U,SELF,180,m3/h,9,,0,Lab,EX-9,2026-03-01,3,case0,,", "the unit under audit itself"},
		{"U,S-0,180,m3/h,9,,0,Lab,EX-9,2026-03-01,3,nowhere,,", "there is no such case"},
	} {
		b, ps := write(t, map[string]string{"qualification": row(c.cells)})
		if len(ps) > 0 {
			t.Errorf("%s: %v", c.cells, ps)
			continue
		}
		q := b.Qualify(one, "2026-06-01", "serial SELF, lent", "")
		last := q.Specimens[len(q.Specimens)-1]
		if !strings.Contains(last.Refused, c.want) {
			t.Errorf("%s: refused %q, want %q in it", c.cells, last.Refused, c.want)
		}
		if n, _, _ := q.Counts(); n != 8 {
			t.Errorf("%s: %d count", c.cells, n)
		}
	}
	for _, c := range []struct{ cells, want string }{
		{"U,S-0,180,m3/h,9,,0,Lab,,2026-03-01,3,case0,,", "column certificate: blank"},
		{"U,S-0,180,m3/h,,,0,Lab,EX-9,2026-03-01,3,case0,,", "column ±: blank"},
		{"U,S-0,180,W,9,,0,Lab,EX-9,2026-03-01,3,case0,,", "W"},
		{"U,S-0,180,m3/h,9,,0,Lab,EX-9,2026-03-01,3,case0,yes,", "column why: blank"},
	} {
		if _, ps := write(t, map[string]string{"qualification": row(c.cells)}); len(ps) != 1 || !strings.Contains(ps.Error(), c.want) || !strings.Contains(ps.Error(), "room/qualification.csv:10") {
			t.Errorf("%s: %v, want one problem with %q and its place", c.cells, ps, c.want)
		}
	}
}

// A specimen tested in another room, or with the fan off, does not count among the others.
func TestSameRoom(t *testing.T) {
	b, _ := write(t, map[string]string{"qualification": head + exampleRows()})
	q := b.Qualify(func(p string) (*verdict.Audit, error) {
		a, err := one(p)
		if p == "case3" {
			a.Test.Fields = append(a.Test.Fields, verdict.Field{Name: "mixing fan", Value: "off"})
		}
		return a, err
	}, "2026-06-01", "", "")
	if s := q.Specimens[3]; !strings.Contains(s.Refused, "mixing fan") {
		t.Errorf("refused %q", s.Refused)
	}
	q = b.Qualify(audits, "2026-06-01", "", "") // volumes of the example differ from unit to unit
	if q.Model != nil {
		t.Error("a room of eight volumes was qualified")
	}
}

// A row left out by hand stays on record, and both results are there.
func TestExcluded(t *testing.T) {
	b, ps := write(t, map[string]string{"qualification": head + strings.Replace(exampleRows(), "case2,,", "case2,yes,door stood open", 1)})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	q := b.Qualify(one, "2026-06-01", "", "")
	if q.WithAll == nil || len(q.Model.References) != 7 || len(q.WithAll.References) != 8 || q.Specimens[2].Why == "" {
		t.Errorf("model %v, with all %v", q.Model, q.WithAll)
	}
}
