package lab

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/measure/sheet"
)

// book reads a lab book of CSV files.
func book(t *testing.T, tables map[string]string) (*Results, sheet.Problems) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range tables {
		p := filepath.Join(dir, "lab", name+".csv")
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
	b, err := f.Book("lab")
	if err != nil {
		t.Fatal(err)
	}
	return Read(f, b)
}

// Values, ± and k are believed as stated, in any unit of the dimension: 1 cfm = 1.699010796 m3/h (exact foot).
func TestResults(t *testing.T) {
	out, ps := book(t, map[string]string{"results": "attribute,setting,particle,value,unit,±,k,distance,basis,laboratory,report,accreditation\n" +
		"delivery rate,max,smoke,200,cfm,5 %,2,,,Example Laboratory,EX-1,0000\n" +
		"noise,max,,49.7-50.3,dB(A),1.2,2,1,,Example Laboratory,EX-2,\n" +
		"annual energy,,,150,kWh,3,,,12 h/day,,,\n"})
	if len(ps) > 0 || len(out.Measurements) != 3 {
		t.Fatal(ps, len(out.Measurements))
	}
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s = %.12g, want %.12g", what, got, want)
		}
	}
	const cfm = 0.3048 * 0.3048 * 0.3048 * 60
	near("rate", out.Measurements[0].Value, 200*cfm)
	near("its U", out.Measurements[0].Expanded, 10*cfm)
	near("level", out.Measurements[1].Value, 50)
	near("its u: 0.6 and the range's half-width over √3", out.Measurements[1].Std, math.Hypot(0.6, 0.3/math.Sqrt(3)))
	near("energy, k = 2 where blank", out.Measurements[2].Std, 1.5)
	if m := out.Measurements[0]; !strings.Contains(m.Method, "accreditation 0000") || !strings.Contains(m.Method, "EX-1") {
		t.Errorf("method %q", m.Method)
	}
	if !out.Measurements[1].Has("accreditation not stated") {
		t.Error("a number without accreditation carries no flag")
	}
}

func TestResultsRefused(t *testing.T) {
	head := "attribute,particle,value,unit,±\n"
	for _, c := range []struct{ row, want string }{
		{"taste,,5,m3/h,1", `found "taste"`}, {"delivery rate,,200,W,1", "W"}, {"delivery rate,,,m3/h,1", "blank"}, {"filter efficiency,0.3 um,101,%,1", "at most 100 %"},
		{"delivery rate,soot,200,m3/h,1", `found "soot"`}, {"delivery rate,,-3,m3/h,1", "0 or more"}, {"delivery rate,,200,m3/h,-1", "not negative"},
	} {
		if _, ps := book(t, map[string]string{"results": head + c.row + "\n"}); len(ps) != 1 || !strings.Contains(ps.Error(), c.want) || !strings.Contains(ps.Error(), "lab/results.csv:2") {
			t.Errorf("%s: %v, want one problem with %q and its place", c.row, ps, c.want)
		}
	}
}
