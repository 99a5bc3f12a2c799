package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/xuri/excelize/v2"

	"weighhouse/claims/listing"
	"weighhouse/measure/sheet"
	"weighhouse/templates/typeface"
	"weighhouse/verdict"
	"weighhouse/verdict/rank"
)

// hole makes a file of so many bytes that takes no room.
func hole(t *testing.T, path string, size int64) string {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(path, size); err != nil {
		t.Skipf("a file of %d bytes, all of it a hole, cannot be made here: %v", size, err)
	}
	return path
}

// TestCommandLimits reaches the limits of the commands: each error says what was found, what is accepted, and that it is a
// limit of this program.
func TestCommandLimits(t *testing.T) {
	dir := t.TempDir()
	huge := hole(t, filepath.Join(dir, "case", "audit.json"), verdict.MaxFile+1)
	deep := filepath.Join(dir, "deep.json")
	if err := os.WriteFile(deep, []byte(`{"format":"weighhouse-audit/1","x":`+strings.Repeat("[", 1_000_000)), 0o644); err != nil {
		t.Fatal(err)
	}
	font := hole(t, filepath.Join(dir, "font.ttf"), maxFont+1)
	logs := []string{"decay", "--volume", "45 m3"}
	for range sheet.MaxRuns + 1 {
		logs = append(logs, "a.csv")
	}
	units := []string{"rank"}
	for range rank.MostUnits + 1 {
		units = append(units, "../../testdata/rank/fennow-40")
	}
	json := "bytes of the file: 67 108 865 found, at most 67 108 864 accepted (a limit of this program"
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"verify", filepath.Join(dir, "case")}, json},
		{[]string{"index", dir}, json},
		{[]string{"rank", huge, huge}, json},
		{[]string{"rank", deep, deep}, "deep.json: is no audit.json: invalid character '[' exceeded max depth"},
		{[]string{"verify", "../../testdata/demo", "--audit", deep}, "deep.json: is no audit.json: invalid character '[' exceeded max depth"},
		{[]string{"audit", "../../testdata/demo", "--out", dir, "--font", font}, json},
		{[]string{"letter", "../../testdata/demo", "--to", "maker", "--out", dir, "--font", font}, json},
		{logs, "logs: 501 found, at most 500 accepted (a limit of this program"},
		{units, "a comparison takes 2 to 40 units, found 41 (a limit of this program)"},
	} {
		var out, errOut bytes.Buffer
		if got := run(c.args, nil, &out, &errOut); got == exitDone || !strings.Contains(errOut.String(), c.want) {
			t.Errorf("%.80q: status %d, %.600s\nwant %s", c.args, got, errOut.String(), c.want)
		}
	}
	many := make([]string, maxCases+1)
	for i := range many {
		many[i] = fmt.Sprint("c", i)
	}
	if _, _, err := plan(many, nil, ""); err == nil || !strings.Contains(err.Error(), "cases of one run: 100 001 found, at most 100 000 accepted (a limit of this program") {
		t.Errorf("100,001 cases: %v", err)
	}
	cases := t.TempDir()
	for i := range 3 {
		p := filepath.Join(cases, fmt.Sprint(i))
		if err := os.Mkdir(p, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(p, "spec.xlsx"), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var out, errOut bytes.Buffer
	c := &cobra.Command{}
	c.SetOut(&out)
	c.SetErr(&errOut)
	if err := indexFolders(c, []string{cases}, "", "", 2); err == nil || !strings.Contains(errOut.String(), "cases of one index: 3 found, at most 2 accepted (a limit of this program") {
		t.Errorf("three cases of two: %v %s", err, errOut.String())
	}
}

// A listing with more claims than are read is vetted as far as that, and says so; so is a font that a caller hands over.
func TestListingAndFontLimits(t *testing.T) {
	var b strings.Builder
	for i := range listing.MaxClaims + 50 {
		fmt.Fprintf(&b, "The delivery rate on setting %d is %d m3/h.\n\n", i, 100+i)
	}
	path := filepath.Join(t.TempDir(), "long.txt")
	if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	var out, errOut bytes.Buffer
	if got := run([]string{"vet", path}, nil, &out, &errOut); got != exitDone || !strings.Contains(strings.Join(strings.Fields(out.String()), " "), "the first 500 claims were read; the listing holds more") {
		t.Errorf("status %d: %s%.3000s", got, errOut.String(), out.String())
	}
	if _, err := typeface.Parse(make([]byte, maxFont+1)); err == nil || !strings.Contains(err.Error(), "font file of 67108865 bytes: at most 67108864 are read") {
		t.Errorf("a font of %d bytes: %v", maxFont+1, err)
	}
}

// A book that is too large to be attached to the PDF is audited all the same, and a note says so.
func TestAttachedLimit(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "case")
	if err := os.MkdirAll(filepath.Join(dir, "spec"), 0o755); err != nil {
		t.Fatal(err)
	}
	row := "noise,52,dB(A),1 m," + strings.Repeat("x", 1_000_000) + "\n"
	if err := os.WriteFile(filepath.Join(dir, "spec", "claims.csv"), []byte("attribute,value,unit,basis,remark\n"+strings.Repeat(row, maxAttached/1_000_000+1)), 0o644); err != nil {
		t.Fatal(err)
	}
	var out, errOut bytes.Buffer
	if got := run([]string{"audit", dir, "--format", "pdf", "--date", "2026-08-03"}, nil, &out, &errOut); got != exitDone {
		t.Fatalf("status %d: %s", got, errOut.String())
	}
	if want := "spec/claims.csv is larger than 16 MB and is not attached to the PDF"; !strings.Contains(errOut.String(), want) {
		t.Errorf("got %q\nwant %s", errOut.String(), want)
	}
}

