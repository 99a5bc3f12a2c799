package measure

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"

	"weighhouse/measure/fit"
	"weighhouse/measure/uncertainty"
)

// loads makes loading rows with one u.
func loads(u float64, hoursAndRates ...float64) []LoadPoint {
	var out []LoadPoint
	for i := 0; i < len(hoursAndRates); i += 2 {
		out = append(out, LoadPoint{Hours: hoursAndRates[i], Rate: hoursAndRates[i+1], U: u, Dose: math.NaN()})
	}
	return out
}

func oneLife(t *testing.T, ps []LoadPoint) Measurement {
	t.Helper()
	ms, problems := ReduceLoading(ps)
	if len(ms) != 1 || len(problems) != 0 {
		t.Fatalf("%d results, problems %v", len(ms), problems)
	}
	wantPrintable(t, ms[0])
	return ms[0]
}

// The fit against gonum's weighted regression and package fit, and the prediction against GUM H.3: t − 20 and b of the
// thermometer calibration, b(30) = −0.14937681273248 with u = 0.00413859575285 and 9 degrees of freedom (JCGM 100:2008).
func TestDeclineFitAgainstGUM(t *testing.T) {
	temp := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	b := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	x := make([]float64, len(temp))
	none := make([]float64, len(temp))
	for i := range temp {
		x[i] = temp[i] - 20
	}
	f, err := fitDecline(x, b, none)
	if err != nil {
		t.Fatal(err)
	}
	wantRel(t, "y1", f.start(), -0.171203790131, 1e-9)
	wantRel(t, "y2", f.b, 0.00218269773989, 1e-9)
	wantRel(t, "s(y2)", f.ub, 0.000667938773228, 1e-9)
	wantRel(t, "s(y1)", math.Hypot(f.uy, f.ub*f.x), 0.00287759783516, 1e-9)
	wantRel(t, "b(30)", f.at(10), -0.14937681273248, 1e-9)
	wantRel(t, "u(b(30))", math.Hypot(f.uy, f.ub*(10-f.x)), 0.00413859575285, 1e-9)
	wantAbs(t, "degrees of freedom", f.dof, 9, 0)

	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 6))
	for range 200 {
		n := 3 + rng.IntN(8)
		x, y, u, w := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range x {
			x[i], u[i] = 100*float64(i)+20*rng.Float64(), 1+9*rng.Float64()
			y[i], w[i] = 300-0.1*x[i]+u[i]*rng.NormFloat64(), 1/(u[i]*u[i])
		}
		f, err := fitDecline(x, y, u)
		if err != nil {
			t.Fatal(err)
		}
		alpha, beta := stat.LinearRegression(x, y, w, false)
		wantRel(t, "gonum intercept", f.start(), alpha, 1e-9)
		wantRel(t, "gonum slope", f.b, beta, 1e-8)
		l, err := fit.Weighted(x, y, w)
		if err != nil {
			t.Fatal(err)
		}
		wantRel(t, "slope error over residual scatter", f.ub*l.S, l.SESlope*f.birge, 1e-9)
	}
}

// A line known beforehand: 300 m³/h falling by 0.05 an hour crosses 150 at 3000 h; u by the law of propagation with the
// covariance of intercept and slope, GUM 5.2.2 eq. (13).
func TestLifeWithinTheReadings(t *testing.T) {
	ps := loads(4, 0, 300, 1000, 250, 2000, 200, 3000, 150, 4000, 100)
	m := oneLife(t, ps)
	wantRel(t, "crossing", m.Value, 3000, 1e-9)
	if m.Has(Extrapolated) || m.Attribute != "filter life" || m.Unit != "h" {
		t.Errorf("%+v", m)
	}
	// Σw = 5/16, x̄ = 2000, Σw(x−x̄)² = 1e7/16: u²(b) = 1.6e-6, u²(a) = 16/5 + 2000²·1.6e-6, cov = −2000·1.6e-6.
	ub2 := 1.6e-6
	ua2, cov := 16.0/5+2000*2000*ub2, -2000*ub2
	ca, cb := 1/(2*0.05), 300/(2*0.05*0.05)
	wantRel(t, "u with covariance", m.Std, math.Sqrt(ca*ca*ua2+cb*cb*ub2+2*ca*cb*cov), 1e-9)
	// Fieller: the ends are where the margin is 1.96 of its own uncertainty, so the exact tails there are 2.5 %.
	lo, _ := m.Exact.AtLeast(m.Interval[0])
	hi, _ := m.Exact.AtLeast(m.Interval[1])
	wantAbs(t, "lower end", lo, 0.975, 1e-9)
	wantAbs(t, "upper end", hi, 0.025, 1e-9)
	mid, _ := m.Exact.AtLeast(m.Value)
	wantAbs(t, "at the value", mid, 0.5, 1e-9)
}

