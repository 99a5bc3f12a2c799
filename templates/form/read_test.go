package form

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"weighhouse/claims"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
)

// TestFreshFormsAreRead reads blank forms with the program's own readers: no example is taken for data, no column is
// unknown to them, and what they ask for is what is missing.
func TestFreshFormsAreRead(t *testing.T) {
	for _, csv := range []bool{false, true} {
		dir := t.TempDir()
		if err := Write(dir, Case, csv); err != nil {
			t.Fatal(err)
		}
		f, err := sheet.OpenFolder(dir)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		spec, err := f.Book("spec")
		if err != nil {
			t.Fatalf("csv %v: %v", csv, err)
		}
		read, bad := claims.Read(spec)
		if len(bad) != 3 || !strings.Contains(bad.Error(), "no claim") || strings.Count(bad.Error(), "of the product table is blank") != 2 {
			t.Errorf("csv %v: a blank spec form should lack claims, the maker and the model, and nothing else: %v", csv, bad.Err())
		}
		if read != nil && len(read.Claims) > 0 {
			t.Errorf("csv %v: a blank form has %d claims", csv, len(read.Claims))
		}
		book, err := f.Book("lab")
		if err != nil {
			t.Fatalf("csv %v: %v", csv, err)
		}
		res, bad := lab.Read(f, book)
		if len(bad) != 0 {
			t.Errorf("csv %v: a blank lab form has nothing wrong in it yet, but: %v", csv, bad.Err())
		}
		if res != nil && len(res.Measurements) > 0 {
			t.Errorf("csv %v: a blank form has %d results", csv, len(res.Measurements))
		}
		for _, n := range append(spec.Notes(), book.Notes()...) {
			if strings.Contains(n.Text, "column") || strings.Contains(n.Text, "table") {
				t.Errorf("csv %v: a blank form gives the note %q", csv, n)
			}
		}
	}
}

// TestExamplesAreGoodEntries takes the marker off every example and reads the books: an example that the readers refuse
// would teach people to write what is refused.
func TestExamplesAreGoodEntries(t *testing.T) {
	dir := t.TempDir()
	if err := Write(dir, Case, false); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"spec.xlsx", "lab.xlsx"} {
		path := filepath.Join(dir, name)
		f, err := excelize.OpenFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range f.GetSheetList()[1:] {
			rows, err := f.GetRows(s)
			if err != nil {
				t.Fatal(err)
			}
			for i, r := range rows {
				if rest, ok := strings.CutPrefix(r[0], Marker); ok {
					if err := f.SetCellStr(s, "A"+strconv.Itoa(i+1), strings.TrimSpace(rest)); err != nil {
						t.Fatal(err)
					}
				}
			}
			// The fields of field tables stand below with blank values; the example has filled one of them.
			for i, r := range rows {
				if (s == "product" || s == "test") && len(r) == 1 && strings.HasSuffix(rows[1][0], " "+r[0]) {
					if err := f.RemoveRow(s, i+1); err != nil {
						t.Fatal(err)
					}
					break
				}
			}
		}
		if err := f.Save(); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	write := func(name, text string) {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("captures/listing-2026-03-02.html", "<p>Cleans 180 m³ of air an hour</p>")
	for name, k := range map[string]float64{"off-1": 0.25, "on-1": 5, "on-500h": 2} {
		var b strings.Builder
		b.WriteString("Time(s),PM2.5\n")
		for s := 0; s <= 2400; s += 30 {
			// A ripple of one part in a hundred, for a log without any scatter is no log.
			ripple := 1 + 0.01*math.Sin(float64(s*s))
			fmt.Fprintf(&b, "%d,%.1f\n", s, 1.5+250*math.Exp(-k*float64(s)/3600)*ripple)
		}
		write("logs/"+name+".csv", b.String())
	}
	f, err := sheet.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	spec, err := f.Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	read, bad := claims.Read(spec)
	if err := bad.Err(); err != nil {
		t.Errorf("spec: %v", err)
	}
	if len(read.Claims) != 1 || read.Claims[0].Claimed == nil || read.Claims[0].Claimed.Low != 180 || read.Claims[0].Captured != "2026-03-02" {
		t.Errorf("the example claim is read as %+v", read.Claims)
	}
	if read.Product.Maker != "Brindlecote Air Works" || len(read.Replies) != 1 {
		t.Errorf("maker %q, %d replies", read.Product.Maker, len(read.Replies))
	}
	book, err := f.Book("lab")
	if err != nil {
		t.Fatal(err)
	}
	res, bad := lab.Read(f, book)
	if err := bad.Err(); err != nil {
		t.Fatalf("lab: %v", err)
	}
	for _, s := range res.Skipped {
		t.Errorf("an example is passed over: %v", s)
	}
	got := map[string]bool{}
	for _, m := range res.Measurements {
		got[m.Attribute] = true
	}
	for _, want := range []string{"delivery rate", "noise", "power", "filter efficiency", "filter life", "carbon mass"} {
		if !got[want] {
			t.Errorf("the examples give no %s (%v)", want, got)
		}
	}
	// 4.20 × 3.50 × 2.44 m
	if res.Room == nil || math.Abs(res.Room.Volume-35.868) > 1e-9 {
		t.Errorf("room %+v", res.Room)
	}
	if len(res.Costs) != 2 || len(res.Tolerances) != 1 || len(res.Instruments) != 3 {
		t.Errorf("%d costs, %d tolerances, %d instruments", len(res.Costs), len(res.Tolerances), len(res.Instruments))
	}
}
