package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/verdict"
)

// truth is testdata/truth.json: what the demo's generator knows and the audit must find out.
type truth struct {
	Cases map[string]struct {
		Quantities []struct {
			Attribute, Setting, Particle, Unit string
			Value                              float64
		}
		Claims []struct {
			ID, Verdict string
			Rules       []string
		}
		Costs []struct {
			Option, Currency  string
			EnergyKWh         float64 `json:"energy_kwh"`
			EnergyCost, Total float64
			FilterCost        float64 `json:"filter_cost"`
		}
	}
}

func readTruth(t *testing.T) truth {
	t.Helper()
	data, err := os.ReadFile("../../testdata/truth.json")
	if err != nil {
		t.Fatal(err)
	}
	var tr truth
	if err := json.Unmarshal(data, &tr); err != nil {
		t.Fatal(err)
	}
	return tr
}

// TestDemoTruth sets the audits of the demo cases beside the truth that their generator knows: every verdict as designed,
// every interval holding the true value, every designed finding found.
func TestDemoTruth(t *testing.T) {
	tr := readTruth(t)
	for name, want := range tr.Cases {
		dirs := []string{name}
		if name == "demo" {
			dirs = append(dirs, "demo-csv")
		}
		for _, dir := range dirs {
			l, err := load(filepath.Join("../../testdata", dir), "2026-08-03")
			if err != nil {
				t.Errorf("%s: %v", dir, err)
				continue
			}
			r := l.audit.Report()
			for _, c := range want.Claims {
				for _, got := range r.Claims {
					if got.ID == c.ID && string(got.Verdict) != c.Verdict {
						t.Errorf("%s: claim %s is %s, designed %s (%v)", dir, c.ID, got.Verdict, c.Verdict, got.Notes)
					}
				}
				for _, rule := range c.Rules {
					found := false
					for _, f := range r.Findings {
						for _, id := range f.Claims {
							found = found || f.Rule == rule && id == c.ID
						}
					}
					if !found {
						t.Errorf("%s: claim %s: no finding %s", dir, c.ID, rule)
					}
				}
			}
			for _, q := range want.Quantities {
				m := findMeasurement(r, q.Attribute, q.Setting, q.Particle)
				if m == nil {
					t.Errorf("%s: no measurement of %s %s %s", dir, q.Attribute, q.Setting, q.Particle)
					continue
				}
				if m.Unit != q.Unit || q.Value < *m.Interval[0] || q.Value > *m.Interval[1] {
					t.Errorf("%s: %s %s: %g to %g %s does not hold the truth, %g %s", dir, q.Attribute, q.Setting, *m.Interval[0], *m.Interval[1], m.Unit, q.Value, q.Unit)
				}
			}
			for _, c := range want.Costs {
				found := false
				for _, got := range r.Costs {
					if got.Option == c.Option {
						found = true
						if math.Abs(got.EnergyKWh-c.EnergyKWh) > got.EnergyU || math.Abs(got.Total-c.Total) > got.TotalU || got.FilterCost != c.FilterCost || got.Currency != c.Currency {
							t.Errorf("%s: cost of %s: %+v, want %+v", dir, c.Option, got, c)
						}
					}
				}
				if !found {
					t.Errorf("%s: no cost of %s", dir, c.Option)
				}
			}
		}
	}
}

func findMeasurement(r verdict.Report, attribute, setting, particle string) *verdict.ReportMeasurement {
	for i, m := range r.Measurements {
		if m.Attribute == attribute && m.Particle == particle && (m.Setting == setting || setting == "") {
			return &r.Measurements[i]
		}
	}
	return nil
}

// TestDemoHasAll: the demo holds what a newcomer should see of the tool.
func TestDemoHasAll(t *testing.T) {
	l, err := load("../../testdata/demo", "2026-08-03")
	if err != nil {
		t.Fatal(err)
	}
	if n := len(l.audit.Rows); n < 12 {
		t.Errorf("%d claims, at least 12 wanted", n)
	}
	for _, o := range verdict.Outcomes {
		if l.audit.Count(o) == 0 {
			t.Errorf("no claim is %s", o)
		}
	}
	rules := map[string]bool{}
	for _, f := range l.audit.Findings {
		rules[f.Rule] = true
	}
	if len(rules) < 4 {
		t.Errorf("only %d different findings", len(rules))
	}
}

// TestBothForms: a workbook and a folder of CSV files give the same audit, but for the places and the inputs.
func TestBothForms(t *testing.T) {
	var out [2]verdict.Report
	for i, dir := range []string{"demo", "demo-csv"} {
		l, err := load("../../testdata/"+dir, "2026-08-03")
		if err != nil {
			t.Fatal(err)
		}
		r := l.audit.Report()
		r.Case, r.ID, r.Inputs, r.Notes = "", "", nil, nil
		for j := range r.Findings {
			r.Findings[j].Place = ""
		}
		for j := range r.Measurements {
			for k := range r.Measurements[j].Runs {
				r.Measurements[j].Runs[k].Place = ""
			}
		}
		out[i] = r
	}
	a, _ := json.Marshal(out[0])
	b, _ := json.Marshal(out[1])
	if !bytes.Equal(a, b) {
		check, err := verdict.Verify(a, b)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range check.Differences {
			t.Errorf("%s %s: workbook %s, CSV %s", d.Kind, d.What, shorten(d.Was, 200), shorten(d.Is, 200))
		}
	}
}

// TestGenerator: the generator gives the demo files that are committed.
func TestGenerator(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a program")
	}
	cmd := exec.Command("go", "test", "./testdata/makedemo")
	cmd.Dir = "../.."
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
}

// TestReadmeCommands runs the README's commands for a newcomer, on a copy of the demo.
func TestReadmeCommands(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	const first, second = "go run ./cmd/weighhouse audit testdata/demo", "go test ./..."
	for _, c := range []string{first, second} {
		if !strings.Contains(string(text), "```\n"+c+"\n```") {
			t.Errorf("the README does not give the command %q by itself", c)
		}
	}
	args := strings.Fields(first)[3:]
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "testdata/demo"), os.DirFS("../../testdata/demo")); err != nil {
		t.Fatal(err)
	}
	args[len(args)-1] = filepath.Join(dir, args[len(args)-1])
	var out, errOut bytes.Buffer
	if got := run(args, nil, &out, &errOut); got != exitDone {
		t.Fatalf("exit status %d\n%s", got, errOut.String())
	}
	for _, f := range []string{"audit.pdf", "audit.json"} {
		if info, err := os.Stat(filepath.Join(dir, "testdata/demo", f)); err != nil || info.Size() == 0 {
			t.Errorf("%s: %v", f, err)
		}
	}
}