func TestLifeBeyondTheReadings(t *testing.T) {
	in := oneLife(t, loads(4, 0, 300, 1000, 250, 2000, 200, 3000, 150))
	out := oneLife(t, loads(4, 0, 300, 300, 285, 600, 270, 900, 255))
	if in.Has(Extrapolated) || !out.Has(Extrapolated) {
		t.Errorf("%v, %v", in.Warnings, out.Warnings)
	}
	wantRel(t, "crossing", out.Value, 3000, 1e-9)
	u, _ := component(t, out, "shape of the decline")
	// By hand: the exponential through these four points crosses near 3830 h; 830/√3 = 479.
	if u < 400 || u > 600 {
		t.Errorf("shape %g h", u)
	}
	if out.Interval[1]-out.Interval[0] <= 2*in.Expanded {
		t.Errorf("not widened: %v, %v", out.Interval, in.Interval)
	}
}

func TestLifeByDose(t *testing.T) {
	ps := loads(4, 0, 300, 1000, 250, 2000, 200, 3000, 150)
	for i := range ps {
		ps[i].Dose = 4000 * float64(i)
	}
	if m := oneLife(t, ps); !strings.Contains(m.Method, "half is reached at 12000 mg") {
		t.Errorf("method %q", m.Method)
	}
}

// TestNoDeclineIsABound: a rate that has not fallen supports a life within the readings, and decides nothing beyond them.
func TestNoDeclineIsABound(t *testing.T) {
	bound := func(ps []LoadPoint) Measurement {
		ms, problems := ReduceLoading(ps)
		if len(ms) != 1 || len(problems) != 0 {
			t.Fatalf("%+v, %v", ms, problems)
		}
		return ms[0]
	}
	for name, ps := range map[string][]LoadPoint{
		"level":               loads(4, 0, 300, 1000, 300, 2000, 300),
		"rising":              loads(4, 0, 300, 1000, 310, 2000, 320),
		"not distinguishable": loads(20, 0, 300, 1000, 297, 2000, 295),
	} {
		m := bound(ps)
		if m.Value != 2000 || !m.Has(LowerBound) || m.Interval[0] != 2000 {
			t.Errorf("%s: %+v", name, m)
		}
		if p, note := m.Exact.AtLeast(1900); p < 0.95 || note != "" {
			t.Errorf("%s: within the readings p = %g, %q", name, p, note)
		}
		if p, note := m.Exact.AtLeast(2100); p != 0.5 || note == "" {
			t.Errorf("%s: beyond the readings p = %g, %q", name, p, note)
		}
	}
	wild := bound(loads(400, 0, 300, 1000, 297, 2000, 295))
	if wild.Interval[0] != 0 || !strings.Contains(wild.Warnings[0].Text, "neither show nor exclude") {
		t.Errorf("readings that exclude nothing: %+v", wild)
	}
}

func TestNoDeclineIsAProblem(t *testing.T) {
	for name, ps := range map[string][]LoadPoint{
		"one point":      loads(4, 0, 300),
		"one load twice": loads(4, 500, 300, 500, 290),
		"two without u":  loads(math.NaN(), 0, 300, 1000, 200),
		"below zero":     loads(4, 0, -300, 1000, -310),
	} {
		ms, problems := ReduceLoading(ps)
		if len(ms) != 0 || len(problems) != 1 || problems[0].Text == "" {
			t.Errorf("%s: %+v, %v", name, ms, problems)
		}
	}
	bad := loads(4, math.NaN(), 300, -1, 300, 0, math.Inf(1))
	if ms, problems := ReduceLoading(bad); len(ms) != 0 || len(problems) != 3 {
		t.Errorf("%v, %v", ms, problems)
	}
}

