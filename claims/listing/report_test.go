package listing

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/source"
)

func vet(t testing.TB, body string) Report {
	t.Helper()
	x, err := Read("a.txt", strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	return Vet(x)
}

func hasRule(fs []Found, rule, quote string) bool {
	return slices.ContainsFunc(fs, func(f Found) bool { return f.Rule == rule && strings.Contains(f.Quote, quote) })
}

// TestUnitsThatDisagree: 200 cfm is 339.80 m³/h and 430 ft² is 39.95 m² (exact international foot). Rounding alone is no
// disagreement.
func TestUnitsThatDisagree(t *testing.T) {
	for _, c := range []struct {
		text   string
		beyond bool
	}{
		{"CADR 340 m³/h (200 cfm)", false},
		{"CADR 200 cfm (339.8 m³/h)", false},
		{"CADR 350 m³/h (200 cfm)", false}, // 350 may stand for 345, 200 cfm for 205
		{"CADR 360 m³/h (200 cfm)", true},
		{"CADR 200 cfm (400 m³/h)", true},
		{"Room size 60 m² / 645 sq ft", false},
		{"Room size 60 m² (650 sq ft)", false},
		{"Room size 52 m² (430 sq ft)", true},
		{"Room size 25–40 m² (270–430 ft²)", false},
		{"Room size 25–40 m² (270–500 ft²)", true},
	} {
		r := vet(t, c.text)
		if len(r.Claims) != 1 {
			t.Errorf("%q: %d claims, want 1", c.text, len(r.Claims))
			continue
		}
		if got := hasRule(r.Findings, "CX-09", ""); got != c.beyond {
			t.Errorf("%q: CX-09 %v, want %v", c.text, got, c.beyond)
		}
	}
}

func TestRateAboveFlow(t *testing.T) {
	if r := vet(t, "Airflow: 300 m³/h\nCADR (smoke): 400 m³/h\n"); !hasRule(r.Findings, "CX-01", "400") {
		t.Error("a delivery rate above the air flow gave no CX-01")
	}
	if r := vet(t, "Airflow: 500 m³/h\nCADR (smoke): 400 m³/h\n"); hasRule(r.Findings, "CX-01", "") {
		t.Error("a delivery rate below the air flow gave CX-01")
	}
}

// TestMissingConditions: what a claim leaves out is asked once, at its place.
func TestMissingConditions(t *testing.T) {
	r := vet(t, "Noise: 50 dB(A)\nCADR: 300 m³/h\nCoverage: 40 m²\n")
	for _, rule := range []string{"NS-03", "CV-04", "CV-01"} {
		n := 0
		for _, f := range r.Findings {
			if f.Rule == rule || slices.Contains(f.Also, rule) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s: found %d times, want once", rule, n)
		}
	}
	r = vet(t, "Sound power level: 50 dB(A) on turbo\nCADR (smoke): 300 m³/h\nCoverage: 26 m² at 4.8 ACH with a 2.4 m ceiling\n")
	for _, rule := range []string{"NS-03", "NS-05", "CV-01"} {
		if hasRule(r.Findings, rule, "") {
			t.Errorf("%s: found although the listing states it", rule)
		}
	}
}

// TestRooms: 340 m³/h for 60 m² under 2.4 m is 340/(60·2.4) = 2.361 air changes an hour; by the 5-air-changes rule the
// rate serves 340/(5·2.4) = 28.33 m² (arithmetic; rule: US CDC, 12 May 2023, as the table of rules cites it).
func TestRooms(t *testing.T) {
	r := vet(t, "For rooms up to 60 m². CADR (smoke): 340 m³/h. Cleans a 30 m² room in 12.7 minutes.")
	if len(r.Rooms) != 1 || math.Abs(r.Rooms[0].AirChanges-340/(60*2.4)) > 1e-12 || r.Rooms[0].Stated {
		t.Fatalf("rooms %+v", r.Rooms)
	}
	if len(r.Rooms[0].Meets)+len(r.Rooms[0].Misses) != len(measure.AreaRules()) || len(r.Areas) != len(measure.AreaRules()) {
		t.Errorf("%d rules met, %d missed, %d areas, of %d rules", len(r.Rooms[0].Meets), len(r.Rooms[0].Misses), len(r.Areas), len(measure.AreaRules()))
	}
	i := slices.IndexFunc(r.Areas, func(a Area) bool { return a.Rule == "5-ach" })
	if i < 0 || math.Abs(r.Areas[i].Area-340.0/12) > 1e-9 {
		t.Errorf("areas %+v", r.Areas)
	}
	// 340·12.7/60 = 71.97 m³ of a 72 m³ room: one volume, 1 − 1/e = 63.2 % (CDC table B.1 is the same formula).
	if len(r.Times) != 1 || math.Abs(r.Times[0].Removed-0.632) > 0.001 {
		t.Errorf("times %+v", r.Times)
	}
}

// TestCosts: 45 W all day is 394.2 kWh, at 0.30 a kWh 118.26; 45 W for 16 h with 2 W for 8 h is 268.64 kWh, 80.592
// (computed: 45·24·0.365; (45·16 + 2·8)·0.365). A filter of 3000 h at 8 h a day is 0.9733 a year.
func TestCosts(t *testing.T) {
	r := vet(t, "Power: 45 W\nStandby: 2 W\nElectricity: 0.30 €/kWh\nReplacement filter: €30\nFilter life: 3000 h\n")
	if len(r.Costs) != 4 {
		t.Fatalf("%d costs, want 4: %v %v", len(r.Costs), r.Costs, r.Notes)
	}
	for i, w := range []struct{ hours, kwh, energy, filters float64 }{{24, 394.2, 118.26, 2.92}, {16, 268.64, 80.592, 1.946667}, {12, 205.86, 61.758, 1.46}, {8, 143.08, 42.924, 0.973333}} {
		c := r.Costs[i]
		if c.Hours != w.hours || math.Abs(c.EnergyKWh-w.kwh) > 1e-9 || c.EnergyCost == nil || math.Abs(*c.EnergyCost-w.energy) > 1e-9 ||
			c.Filters == nil || math.Abs(*c.Filters-w.filters) > 1e-6 || c.Total == nil || math.Abs(*c.Total-w.energy-30*w.filters) > 1e-4 {
			t.Errorf("cost %+v, want %+v", c, w)
		}
	}
	r = vet(t, "Power: 45 W\nElectricity: 0.30 €/kWh\nReplacement filter: $30\nFilter life: 3000 h\n")
	if len(r.Costs) == 0 || r.Costs[0].Total != nil {
		t.Errorf("euros and dollars were added: %+v", r.Costs)
	}
	if r = vet(t, "CADR: 300 m³/h"); len(r.Costs) != 0 || len(r.Notes) == 0 {
		t.Errorf("a cost without watts: %+v", r.Costs)
	}
}

func TestQuestions(t *testing.T) {
	r := Vet(readFile(t, "marketplace.txt"))
	seen := map[string]bool{}
	for _, q := range r.Questions {
		if seen[q] {
			t.Errorf("asked twice: %q", q)
		}
		seen[q] = true
	}
	if len(r.Questions) < 3 {
		t.Errorf("questions %q", r.Questions)
	}
	r = vet(t, "An air cleaner. Very nice.")
	for _, want := range []string{"delivery rate", "dB(A)", "watts", "replacement filters"} {
		if !strings.Contains(strings.Join(r.Questions, "\n"), want) {
			t.Errorf("an empty listing does not ask about %q", want)
		}
	}
}

// TestNoVerdict: nothing that the package writes calls a product good or bad, or a seller dishonest.
func TestNoVerdict(t *testing.T) {
	for _, name := range listings(t) {
		r := Vet(readFile(t, name))
		r.Cautions = nil // they say that it does not
		b, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		low := " " + strings.ToLower(string(b)) + " "
		for _, w := range []string{" false ", " fake", " fraud", " lie ", " lies ", " illegal", "is bad", "is good", "recommend"} {
			if strings.Contains(low, w) && !strings.Contains(strings.ToLower(readFile(t, name).Body), strings.TrimSpace(w)) {
				t.Errorf("%s: the report says %q", name, w)
			}
		}
	}
}

// TestSpecRoundTrip: the tables, written as a spec folder, are read by the program's own reader without a problem, and
// say the same.
func TestSpecRoundTrip(t *testing.T) {
	for _, name := range listings(t) {
		r := Vet(readFile(t, name))
		tables := r.Spec()
		dir := t.TempDir()
		if err := os.Mkdir(filepath.Join(dir, "spec"), 0o755); err != nil {
			t.Fatal(err)
		}
		for file, rows := range map[string][][]string{"product.csv": tables.Product, "claims.csv": tables.Claims} {
			var b strings.Builder
			w := csv.NewWriter(&b)
			if err := w.WriteAll(rows); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, "spec", file), []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		f, err := sheet.OpenFolder(dir)
		if err != nil {
			t.Fatal(err)
		}
		book, err := f.Book("spec")
		if err != nil {
			t.Fatal(err)
		}
		spec, ps := claims.Read(book)
		f.Close()
		if err := ps.Err(); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(spec.Claims) != len(r.Claims) {
			t.Errorf("%s: %d claims read back of %d", name, len(spec.Claims), len(r.Claims))
			continue
		}
		for i, got := range spec.Claims {
			want := r.Claims[i].Claim
			same := got.Attribute == want.Attribute && got.Bound == want.Bound && got.Setting == want.Setting && got.Particle == want.Particle &&
				got.Calendar == want.Calendar && slices.Equal(got.Basis.Parts, want.Basis.Parts) && (got.Claimed == nil) == (want.Claimed == nil)
			if same && got.Claimed != nil {
				same = math.Abs(got.Claimed.Low-want.Claimed.Low) < 1e-9*(1+want.Claimed.Low) && math.Abs(got.Claimed.High-want.Claimed.High) < 1e-9*(1+want.Claimed.High) &&
					got.Claimed.Unit == want.Claimed.Unit
			}
			if !same {
				t.Errorf("%s: %s read back as %+v of %+v; want %+v of %+v", name, want.ID, got.Claimed, got, want.Claimed, want)
			}
		}
	}
}

func TestReportJSON(t *testing.T) {
	b, err := json.Marshal(Vet(readFile(t, "shop.html")))
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Claims []struct {
			ID, Attribute, Quote, Understood string
			Line, Column                     int
			Claimed                          *struct{ Low, High float64 }
		}
		Findings []struct{ Rule, Quote, Why, Ask string }
	}
	if err := json.Unmarshal(b, &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Claims) != 11 || got.Claims[0].ID != "C1" || got.Claims[0].Line != 8 || got.Claims[0].Claimed.Low != 60 || len(got.Findings) == 0 {
		t.Errorf("json %s", b)
	}
}

