package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestLogFormatJSON runs every command over good, bad and odd inputs and arguments with --log-format json: whatever stands
// on standard error is a JSON object a line, and the exit status is that of the same call without the flag.
func TestLogFormatJSON(t *testing.T) {
	dir := t.TempDir()
	good, bad, empty, text, out := filepath.Join(dir, "good"), filepath.Join(dir, "bad"), filepath.Join(dir, "empty"), filepath.Join(dir, "listing.txt"), filepath.Join(dir, "out")
	for _, d := range []string{good, bad} {
		if err := os.CopyFS(d, os.DirFS("../../testdata/demo-csv")); err != nil {
			t.Fatal(err)
		}
		os.Remove(filepath.Join(d, "audit.json"))
		os.Remove(filepath.Join(d, "audit.pdf"))
	}
	write := func(path, text string) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(bad, "spec", "claims.csv"), "attribute,value\ncolour,1\nnoise,x\n\x1b[31m,2\n")
	write(filepath.Join(bad, "lab", "room.csv"), "item,value\nvolume,-3\n")
	write(text, strings.Repeat("This unit cleans the air of a room. ", 40)+"\nTrue HEPA removes 99.97 % of particles. CADR 300 m3/h, 50 dB.\n")
	write(filepath.Join(dir, "bad.json"), "{\n")
	write(filepath.Join(empty, "readme"), "")
	log := filepath.Join(good, "logs", "max-1.csv")
	lines := 0
	for _, args := range [][]string{
		{}, {"--help"}, {"--version"}, {"--colour"}, {"weigh"}, {"wéigh\x1b[1m"}, {"help", "weigh"}, {"completion"}, {"completion", "tcsh"}, {"completion", "bash", "x"}, {"notices"}, {"notices", "x"},
		{"audit"}, {"audit", "--colour", good}, {"audit", "--jobs", "x", good}, {"audit", "--jobs", "0", good}, {"audit", "--format"}, {"audit", "--format", "docx", good},
		{"audit", good, "--format", "json", "--date", "2026-08-03"}, {"audit", bad}, {"audit", empty}, {"audit", filepath.Join(dir, "none\n\u202e")}, {"audit", good, bad, good}, {"audit", good, good},
		{"audit", good, bad, "--format", "json", "--out", out}, {"audit", "--each", dir, "--format", "json", "--out", out}, {"audit", "--each", empty}, {"audit", "--each", dir, "--resume", "--format", "pdf"},
		{"audit", good, "--font", text}, {"audit", good, "--fail-on", "unclear", "--format", "json"}, {"audit", good, "--fail-on", "x"}, {"audit", good, "--out", text},
		{"verify"}, {"verify", good}, {"verify", bad}, {"verify", good, good}, {"verify", good, "--audit", filepath.Join(dir, "bad.json")}, {"verify", good, "--format", "x"}, {"verify", empty},
		{"rank"}, {"rank", good}, {"rank", good, bad}, {"rank", good, good}, {"rank", good, filepath.Join(dir, "bad.json")}, {"rank", good, bad, "--particle", "soot"}, {"rank", bad, empty, filepath.Join(dir, "none")},
		{"rank", "../../testdata/rank/fennow-40", "../../testdata/rank/tavvik-35", "--out", out, "--format", "csv,json,pdf"},
		{"index"}, {"index", dir, "--out", out}, {"index", empty}, {"index", good, bad}, {"index", dir, "--fail-on", "unclear", "--out", out}, {"index", filepath.Join(dir, "none")},
		{"letter"}, {"letter", good}, {"letter", good, "--to", "judge"}, {"letter", good, "--to", "maker", "--out", out}, {"letter", good, "--to", "authority", "--out", out}, {"letter", bad, "--to", "maker"},
		{"letter", good, "--to", "maker", "--days", "-1"}, {"letter", good, "--to", "authority", "--days", "5"}, {"letter", good, "--to", "authority", "--bundle", "x.rar"}, {"letter", good, "--to", "maker", "--template", empty + "x"},
		{"decay"}, {"decay", log}, {"decay", log, "--volume", "x"}, {"decay", log, "--volume", "45 m3"}, {"decay", log, "--volume", "45 m3", "--value", "x"}, {"decay", text, "--volume", "45"}, {"decay", log, "--volume", "45", "--from", "never"},
		{"decay", filepath.Join(dir, "none.csv"), "--volume", "45"}, {"decay", log, "--volume", "45", "--format", "x"},
		{"vet"}, {"vet", text}, {"vet", text, "--format", "json"}, {"vet", text, "--format", "json", "--out", out}, {"vet", filepath.Join(dir, "none.txt")}, {"vet", text, "--format", "x"}, {"vet", log}, {"vet", text, "--captured", "today"},
		{"vet", text, "--save", filepath.Join(dir, "saved"), "--format", "json"}, {"vet", text, "--save", good},
		{"new"}, {"new", filepath.Join(dir, "new")}, {"new", good}, {"new", filepath.Join(dir, "new"), "x"},
		{"rules", "colours"}, {"rules", "--format", "x"}, {"rules", "tolerances", "extra"},
	} {
		text := &bytes.Buffer{}
		state := func() { // what a first run leaves must not change what a second one finds
			os.RemoveAll(filepath.Join(dir, "new"))
			os.RemoveAll(filepath.Join(dir, "saved"))
		}
		state()
		want := run(slices.Clone(args), strings.NewReader(""), &bytes.Buffer{}, text)
		for _, flag := range [][]string{{"--log-format", "json"}, {"--log-format=json"}} {
			for _, call := range [][]string{append(slices.Clone(args), flag...), append(slices.Clone(flag), args...)} {
				state()
				var out, errOut bytes.Buffer
				if got := run(call, strings.NewReader(""), &out, &errOut); got != want && len(args) > 0 && args[len(args)-1] != "--format" {
					t.Errorf("%q: exit status %d, without the flag %d\n%s", call, got, want, errOut.String())
				}
				n := jsonLinesOf(t, call, errOut.String())
				if n == 0 && text.Len() > 0 {
					t.Errorf("%q: nothing is said; without the flag: %s", call, text)
				}
				lines += n
				if want == exitUsage && (n != 1 || !strings.Contains(errOut.String(), `"hint":`)) {
					t.Errorf("%q: wrong usage is one event with a hint: %s", call, errOut.String())
				}
			}
		}
	}
	if lines < 400 {
		t.Errorf("only %d lines were looked at", lines)
	}
	for _, c := range []struct {
		args []string
		want bool
	}{{nil, false}, {[]string{"audit", "--log-format"}, false}, {[]string{"audit", "--log-format", "text"}, false}, {[]string{"audit", "--", "--log-format", "json"}, false},
		{[]string{"--log-format=json", "--log-format=text"}, false}, {[]string{"--log-format", "text", "--log-format", "json"}, true}} {
		if got := wantsJSON(c.args); got != c.want {
			t.Errorf("wantsJSON(%q) = %v", c.args, got)
		}
	}
}

// jsonLinesOf checks that a text is JSON objects, one a line, each an event that says what it is about, and counts them.
func jsonLinesOf(t *testing.T, call []string, text string) (n int) {
	t.Helper()
	if text == "" {
		return 0
	}
	if !strings.HasSuffix(text, "\n") {
		t.Errorf("%q: the last line is not ended", call)
	}
	for _, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		n++
		var e event
		d := json.NewDecoder(strings.NewReader(line))
		d.DisallowUnknownFields()
		if err := d.Decode(&e); err != nil || d.More() {
			t.Errorf("%q: %q is no event: %v", call, line, err)
			continue
		}
		if e.Event == "" || e.Time == "" || (e.Event == "error" || e.Event == "case_failed") && len(e.Errors) == 0 || (e.Event == "note" || e.Event == "message") && e.Text == "" {
			t.Errorf("%q: %q says nothing", call, line)
		}
		for _, p := range e.Errors {
			if p.Text == "" || strings.Contains(p.Text, "  hint:") {
				t.Errorf("%q: an error without a text, or with a hint in it: %q", call, line)
			}
		}
		if i := steers(line); i >= 0 {
			t.Errorf("%q: %q steers a terminal", call, line)
		}
	}
	return n
}
