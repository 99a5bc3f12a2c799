package verdict

import (
	"strings"
	"testing"
)

// TestReportCheck: an audit that agrees with itself passes, and each change that makes it disagree is named.
func TestReportCheck(t *testing.T) {
	p, u := 0.99, 2.0
	sound := func() *Report {
		return &Report{
			Claims: []ReportClaim{{ID: "C1", Verdict: Supported, Probability: &p, Claimed: &ReportRange{Low: 45, High: 45, Unit: "W"},
				Measured: &ReportMeasured{Value: 44, Unit: "W", Std: 1, Expanded: 2, K: 2}, Gap: &ReportGap{Value: -1, Unit: "W", Percent: -2.2}}},
			Measurements: []ReportMeasurement{{ID: "M1", Std: &u, Expanded: &u, K: &u}},
			Summary:      map[string]int{"supported": 1, "contradicted": 0, "inconclusive": 0, "untested": 0, "unclear": 0, "findings": 0},
		}
	}
	if err := sound().Check(); err != nil {
		t.Fatal(err)
	}
	low, minus := 0.01, -1.0
	for want, change := range map[string]func(r *Report){
		"summary: supported":   func(r *Report) { r.Summary["supported"] = 2 },
		"summary: unclear":     func(r *Report) { delete(r.Summary, "unclear") },
		"summary: findings":    func(r *Report) { r.Summary["findings"] = 1 },
		"verdict: found":       func(r *Report) { r.Claims[0].Verdict = "passed" },
		"measured: found u -1": func(r *Report) { r.Claims[0].Measured.Std = -1 },
		"probability: found":   func(r *Report) { r.Claims[0].Probability = &minus },
		"at a probability":     func(r *Report) { r.Claims[0].Probability = &low },
		"no result":            func(r *Report) { r.Claims[0].Measured = nil },
		"one sign":             func(r *Report) { r.Claims[0].Gap.Percent = 2.2 },
		"measured less":        func(r *Report) { r.Claims[0].Gap.Value, r.Claims[0].Gap.Percent = 1, 2.2 },
		"measurement M1: u":    func(r *Report) { r.Measurements[0].Std = &minus },
	} {
		r := sound()
		change(r)
		if err := r.Check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
}