// A record of outputs that is larger than any that the program writes counts for none: the case is audited anew.
func TestRecordLimit(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	if err := os.CopyFS(dir, os.DirFS("../../testdata/demo-csv")); err != nil {
		t.Fatal(err)
	}
	call := func() string {
		var out, errOut bytes.Buffer
		if got := run([]string{"audit", dir, "--resume", "--format", "json", "--date", "2026-08-03"}, nil, &out, &errOut); got != exitDone {
			t.Fatalf("status %d: %s", got, errOut.String())
		}
		return out.String()
	}
	call()
	if got := call(); !strings.Contains(got, "is unchanged") {
		t.Fatalf("the second run: %s", got)
	}
	record := filepath.Join(dir, recordName)
	text, err := os.ReadFile(record)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(record, append(text, bytes.Repeat([]byte("\n"), maxRecord)...), 0o644); err != nil {
		t.Fatal(err)
	}
	if got := call(); strings.Contains(got, "is unchanged") {
		t.Errorf("the third run: %s", got)
	}
	hole(t, filepath.Join(dir, "audit.pdf"), maxOutput+1)
	var out, errOut bytes.Buffer
	if got := run([]string{"verify", dir}, nil, &out, &errOut); got != exitFailed || !strings.Contains(errOut.String(), "bytes of the file: 536 870 913 found, at most 536 870 912 accepted (a limit of this program") {
		t.Errorf("verify: status %d, %s", got, errOut.String())
	}
}

// A text that is longer than a workbook's cell can be is cut there, and the cell says so; audit.json holds all of it.
func TestCellLimit(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "case")
	if err := os.MkdirAll(filepath.Join(dir, "spec"), 0o755); err != nil {
		t.Fatal(err)
	}
	long := strings.TrimSpace(strings.Repeat("very quiet ", 4000))
	if err := os.WriteFile(filepath.Join(dir, "spec", "claims.csv"), []byte("attribute,value,unit,wording\nnoise,52,dB(A),"+long+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	var out, errOut bytes.Buffer
	if got := run([]string{"audit", dir, "--format", "json,xlsx", "--date", "2026-08-03"}, nil, &out, &errOut); got != exitDone {
		t.Fatalf("status %d: %s", got, errOut.String())
	}
	r, err := readAudit(filepath.Join(dir, "audit.json"))
	if err != nil || r.Claims[0].Wording != long {
		t.Errorf("audit.json: %v", err)
	}
	x, err := excelize.OpenFile(filepath.Join(dir, "audit.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	found := false
	for _, s := range x.GetSheetList() {
		rows, err := x.GetRows(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			for _, cell := range row {
				found = found || strings.HasSuffix(cell, "(cut here: a cell holds no more; see audit.json)") && strings.HasPrefix(cell, "very quiet")
			}
		}
	}
	if !found {
		t.Error("no cell says that it was cut")
	}
}
