package qualification

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, abs float64) {
	t.Helper()
	if !(math.Abs(got-want) <= abs) {
		t.Errorf("%s = %.6g, want %.6g", what, got, want)
	}
}

// The thirteen trials of BCG vaccine (Colditz et al., JAMA 271 (1994) 698, the standard worked example of random-effects
// models; counts from memory, confirmed by the published Q): diseased and not, vaccinated and not.
var bcg = [][4]float64{{4, 119, 11, 128}, {6, 300, 29, 274}, {3, 228, 11, 209}, {62, 13536, 248, 12619}, {33, 5036, 47, 5761},
	{180, 1361, 372, 1079}, {8, 2537, 10, 619}, {505, 87886, 499, 87892}, {29, 7470, 45, 7232}, {17, 1699, 65, 1600},
	{186, 50448, 141, 27197}, {5, 2493, 3, 2338}, {27, 16886, 29, 17825}}

// Log risk ratios of the trials: Q 152.2330, Paule and Mandel tau² 0.3181, mean -0.7150, standard error 0.1809, as printed
// by general statistics packages (from memory).
func TestPauleMandelTrials(t *testing.T) {
	var d, v []float64
	for _, r := range bcg {
		n1, n2 := r[0]+r[1], r[2]+r[3]
		d = append(d, math.Log(r[0]/n1)-math.Log(r[2]/n2))
		v = append(v, 1/r[0]-1/n1+1/r[2]-1/n2)
	}
	tau2, mean, se := PauleMandel(d, v)
	near(t, "tau²", tau2, 0.3181, 5e-5)
	near(t, "mean", mean, -0.7150, 5e-5)
	near(t, "se", se, 0.1809, 5e-5)
	var refs []Reference // Q through the type that the room uses
	for i := range d {
		refs = append(refs, Reference{Measured: math.Exp(d[i]), Certified: 1, Repeat: math.Sqrt(v[i]), CommonShare: 0})
	}
	m := &Model{References: refs}
	h := m.Heterogeneity()
	near(t, "Q", h.Q, 152.2330, 5e-5)
	near(t, "I²", h.I2, 1-12/152.2330, 1e-6)
}

// The worked example of the method's own check values (computed independently, also on a two-dimensional grid).
func example() []Reference {
	y := []float64{171, 268, 405, 96, 232, 310, 142, 355}
	c := []float64{180, 290, 455, 98, 246, 345, 149, 401}
	u := []float64{.05, .05, .05, .06, .05, .05, .06, .05}
	s := []float64{.015, .012, .018, .020, .015, .014, .017, .016}
	x := []float64{4.75, 7.4, 11.2, 2.7, 6.4, 8.6, 3.9, 9.9}
	var refs []Reference
	for i := range y {
		refs = append(refs, Reference{Name: string(rune('A' + i)), Laboratory: "one", Maker: string(rune('A' + i%3)), Measured: y[i], Repeat: s[i],
			Certified: c[i], CertifiedU: u[i] / 2 * c[i], CommonShare: 0, X: x[i]})
	}
	return refs
}

func TestExample(t *testing.T) {
	m, err := Fit(example())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "tau", m.Tau, 0.01229, 5e-6)
	for _, w := range []Prediction{{3, -0.03346, 0.02115, 0.02660, 6.62}, {6, -0.06542, 0.01290, 0.02066, 5.23}, {10, -0.10803, 0.01750, 0.02380, 5.77}} {
		p := m.Predict(w.X)
		near(t, "m", p.M, w.M, 5e-6)
		near(t, "u_line", p.ULine, w.ULine, 5e-6)
		near(t, "u_P", p.UP, w.UP, 5e-6)
		near(t, "nu", p.DOF, w.DOF, 5e-3)
	}
	for i, z := range m.LeaveOneOut() {
		near(t, "leave one out", z, []float64{0.03, 0.04, 0.16, 0.30, 0.35, -0.45, -0.14, -0.50}[i], 5e-3) // the first is printed as 0.00 in the source; derived anew it is 0.0304
	}
}

// The same example with the third unit's d less by 0.25.
func TestOddUnit(t *testing.T) {
	refs := example()
	refs[2].Measured *= math.Exp(-0.25)
	m, err := Fit(refs)
	if err != nil {
		t.Fatal(err)
	}
	p := m.Predict(6)
	near(t, "m", p.M, -0.08269, 5e-6)
	near(t, "u_P", p.UP, 0.07468, 5e-6)
	near(t, "nu", p.DOF, 9.33, 5e-3)
	near(t, "tau", m.Tau, 0.06669, 5e-6)
	near(t, "z", m.LeaveOneOut()[2], -5.34, 5e-3)
	fs, err := m.Findings()
	if err != nil {
		t.Fatal(err)
	}
	odd := 0
	for _, f := range fs {
		if f.Code == "odd unit" {
			odd++
		}
	}
	if odd != 1 {
		t.Errorf("%d odd units, want 1: %v", odd, fs)
	}
}

// Without units the weak knowledge alone stands: GUM-like sanity of the starting point.
func TestFewUnits(t *testing.T) {
	if _, err := Fit(nil); err != ErrNone {
		t.Errorf("error %v, want %v", err, ErrNone)
	}
	m, err := Fit(example()[:2])
	if err != nil {
		t.Fatal(err)
	}
	if _, err := m.Findings(); err == nil {
		t.Error("two units qualified a room")
	}
	full, _ := Fit(example())
	if a, b := m.Predict(6).UP, full.Predict(6).UP; a <= b {
		t.Errorf("two units give u_P %.4g, eight %.4g", a, b)
	}
	if _, err := full.For(0.5 * 2.7); err == nil {
		t.Error("air changes outside the range were taken")
	}
	if got := full.OneMore(6); !(got < full.Predict(6).UP) {
		t.Errorf("one more unit gives %.5g, without it %.5g", got, full.Predict(6).UP)
	}
}
