package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/verdict"
)

// audited copies a demo case, audits it, and returns its folder and audit.
func audited(t *testing.T, name string) (string, verdict.Report) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "case")
	if err := os.CopyFS(dir, os.DirFS("../../testdata/"+name)); err != nil {
		t.Fatal(err)
	}
	for _, format := range formatNames { // what an earlier run has left in the folder
		os.Remove(filepath.Join(dir, "audit."+format))
	}
	var out, errOut bytes.Buffer
	if got := run([]string{"audit", "--format", "json", "--date", "2026-08-03", dir}, nil, &out, &errOut); got != exitDone {
		t.Fatalf("audit: exit status %d: %s", got, errOut.String())
	}
	r, err := readAudit(filepath.Join(dir, "audit.json"))
	if err != nil {
		t.Fatal(err)
	}
	return dir, r
}

func verifyOutput(dir string) (int, string) {
	var out, errOut bytes.Buffer
	status := run([]string{"verify", dir}, nil, &out, &errOut)
	return status, out.String() + errOut.String()
}

// TestVerifyEveryInput: one byte changed in any input, and the audit no longer follows; the input is named.
func TestVerifyEveryInput(t *testing.T) {
	dir, r := audited(t, "demo-csv")
	if status, text := verifyOutput(dir); status != exitDone {
		t.Fatalf("nothing was changed: %d %s", status, text)
	}
	if len(r.Inputs) < 20 {
		t.Fatalf("only %d inputs", len(r.Inputs))
	}
	for _, in := range r.Inputs {
		path := filepath.Join(dir, filepath.FromSlash(in.Path))
		was, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		now := bytes.Clone(was)
		// A digit late in the file, so that the file stays readable where it can.
		i := bytes.LastIndexAny(now, "0123456789")
		if i < 0 {
			i = len(now) - 1
		}
		if now[i] == '1' {
			now[i] = '2'
		} else {
			now[i] = '1'
		}
		if err := os.WriteFile(path, now, 0o644); err != nil {
			t.Fatal(err)
		}
		status, text := verifyOutput(dir)
		if status != exitFailed || !strings.Contains(text, in.Path) {
			t.Errorf("%s changed: exit status %d, %s", in.Path, status, text)
		}
		if err := os.WriteFile(path, was, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// TestVerifyAltered: an altered audit, another version and another tolerance are told apart.
func TestVerifyAltered(t *testing.T) {
	dir, r := audited(t, "demo")
	path := filepath.Join(dir, "audit.json")
	for _, c := range []struct {
		name   string
		change func(*verdict.Report)
		want   []string
	}{
		{"a verdict", func(r *verdict.Report) { r.Claims[0].Verdict = verdict.Supported }, []string{"verdict of claim C1", "written: supported", "the audit itself", "checked: ", "not checked: audit.pdf"}},
		{"a measured value", func(r *verdict.Report) { *r.Measurements[0].Value = 400 }, []string{"value of M1 delivery rate", "400", "the audit itself"}},
		{"the version", func(r *verdict.Report) { r.Tool.Version = "0.0.1" }, []string{"0.0.1", "another version"}},
		{"a tolerance", func(r *verdict.Report) { r.Claims[0].Tolerance.Value = 20 }, []string{"tolerance value of claim C1", "20", "rules"}},
		{"an input's hash", func(r *verdict.Report) { r.Inputs[0].SHA256 = strings.Repeat("0", 64) }, []string{r.Inputs[0].Path, "inputs that have changed"}},
		{"a finding left out", func(r *verdict.Report) { r.Findings = r.Findings[1:] }, []string{"finding", "not there"}},
		{"a sentence", func(r *verdict.Report) { r.Cautions[0] = "no caution" }, []string{"cautions 1", "no caution"}},
	} {
		data, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		var altered verdict.Report
		if err := json.Unmarshal(data, &altered); err != nil {
			t.Fatal(err)
		}
		c.change(&altered)
		if data, err = json.Marshal(altered); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		status, text := verifyOutput(dir)
		if status != exitFailed {
			t.Errorf("%s changed: exit status %d", c.name, status)
		}
		for _, w := range c.want {
			if !strings.Contains(text, w) {
				t.Errorf("%s changed: no %q in\n%s", c.name, w, text)
			}
		}
	}
}
