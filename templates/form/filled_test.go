package form

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure/sheet"
)

// TestSpecRoundTrip: a filled spec book, in both forms, is read by the program's own reader as it was given.
func TestSpecRoundTrip(t *testing.T) {
	product := [][]string{{"field", "value"}, {"maker", "Nonesuch Works"}, {"model", "Gull 2"}, {"price", "129.90"}, {"currency", "GBP"}, {"listing", "=HYPERLINK(1)"}}
	rows := [][]string{
		{"id", "attribute", "value", "unit", "bound", "wording", "captured", "evidence"},
		{"C1", "noise", "24-52", "dB(A)", "", "24 to 52 dB(A)", "2026-03-02", "captures/a.txt"},
		{"C2", "delivery rate", "305.5", "m3/h", "up to", "=1+1 up to 305.5 m³/h", "2026-03-02", ""},
		{"C3", "filter grade", "", "", "", "HEPA-type, über\r\n- \uff0b1;=2", "", ""},
	}
	for _, csv := range []bool{false, true} {
		dir := t.TempDir()
		files, err := Spec(product, rows, "2026-03-05", csv)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Spec(product, rows, "2026-03-05", csv)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range files {
			if !bytes.Equal(f.Data, again[i].Data) {
				t.Errorf("%s: two books differ", f.Path)
			}
			path := filepath.Join(dir, filepath.FromSlash(f.Path))
			if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, f.Data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		f, err := sheet.OpenFolder(dir)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		book, err := f.Book("spec")
		if err != nil {
			t.Fatal(err)
		}
		spec, ps := claims.Read(book)
		if err := ps.Err(); err != nil {
			t.Fatalf("csv %v: %v", csv, err)
		}
		p := spec.Product
		if p.Maker != "Nonesuch Works" || p.Model != "Gull 2" || p.Price != "129.90" || p.Currency != "GBP" || p.Listing != "=HYPERLINK(1)" {
			t.Errorf("csv %v: product %+v", csv, p)
		}
		if len(spec.Claims) != 3 {
			t.Fatalf("csv %v: %d claims", csv, len(spec.Claims))
		}
		c := spec.Claims
		if c[0].Claimed == nil || c[0].Claimed.Low != 24 || c[0].Claimed.High != 52 || c[0].Captured != "2026-03-02" || c[0].Evidence != "captures/a.txt" || c[0].BoundGiven {
			t.Errorf("csv %v: %+v", csv, c[0])
		}
		if c[1].Claimed == nil || c[1].Claimed.Low != 305.5 || c[1].Bound != claims.UpTo || c[1].Wording != "=1+1 up to 305.5 m³/h" {
			t.Errorf("csv %v: %+v", csv, c[1])
		}
		if c[2].Claimed != nil || c[2].Wording != "HEPA-type, über\n- \uff0b1;=2" || c[2].Captured != "" {
			t.Errorf("csv %v: %+v", csv, c[2])
		}
	}
	if _, err := Spec(product, [][]string{{"id", "colour"}, {"C1", "red"}}, "", false); err == nil {
		t.Error("a column that the form lacks was taken")
	}
}
