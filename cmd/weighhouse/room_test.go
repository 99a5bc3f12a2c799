package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/verdict"
)

// simulatedRoom writes cases of a made-up room of 42 m³ that shifts ln of a rate of x air changes an hour by bias(x).
type simulatedRoom struct {
	t    *testing.T
	dir  string
	r    *rand.Rand
	bias func(x float64) float64
}

func (s simulatedRoom) write(path, text string) {
	p := filepath.Join(s.dir, filepath.FromSlash(path))
	if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
		s.t.Fatal(err)
	}
	if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
		s.t.Fatal(err)
	}
}

// unit writes the case of one unit with true rate 42·x m³/h, three runs of each state, and claims of parts of that rate.
func (s simulatedRoom) unit(name, serial string, x, shift float64, day, book string, claims ...float64) {
	s.write(name+"/spec/product.csv", "field,value\nmaker,Maker of "+serial[:2]+"\nmodel,Newt\n")
	rows := "id,attribute,value,unit,setting,particle,wording\n"
	for i, k := range claims {
		v := math.Round(42 * x * k)
		rows += fmt.Sprintf("C%d,delivery rate,%.0f,m3/h,max,smoke,%.0f m³/h of smoke at the highest setting\n", i+1, v, v)
	}
	s.write(name+"/spec/claims.csv", rows)
	test := "field,value\nmethod,room\nmixing fan,on\nruns planned,3\ndate," + day + "\nsample,\"serial " + serial + ", bought\"\n"
	if book != "" {
		test += "room book," + book + "\n"
	}
	s.write(name+"/lab/test.csv", test)
	s.write(name+"/lab/room.csv", "item,value,unit,±\nvolume,42,m3,0.6\n")
	decay := "run,state,setting,particle,log,time,value\n"
	for i := range 3 {
		for _, state := range []string{"off", "on"} {
			k, setting := 0.25*(1+0.05*s.r.NormFloat64()), ""
			if state == "on" {
				k, setting = (x*math.Exp(s.bias(x)+shift)+0.25)*(1+0.012*s.r.NormFloat64()), "max"
			}
			var log strings.Builder
			log.WriteString("elapsed [s],pm1 (ug/m3)\n")
			for t := 0; t < int(min(3600, 3.2/k*3600)); t += 20 {
				fmt.Fprintf(&log, "%d,%.1f\n", t, 3+220*math.Exp(-k*float64(t)/3600)*(1+0.01*s.r.NormFloat64()))
			}
			s.write(fmt.Sprintf("%s/logs/%s-%d.csv", name, state, i), log.String())
			decay += fmt.Sprintf("%s-%d,%s,%s,smoke,logs/%s-%d.csv,elapsed [s],pm1 (ug/m3)\n", state, i, state, setting, state, i)
		}
	}
	s.write(name+"/lab/decay.csv", decay)
}

