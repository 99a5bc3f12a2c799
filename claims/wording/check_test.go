package wording

import (
	"math/rand"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// quoted checks that each quote stands at its place and that findings are in order.
func quoted(t *testing.T, text string, fs []Finding) {
	t.Helper()
	last := 0
	for _, f := range fs {
		if f.Start < last || f.End < f.Start || f.End > len(text) || text[f.Start:f.End] != f.Quote {
			t.Fatalf("%s: quote %q is not at [%d:%d] of a text of %d bytes (last start %d)", f.Rule, f.Quote, f.Start, f.End, len(text), last)
		}
		if f.Class == "" || f.Severity == "" || f.Why == "" || f.Ask == "" || f.Source == "" || f.Mark == "" {
			t.Fatalf("finding is not complete: %+v", f)
		}
		last = f.Start
	}
}

func TestQuotesStandAtTheirPlace(t *testing.T) {
	for _, x := range corpus(t) {
		for _, text := range []string{x.phrase, "• Ünïcode — ½ ™\r\n" + x.phrase + "\n", "\xff\xfe bytes\n\n" + x.phrase} {
			quoted(t, text, Check(text, Context{}))
		}
	}
}

// TestSpellings checks that hyphens, spaces, width, case, accents and marks do not hide a term, and that the quote keeps
// the original spelling.
func TestSpellings(t *testing.T) {
	for _, text := range []string{"HEPA-type", "hepa type", "HEPA\u2011Type", "HEPA\u00a0TYPE", "ＨＥＰＡ－ｔｙｐｅ", "HEPA™-type", "HEPA\u00ad-type", "HEPA – type", "H\u200bEPA type", "“HEPA”-type", "HEPA\ntype", "hepatype"} {
		fs := Check("A "+text+" filter", Context{})
		found, _ := ids(fs)
		if !slices.Contains(found, "FG-04") {
			t.Errorf("%q: found %v, want FG-04", text, found)
			continue
		}
		if i := slices.Index(found, "FG-04"); fs[i].Quote != strings.TrimPrefix(text, "“") {
			t.Errorf("%q: quote %q", text, fs[i].Quote)
		}
	}
	for _, text := range []string{"ÉLIMINE LES ODEURS", "Elimine les odeurs", "E\u0301limine les odeurs"} {
		if found, _ := ids(Check(text, Context{})); !slices.Contains(found, "GC-02") {
			t.Errorf("%q: found %v, want GC-02", text, found)
		}
	}
}

func TestContextFillsIn(t *testing.T) {
	for _, x := range []struct {
		text string
		ctx  Context
		want []string
		not  []string
	}{
		{"", Context{Attribute: "filter efficiency", Numeric: true, Value: 99.97, High: 99.97, Unit: "%"}, []string{"PE-01"}, []string{"PE-02"}},
		{"", Context{Attribute: "filter efficiency", Numeric: true, Value: 99.97, High: 99.97, Unit: "%", SizeUm: 0.3}, []string{"PE-02"}, []string{"PE-01"}},
		{"H13 element", Context{Attribute: "filter efficiency", Numeric: true, Value: 99.9, High: 99.9, Unit: "%", SizeUm: 0.3}, []string{"R2", "R22"}, []string{"R3", "R4"}},
		{"H13 element", Context{Attribute: "filter efficiency", Numeric: true, Value: 99.9, High: 99.9, Unit: "%", SizeUm: 0.3, Bound: "at least"}, []string{"R2"}, nil},
		{"H13 element", Context{Attribute: "filter efficiency", Numeric: true, Value: 99.9, High: 99.9, Unit: "%"}, []string{"R3", "PE-01"}, []string{"R2"}},
		{"H13 element", Context{Attribute: "filter efficiency", Numeric: true, Value: 99.97, High: 99.97, Unit: "%", SizeUm: 0.3}, []string{"R4"}, []string{"R2", "R3"}},
		{"", Context{Attribute: "noise", Numeric: true, Value: 30, High: 30, Unit: "dB(A)"}, []string{"NS-03", "NS-05"}, []string{"NS-04"}},
		{"", Context{Attribute: "noise", Numeric: true, Value: 30, High: 30, Unit: "dB(A)", SoundPressure: true, Setting: "low"}, []string{"NS-04"}, []string{"NS-03", "NS-05"}},
		{"", Context{Attribute: "noise", Numeric: true, Value: 30, High: 30, Unit: "dB(A)", SoundPressure: true, Setting: "low", Distance: 1}, nil, []string{"NS-03", "NS-04", "NS-05"}},
		{"", Context{Attribute: "delivery rate", Numeric: true, Value: 300, High: 300, Unit: "m3/h"}, []string{"CV-04"}, nil},
		{"", Context{Attribute: "delivery rate", Numeric: true, Value: 300, High: 300, Unit: "m3/h", Particle: "smoke"}, nil, []string{"CV-04"}},
		{"", Context{Attribute: "room area", Numeric: true, Value: 40, High: 40, Unit: "m2", Bound: "up to"}, []string{"CV-01", "CV-02"}, nil},
		{"for 40 m²", Context{Attribute: "room area", Numeric: true, Value: 40, High: 40, Unit: "m2", AirChanges: 4.8, Ceiling: 2.4}, nil, []string{"CV-01"}},
		{"lasts 6 months", Context{Attribute: "filter life", Numeric: true, Value: 4380, High: 4380, Unit: "h", HoursPerDay: 12}, []string{"FL-04"}, []string{"FL-01", "FL-03"}},
		{"H13", Context{Attribute: "filter grade", Standard: "EN 1822-1:2019", BasisText: "EN 1822-1:2019"}, []string{"FG-01"}, []string{"R22", "FG-02"}},
		{"E12", Context{Attribute: "filter grade"}, []string{"R22"}, []string{"FG-01"}},
		{"HEPA H13 to EN 1822-1:2019, 99.95 % at MPPS", Context{Attribute: "filter grade"}, []string{"FG-01"}, []string{"R1", "R3", "R14", "FG-03", "FG-06"}},
	} {
		fs := Check(x.text, x.ctx)
		quoted(t, x.text, fs)
		found, twins := ids(fs)
		found = append(found, twins...)
		for _, id := range x.want {
			if !slices.Contains(found, id) {
				t.Errorf("%q with %+v: found %v, want %s", x.text, x.ctx, found, id)
			}
		}
		for _, id := range x.not {
			if slices.Contains(found, id) {
				t.Errorf("%q with %+v: found %s", x.text, x.ctx, id)
			}
		}
	}
}

// TestNumericRules: the expected ids follow from the class limits of EN 1822-1:2019, ISO 29463-1:2017 and ANSI/ASHRAE
// 52.2 (tables second-hand) and from arithmetic (computed): 4380 h at 12 h a day are 4380/(12·365/12) = 12.0 months.
func TestNumericRules(t *testing.T) {
	for _, x := range []struct {
		text      string
		want, not []string
	}{
		{"H13, 99.9 % at 0.3 µm", []string{"R2"}, []string{"R1", "R3", "R4"}},
		{"H13 99.95 %", []string{"R14"}, []string{"R3"}},
		{"H13 filter, 99.9 %", []string{"R3", "R14"}, []string{"R2"}},
		{"H14 99.97 % at 0.3 µm", []string{"R2"}, []string{"R4"}},
		{"H13 99.97 % at 0.3 µm", []string{"R4"}, []string{"R1", "R2", "R3", "R13"}},
		{"HEPA E11", []string{"R6", "FG-11"}, nil},
		{"HEPA H12", []string{"R8", "FG-10"}, []string{"R6"}},
		{"H15", []string{"R7", "FG-20"}, nil},
		{"MERV 17", []string{"R7", "FG-14"}, nil},
		{"ISO 80 U", []string{"R7", "FG-20"}, nil},
		{"ISO ePM1 83 %", []string{"R10", "FG-15"}, nil},
		{"99.97 % down to 0.3 µm", []string{"R15"}, nil},
		{"99.97 % at 0.3 mm", []string{"R17"}, nil},
		{"99,97 % ab 0,3 µm", []string{"R15"}, nil},
		{"H13 filter, 99,975 %", []string{"R14"}, []string{"R3"}},
		{"rate: CADR 400 m³/h, air flow 350 m³/h", []string{"R23"}, nil},
		{"CADR 200 cfm, air flow 350 m³/h", nil, []string{"R23"}}, // 200 cfm = 339.8 m³/h
		{"Filter life: 6 months, 4380 h, 12 h/day", []string{"FL-03"}, nil},
		{"Filter life: 12 months, 4380 h, 12 h/day", nil, []string{"FL-03"}},
		{"Filter life: 4 months, 3000 h, 24 h/day", nil, []string{"FL-03"}}, // 4.11 months, rounded to whole months
		{"Filter life: 3 months, 3000 h, 24 h/day", []string{"FL-03"}, nil},
		{"Filter life: 2 months, 3000 hours", []string{"FL-03"}, nil}, // 49 h a day
		{"not HEPA-type", nil, []string{"FG-04", "FG-03"}},
		{"model code XH13-2", nil, []string{"R22", "FG-02"}},
	} {
		found, twins := ids(Check(x.text, Context{}))
		found = append(found, twins...)
		for _, id := range x.want {
			if !slices.Contains(found, id) {
				t.Errorf("%q: found %v, want %s", x.text, found, id)
			}
		}
		for _, id := range x.not {
			if slices.Contains(found, id) {
				t.Errorf("%q: found %s", x.text, id)
			}
		}
	}
}

// TestNoneCounted: with nothing counted behind the filter, 99.97 % needs 3.6889/0.0003 = 12 297 particles in front
// (Garwood limit for N = 0, equal to R poisson.test: 3.68887945411; computed).
func TestNoneCounted(t *testing.T) {
	if got := noneLeft / (1 - 0.9997); got < 12296 || got > 12297.5 {
		t.Errorf("99.97 %% needs %.1f particles, want 12 296 to 12 297", got)
	}
	for text, want := range map[string]string{"Removes 99.9999 % of particles": "3.7 million", "Removes 99.9995 % of particles": "738 thousand"} {
		fs := Check(text, Context{})
		if !slices.ContainsFunc(fs, func(f Finding) bool { return f.Rule == "PE-12" && strings.Contains(f.Why, want) }) {
			t.Errorf("%q: no PE-12 that names %s particles: %+v", text, want, fs)
		}
	}
}

// TestDefinedStatementIsFair checks that a complete statement draws no finding of high severity.
func TestDefinedStatementIsFair(t *testing.T) {
	for _, text := range []string{"HEPA H13 to EN 1822-1:2019, 99.95 % at MPPS", "Element ISO 35 H by ISO 29463-1:2017, 99.95 % at MPPS, 400 m3/h",
		"Smoke CADR 300 m3/h at the top setting by GB/T 18801-2022, sound power 54 dB(A) at the same setting", "Filter life 6 months at 12 h/day; it ends when the rate has fallen to half",
		"For 40 m² at 4.8 air changes per hour and 2.4 m ceiling height"} {
		for _, f := range Check(text, Context{}) {
			if f.Severity == "high" {
				t.Errorf("%q: %s %s %q", text, f.Rule, f.Class, f.Quote)
			}
		}
	}
}

// TestUnderstatedFloor: a floor below the class's own is understated, a measured value below it contradicts.
func TestUnderstatedFloor(t *testing.T) {
	for text, want := range map[string]string{"H13, ≥ 99.9 % at 0.3 µm": "UNDERSTATED-FLOOR", "H13, over 99.9 % at 0.3 µm": "UNDERSTATED-FLOOR", "H13, 99.9 % at 0.3 µm": "CONTRADICTION"} {
		for _, f := range Check(text, Context{}) {
			if f.Rule == "R2" && f.Class != want {
				t.Errorf("%q: %s, want %s", text, f.Class, want)
			}
		}
	}
}

func FuzzCheck(f *testing.F) {
	for _, s := range []string{"HEPA-type 99,97 % ab 0,3 µm", "H13/H14 ISO 35 H MERV 17", "除菌 类HEPA", "12 000 h 6-8 months 24 h/day", "a\xffb\xc3", "½ ㎡ ﷺ", "CADR (airflow"} {
		f.Add(s, "filter life")
	}
	f.Fuzz(func(t *testing.T, s, attribute string) {
		quoted(t, s, Check(s, Context{Attribute: attribute, Numeric: true, Value: 99, Unit: "%"}))
		LookupGrade(s)
	})
}

// TestScrambledText cuts, repeats and damages corpus phrases; nothing may panic and every quote must be found.
func TestScrambledText(t *testing.T) {
	const seed = 20260411
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewSource(seed))
	phrases := corpus(t)
	seps := []string{" ", ", ", "\n", "\r\n", ". ", " – ", "\x00", "\u2028", "；", "。"}
	for range 3000 {
		var b strings.Builder
		for range 1 + r.Intn(5) {
			p := phrases[r.Intn(len(phrases))].phrase
			if r.Intn(3) == 0 && len(p) > 2 {
				p = p[:r.Intn(len(p))] // may cut a character in two
			}
			b.WriteString(p + seps[r.Intn(len(seps))])
		}
		text := []byte(b.String())
		if r.Intn(2) == 0 && len(text) > 0 {
			text[r.Intn(len(text))] = byte(r.Intn(256))
		}
		quoted(t, string(text), Check(string(text), Context{}))
	}
}

