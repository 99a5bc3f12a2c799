package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"sort"
	"strconv"
	"strings"
	"testing"

	"weighhouse/verdict"
)

// expectation is what testdata/broken/expected.csv says of one case.
type expectation struct {
	exit   int
	setup  []string
	errors []string // regular expressions, one for each line that must be printed
	notes  []string // regular expressions, of which each must match a note of the audit
}

func readExpected(t *testing.T) map[string]*expectation {
	t.Helper()
	data, err := os.ReadFile("../../testdata/broken/expected.csv")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*expectation{}
	for _, r := range rows[1:] {
		exit, err := strconv.Atoi(r[1])
		if err != nil {
			t.Fatalf("%v: %v", r, err)
		}
		e := out[r[0]]
		if e == nil {
			e = &expectation{exit: exit}
			out[r[0]] = e
		}
		switch {
		case e.exit != exit:
			t.Fatalf("%s: two exit statuses", r[0])
		case r[2] == "setup":
			e.setup = append(e.setup, r[3])
		case r[2] == "error" && exit == exitFailed:
			e.errors = append(e.errors, r[3])
		case r[2] == "note" && exit == exitDone:
			e.notes = append(e.notes, r[3])
		case r[2] == "read" && exit == exitDone && r[3] == "":
		default:
			t.Fatalf("%v: not understood", r)
		}
	}
	return out
}

// TestBrokenBooks audits every case of testdata/broken in process. A broken one ends with status 1 and one line for each
// of its faults, writes nothing and leaves an older output as it was; an odd one is read, and its audit holds the notes.
func TestBrokenBooks(t *testing.T) {
	expected := readExpected(t)
	entries, err := os.ReadDir("../../testdata/broken")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, e := range entries {
		if !e.IsDir() {
			continue
		}
		n++
		want := expected[e.Name()]
		delete(expected, e.Name())
		t.Run(e.Name(), func(t *testing.T) {
			if want == nil {
				t.Fatal("expected.csv says nothing of this case")
			}
			dir := filepath.Join(t.TempDir(), "case")
			prepare(t, filepath.Join("../../testdata/broken", e.Name()), dir, want.setup)
			if want.exit == exitDone {
				readsWithNotes(t, dir, want.notes)
			} else {
				failsWithLines(t, dir, want.errors)
			}
		})
	}
	for name := range expected {
		t.Errorf("expected.csv speaks of %s, which is not there", name)
	}
	if n < 80 {
		t.Errorf("%d cases, at least 80 wanted", n)
	}
}

// prepare copies a case, with an older audit, and does to the copy what its setup says.
func prepare(t *testing.T, from, dir string, setup []string) {
	t.Helper()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(os.CopyFS(dir, os.DirFS(from)))
	must(os.WriteFile(filepath.Join(dir, "audit.json"), []byte("an older audit\n"), 0o644))
	must(os.WriteFile(filepath.Join(filepath.Dir(dir), "outside.csv"), []byte("time [s],pm1 (ug/m3)\n0,1\n"), 0o644))
	must(os.MkdirAll(filepath.Join(filepath.Dir(dir), "outside"), 0o755))
	must(os.WriteFile(filepath.Join(filepath.Dir(dir), "outside", "claims.csv"), []byte("attribute,value,unit\nnoise,52,dB(A)\n"), 0o644))
	must(os.WriteFile(filepath.Join(filepath.Dir(dir), "outside", "on.csv"), []byte("time [s],pm1 (ug/m3)\n0,1\n"), 0o644))
	for _, line := range setup {
		w := strings.SplitN(line, " ", 5)
		path := filepath.Join(dir, filepath.FromSlash(w[1]))
		if runtime.GOOS == "windows" && w[0] != "repeat" && w[0] != "remove" {
			t.Skipf("%s is not made on Windows", w[0])
		}
		switch w[0] {
		case "repeat":
			times, err := strconv.Atoi(w[3])
			must(err)
			data, err := os.ReadFile(path)
			must(err)
			text := strings.Repeat(strings.ReplaceAll(w[4], `\n`, "\n"), times)
			must(os.WriteFile(path, bytes.Replace(data, []byte(w[2]), []byte(text), 1), 0o644))
		case "copy":
			data, err := os.ReadFile(path)
			must(err)
			fresh := filepath.Join(dir, filepath.FromSlash(w[2]))
			if _, err := os.Stat(fresh); err == nil {
				t.Skip("this file system takes both names for one")
			}
			must(os.WriteFile(fresh, data, 0o644))
		case "remove":
			must(os.RemoveAll(path))
		case "file":
			must(os.RemoveAll(path))
			must(os.WriteFile(path, []byte("x"), 0o644))
		case "pipe":
			must(os.RemoveAll(path))
			must(makePipe(path))
		case "device":
			must(os.RemoveAll(path))
			if err := makeDevice(path); err != nil {
				t.Skipf("a device cannot be made here: %v", err)
			}
		case "link":
			must(os.RemoveAll(path))
			must(os.Symlink(w[2], path))
		case "unreadable":
			must(os.Chmod(path, 0))
			if f, err := os.Open(path); err == nil {
				f.Close()
				t.Skip("this user may read every file; see TestAsAnotherUser")
			}
		default:
			t.Fatalf("setup %q is not understood", line)
		}
	}
}