// A made-up room that shows x/60 less of a rate of x an hour, known by six units with certificates and a check unit: audits
// of it are corrected and hold the truth, a room out of control contradicts nothing, and beyond the range of its units the
// room is an ordinary one. The truth is the simulation's own.
func TestQualifiedRoom(t *testing.T) {
	const seed = 1811
	t.Logf("seed %d", seed)
	s := simulatedRoom{t, t.TempDir(), rand.New(rand.NewPCG(seed, 0)), func(x float64) float64 { return -x / 60 }}
	book := "product,serial,rate,unit,±,k,laboratory,certificate,date,hours,case\n"
	for i, x := range []float64{3, 4.5, 5.5, 6.5, 8, 9.5} {
		name, serial := fmt.Sprintf("ref%d", i), fmt.Sprintf("%c%d-00%d", 'A'+i%3, i%3, i)
		s.unit(name, serial, x, 0.01*s.r.NormFloat64(), "2026-03-10", "", 1)
		c := 42 * x * (1 + 0.015*s.r.NormFloat64())
		book += fmt.Sprintf("Newt,%s,%.1f,m3/h,%.1f,2,Lab %d,EX-%d,2026-02-0%d,4,%s\n", serial, c, 0.04*c, i%2, i, i+1, name)
	}
	book += "Newt,Z9-999,500,m3/h,20,2,the maker,rating,2026-02-01,0,ref0\n"
	s.write("room/qualification.csv", book)
	checks := "date,check unit,case\n"
	for i := range 10 {
		name, shift := fmt.Sprintf("check%d", i), 0.0
		if i == 9 {
			shift = 0.12
		}
		s.unit(name, "K1-001", 6, shift, fmt.Sprintf("2026-04-%02d", 1+2*i), "", 1)
		checks += fmt.Sprintf("2026-04-%02d,Plumb,%s\n", 1+2*i, name)
	}
	s.write("room/checks.csv", checks)
	audit := func(name string) verdict.Report {
		t.Helper()
		var out, errs bytes.Buffer
		if code := run([]string{"audit", filepath.Join(s.dir, name), "--format", "json", "--date", "2026-06-01"}, nil, &out, &errs); code != exitDone {
			t.Fatalf("audit %s: exit %d: %s", name, code, errs.String())
		}
		data, err := os.ReadFile(filepath.Join(s.dir, name, "audit.json"))
		if err != nil {
			t.Fatal(err)
		}
		var r verdict.Report
		if err := json.Unmarshal(data, &r); err != nil {
			t.Fatal(err)
		}
		return r
	}
	s.unit("qualified", "N5-001", 7, 0, "2026-04-10", "../room", 1, 1.5)
	r := audit("qualified")
	m := r.Measurements[0]
	if m.Factor == 0 || math.Abs(*m.Value-42*7) > *m.Expanded {
		t.Errorf("a qualified room: %g ± %g m3/h, factor %g; the truth is %d", *m.Value, *m.Expanded, m.Factor, 42*7)
	}
	if r.Claims[0].Verdict == verdict.Contradicted || r.Claims[1].Verdict != verdict.Contradicted {
		t.Errorf("the true claim is %s, one of half as much again %s", r.Claims[0].Verdict, r.Claims[1].Verdict)
	}
	if len(r.Room.Qualification) == 0 {
		t.Error("the audit holds no qualification")
	}
	var out, errs bytes.Buffer
	if code := run([]string{"verify", filepath.Join(s.dir, "qualified")}, nil, &out, &errs); code != exitDone {
		t.Errorf("verify: exit %d: %s%s", code, out.String(), errs.String())
	}
	s.unit("out", "N5-002", 7, 0, "2026-04-20", "../room", 1, 1.5)
	if r := audit("out"); r.Claims[1].Verdict != verdict.Inconclusive || !strings.Contains(r.Claims[1].Hold, "out of control") {
		t.Errorf("a room out of control: %s, hold %q", r.Claims[1].Verdict, r.Claims[1].Hold)
	}
	s.unit("far", "N5-003", 15, 0, "2026-04-10", "../room", 1)
	if r := audit("far"); r.Measurements[0].Factor != 0 || !strings.Contains(strings.Join(r.Measurements[0].Warnings, " "), "does not hold for this rate") {
		t.Errorf("beyond the range: factor %g, warnings %q", r.Measurements[0].Factor, r.Measurements[0].Warnings)
	}
	out.Reset()
	if code := run([]string{"room", filepath.Join(s.dir, "room"), "--date", "2026-04-15", "--format", "json,pdf,html,xlsx", "--out", s.dir}, nil, &out, &errs); code != exitDone {
		t.Fatalf("room: exit %d: %s", code, errs.String())
	}
	if !strings.Contains(out.String(), "The room is qualified.") || !strings.Contains(out.String(), "6 that count, of 7 rows") {
		t.Errorf("room: %s", out.String())
	}
}
