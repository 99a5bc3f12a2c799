package claims

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/measure/sheet"
)

// FuzzParseBasis: nothing that a basis cell holds gives a condition that is negative, infinite or no number, and what was
// not understood is a part of what was written.
func FuzzParseBasis(f *testing.F) {
	for _, s := range []string{"1 m", "4.8 ach", "12 h/day", "2.4 m ceiling", "EN 1822-1:2019", "at 1 m; 24/7; 5 air changes per hour", "LWA,d 52 dB; K = 2 dB", "0,5 m;;;", "h-1", "9e999 m",
		"1 m;1 m;1 m", "\x00;\u202e", strings.Repeat("1;", 500)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		b := ParseBasis(s)
		for name, v := range map[string]float64{"distance": b.Distance, "air changes": b.AirChanges, "hours per day": b.HoursPerDay, "ceiling": b.Ceiling, "flow": b.Flow} {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				t.Errorf("%q: %s is %v", s, name, v)
			}
		}
		if len(b.Other) > len(b.Parts) {
			t.Errorf("%q: %d parts, of them %d not understood", s, len(b.Parts), len(b.Other))
		}
		for _, o := range b.Other {
			if !strings.Contains(s, o) {
				t.Errorf("%q: %q was not understood and is no part of it", s, o)
			}
		}
	})
}

// FuzzReadSpec reads a claims table of any content: each claim that is given is one that the contract knows, and claims
// are never dropped without a word.
func FuzzReadSpec(f *testing.F) {
	for _, s := range []string{"attribute,value,unit\nnoise,52,dB(A)\n", "id,attribute,value,unit,bound,particle,basis\nC1,delivery rate,300-350,m3/h,up to,smoke,4.8 ach\n",
		"attribute,value\nfilter life,6\n", "example: x,attribute\nexample: 1,noise\n", "attribute;value;unit\nroom area;35,5;m2\n", "attribute,value [W]\npower,45\n", "attribute,value,unit\npower,-1,W\nozone,1e308,ppm\n"} {
		f.Add([]byte(s))
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte) {
		sub, err := os.MkdirTemp(dir, "")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(sub)
		if err := os.Mkdir(filepath.Join(sub, "spec"), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(sub, "spec", "claims.csv"), data, 0o644); err != nil {
			t.Fatal(err)
		}
		c, err := sheet.OpenFolder(sub)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		b, err := c.Book("spec")
		if b == nil || err != nil {
			return
		}
		s, ps := Read(b)
		if len(ps) > 0 {
			_ = ps.Error()
			return
		}
		if len(s.Claims) == 0 {
			t.Fatal("no claims and no problem")
		}
		ids := map[string]bool{}
		for _, c := range s.Claims {
			if _, ok := Lookup(string(c.Attribute)); !ok || ids[c.ID] || c.ID == "" {
				t.Fatalf("claim %+v", c)
			}
			ids[c.ID] = true
			if r := c.Claimed; r != nil && (!(r.Low <= r.High) || math.IsInf(r.High-r.Low, 0)) {
				t.Fatalf("claim %+v of %+v", c, r)
			}
		}
		for _, f := range Cross(s.Claims) {
			for _, id := range f.Claims {
				if !ids[id] {
					t.Fatalf("a finding on the claim %q, which is not there", id)
				}
			}
		}
	})
}
