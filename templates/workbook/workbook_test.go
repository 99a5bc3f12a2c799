package workbook

import (
	"archive/zip"
	"bytes"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"weighhouse/templates/internal/mossgate"
	"weighhouse/templates/xlsx"
)

func TestSameBytesTwice(t *testing.T) {
	want := built(t, fixture(t, 30))
	for range 5 {
		if !bytes.Equal(want, built(t, fixture(t, 30))) {
			t.Fatal("the same audit gave other bytes")
		}
	}
}

// TestTextStaysText: what begins like a formula is text, in the file itself.
func TestTextStaysText(t *testing.T) {
	a := fixture(t, 30)
	f, err := excelize.OpenReader(bytes.NewReader(built(t, a)))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, c := range []struct {
		sheet    string
		col, row int
		want     string
	}{
		{summaryName, 2, 4, "=SUM(1,1)"},
		{claimsName, claWording, first + 3, "+ whisper quiet: 45 dB(A) at 1 m"},
		{claimsName, claWording, first + 4, "@ only 22 dB(A)"},
		{claimsName, claWording, first + 5, "-38 W"},
	} {
		at := xlsx.At(c.col, c.row)
		got, err := f.GetCellValue(c.sheet, at)
		if err != nil || got != c.want {
			t.Errorf("%s!%s is %q (%v), want %q", c.sheet, at, got, err, c.want)
		}
		if s := formulaAt(t, f, c.sheet, c.col, c.row); s != "" {
			t.Errorf("%s!%s became the formula %q", c.sheet, at, s)
		}
	}
}

// TestDimensions: some readers see one row where the dimension says A1.
func TestDimensions(t *testing.T) {
	data := built(t, fixture(t, 30))
	zr, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	sheets := 0
	for _, f := range zr.File {
		if !strings.HasPrefix(f.Name, "xl/worksheets/sheet") {
			continue
		}
		sheets++
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		head := make([]byte, 8000)
		n, _ := io.ReadFull(r, head)
		r.Close()
		if !strings.Contains(string(head[:n]), `<dimension ref="A1:`) {
			t.Errorf("%s has no dimension", f.Name)
		}
	}
	if sheets != 13 {
		t.Errorf("%d sheets, want 13", sheets)
	}
}

// TestThinnedLog: where the curve does not hold every reading of the fit, the rate is the audit's number, and says so.
func TestThinnedLog(t *testing.T) {
	a := fixture(t, 0.5)
	f, err := excelize.OpenReader(bytes.NewReader(built(t, a)))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if s := formulaAt(t, f, runsName, runValue, first); s != "" {
		t.Errorf("the rate of a thinned log is the formula %q", s)
	}
	how, err := f.GetCellValue(runsName, xlsx.At(runHow, first))
	if err != nil || !strings.Contains(how, "number from the audit") {
		t.Errorf("beside it stands %q (%v)", how, err)
	}
	note, err := f.GetCellValue(fitsName, xlsx.At(fitNote, first))
	if err != nil || !strings.Contains(note, "thinned") {
		t.Errorf("Fits says %q (%v)", note, err)
	}
}

func TestNumbersThatAreNone(t *testing.T) {
	a := fixture(t, 30)
	a.Measurements[0].Value = math.NaN()
	a.Measurements[0].Std = math.Inf(1)
	built(t, a)
}

func TestForbiddenWords(t *testing.T) {
	for _, a := range [][]byte{built(t, fixture(t, 30)), built(t, mossgate.Audit())} {
		for s, cs := range cells(t, a) {
			if s == findingsName {
				continue // quotes the maker
			}
			for at, v := range cs {
				for _, w := range []string{"fake", "fraud", "illegal", " false", " lie "} {
					if strings.Contains(strings.ToLower(v), w) {
						t.Errorf("%s!%s says %q", s, at, v)
					}
				}
			}
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	a := fixture(b, 30)
	for b.Loop() {
		built(b, a)
	}
}
