package claims

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/measure/sheet"
)

// spec writes a spec folder of CSV tables and reads it.
func spec(t *testing.T, tables map[string]string) (*Spec, sheet.Problems) {
	t.Helper()
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "spec"), 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range tables {
		if err := os.WriteFile(filepath.Join(dir, "spec", name+".csv"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	f, err := sheet.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	b, err := f.Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	return Read(b)
}

func TestReadClaims(t *testing.T) {
	s, ps := spec(t, map[string]string{
		"product": "field,value\nMaker,Brindlecote Air Works\nmodel,Fennow 40\nshelf,3\n",
		"claims": "id,Attribute,value,unit,bound,setting,particle,basis,wording,source,captured,shade\n" +
			",Delivery-Rate,200,CFM,,,Smoke,,,box,2026-05-04,blue\n" +
			"N,noise,24-52,dB,,,,1 m,,,,\n" +
			",filter life,12,months,,,,12 h/day,,,,\n" +
			",filter life,12,months,,,,,,,,\n" +
			",room_area,\"1,482\",sq ft,up to,,,4.8 ach; 2.4 m ceiling; by moonlight,,,,\n" +
			",filter grade,,,,,,,True HEPA-type,,,\n" +
			",clean time,0.2,h,,,,99 %; 30 m3,,,,\n" +
			",delivery rate,300,,,,,,,,,\n",
	})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	if s.Product.Maker != "Brindlecote Air Works" || s.Product.Model != "Fennow 40" {
		t.Errorf("product %+v", s.Product)
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	c := s.Claims
	near("200 cfm in m3/h", c[0].Claimed.Low, 200*1.69901079552) // exact: 0.3048³·60
	if c[0].ID != "C1" || c[0].Bound != AtLeast || c[0].Particle != "smoke" || c[0].Captured != "2026-05-04" {
		t.Errorf("first claim %+v", c[0])
	}
	if c[1].ID != "N" || c[1].Bound != AtMost || c[1].Claimed.Low != 24 || c[1].Claimed.High != 52 || c[1].Weighting || c[1].Basis.Distance != 1 || len(c[1].Notes) == 0 {
		t.Errorf("noise %+v", c[1])
	}
	near("12 months at 12 h/day", c[2].Claimed.Low, 4380)
	near("12 months without hours a day", c[3].Claimed.Low, 8760)
	if !c[2].Calendar || !c[3].Calendar || c[3].Basis.HoursPerDay != 0 {
		t.Errorf("filter lives %+v %+v", c[2], c[3])
	}
	near("1,482 sq ft", c[4].Claimed.Low, 1482*0.09290304)
	if b := c[4].Basis; b.AirChanges != 4.8 || b.Ceiling != 2.4 || len(b.Other) != 1 || c[4].Bound != UpTo {
		t.Errorf("room area %+v", c[4])
	}
	if c[5].Claimed != nil || c[5].Wording != "True HEPA-type" {
		t.Errorf("grade %+v", c[5])
	}
	near("0.2 h in min", c[6].Claimed.High, 12)
	near("reduction", c[6].Basis.Reduction, 0.99)
	near("volume", c[6].Basis.RoomVolume, 30)
	if c[7].Claimed == nil || c[7].Claimed.Unit != "" || len(c[7].Notes) == 0 {
		t.Errorf("a number without a unit %+v", c[7])
	}
	notes := ""
	for _, n := range s.Notes {
		notes += n.String() + "\n"
	}
	for _, want := range []string{"shade", "shelf"} {
		if !strings.Contains(notes, want) {
			t.Errorf("no note on %q in:\n%s", want, notes)
		}
	}
}

func TestReadProblems(t *testing.T) {
	_, ps := spec(t, map[string]string{
		"claims": "id,attribute,value,unit,bound,particle,captured\n" +
			"A,delivery rate,300,W,,,\n" +
			"A,weight,300,g,,,\n" +
			"C,noise,fifty,dB,,,\n" +
			"D,delivery rate,300,m3/h,roughly,soot,31.31.2026\n" +
			"E,power,-4,W,,,\n",
	})
	all := ps.Error()
	for _, want := range []string{
		`spec/claims.csv:2: column unit: `, `spec/claims.csv:2: column unit: "W" is a unit of power`,
		`spec/claims.csv:3: column attribute: found "weight"`, `"delivery rate", "noise"`,
		`id "A" stands at`, `"fifty"`, `"roughly"`, `"soot"`, `"31.31.2026"`, `not negative`,
	} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in:\n%s", want, all)
		}
	}
}

func TestParseBasis(t *testing.T) {
	for text, want := range map[string]Basis{
		"1 m":                              {Distance: 1},
		"1,5 m":                            {Distance: 1.5},
		"3.3 ft":                           {Distance: 3.3 * 0.3048},
		"4.8 ach; 2.4 m ceiling":           {AirChanges: 4.8, Ceiling: 2.4},
		"5 air changes per hour":           {AirChanges: 5},
		"12 h/day":                         {HoursPerDay: 12},
		"16 h/day; 8 h/day standby":        {HoursPerDay: 16, StandbyHours: 8},
		"24 hours a day":                   {HoursPerDay: 24},
		"24/7":                             {HoursPerDay: 24},
		"EN 1822-1:2019":                   {Standard: "EN 1822-1:2019"},
		"sound power":                      {SoundPower: true},
		"99 %; 20 m2; 2.4 m ceiling":       {Reduction: 0.99, RoomArea: 20, Ceiling: 2.4},
		"30 m3; 99.9% removed":             {RoomVolume: 30, Reduction: 0.999},
		"sound pressure; 1 m; K = 2.5 dB":  {SoundPressure: true, Distance: 1, Declared: "L+K", K: 2.5},
		"at 340 m3/h; EN 1822-1:2019":      {Flow: 340, Standard: "EN 1822-1:2019"},
		"8 ft ceiling; 5 ach":              {Ceiling: 8 * 0.3048, AirChanges: 5},
		"ANSI/AHAM AC-1-2020; 8 hours/day": {Standard: "ANSI/AHAM AC-1-2020", HoursPerDay: 8},
		"until the rate is down to half":   {EndOfLife: "until the rate is down to half", ToHalf: true},
		"until it has fallen to 80 %":      {EndOfLife: "until it has fallen to 80 %"},
		"for the pre-filter":               {Element: "pre-filter"},
		"carbon filter; 12 h/day":          {Element: "carbon filter", HoursPerDay: 12},
		"ISO 4871 declared value; 1 m":     {Standard: "ISO 4871", Declared: "L_d", Distance: 1},
		"L_d to ISO 4871; sound pressure":  {Standard: "ISO 4871", Declared: "L_d", SoundPressure: true},
	} {
		got := ParseBasis(text)
		got.Text, got.Parts, got.Other = "", nil, nil
		if math.Abs(got.Distance-want.Distance) < 1e-9 {
			got.Distance = want.Distance
		}
		if math.Abs(got.Ceiling-want.Ceiling) < 1e-9 {
			got.Ceiling = want.Ceiling
		}
		if math.Abs(got.Reduction-want.Reduction) < 1e-9 {
			got.Reduction = want.Reduction
		}
		g, w := got, want
		if g.Distance != w.Distance || g.AirChanges != w.AirChanges || g.HoursPerDay != w.HoursPerDay || g.StandbyHours != w.StandbyHours || g.Ceiling != w.Ceiling ||
			g.RoomArea != w.RoomArea || g.RoomVolume != w.RoomVolume || g.Reduction != w.Reduction || g.SoundPower != w.SoundPower || g.SoundPressure != w.SoundPressure ||
			g.Standard != w.Standard || g.Flow != w.Flow || g.K != w.K || w.Declared != g.Declared {
			t.Errorf("%q: %+v, want %+v", text, g, w)
		}
	}
}
