package verdict

import (
	"math"
	"testing"
)

// TestOnMachine: of another kind of machine, a number that differs in its last digits is no difference, and one that differs
// in its eighth is; of the same kind each is. The factors are this project's choice.
func TestOnMachine(t *testing.T) {
	value := 3.7204993988903077
	audit := func(machine string, v float64) Report {
		return Report{Format: Format, Tool: ReportTool{"1", machine}, Measurements: []ReportMeasurement{{ID: "M1", Attribute: "noise", Value: &v, Unit: "dB(A)"}}}
	}
	for _, x := range []struct {
		was, is string
		factor  float64
		want    int
	}{
		{"arm64", "amd64", 1 + 4e-16, 0}, {"arm64", "amd64", 1 - 5e-10, 0}, {"arm64", "amd64", 1 + 2e-8, 1}, {"amd64", "amd64", 1 + 4e-16, 1}, {"", "amd64", 1 + 4e-16, 1}, {"amd64", "amd64", 1, 0},
	} {
		v := value * x.factor
		if x.factor != 1 && v == value {
			v = math.Nextafter(value, 4)
		}
		got := 0
		for _, d := range Verify(audit(x.was, value), audit(x.is, v)).Differences {
			if d.Kind == "result" {
				got++
			}
		}
		if got != x.want {
			t.Errorf("%+v: %d differences", x, got)
		}
	}
}