// TestWordsTable: every row has a source and a mark, and a topic names an attribute or a condition.
func TestWordsTable(t *testing.T) {
	for _, w := range Words() {
		if source.Fault(w.Source, w.Mark) != "" || len(w.Words) == 0 || w.Words[0] == "" {
			t.Errorf("row %v lacks a source, a mark or words", w)
		}
		if _, ok := claims.Lookup(w.Value); w.Kind == "topic" && !ok && !slices.Contains([]string{"air flow", "ceiling", "distance"}, w.Value) {
			t.Errorf("topic %q is no attribute", w.Value)
		}
	}
}

// TestNumbers: both decimal habits (contract), thousands, and what is no number.
func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		text  string
		comma bool
		want  float64
		rest  string
	}{
		{"1,482 x", false, 1482, " x"}, {"1,482 x", true, 1.482, " x"}, {"1.482", true, 1482, ""}, {"1.482", false, 1.482, ""},
		{"3,5", false, 3.5, ""}, {"3.5", true, 3.5, ""}, {"1.234,5", true, 1234.5, ""}, {"1,234.5", false, 1234.5, ""}, {"1.234.567", true, 1234567, ""},
		{"0,003", true, 0.003, ""}, {"0.005", true, 0.005, ""}, {"0,005", false, 0.005, ""}, {"2 000 h", true, 2000, " h"}, {"2 000 h", false, 2, " 000 h"},
		{"2\u202f000", false, 2000, ""}, {"1'500", false, 1500, ""}, {"99,97 %", true, 99.97, " %"}, {"45.", false, 45, "."}, {"12, 13", false, 12, ", 13"},
	} {
		n, ok := scanNumber(c.text, 0, c.comma)
		if !ok || n.value != c.want || c.text[n.end:] != c.rest {
			t.Errorf("%q (comma %v): %v and rest %q, want %v and %q", c.text, c.comma, n.value, c.text[n.end:], c.want, c.rest)
		}
	}
	if n, ok := scanNumber("1.2.3", 0, false); ok {
		t.Errorf("1.2.3 is read as %v", n.value)
	}
}

