package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/verdict/rank"
)

// runRank runs the command in process and gives its exit status by the rules of run.
func runRank(t *testing.T, args ...string) (status int, out, errOut string) {
	t.Helper()
	c := newRank()
	var o, e bytes.Buffer
	c.SilenceErrors, c.SilenceUsage = true, true
	c.SetArgs(args)
	c.SetOut(&o)
	c.SetErr(&e)
	err := c.Execute()
	var usage errUsage
	switch {
	case err == nil:
		return exitDone, o.String(), e.String()
	case errors.As(err, &usage):
		return exitUsage, o.String(), err.Error()
	case errors.Is(err, errFailed):
		return exitFailed, o.String(), e.String()
	}
	return exitFailed, o.String(), err.Error()
}

var rankDemo = []string{"../../testdata/rank/fennow-40", "../../testdata/rank/tavvik-35", "../../testdata/rank/osk-3"}

func TestRankDemo(t *testing.T) {
	dir := t.TempDir()
	args := append([]string{"--date", "2026-08-03", "--out", filepath.Join(dir, "one"), "--format", "json,csv,html,pdf"}, rankDemo...)
	status, out, errOut := runRank(t, args...)
	if status != exitDone || errOut != "" {
		t.Fatalf("status %d: %s", status, errOut)
	}
	for _, want := range []string{"  1=    Brindlecote Air Works Fennow 40   26", "  3     Drummelow Home Air Osk 3          20",
		"a: indistinguishable at this uncertainty: Brindlecote Air Works Fennow 40; Quillmarsh Ventilation Tavvik 35", "Yearly cost at 12 h/day, EUR (lower is better)", "written: "} {
		if !strings.Contains(out, want) {
			t.Errorf("the output lacks %q:\n%s", want, out)
		}
	}
	// the same inputs, date and version give the same bytes, and so do the audits of the cases in place of the cases
	args[3] = filepath.Join(dir, "two")
	if status, _, errOut := runRank(t, args...); status != exitDone {
		t.Fatal(errOut)
	}
	var audits []string
	for _, c := range rankDemo {
		l, err := load(c, "2026-08-03")
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := l.audit.WriteJSON(&b); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, filepath.Base(c)+".json")
		if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		audits = append(audits, path)
	}
	if status, out, errOut := runRank(t, append([]string{"--date", "2026-08-03", "--format", "json", "--out", filepath.Join(dir, "three")}, audits...)...); status != exitDone {
		t.Fatal(out, errOut)
	}
	for _, f := range []string{"ranking.pdf", "ranking.html", "ranking.csv", "ranking.json"} {
		one, err := os.ReadFile(filepath.Join(dir, "one", f))
		if err != nil {
			t.Fatal(err)
		}
		two, err := os.ReadFile(filepath.Join(dir, "two", f))
		if err != nil || !bytes.Equal(one, two) {
			t.Errorf("%s: other bytes the second time (%v)", f, err)
		}
	}
	letters := func(dir string) (out []string) {
		data, err := os.ReadFile(filepath.Join(dir, "ranking.json"))
		if err != nil {
			t.Fatal(err)
		}
		var r rank.Ranking
		if err := json.Unmarshal(data, &r); err != nil {
			t.Fatal(err)
		}
		for _, c := range r.Criteria {
			for _, e := range c.Entries {
				out = append(out, c.ID+" "+e.Label+" "+e.Rank+" "+e.Letters)
			}
		}
		return out
	}
	if a, b := strings.Join(letters(filepath.Join(dir, "one")), "\n"), strings.Join(letters(filepath.Join(dir, "three")), "\n"); a != b {
		t.Errorf("cases:\n%s\naudits:\n%s", a, b)
	}
}

// A case of another room is refused with its reason, and nothing is written or changed.
func TestRankRefuses(t *testing.T) {
	dir := t.TempDir()
	moved := filepath.Join(dir, "moved")
	if err := os.CopyFS(moved, os.DirFS(rankDemo[2])); err != nil {
		t.Fatal(err)
	}
	room := filepath.Join(moved, "lab", "room.csv")
	data, err := os.ReadFile(room)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(room, bytes.Replace(data, []byte("5.01"), []byte("6.20"), 1), 0o600); err != nil {
		t.Fatal(err)
	}
	old := filepath.Join(dir, "ranking.json")
	if err := os.WriteFile(old, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	status, out, errOut := runRank(t, "--out", dir, rankDemo[0], moved)
	if status != exitFailed || !strings.Contains(errOut, "moved: its room is 55.868 m³, that of fennow-40 45.145 m³") || !strings.Contains(errOut, "hint: ") || out != "" {
		t.Errorf("status %d, output %q, errors %q", status, out, errOut)
	}
	if data, _ := os.ReadFile(old); string(data) != "old" {
		t.Error("an older output was changed")
	}
	if _, err := os.Stat(filepath.Join(dir, "ranking.pdf")); err == nil {
		t.Error("an output was written")
	}
	status, _, errOut = runRank(t, rankDemo[0], filepath.Join(dir, "nothing"), old)
	if status != exitFailed || !strings.Contains(errOut, "nothing") || !strings.Contains(errOut, "no audit.json") {
		t.Errorf("two inputs that cannot be read: status %d, errors %q", status, errOut)
	}
}

func TestRankUsage(t *testing.T) {
	for _, args := range [][]string{{}, {rankDemo[0]}, append([]string{"--format", "docx"}, rankDemo...), append([]string{"--date", "yesterday"}, rankDemo...),
		append([]string{"--particle", "soup"}, rankDemo...), append([]string{"--paper", "a3"}, rankDemo...)} {
		if status, _, errOut := runRank(t, args...); status != exitUsage || errOut == "" {
			t.Errorf("%q: status %d, %q; want %d", args, status, errOut, exitUsage)
		}
	}
}
