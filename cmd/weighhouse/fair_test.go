package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	texts "weighhouse/templates/words"
	"weighhouse/verdict"
)

// fairCase writes a small case: files by path, tables as CSV.
func fairCase(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "case")
	if files["spec/product.csv"] == "" {
		files["spec/product.csv"] = "field,value\nmaker,Quibblewick & Daughters\nmodel,Zabble 40\n"
	}
	for name, text := range files {
		p := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// decayFiles are the logs and table of a room of 30 m3 in which natural decay runs at 0.2 1/h and the unit takes out rate m3/h
// at its setting: three runs of each, noise of 0.3 % that no clock makes (a sine), 40 minutes with a reading a minute.
func decayFiles(setting string, rate float64) map[string]string {
	out := map[string]string{"lab/room.csv": "item,value,unit,±\nlength,4,m,0.02\nwidth,3,m,0.02\nheight,2.5,m,0.02\n"}
	table := "run,state,setting,particle,log,time,value\n"
	for i := 1; i <= 3; i++ {
		for state, k := range map[string]float64{"off": 0.2, "on": 0.2 + rate/30} {
			var b strings.Builder
			b.WriteString("t [min],c\n")
			for m := 0; m <= 40; m++ {
				c := 900 * math.Exp(-k*(1+0.004*float64(i-2))*float64(m)/60) * (1 + 0.003*math.Sin(float64(7*m+i)))
				fmt.Fprintf(&b, "%d,%.4f\n", m, c)
			}
			name := fmt.Sprintf("logs/%s-%d.csv", state, i)
			out[name] = b.String()
		}
	}
	for i := 1; i <= 3; i++ {
		table += fmt.Sprintf("off%d,off,,smoke,logs/off-%d.csv,t,c\n", i, i)
	}
	for i := 1; i <= 3; i++ {
		table += fmt.Sprintf("on%d,on,%s,smoke,logs/on-%d.csv,t,c\n", i, setting, i)
	}
	out["lab/decay.csv"] = table
	return out
}

func with(files map[string]string, more ...string) map[string]string {
	out := map[string]string{}
	for k, v := range files {
		out[k] = v
	}
	for i := 0; i < len(more); i += 2 {
		out[more[i]] = more[i+1]
	}
	return out
}

const claimsHead = "id,attribute,value,unit,bound,setting,particle,basis,wording,source,captured,evidence\n"

// TestFair reads small cases as their maker's lawyer would: nothing untrue was claimed, so nothing may be contradicted and
// nothing praised that the words do not bear; and beside them cases where the evidence is sound, which stay decided. The cases
// and what is fair in them are this project's own judgement.
func TestFair(t *testing.T) {
	power := "lab/power.csv"
	watts := func(rows string) string { return "setting,watts,±\n" + rows }
	sound := func(rows string) string { return "setting,distance,level,±,background\n" + rows }
	for _, c := range []struct {
		name  string
		files map[string]string
		id    string
		want  verdict.Outcome
		says  string // in the hold, or in the notes where nothing is held
	}{
		{"the row holds a slip, the words the truth", map[string]string{"spec/claims.csv": claimsHead + `A,power,35,W,,max,,,Rated input 45 W,plate,2026-04-20,p.txt`, "p.txt": "Rated input 45 W\n", power: watts("max,45,0.5\n")},
			"A", verdict.Inconclusive, "the words give 45 W; the row says 35 W"},
		{"words of another unit", map[string]string{"spec/claims.csv": claimsHead + `A,carbon mass,500,g,,,,,Holds 300 g of carbon,box,2026-04-20,p.txt`, "p.txt": "Holds 300 g of carbon\n", "lab/weights.csv": "item,grams,±\ncarbon,310,2\n"},
			"A", verdict.Inconclusive, "300 g"},
		{"words that the page does not hold", map[string]string{"spec/claims.csv": claimsHead + `A,power,45,W,,max,,,Draws 45 W,listing,2026-04-20,p.html`, "p.html": "<p>Draws 60&nbsp;W</p>", power: watts("max,60,0.5\n")},
			"A", verdict.Inconclusive, "not in their capture p.html"},
		{"an honest copy is judged", map[string]string{"spec/claims.csv": claimsHead + `A,power,45,W,,max,,,"Draws only 45 W, ""whisper"" quiet",listing,2026-04-20,p.html`,
			"p.html": "<p>Draws only <b>45</b>&nbsp;W,\n“whis&shy;per” quiet</p>", power: watts("max,60,0.5\n")}, "A", verdict.Contradicted, ""},
		{"a converted and rounded unit is judged", map[string]string{"spec/claims.csv": claimsHead + `A,carbon mass,500,g,,,,,1.1 lb of carbon,box,2026-04-20,p.txt`, "p.txt": "1.1 lb of\ncarbon\n", "lab/weights.csv": "item,grams,±\ncarbon,310,2\n"},
			"A", verdict.Contradicted, ""},
		{"a photograph: judged, its words not checked", map[string]string{"spec/claims.csv": claimsHead + `A,power,45,W,,max,,,Rated 45 W,plate,2026-04-20,p.png`, "p.png": "\x89PNG", power: watts("max,60,0.5\n")},
			"A", verdict.Contradicted, ""},
		{"a level without a setting, met at sleep", map[string]string{"spec/claims.csv": claimsHead + `A,noise,24,dB(A),,,,1 m; sound pressure,Only 24 dB(A) at 1 m,listing,2026-04-20,`, "lab/sound.csv": sound("max,1,52,1,15\nsleep,1,24.2,1,15\n")},
			"A", verdict.Inconclusive, `"sleep"`},
		{"a level without a setting, only the highest measured", map[string]string{"spec/claims.csv": claimsHead + `A,noise,24,dB(A),,,,1 m; sound pressure,Only 24 dB(A) at 1 m,listing,2026-04-20,`, "lab/sound.csv": sound("max,1,52,1,15\n")},
			"A", verdict.Inconclusive, `only "max" was measured`},
		{"a level that says max is judged", map[string]string{"spec/claims.csv": claimsHead + `A,noise,24,dB(A),,,,1 m; sound pressure,Max. 24 dB(A) at 1 m,listing,2026-04-20,`, "lab/sound.csv": sound("max,1,52,1,15\nsleep,1,24.2,1,15\n")},
			"A", verdict.Contradicted, ""},
		{"a level without a setting that no setting meets", map[string]string{"spec/claims.csv": claimsHead + `A,noise,24,dB(A),,,,1 m; sound pressure,24 dB(A) at 1 m,listing,2026-04-20,`, "lab/sound.csv": sound("max,1,62,1,15\nsleep,1,45,1,15\n")},
			"A", verdict.Contradicted, ""},
		{"a yearly energy without a setting", map[string]string{"spec/claims.csv": claimsHead + `A,annual energy,90,kWh,,,,24 h/day,90 kWh a year at 24 hours a day,manual,2026-04-20,`, power: watts("max,45,0.3\nlow,10,0.3\n")},
			"A", verdict.Inconclusive, `"low"`},
		{"watts without a setting are rated watts", map[string]string{"spec/claims.csv": claimsHead + `A,power,45,W,,,,,Rated 45 W,plate,2026-04-20,`, power: watts("max,60,0.3\nlow,10,0.3\n")},
			"A", verdict.Contradicted, `judged at the highest, "max"`},
		{"words that name the setting the row leaves out", map[string]string{"spec/claims.csv": claimsHead + `A,power,10,W,,,,,Sips 10 W in sleep mode,listing,2026-04-20,`, power: watts("max,60,0.3\nsleep,10,0.3\n")},
			"A", verdict.Inconclusive, "the setting sleep"},
		{"other spellings of a setting", map[string]string{"spec/claims.csv": claimsHead + `A,power,20,W,,Medium speed,,,20 W on medium speed,listing,2026-04-20,`, power: watts("max,60,0.3\nmedium,19,0.3\n")},
			"A", verdict.Supported, `"medium"`},
		{"a buyer's figure", map[string]string{"spec/claims.csv": claimsHead + `A,power,20,W,,max,,,I read 20 W on it,"listing, customer photo",2026-04-20,`, power: watts("max,60,0.3\n")},
			"A", verdict.Inconclusive, "not the maker's"},
		{"a sibling's figure", map[string]string{"spec/claims.csv": claimsHead + `A,power,20,W,,max,,,The Zabble 20 draws 20 W,leaflet,2026-04-20,`, power: watts("max,60,0.3\n")},
			"A", verdict.Inconclusive, "zabble 20"},
		{"a number whose point was read wrongly", with(decayFiles("max", 120), "spec/claims.csv", claimsHead+`A,delivery rate,1.2,m3/h,,max,smoke,,bis zu 1.200 m³/h,listing,2026-04-20,`),
			"A", verdict.Inconclusive, "hardly meant"},
		{"a clean time counts a room's own settling", with(decayFiles("max", 60), "spec/claims.csv", claimsHead+`A,clean time,70,min,,max,smoke,30 m3; 90 %,90 % in 70 minutes,listing,2026-04-20,`),
			"A", verdict.Supported, "natural decay"},
		{"two particles, one number", with(decayFiles("max", 120), "spec/claims.csv", claimsHead+`A,delivery rate,240,m3/h,,max,smoke,,Pollen rate 240 m³/h,listing,2026-04-20,`),
			"A", verdict.Inconclusive, "the words name pollen"},
		{"half a unit, in words", map[string]string{"spec/claims.csv": claimsHead + `A,standby power,0.5,W,,,,,half a watt in standby,manual,2026-04-20,`, power: watts("standby,0.9,0.03\n")},
			"A", verdict.Contradicted, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, err := load(fairCase(t, with(c.files)), "2026-08-03")
			if err != nil {
				t.Fatal(err)
			}
			for i := range l.audit.Rows {
				r := &l.audit.Rows[i]
				if r.Claim.ID != c.id {
					continue
				}
				all := r.HoldText() + "; " + strings.Join(r.Notes, "; ")
				if r.Verdict != c.want || !strings.Contains(all, c.says) || r.Verdict == verdict.Inconclusive && r.Hold == nil {
					t.Errorf("%s, want %s saying %q\n hold: %s\n notes: %s", r.Verdict, c.want, c.says, r.HoldText(), strings.Join(r.Notes, "; "))
				}
			}
		})
	}
}

