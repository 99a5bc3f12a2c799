//go:build unix

package main

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

func makePipe(path string) error { return syscall.Mkfifo(path, 0o644) }

// makeDevice makes a device that never ends, which takes a right that few users have.
func makeDevice(path string) error {
	if runtime.GOOS != "linux" {
		return errors.New("no number of the device is known here")
	}
	return syscall.Mknod(path, syscall.S_IFCHR|0o666, 1<<8|5)
}

// ownProgram is this test binary under the name by which it runs the program itself; see TestMain. It and its folder may be
// used by every user.
func ownProgram(t *testing.T) (path, dir string) {
	t.Helper()
	dir, err := os.MkdirTemp("", "weighhouse-faults-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(self)
	if err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(dir, "weighhouse")
	if err := errors.Join(os.Chmod(dir, 0o755), os.WriteFile(path, data, 0o755)); err != nil {
		t.Fatal(err)
	}
	return path, dir
}

// otherUser makes a command run as a user without rights over the files of the test.
func otherUser(t *testing.T, c *exec.Cmd) *exec.Cmd {
	t.Helper()
	if os.Geteuid() != 0 {
		return c // this user has no more rights than anybody
	}
	const nobody = 65534
	c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	return c
}

func execute(c *exec.Cmd) (status int, text string) {
	out, err := c.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		return -1, err.Error()
	}
	return c.ProcessState.ExitCode(), string(out)
}

// TestAsAnotherUser: files that may not be read are said to be so, and a folder that may not be written stays as it is.
// It is run as a user without rights where the tests run as one who may do everything.
func TestAsAnotherUser(t *testing.T) {
	bin, dir := ownProgram(t)
	for _, c := range []struct{ name, file, want string }{
		{"path-spec-unreadable", "spec.xlsx", "spec.xlsx: the file may not be read (permission denied)"},
		{"path-log-unreadable", "logs/on.csv", "logs/on.csv: the file may not be read (permission denied)"},
	} {
		at := filepath.Join(dir, c.name)
		if err := os.CopyFS(at, os.DirFS("../../testdata/broken/"+c.name)); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(filepath.Join(at, filepath.FromSlash(c.file)), 0); err != nil {
			t.Fatal(err)
		}
		status, text := execute(otherUser(t, exec.Command(bin, "audit", at, "--out", filepath.Join(dir, "none"))))
		if lines := errorLines(text); status != exitFailed || len(lines) != 1 || !strings.Contains(lines[0], c.want) {
			t.Errorf("%s: exit status %d\n%s", c.name, status, text)
		}
	}
	odd := filepath.Join(dir, "case")
	if err := os.CopyFS(odd, os.DirFS("../../testdata/broken/odd-bom")); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.WriteFile(filepath.Join(odd, "audit.json"), []byte("older"), 0o644), os.Chmod(odd, 0o555)); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Chmod(odd, 0o755) })
	was := tree(t, odd)
	status, text := execute(otherUser(t, exec.Command(bin, "audit", odd)))
	if status != exitFailed || !strings.Contains(text, "cannot be written: permission denied") || strings.Count(text, "permission denied") != 1 {
		t.Errorf("exit status %d\n%s", status, text)
	}
	sameTree(t, was, tree(t, odd))
}

// TestTargetsThatStay: what stands in the place of an output and is no plain file that may be written is never replaced,
// nor is any other output of the case.
func TestTargetsThatStay(t *testing.T) {
	for name, make := range map[string]func(path string) error{
		"a folder":            func(p string) error { return os.MkdirAll(filepath.Join(p, "inside"), 0o755) },
		"a link":              func(p string) error { return os.Symlink("spec/claims.csv", p) },
		"a link to nothing":   func(p string) error { return os.Symlink("/nowhere/at/all", p) },
		"a link to a folder":  func(p string) error { return os.Symlink("spec", p) },
		"a pipe":              makePipe,
		"a file only to read": func(p string) error { return os.WriteFile(p, []byte("keep me"), 0o444) },
	} {
		for _, format := range formatNames {
			dir := filepath.Join(t.TempDir(), "case")
			if err := os.CopyFS(dir, os.DirFS("../../testdata/broken/odd-bom")); err != nil {
				t.Fatal(err)
			}
			if err := make(filepath.Join(dir, "audit."+format)); err != nil {
				t.Fatal(err)
			}
			was := tree(t, dir)
			var out, errOut bytes.Buffer
			status := run([]string{"audit", dir, "--format", "pdf,json,html,xlsx"}, nil, &out, &errOut)
			if status != exitFailed || !strings.Contains(errOut.String(), "it was not replaced") || len(errorLines(errOut.String())) != 1 {
				t.Errorf("audit.%s is %s: exit status %d\n%s", format, name, status, errOut.String())
			}
			sameTree(t, was, tree(t, dir))
		}
	}
}

// TestRenameFails: where a rename fails after others have gone through, these are taken back. A folder that appears in
// the place of an output after it was looked at stands for whatever makes a rename fail.
func TestRenameFails(t *testing.T) {
	dir := t.TempDir()
	a, b, c := filepath.Join(dir, "a"), filepath.Join(dir, "b"), filepath.Join(dir, "c")
	if err := os.WriteFile(a, []byte("old a"), 0o644); err != nil {
		t.Fatal(err)
	}
	files := []file{{a, []byte("new a")}, {b, []byte("new b")}, {c, []byte("new c")}}
	stop := make(chan bool)
	var wg sync.WaitGroup
	wg.Add(1)
	go func() { // as soon as the last file stands aside, a folder takes its place
		defer wg.Done()
		for {
			select {
			case <-stop:
				return
			default:
			}
			if found, _ := filepath.Glob(filepath.Join(dir, ".c.*.part")); len(found) > 0 {
				os.MkdirAll(filepath.Join(c, "inside"), 0o755)
				return
			}
		}
	}()
	err := writeAll(files)
	close(stop)
	wg.Wait()
	if err == nil {
		t.Skip("the folder came too late")
	}
	data, _ := os.ReadFile(a)
	if string(data) != "old a" {
		t.Errorf("a holds %q", data)
	}
	if _, err := os.Lstat(b); err == nil {
		t.Error("b is there")
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*")); len(left) > 0 {
		t.Errorf("left: %v", left)
	}
}

// TestDiskFull writes to a file system that is too small for the outputs; it needs the right to mount one.
func TestDiskFull(t *testing.T) {
	if runtime.GOOS != "linux" || os.Geteuid() != 0 {
		t.Skip("mounting a small file system takes root on Linux")
	}
	for _, size := range []string{"4k", "16k", "64k", "128k"} {
		disk := t.TempDir()
		if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size="+size); err != nil {
			t.Skipf("no file system can be mounted here: %v", err)
		}
		older := filepath.Join(disk, "audit.json")
		if err := os.WriteFile(older, []byte("an older audit"), 0o644); err != nil {
			t.Fatal(err)
		}
		was := tree(t, disk)
		var out, errOut bytes.Buffer
		status := run([]string{"audit", "../../testdata/demo", "--format", "pdf,json,html,xlsx", "--out", disk}, nil, &out, &errOut)
		if status != exitFailed || !strings.Contains(errOut.String(), "cannot be written: no space left on device") || len(errorLines(errOut.String())) != 1 {
			t.Errorf("%s: exit status %d\n%s%s", size, status, out.String(), errOut.String())
		}
		sameTree(t, was, tree(t, disk))
		if err := syscall.Unmount(disk, 0); err != nil {
			t.Error(err)
		}
	}
}

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
