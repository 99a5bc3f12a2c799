//go:build unix

package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
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
	files := []file{{a, []byte("new a")}, {b, []byte("new b")}, {c, bytes.Repeat([]byte("new c"), 1<<20)}}
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