// TestFairCrossChecks: claims that fit together are not set against each other.
func TestFairCrossChecks(t *testing.T) {
	for _, c := range []struct{ name, rows, not string }{
		{"two shares removed", `A,clean time,20,min,,max,smoke,30 m3; 90 %,90 % in 20 min,box,2026-04-20,` + "\n" + `B,clean time,40,min,,max,smoke,30 m3; 99 %,99 % in 40 min,manual,2026-04-20,`, "CX-08"},
		{"lives of two filters", `A,filter life,3,months,,,,12 h/day,Wash the pre-filter every 3 months at 12 hours a day,box,2026-04-20,` + "\n" + `B,filter life,4400,h,,,,,The carbon filter lasts 4400 hours,manual,2026-04-20,`, "CX-07"},
		{"a middle speed's rate", `A,delivery rate,120,m3/h,,speed 2,smoke,,120 m³/h on speed 2,box,2026-04-20,` + "\n" + `B,room area,40,m2,,,smoke,4.8 ach; 2.4 m ceiling,Rooms of 40 m²,box,2026-04-20,`, "CX-02 high"},
		{"a comma read wrongly", `A,delivery rate,1.2,m3/h,,max,,,bis zu 1.200 m³/h (706 cfm),box,2026-04-20,`, "CX-09"},
		{"a buyer's figure", `A,power,45,W,,max,,,45 W,box,2026-04-20,` + "\n" + `B,power,60,W,,max,,,I read 60 W,"listing, customer photo",2026-04-20,`, "CX-08"},
		{"a sibling's figure", `A,power,45,W,,max,,,45 W,box,2026-04-20,` + "\n" + `B,power,60,W,,max,,,The Zabble 60 draws 60 W,leaflet,2026-04-20,`, "CX-08"},
		{"an energy of no setting", `A,power,45,W,,max,,,45 W,box,2026-04-20,` + "\n" + `B,annual energy,90,kWh,,,,24 h/day,90 kWh at 24 hours a day,box,2026-04-20,`, "CX-13 high"},
	} {
		l, err := load(fairCase(t, map[string]string{"spec/claims.csv": claimsHead + c.rows + "\n"}), "2026-08-03")
		if err != nil {
			t.Fatal(err)
		}
		rule, severity, grave := strings.Cut(c.not, " ")
		for _, f := range l.audit.Findings {
			if f.Rule == rule && (!grave || f.Severity == severity) {
				t.Errorf("%s: %s %s %s: %s", c.name, f.Rule, f.Severity, f.Claims, f.Why)
			}
		}
	}
}

