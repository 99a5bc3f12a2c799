package workbook

import (
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"

	"weighhouse/claims"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
	"weighhouse/templates/xlsx"
	"weighhouse/verdict"
)

// demo is the audit of the project's invented demo case.
func demo(t *testing.T) *verdict.Audit {
	t.Helper()
	f, err := sheet.OpenFolder("../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	specBook, err := f.Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	labBook, err := f.Book("lab")
	if err != nil {
		t.Fatal(err)
	}
	spec, bad := claims.Read(specBook)
	if err := bad.Err(); err != nil {
		t.Fatal(err)
	}
	bench, bad := lab.Read(f, labBook)
	if err := bad.Err(); err != nil {
		t.Fatal(err)
	}
	return verdict.Build(verdict.Evidence{Version: "test", Issued: "2026-05-04", Case: "demo", Spec: spec, Bench: bench, Inputs: f.Inputs()})
}

func TestDemo(t *testing.T) {
	a := demo(t)
	data := built(t, a)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	run, live, all := first, 0, 0
	for i, m := range a.Measurements {
		if m.Attribute == "delivery rate" && formulaAt(t, f, resultsName, resValue, first+i) == "" {
			t.Errorf("%s: the delivery rate is no formula", m.ID)
		}
		for _, r := range m.Runs {
			if r.Curve != nil {
				all++
				if formulaAt(t, f, runsName, runValue, run) != "" {
					live++
				}
			}
			run++
		}
	}
	t.Logf("%d of %d decay rates are formulas", live, all)
	for i, r := range a.Rows {
		if r.Probability != nil && r.Measured.Exact == nil && formulaAt(t, f, claimsName, claProbability, first+i) == "" {
			t.Errorf("claim %s: the probability is no formula: %s", r.Claim.ID, cells(t, data)[claimsName][xlsx.At(claHow, first+i)])
		}
	}
	calc := cells(t, recalculated(t, data))
	compare(t, cells(t, data), calc)
	against(t, a, calc)
}