func listing(n int) string {
	part := "The Lantern Row cleaner has a True HEPA filter of class H13 that removes 99.97 % of particles down to 0.3 µm. It covers up to 60 m² and is whisper-quiet at 24 dB in sleep mode, with a CADR of 400 m³/h. " +
		"Replace the filter every 6 months; the smart filter indicator tells you when. Der Filter ist HEPA-ähnlich. 类HEPA滤网。 The housing is white, the cord 1.8 m long, and two people carry it up the stairs of the reading room.\n"
	return strings.Repeat(part, n/len(part)+1)[:n]
}

func BenchmarkCheck(b *testing.B) {
	for _, x := range []struct {
		name, text string
	}{
		{"listing100kB", listing(100_000)}, {"listing1MB", listing(1_000_000)}, {"digits100kB", strings.Repeat("1 ", 50_000)}, {"oneWord100kB", strings.Repeat("a", 100_000)},
		{"hepa100kB", strings.Repeat("hepa ", 20_000)}, {"cjk100kB", strings.Repeat("类高效", 11_111)},
	} {
		if !utf8.ValidString(x.text) && x.name != "listing100kB" && x.name != "listing1MB" {
			b.Fatal("the text is not UTF-8")
		}
		b.Run(x.name, func(b *testing.B) {
			b.SetBytes(int64(len(x.text)))
			for b.Loop() {
				Check(x.text, Context{})
			}
		})
	}
}
