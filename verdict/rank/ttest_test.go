package rank

import (
	"math"
	"testing"
)

// The data set sleep of R (package datasets): the increase in hours of sleep of ten patients on two drugs, the data of
// Student's paper of 1908.
var (
	sleepOne = []float64{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2.0}
	sleepTwo = []float64{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func TestSleep(t *testing.T) {
	for _, c := range []struct {
		name                 string
		got                  TTest
		t, dof, p, low, high float64
		rel                  float64
	}{
		// R 4.2.2, t.test(extra ~ group, data = sleep), and scipy 1.10.1, ttest_ind(equal_var=False); computed with both.
		{"Welch", Welch(sleepOne, sleepTwo), -1.860813467, 17.77647352, 0.0793941402, -3.365483231, 0.205483231, 1e-8},
		// R 4.2.2, t.test(..., paired = TRUE), and scipy, ttest_rel; computed with both.
		{"paired", Paired(sleepOne, sleepTwo), -4.062127683, 9, 0.0028328902, -2.459885763, -0.700114237, 1e-8},
		// Equal sizes give Student the t of Welch, with 18 degrees of freedom; p and interval as R prints them for
		// t.test(..., var.equal = TRUE): 0.07919, -3.363874, 0.203874 (from memory).
		{"Student", Student(sleepOne, sleepTwo), -1.860813467, 18, 0.07919, -3.363874, 0.203874, 1e-4},
	} {
		near(t, c.name+" t", c.got.T, c.t, 1e-8)
		near(t, c.name+" ν", c.got.DOF, c.dof, 1e-8)
		near(t, c.name+" p", c.got.P, c.p, c.rel)
		near(t, c.name+" low", c.got.Difference-c.got.Half, c.low, c.rel)
		near(t, c.name+" high", c.got.Difference+c.got.Half, c.high, c.rel)
	}
}

// Degenerate samples: no scatter, no test.
func TestDegenerate(t *testing.T) {
	if p := Student([]float64{1, 1}, []float64{1, 1}).P; p != 1 {
		t.Errorf("equal values without scatter: p %v, want 1", p)
	}
	if p := Student([]float64{1, 1}, []float64{2, 2}).P; p != 0 {
		t.Errorf("different values without scatter: p %v, want 0", p)
	}
	for name, x := range map[string]TTest{"one and one": Student([]float64{1}, []float64{2}), "Welch of one": Welch([]float64{1}, []float64{2, 3}),
		"one pair": Paired([]float64{1}, []float64{2}), "nothing": Student(nil, nil)} {
		if !math.IsNaN(x.P) {
			t.Errorf("%s: p %v, want NaN", name, x.P)
		}
	}
}

// Holm, Scand. J. Statist. 6 (1979) 65–70, section 2, worked by hand: p in order times n, n−1, …, then made monotone.
func TestHolm(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct{ p, want []float64 }{
		{[]float64{0.01, 0.04, 0.03, 0.005}, []float64{0.03, 0.06, 0.06, 0.02}},
		{[]float64{0.02, nan, 0.01}, []float64{0.02, nan, 0.02}}, // no test does not count
		{[]float64{0.5, 0.9, 0.6}, []float64{1, 1, 1}},
		{[]float64{0.04}, []float64{0.04}},
		{nil, []float64{}},
	} {
		got := Holm(c.p)
		for i := range c.want {
			if !(math.Abs(got[i]-c.want[i]) < 1e-12 || math.IsNaN(got[i]) && math.IsNaN(c.want[i])) {
				t.Errorf("Holm(%v) = %v, want %v", c.p, got, c.want)
			}
		}
	}
}
