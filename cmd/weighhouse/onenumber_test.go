package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/lab"
	"weighhouse/measure/uncertainty"
	"weighhouse/templates/figure"
	"weighhouse/templates/page"
	texts "weighhouse/templates/words"
	"weighhouse/templates/workbook"
	"weighhouse/verdict"
)

// untyped takes what print has beyond plain text out of a number.
var untyped = strings.NewReplacer("\u00a0", "", " ", "", "−", "-", "²", "2", "³", "3", "&#160;", "", "&nbsp;", "", "&#43;", "+")

// TestOneNumber: a result has one number, in the statement, on the terminal, in the table, the page, the figure's words and
// the workbook, whatever its size and uncertainty.
func TestOneNumber(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	bench, spec := &lab.Results{}, &claims.Spec{}
	kinds := []struct {
		attribute claims.Attribute
		unit      string
		bound     claims.Bound
	}{{claims.Power, "W", claims.AtMost}, {claims.DeliveryRate, "m3/h", claims.AtLeast}, {claims.FilterLife, "h", claims.AtLeast}, {claims.Ozone, "ppb", claims.AtMost}}
	for i := range 400 {
		kind, setting := kinds[rng.IntN(len(kinds))], fmt.Sprintf("step %d", i)
		value := math.Pow(10, 5.5*rng.Float64()-1)
		u := value * math.Pow(10, -3*rng.Float64()) / 2
		if rng.IntN(8) == 0 {
			u = math.Pow(10, float64(rng.IntN(4)-2)) * 0.998 // a carry into a new digit
		}
		m := measure.Measurement{ID: fmt.Sprintf("M%d", i+1), Attribute: string(kind.attribute), Setting: setting, Value: value, Unit: kind.unit, Method: "made up",
			Budget: uncertainty.Budget{{Name: "all", U: u, DOF: math.Inf(1), Kind: "B"}}}
		m.Expand()
		bench.Measurements = append(bench.Measurements, m)
		low := value * (0.6 + 0.8*rng.Float64())
		spec.Claims = append(spec.Claims, claims.Claim{ID: fmt.Sprintf("C%d", i+1), Attribute: kind.attribute, Setting: setting, Bound: kind.bound, BoundGiven: true, UnitText: kind.unit,
			Claimed: &claims.Range{Low: low, High: low, Unit: kind.unit, Text: fmt.Sprintf("%g %s", low, kind.unit)}})
	}
	a := verdict.Build(verdict.Evidence{Version: "0", Issued: "2026-08-03", Case: "made-up", Spec: spec, Bench: bench})
	var book, html bytes.Buffer
	if err := workbook.Write(&book, a, workbook.Options{}); err != nil {
		t.Fatal(err)
	}
	if err := page.Write(&html, a); err != nil {
		t.Fatal(err)
	}
	file, err := excelize.OpenReader(&book)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	sheet, err := file.GetRows("Claims")
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, h := range sheet[0] {
		column[h] = i
	}
	drawn, printed := untyped.Replace(figure.Claims(a).Desc), untyped.Replace(html.String())
	judged := 0
	for i := range a.Rows {
		r := &a.Rows[i]
		if r.Measured == nil {
			t.Fatalf("%s: nothing measured: %v", r.Claim.ID, r.Notes)
		}
		judged++
		want := untyped.Replace(r.Measured.String())
		places := map[string]string{"statement": r.Statement, "terminal": auditLine(*r)[3], "table": texts.Measured(r.Measured), "workbook": sheet[i+1][column["as reported"]]}
		for where, text := range places {
			if got := untyped.Replace(text); got != want && !strings.Contains(got, ":"+want+";") {
				t.Errorf("%s: %s: %q, elsewhere %q", r.Claim.ID, where, text, want)
			}
		}
		for where, text := range map[string]string{"figure": drawn, "page": printed} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: %s: no %q", r.Claim.ID, where, want)
			}
		}
		w := r.Measured.Written()
		if d, _ := r.Measured.Decimals(); d >= 0 { // a number format cannot round to tens
			for head, want := range map[string]string{"measured": w.Value, "U": w.Expanded} {
				if got := strings.ReplaceAll(strings.TrimSpace(sheet[i+1][column[head]]), ",", ""); got != want {
					t.Errorf("%s: the workbook's cell %s shows %q, elsewhere %q", r.Claim.ID, head, got, want)
				}
			}
		}
		// the gap: on the terminal, in the sentence and in the table
		percent, number := r.GapPercent(), ""
		number, _ = r.GapNumber()
		if gap := untyped.Replace(texts.Gap(r)); !strings.Contains(gap, untyped.Replace(number)) || !strings.Contains(gap, percent+"%") {
			t.Errorf("%s: gap %q, elsewhere %s and %s %%", r.Claim.ID, gap, number, percent)
		}
		if line := auditLine(*r)[5]; line != percent+" %" {
			t.Errorf("%s: gap %q on the terminal, elsewhere %s %%", r.Claim.ID, line, percent)
		}
		if strings.Contains(r.GapWords, "%") && !strings.Contains(r.GapWords, strings.TrimLeft(percent, "+-")+" %") {
			t.Errorf("%s: %q, elsewhere %s %%", r.Claim.ID, r.GapWords, percent)
		}
	}
	if judged < 400 {
		t.Errorf("only %d results were compared", judged)
	}
}
