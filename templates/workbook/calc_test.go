package workbook

import (
	"bytes"
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"weighhouse/measure"
	"weighhouse/templates/internal/mossgate"
	"weighhouse/templates/xlsx"
	"weighhouse/verdict"
)

// built writes an audit and returns the file.
func built(t testing.TB, a *verdict.Audit) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := Write(&buf, a, Options{}); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// recalculated has LibreOffice open a workbook, calculate every cell anew and save it. The settings of the profile tell
// it to calculate always: it would otherwise show the results that we wrote beside the formulas.
func recalculated(t *testing.T, data []byte) []byte {
	t.Helper()
	program, err := exec.LookPath("soffice")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("soffice (LibreOffice) is not installed: the formulas cannot be checked")
		}
		t.Skip("soffice (LibreOffice) is not installed: the formulas are not checked")
	}
	dir := t.TempDir()
	profile := filepath.Join(dir, "profile", "user")
	if err := os.MkdirAll(profile, 0o755); err != nil {
		t.Fatal(err)
	}
	const settings = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>`
	if err := os.WriteFile(filepath.Join(profile, "registrymodifications.xcu"), []byte(settings), 0o644); err != nil {
		t.Fatal(err)
	}
	in, out := filepath.Join(dir, "in.xlsx"), filepath.Join(dir, "out")
	if err := os.WriteFile(in, data, 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, program, "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless",
		"--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", out, in)
	if text, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, text)
	}
	b, err := os.ReadFile(filepath.Join(out, "in.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// cells reads every cell of a workbook, unformatted, by sheet and address.
func cells(t *testing.T, data []byte) map[string]map[string]string {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out := map[string]map[string]string{}
	for _, s := range f.GetSheetList() {
		rows, err := f.GetRows(s)
		if err != nil {
			t.Fatal(err)
		}
		out[s] = map[string]string{}
		for i, r := range rows {
			for j, v := range r {
				if v != "" {
					out[s][xlsx.At(j+1, i+1)] = v
				}
			}
		}
	}
	return out
}

// same compares two cells: numbers to 1e-9 of their size, or to 1e-12 for what is next to zero beside numbers of the
// size of one; anything else letter for letter.
func same(a, b string) bool {
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	if err1 != nil || err2 != nil {
		return a == b
	}
	return math.Abs(x-y) <= 1e-9*math.Max(math.Abs(x), math.Abs(y)) || math.Abs(x-y) <= 1e-12
}

// compare checks every cell of the recalculated file against the one that was written, both ways.
func compare(t *testing.T, wrote, calc map[string]map[string]string) (formulas int) {
	t.Helper()
	bad := 0
	for s, ours := range wrote {
		for at, v := range ours {
			if got := calc[s][at]; !same(v, got) && bad < 20 {
				bad++
				t.Errorf("%s!%s: wrote %q, LibreOffice has %q", s, at, v, got)
			}
		}
		for at, v := range calc[s] {
			if _, ok := ours[at]; !ok && bad < 20 {
				bad++
				t.Errorf("%s!%s: wrote nothing, LibreOffice has %q", s, at, v)
			}
			if strings.HasPrefix(v, "#") || strings.HasPrefix(v, "Err:") {
				t.Errorf("%s!%s is an error: %s", s, at, v)
			}
		}
	}
	return formulas
}

func TestRecalculatedAgreesWithTheAudit(t *testing.T) {
	t.Logf("seed %d", seed)
	for name, a := range map[string]*verdict.Audit{"fennow": fixture(t, 30), "mossgate": mossgate.Audit(), "empty": {Issued: "2026-05-04"}} {
		t.Run(name, func(t *testing.T) {
			data := built(t, a)
			calc := cells(t, recalculated(t, data))
			compare(t, cells(t, data), calc)
			against(t, a, calc)
		})
	}
}

// against checks the recalculated results with the numbers of the audit.
func against(t *testing.T, a *verdict.Audit, calc map[string]map[string]string) {
	t.Helper()
	check := func(sheet string, col, row int, want float64) {
		t.Helper()
		got := calc[sheet][xlsx.At(col, row)]
		if math.IsInf(want, 0) && got == infinite || math.IsNaN(want) && got == "" {
			return
		}
		if !same(got, strconv.FormatFloat(want, 'g', -1, 64)) {
			t.Errorf("%s!%s is %q, the audit has %v", sheet, xlsx.At(col, row), got, want)
		}
	}
	for i, m := range a.Measurements {
		row := first + i
		for col, want := range map[int]float64{resValue: m.Value, resU: m.Std, resDOF: m.DOF, resK: m.K, resExpanded: m.Expanded,
			resLow: m.Interval[0], resHigh: m.Interval[1]} {
			check(resultsName, col, row, want)
		}
	}
	budget := first
	for _, m := range a.Measurements {
		for i, c := range m.Budget {
			check(budgetsName, budU, budget, c.U)
			check(budgetsName, budShare, budget, m.Budget.Share(i))
			budget++
		}
	}
	for i, r := range a.Rows {
		row := first + i
		if got := calc[claimsName][xlsx.At(claVerdict, row)]; got != string(r.Verdict) {
			t.Errorf("claim %s: verdict %q, the audit has %q", r.Claim.ID, got, r.Verdict)
		}
		if r.Probability != nil {
			check(claimsName, claProbability, row, *r.Probability)
		}
		if r.Gap != nil {
			check(claimsName, claGap, row, r.Gap.Value)
		}
		if r.Limit != nil && !math.IsInf(r.Limit.Low, 0) {
			check(claimsName, claLimitLow, row, r.Limit.Low)
		}
		if r.Limit != nil && !math.IsInf(r.Limit.High, 0) {
			check(claimsName, claLimitHigh, row, r.Limit.High)
		}
	}
	for i, c := range a.Costs {
		check(costsName, cosEnergy, first+i, c.EnergyKWh)
		check(costsName, cosTotal, first+i, c.Total)
	}
}

// formulaAt is the formula of a cell, "" if it is none.
func formulaAt(t *testing.T, f *excelize.File, sheet string, col, row int) string {
	t.Helper()
	s, err := f.GetCellFormula(sheet, xlsx.At(col, row))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestChainIsLive makes sure that what can be a formula is one: agreement alone would hold for a sheet of bare numbers.
func TestChainIsLive(t *testing.T) {
	a := fixture(t, 30)
	f, err := excelize.OpenReader(bytes.NewReader(built(t, a)))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	live := func(sheet string, col, row int, what string) {
		t.Helper()
		if formulaAt(t, f, sheet, col, row) == "" {
			v, _ := f.GetCellValue(sheet, xlsx.At(col, row))
			t.Errorf("%s!%s (%s) is no formula: %s", sheet, xlsx.At(col, row), what, v)
		}
	}
	run := first
	for i, m := range a.Measurements {
		if m.Attribute != "filter efficiency" {
			for _, col := range []int{resValue, resU, resEff, resDOF, resK, resExpanded} {
				if m.Attribute == "clean time" && col == resExpanded {
					continue
				}
				live(resultsName, col, first+i, m.ID+" "+m.Attribute)
			}
		}
		for range m.Runs {
			if m.Attribute == "delivery rate" {
				live(runsName, runValue, run, "rate")
				live(runsName, runU, run, "u within the run")
				live(runsName, runR2, run, "R²")
			}
			run++
		}
	}
	row := first
	for _, m := range a.Measurements {
		for _, c := range m.Budget {
			if strings.Contains(c.Name, "between runs") || strings.Contains(c.Name, "within runs") || c.Name == "room volume" || strings.Contains(c.Name, "repeats") {
				live(budgetsName, budU, row, m.ID+" "+c.Name)
			}
			row++
		}
	}
	for i, r := range a.Rows {
		if r.Probability != nil && r.Measured.Exact == nil {
			live(claimsName, claProbability, first+i, r.Claim.ID)
			live(claimsName, claGap, first+i, r.Claim.ID)
		}
		if r.Probability != nil && !r.Measured.Has(measure.NotTestable) {
			live(claimsName, claVerdict, first+i, r.Claim.ID)
		}
	}
	for _, col := range []int{cosEnergy, cosEnergyCost, cosFilter, cosTotal, cosTotalU, cosLow, cosHigh, cosPerThousand} {
		live(costsName, col, first, "cost")
	}
}

// TestChangedReadingChangesTheVerdict changes the room's volume in the file and lets LibreOffice calculate: half the room,
// half the rate, and a claim that was met no longer is.
func TestChangedReadingChangesTheVerdict(t *testing.T) {
	a := fixture(t, 30)
	f, err := excelize.OpenReader(bytes.NewReader(built(t, a)))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	row := -1
	for i, r := range a.Rows {
		if r.Claim.ID == "C2" {
			row = first + i
		}
	}
	if got := a.Rows[row-first].Verdict; got == verdict.Contradicted {
		t.Fatalf("the claim is %s to begin with", got)
	}
	for i, m := range a.Measurements {
		if m.Attribute == "delivery rate" {
			if err := f.SetCellValue(resultsName, xlsx.At(resVolume, first+i), room.Volume/3); err != nil {
				t.Fatal(err)
			}
		}
	}
	var buf bytes.Buffer
	if err := f.Write(&buf); err != nil {
		t.Fatal(err)
	}
	calc := cells(t, recalculated(t, buf.Bytes()))
	if got := calc[claimsName][xlsx.At(claVerdict, row)]; got != string(verdict.Contradicted) {
		t.Errorf("with a third of the room the claim is %q, want contradicted", got)
	}
}
