//go:build unix

package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// TestKilled ends the program at random moments while it writes four outputs over older ones. Each output is then one of
// the two makings, whole; verify says so where they are of both; nothing else stands in the folder but hidden temporary
// files, and the next run is not held up by them.
func TestKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("starts the program many times")
	}
	bin, dir := ownProgram(t)
	dates := [2]string{"2026-08-03", "2026-09-01"}
	const small = "../../testdata/broken/odd-bom"
	var whole [2]map[string]string
	audit := func(date string) *exec.Cmd {
		return exec.Command(bin, "audit", small, "--format", "pdf,json,html,xlsx", "--date", date, "--out", filepath.Join(dir, "out"))
	}
	var took time.Duration
	for i, date := range dates {
		start := time.Now()
		if status, text := execute(audit(date)); status != exitDone {
			t.Fatalf("exit status %d\n%s", status, text)
		}
		took = time.Since(start)
		whole[i] = outputs(t, filepath.Join(dir, "out"))
	}
	seed := time.Now().UnixNano()
	t.Logf("seed %d; a whole run takes %v", seed, took)
	r := rand.New(rand.NewSource(seed))
	killed, mixed := 0, 0
	for n := range 40 {
		c := audit(dates[n%2])
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan bool)
		go func() { c.Wait(); close(ended) }()
		first := filepath.Join(dir, "out", "audit.pdf")
		was, _ := os.Stat(first)
		switch {
		case n%4 == 0:
			time.Sleep(time.Duration(r.Int63n(int64(took))))
		case n%4 >= 2: // as soon as the first output is replaced
			for waiting := true; waiting; {
				select {
				case <-ended:
					waiting = false
				default:
					now, err := os.Stat(first)
					waiting = err != nil || os.SameFile(was, now)
				}
			}
		default: // the moments in which files are written are aimed at
			before, _ := filepath.Glob(filepath.Join(dir, "out", ".*.part"))
			for waiting := true; waiting; {
				select {
				case <-ended:
					waiting = false
				default:
					now, _ := filepath.Glob(filepath.Join(dir, "out", ".*.part"))
					waiting = len(now) < len(before)+1+r.Intn(2*len(formatNames))
				}
			}
			time.Sleep(time.Duration(r.Int63n(int64(3 * time.Millisecond))))
		}
		c.Process.Kill()
		<-ended
		if c.ProcessState.ExitCode() != exitDone {
			killed++
		}
		got := outputs(t, filepath.Join(dir, "out"))
		var of [2]int
		for name, data := range got {
			switch data {
			case whole[0][name]:
				of[0]++
			case whole[1][name]:
				of[1]++
			default:
				t.Fatalf("%s is of neither making", name)
			}
		}
		if of[0]+of[1] != len(formatNames) {
			t.Fatalf("%d outputs of one, %d of the other", of[0], of[1])
		}
		status, text := execute(exec.Command(bin, "verify", small, "--audit", filepath.Join(dir, "out", "audit.json")))
		if one := of[0] == 0 || of[1] == 0; one != (status == exitDone) {
			t.Errorf("%d outputs of one, %d of the other, and verify ends with %d\n%s", of[0], of[1], status, text)
		} else if !one {
			mixed++
		}
	}
	t.Logf("%d of 40 runs were killed before their end, %d between two outputs", killed, mixed)
	left, _ := filepath.Glob(filepath.Join(dir, "out", ".*.part"))
	old := time.Now().Add(-2 * leftoverAge)
	for _, p := range left {
		os.Chtimes(p, old, old)
	}
	if status, text := execute(audit(dates[0])); status != exitDone {
		t.Fatalf("exit status %d\n%s", status, text)
	}
	if still, _ := filepath.Glob(filepath.Join(dir, "out", ".*")); len(still) > 0 {
		t.Errorf("left after the next run: %v", still)
	}
}

// outputs reads the files of a folder that are not hidden; of each hidden one it checks that it is a temporary file.
func outputs(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".audit.") && strings.HasSuffix(e.Name(), ".part") {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(data)
	}
	return out
}

// TestInputsThatChange audits a case while its log grows. The audit is refused, or it is of a state that the log was in,
// by the hash; an audit that is refused changes no output.
func TestInputsThatChange(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "case")
	if err := os.CopyFS(dir, os.DirFS("../../testdata/broken/path-log-a-pipe")); err != nil {
		t.Fatal(err)
	}
	log := filepath.Join(dir, "logs", "on.csv")
	data, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	var mu sync.Mutex
	states := map[string]bool{fmt.Sprintf("%x", sha256.Sum256(data)): true}
	stop := make(chan bool)
	var wg sync.WaitGroup
	wg.Add(1)
	go func() {
		defer wg.Done()
		f, err := os.OpenFile(log, os.O_APPEND|os.O_WRONLY, 0)
		if err != nil {
			return
		}
		defer f.Close()
		for s := 2460; ; s++ {
			select {
			case <-stop:
				return
			default:
			}
			line := fmt.Sprintf("%d,9.0\n", s)
			mu.Lock()
			data = append(data, line...)
			states[fmt.Sprintf("%x", sha256.Sum256(data))] = true
			mu.Unlock()
			io.WriteString(f, line)
			time.Sleep(200 * time.Microsecond)
		}
	}()
	refused, done := 0, 0
	older := ""
	for range 60 {
		var out, errOut bytes.Buffer
		switch run([]string{"audit", dir, "--format", "json"}, nil, &out, &errOut) {
		case exitDone:
			done++
			r, err := readAudit(filepath.Join(dir, "audit.json"))
			if err != nil {
				t.Fatal(err)
			}
			mu.Lock()
			for _, in := range r.Inputs {
				if in.Path == "logs/on.csv" && !states[in.SHA256] {
					t.Error("the log was never in the state that was audited")
				}
			}
			mu.Unlock()
		default:
			refused++
			if !strings.Contains(errOut.String(), "logs/on.csv: the file changed while it was read") {
				t.Errorf("%s", errOut.String())
			}
			if now, _ := os.ReadFile(filepath.Join(dir, "audit.json")); string(now) != older {
				t.Error("an audit that was refused has changed its output")
			}
		}
		now, _ := os.ReadFile(filepath.Join(dir, "audit.json"))
		older = string(now)
	}
	close(stop)
	wg.Wait()
	t.Logf("%d refused, %d of a state that was there", refused, done)
}