// TestFairDays: what cannot have happened is an error with its cell.
func TestFairDays(t *testing.T) {
	ok := claimsHead + "A,power,45,W,,max,,,45 W,box,2026-04-20,\n"
	for _, c := range []struct {
		files map[string]string
		want  string
	}{
		{map[string]string{"spec/claims.csv": strings.ReplaceAll(ok, "2026-04-20", "2026-09-01")}, "claims.csv:2: column captured: found the capture's day 2026-09-01"},
		{map[string]string{"spec/claims.csv": ok, "spec/reply.csv": "sent,received,text\n2026-06-08,2026-06-01,Well\n"}, "reply.csv:2: column received"},
		{map[string]string{"spec/claims.csv": ok, "spec/reply.csv": "sent,deadline\n2026-06-08,2026-06-01\n"}, "reply.csv:2: column deadline"},
		{map[string]string{"spec/claims.csv": ok, "spec/reply.csv": "sent,received,text\n2026-06-08,2026-09-01,Well\n"}, "after the date of issue"},
		{map[string]string{"spec/claims.csv": ok, "lab/test.csv": "field,value\ndate,2026-09-01\n"}, "the date of issue, 2026-08-03, is before it"},
		{map[string]string{"spec/claims.csv": ok, "lab/tolerances.csv": "attribute,tolerance,unit\npower,150,%\n"}, "expected 0 to 100 %"},
	} {
		_, err := load(fairCase(t, c.files), "2026-08-03")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v", c.want, err)
		}
	}
}

