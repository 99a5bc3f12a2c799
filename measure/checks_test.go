package measure

import (
	"math"
	"testing"
)

// wantAbs fails unless got is within tol of want.
func wantAbs(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g within %g", name, got, want, tol)
	}
}

// wantRel fails unless got is within the relative tolerance of want.
func wantRel(t *testing.T, name string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g within %g of it", name, got, want, rel)
	}
}

// wantPrintable fails where a number of a result that a report prints is not finite.
func wantPrintable(t *testing.T, m Measurement) {
	t.Helper()
	if !m.Finite() || !finite(m.Interval[0], m.Interval[1]) {
		t.Errorf("%s %s: a number is not finite: %+v", m.Attribute, m.Setting, m)
	}
	for _, c := range m.Budget {
		if !finite(c.U) || c.U < 0 || c.Name == "" || c.Note == "" || (c.Kind != "A" && c.Kind != "B") || !(c.DOF > 0) {
			t.Errorf("%s: component %+v", m.Attribute, c)
		}
	}
	if m.Method == "" || m.Unit == "" {
		t.Errorf("%s: no method or unit", m.Attribute)
	}
	for _, r := range m.Runs {
		if !finite(r.Value, r.Std) {
			t.Errorf("%s: run %+v is not finite", m.Attribute, r)
		}
	}
}

// component finds a budget line by name.
func component(t *testing.T, m Measurement, name string) (u, dof float64) {
	t.Helper()
	for _, c := range m.Budget {
		if c.Name == name {
			return c.U, c.DOF
		}
	}
	t.Fatalf("no component %q in %+v", name, m.Budget)
	return 0, 0
}
