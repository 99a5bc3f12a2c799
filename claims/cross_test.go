package claims

import (
	"strings"
	"testing"
)

// crossOf lists the rules that Cross finds, each with its claims: "CX-02 A,R".
func crossOf(t *testing.T, rows string) map[string]CrossFinding {
	t.Helper()
	s, ps := spec(t, map[string]string{"claims": "id,attribute,value,unit,setting,particle,basis,wording,source,captured\n" + rows})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	out := map[string]CrossFinding{}
	for _, f := range Cross(s.Claims) {
		out[f.Rule+" "+strings.Join(f.Claims, ",")] = f
	}
	return out
}

// TestCross gives every rule a pair of claims that disagree and a pair that agree; the arithmetic is worked by hand.
func TestCross(t *testing.T) {
	for _, c := range []struct{ name, rows, want string }{
		// 60 m2 x 2.4 m x 4.8 1/h = 691 m3/h
		{"area and rate disagree", "R,delivery rate,340,m3/h,,,,,box,\nA,room area,60,m2,,,4.8 ach; 2.4 m ceiling,,box,\n", "CX-02 A,R"},
		{"area and rate agree", "R,delivery rate,700,m3/h,,,,,box,\nA,room area,60,m2,,,4.8 ach; 2.4 m ceiling,,box,\n", ""},
		{"area without air changes", "R,delivery rate,340,m3/h,,,,,box,\nA,room area,60,m2,,,,,box,\n", ""},
		{"quiet setting beside the top rate", "R,delivery rate,340,m3/h,,,,,box,\nN,noise,24,dB(A),sleep,,1 m,,box,\n", "CX-03 N,R"},
		{"both settings", "R,delivery rate,340,m3/h,,,,,box,\nN,noise,24,dB(A),sleep,,1 m,,box,\nM,noise,52,dB(A),max,,1 m,,box,\n", ""},
		{"watts of the low setting", "R,delivery rate,340,m3/h,,,,,box,\nP,power,4,W,sleep,,,,box,\n", "CX-04 P,R"},
		// 12 months at 12 h/day = 4380 h
		{"months and hours disagree", "M,filter life,12,months,,,12 h/day,,box,\nH,filter life,2200,h,,,,,box,\n", "CX-07 M,H"},
		{"months and hours agree", "M,filter life,12,months,,,12 h/day,,box,\nH,filter life,4400,h,,,,,box,\n", ""},
		{"months and hours that no day has", "M,filter life,6,months,,,,,box,\nH,filter life,8000,h,,,,,box,\n", "CX-07 M,H"},
		// 45 W x 24 h x 365 = 394 kWh
		{"watts and energy disagree", "P,power,45,W,,,,,box,\nE,annual energy,200,kWh,,,24 h/day,,box,\n", "CX-13 E,P"},
		{"watts and energy agree", "P,power,45,W,,,,,box,\nE,annual energy,394,kWh,,,24 h/day,,box,\n", ""},
		{"energy that no day has", "P,power,45,W,,,,,box,\nE,annual energy,600,kWh,,,,,box,\n", "CX-13 E,P"},
		// 45 W x 8 h x 365 = 131 kWh; 95 W x 24 h x 365 = 832 kWh, 380 kWh are 11.0 h a day of it
		{"energy of eight hours, rounded", "P,power,45,W,,,,,box,\nE,annual energy,130,kWh,,,,,box,\n", ""},
		{"energy beside the watts of three settings", "L,power,14,W,low,,,,box,\nM,power,38,W,medium,,,,box,\nP,power,95,W,high,,,,box,\nE,annual energy,380,kWh,,,,,box,\n", ""},
		{"the best particle as headline", "H,delivery rate,400,m3/h,,,,,box,\nS,delivery rate,300,m3/h,,smoke,,,box,\nQ,delivery rate,400,m3/h,,pollen,,,box,\n", "CX-14 H,Q,S"},
		{"box and manual disagree", "B,power,45,W,,,,,box,\nM,power,60,W,,,,,manual,\n", "CX-08 B,M"},
		{"a pair of units disagrees", "B,delivery rate,340,m3/h,,smoke,,,box,\nM,delivery rate,220,cfm,,smoke,,,box,\n", "CX-09 B,M"},
		// 200 cfm = 339.8 m3/h
		{"a pair of units agrees", "B,delivery rate,340,m3/h,,smoke,,,box,\nM,delivery rate,200,cfm,,smoke,,,box,\n", ""},
		// 340 m3/h = 200 cfm
		{"two units in one text disagree", "B,delivery rate,340,m3/h,,smoke,,Cleans 340 m³/h (220 cfm) at maximum,box,\n", "CX-09 B"},
		{"two units in one text agree", "B,delivery rate,340,m3/h,,smoke,,Cleans 340 m³/h (200 cfm) at maximum,box,\n", ""},
		{"two areas in one text agree", "B,room area,60,m2,,,,Rooms of 60 m² / 645 sq ft,box,\n", ""},
		{"captures of different dates are history", "B,power,45,W,,,,,box,2026-04-01\nM,power,60,W,,,,,manual,2026-05-01\n", ""},
		// 45 EUR every 6 months = 90 EUR a year
		{"filter money disagrees", "Y,filter life,12,months,,,12 h/day,a year of filters costs just 45 EUR,listing,\nF,filter life,6,months,,,12 h/day,Change the filter every 6 months; filter F40-R 45 EUR,manual,\n", "CX-15 Y,F"},
		{"filter money agrees", "Y,filter life,6,months,,,12 h/day,a year of filters costs 90 EUR,listing,\nF,filter life,6,months,,,12 h/day,filter F40-R 45 EUR,listing,\n", ""},
		{"two grades", "G,filter grade,,,,,,H13 filter to EN 1822,box,\nH,filter grade,,,,,,Filter class E11 to EN 1822-1:2019,manual,\n", "FG-23 G,H"},
	} {
		got := crossOf(t, c.rows)
		if c.want == "" {
			for k, f := range got {
				t.Errorf("%s: found %s (%s)", c.name, k, f.Why)
			}
			continue
		}
		f, ok := got[c.want]
		if !ok {
			t.Errorf("%s: no %s among %v", c.name, c.want, keysOf(got))
			continue
		}
		if f.Why == "" || f.Ask == "" || f.Quote == "" || f.Source == "" {
			t.Errorf("%s: an incomplete finding %+v", c.name, f)
		}
	}
}

func keysOf(m map[string]CrossFinding) (out []string) {
	for k := range m {
		out = append(out, k)
	}
	return out
}

func TestHistories(t *testing.T) {
	s, ps := spec(t, map[string]string{"claims": "id,attribute,value,unit,bound,wording,source,captured\n" +
		"A,delivery rate,340,m3/h,,Cleans 340 m3/h,\"listing, page\",2026-04-20\n" +
		"B,delivery rate,290,m3/h,up to,Cleans up to 290 m3/h,\"listing, page\",2026-07-06\n" +
		"C,power,45,W,,45 W,\"listing, page\",2026-04-20\n" +
		"D,noise,50,dB(A),,50 dB(A),manual,2026-04-20\n"})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	hs := Histories(s.Claims)
	if len(hs) != 2 {
		t.Fatalf("%d threads: %+v", len(hs), hs)
	}
	if c := hs[0].Change; !strings.Contains(c, "fell from 340 m3/h to 290 m3/h (-15 %)") || !strings.Contains(c, "promises less") {
		t.Errorf("change: %s", c)
	}
	if c := hs[1].Change; !strings.Contains(c, "not among the claims recorded from the same source on 2026-07-06") {
		t.Errorf("dropped: %s", c)
	}
}