// TestFairAnswers: an answer goes to the claims it names, and is no silence on what came after it.
func TestFairAnswers(t *testing.T) {
	l, err := load(fairCase(t, map[string]string{
		"spec/claims.csv": claimsHead + "C1,power,45,W,,max,,,45 W,box,2026-04-20,\nC2,noise,52,dB(A),,max,,1 m; sound pressure,52 dB(A) at 1 m,box,2026-04-20,\nC3,carbon mass,500,g,,,,,500 g of carbon,box,2026-07-06,\n",
		"spec/reply.csv":  "sent,received,text\n2026-06-08,2026-06-19,\"Good day.\nC1: the plate was misprinted.\nWe reprint it, whatever its noise.\n\nKind regards\"\n",
		"lab/power.csv":   "setting,watts,±\nmax,60,0.5\n"}), "2026-08-03")
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"C1: the plate was misprinted.\nWe reprint it, whatever its noise.", "", ""} {
		if got := l.audit.Rows[i].Answer; got != want {
			t.Errorf("%s: %q, want %q", l.audit.Rows[i].Claim.ID, got, want)
		}
	}
	if lead, _ := texts.AnswerTo(l.audit, &l.audit.Rows[2]); lead != "" {
		t.Errorf("silence on a later capture: %q", lead)
	}
}

// TestFairWords: no shortfall is stated that is not shown.
func TestFairWords(t *testing.T) {
	l, err := load(fairCase(t, with(decayFiles("max", 108), "spec/claims.csv", claimsHead+"A,delivery rate,118,m3/h,,max,smoke,,118 m³/h,box,2026-04-20,\n")), "2026-08-03")
	if err != nil {
		t.Fatal(err)
	}
	if got := l.audit.Rows[0].GapWords; !strings.HasPrefix(got, "reads ") || !strings.HasSuffix(got, ", within the uncertainty") {
		t.Errorf("%q (%s)", got, l.audit.Rows[0].Statement)
	}
}

// TestFairDoubts: what may have been written down wrongly is asked about.
func TestFairDoubts(t *testing.T) {
	l, err := load(fairCase(t, map[string]string{
		"spec/claims.csv": claimsHead + "A,power,45,W,,Super breezle,,,45 W,box,2026-04-20,\nB,power,45,W,,Super breezle,,,45 W,box,2026-04-20,\nC,delivery rate,1.2,m3/h,,max,,,1.2 m³/h,box,2026-04-20,\n",
		"spec/clams.csv":  "x\n1\n", "lab/test.csv": "field,value\ndate,04/05/2026\n", "lab/room.csv": "item,value,unit\nvolume,1409,m3\n", "lab/power.csv": "setting,watts,±\nmax,60,0.5\n"}), "2026-08-03")
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(texts.Checks(l.audit), "\n")
	for _, want := range []string{"B: the same claim stands as A", `the lab book knows no setting "Super breezle"; it has "max"`, "hardly meant", "clams", "reads two ways", "1409"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q among\n%s", want, all)
		}
	}
}