// tree is the content of a folder: by path its kind, its size and its bytes.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(p string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := e.Info()
		if err != nil {
			return err
		}
		out[p] = info.Mode().String()
		if info.Mode().IsRegular() && info.Mode().Perm() != 0 {
			data, err := os.ReadFile(p)
			if err != nil {
				return err
			}
			out[p] += " " + string(data)
		}
		return nil
	})
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	return out
}

func sameTree(t *testing.T, was, is map[string]string) {
	t.Helper()
	for p, s := range is {
		if old, ok := was[p]; !ok {
			t.Errorf("%s was written", p)
		} else if old != s {
			t.Errorf("%s was changed", p)
		}
	}
	for p := range was {
		if _, ok := is[p]; !ok {
			t.Errorf("%s was removed", p)
		}
	}
}

// errorLines are the lines of standard error that are no hints.
func errorLines(text string) (out []string) {
	for _, l := range strings.Split(strings.TrimSpace(text), "\n") {
		if l != "" && !strings.HasPrefix(l, "  hint: ") {
			out = append(out, l)
		}
	}
	return out
}

func failsWithLines(t *testing.T, dir string, want []string) {
	t.Helper()
	was := tree(t, filepath.Dir(dir))
	var out, errOut bytes.Buffer
	got := run([]string{"audit", dir, "--format", "pdf,json,html,xlsx"}, strings.NewReader(""), &out, &errOut)
	sameTree(t, was, tree(t, filepath.Dir(dir)))
	if got != exitFailed {
		t.Errorf("exit status %d, want %d\n%s", got, exitFailed, out.String())
	}
	if out.Len() > 0 {
		t.Errorf("printed to standard output: %s", out.String())
	}
	if strings.Contains(errOut.String(), "runtime error") || strings.Contains(errOut.String(), "goroutine") {
		t.Errorf("a panic shows: %s", errOut.String())
	}
	lines := errorLines(strings.ReplaceAll(errOut.String(), filepath.Dir(dir), "TMP"))
	matched := make([]bool, len(lines))
	for _, w := range want {
		re := regexp.MustCompile(`^` + w + `$`)
		found := false
		for i, l := range lines {
			if !found && !matched[i] && re.MatchString(l) {
				matched[i], found = true, true
			}
		}
		if !found {
			t.Errorf("no line matches %s", w)
		}
	}
	for i, l := range lines {
		if !matched[i] {
			t.Errorf("not expected: %s", l)
		}
	}
	if len(want) == 0 {
		t.Error("expected.csv names no line")
	}
}

func readsWithNotes(t *testing.T, dir string, want []string) {
	t.Helper()
	out := filepath.Join(filepath.Dir(dir), "out")
	var printed, errOut bytes.Buffer
	if got := run([]string{"audit", dir, "--format", "json,pdf", "--out", out}, strings.NewReader(""), &printed, &errOut); got != exitDone {
		t.Fatalf("exit status %d\n%s", got, errOut.String())
	}
	data, err := os.ReadFile(filepath.Join(out, "audit.json"))
	if err != nil {
		t.Fatal(err)
	}
	var r verdict.Report
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	notes := notesOf(r)
	for _, w := range want {
		re := regexp.MustCompile(`^` + w + `$`)
		found := false
		for _, n := range notes {
			found = found || re.MatchString(n)
		}
		if !found {
			t.Errorf("no note matches %s among\n%s", w, strings.Join(notes, "\n"))
		}
	}
	if len(r.Claims) == 0 {
		t.Error("no claim was read")
	}
}

// notesOf gathers the notes of an audit: of its books, its claims and its runs; and each claim as it was read.
func notesOf(r verdict.Report) (out []string) {
	out = append(out, r.Notes...)
	for _, c := range r.Claims {
		out = append(out, c.Notes...)
		if c.Claimed != nil {
			out = append(out, fmt.Sprintf("claim %s: %s %g %s, captured %q", c.ID, c.Attribute, c.Claimed.Low, c.Claimed.Unit, c.Captured))
		}
	}
	for _, m := range r.Measurements {
		for _, w := range m.Warnings {
			out = append(out, fmt.Sprint(w))
		}
		for _, x := range m.Runs {
			for _, f := range x.Warnings {
				out = append(out, fmt.Sprint(f))
			}
		}
	}
	sort.Strings(out)
	return out
}