// TestBoundsAndTopics: words that bound a number, and words near it that must not hide what it is about.
func TestBoundsAndTopics(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Captures more than 99.9 % of dust at 0.3 µm.", "filter efficiency: at least 99.9 %, 0.3 um"},
		{"Retient plus de 99,9 % des particules de 0,3 µm pour les chambres et le salon.", "filter efficiency: at least 99.9 %, 0.3 um"},
		{"Filtert mehr als 99,5 % der Partikel und ist für die Küche.", "filter efficiency: at least 99.5 %"},
		{"Noise: not more than 48 dB(A) on high.", "noise: at most 48 dB(A), at the setting \"high\""},
		{"Power: about 45 W.", "power: about 45 W, at the highest setting (none stated)"},
		{"From 24 dB(A)", "noise: at most 24 dB(A), at the lowest setting"},
		{"Delivers up to 400 m³/h of clean air; CADR by our own test.", "delivery rate: up to 400 m3/h, at the highest setting (none stated)"},
		{"Change the filter every 6 months.", "filter life: at least 4380 h by the calendar (6 months) (bound not stated)"},
	} {
		r := vet(t, c.text)
		if len(r.Claims) != 1 || r.Claims[0].Understood != c.want {
			t.Errorf("%q: %+v, want %q", c.text, r.Claims, c.want)
		}
	}
}