func TestLifeWarns(t *testing.T) {
	m := oneLife(t, loads(4, 500, 280, 1500, 220, 2500, 176))
	for _, f := range []Flag{FewLoads, "no initial rate", ScatteredRuns} {
		if !m.Has(f) {
			t.Errorf("flag %q is missing: %v", f, m.Warnings)
		}
	}
	free := oneLife(t, loads(math.NaN(), 0, 300, 1000, 249, 2000, 202, 3000, 149, 4000, 100))
	if free.DOF != 3 {
		t.Errorf("without ± the residuals decide, 3 degrees of freedom: %g", free.DOF)
	}
}

// Coverage of the interval by simulation: a straight decline read with known u. 2 000 trials: three standard errors of
// 95 % are 1.5 %. Also that no result has a number that cannot be printed.
func TestLifeCoverage(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 7))
	const trials = 2000
	held, right, refuted := 0, 0, 0
	for range trials {
		var ps []LoadPoint
		for h := 0.0; h <= 4000; h += 500 {
			ps = append(ps, LoadPoint{Hours: h, Rate: 300 - 0.045*h + 12*rng.NormFloat64(), U: 12, Dose: math.NaN()})
		}
		ms, _ := ReduceLoading(ps)
		if len(ms) != 1 {
			continue
		}
		m := ms[0]
		wantPrintable(t, m)
		right++
		truth := 300 / (2 * 0.045)
		if m.Interval[0] <= truth && truth <= m.Interval[1] {
			held++
		}
		if p, _ := m.Exact.AtLeast(truth); p <= 0.05 {
			refuted++
		}
	}
	t.Logf("%d results; the interval holds the truth in %.1f %%, a claim just true is contradicted in %.1f %%", right, 100*float64(held)/float64(right), 100*float64(refuted)/float64(right))
	if right < trials || held < 94*right/100 || refuted > 6*right/100 {
		t.Errorf("held %d, contradicted %d of %d", held, refuted, right)
	}
}

// Order of rows and the unit of hours change nothing they should not.
func TestLifeProperties(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 8))
	for range 200 {
		var ps, scaledRows []LoadPoint
		n := 4 + rng.IntN(5)
		for i := range n {
			p := LoadPoint{Hours: 400 * float64(i), Rate: 300 - 20*float64(i) + 5*rng.NormFloat64(), U: 3 + 4*rng.Float64(), Dose: math.NaN()}
			ps = append(ps, p)
			p.Rate, p.U, p.Hours = 1.7*p.Rate, 1.7*p.U, 3*p.Hours
			scaledRows = append(scaledRows, p)
		}
		rng.Shuffle(n, func(i, j int) { scaledRows[i], scaledRows[j] = scaledRows[j], scaledRows[i] })
		a, pa := ReduceLoading(ps)
		b, pb := ReduceLoading(scaledRows)
		if len(a) != len(b) || len(pa) != len(pb) {
			t.Fatalf("%v %v", pa, pb)
		}
		if len(a) == 1 {
			wantRel(t, "three times the hours", b[0].Value, 3*a[0].Value, 1e-8)
			wantRel(t, "three times U", b[0].Expanded, 3*a[0].Expanded, 1e-7)
			if b[0].Has(LowerBound) && a[0].Has(LowerBound) { // no upper end
				continue
			}
			wantRel(t, "upper end", b[0].Interval[1], 3*a[0].Interval[1], 1e-7)
		}
	}
}

// NIST StRD Norris through this package's own line: the slope and its standard
// deviation to the digits that double precision allows.
func TestDeclineFitAgainstNorris(t *testing.T) {
	text, err := os.ReadFile("../testdata/strd/norris.csv")
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var x, y, u []float64
	for _, row := range rows {
		if len(row) < 2 {
			continue
		}
		yi, e1 := strconv.ParseFloat(strings.TrimSpace(row[0]), 64)
		xi, e2 := strconv.ParseFloat(strings.TrimSpace(row[1]), 64)
		if e1 == nil && e2 == nil {
			x, y, u = append(x, xi), append(y, yi), append(u, 0)
		}
	}
	if len(x) != 36 {
		t.Fatalf("%d rows of Norris, 36 expected", len(x))
	}
	f, err := fitDecline(x, y, u)
	if err != nil {
		t.Fatal(err)
	}
	wantRel(t, "B1", f.b, 1.00211681802045, 1e-10)
	wantRel(t, "sd of B1", f.ub, 0.000429796848199937, 1e-10)
	wantRel(t, "B0", f.start(), -0.262323073774029, 1e-9)
	wantAbs(t, "t with 34 degrees of freedom", uncertainty.Quantile(0.975, f.dof), 2.0322, 1e-4)
}
