package rank

import (
	"testing"

	"weighhouse/claims"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
	"weighhouse/verdict"
)

// auditOf reads and judges a case of the demo data.
func auditOf(t *testing.T, dir string) *verdict.Audit {
	t.Helper()
	f, err := sheet.OpenFolder(dir)
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
	spec, ps := claims.Read(specBook)
	bench, more := lab.Read(f, labBook)
	if err := append(ps, more...).Err(); err != nil {
		t.Fatal(err)
	}
	return verdict.Build(verdict.Evidence{Version: "test", Issued: "2026-06-01", Case: f.Name(), Spec: spec, Bench: bench, Inputs: f.Inputs()})
}

func demo(t *testing.T) []*verdict.Audit {
	t.Helper()
	var out []*verdict.Audit
	for _, c := range []string{"fennow-40", "tavvik-35", "osk-3"} {
		out = append(out, auditOf(t, "../../testdata/rank/"+c))
	}
	return out
}
