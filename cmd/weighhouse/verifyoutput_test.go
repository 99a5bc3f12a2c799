package main

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// auditedAll copies a case and audits it into all formats.
func auditedAll(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "osk-3")
	if err := os.CopyFS(dir, os.DirFS("../../testdata/rank/osk-3")); err != nil {
		t.Fatal(err)
	}
	do(t, "audit", "--format", "pdf,json,html,xlsx", "--date", "2026-08-03", dir)
	return dir
}

func do(t *testing.T, args ...string) {
	t.Helper()
	var out, errOut bytes.Buffer
	if got := run(args, nil, &out, &errOut); got != exitDone {
		t.Fatalf("%v: exit status %d: %s", args, got, errOut.String())
	}
}

func expectVerify(t *testing.T, what, dir string, status int, want ...string) {
	t.Helper()
	got, text := verifyOutput(dir)
	if got != status {
		t.Errorf("%s: exit status %d, want %d:\n%s", what, got, status, text)
	}
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("%s: no %q in\n%s", what, w, text)
		}
	}
}

// TestVerifyOutputs: each output is printed anew and compared, another name is no fault, what nothing uses is named.
func TestVerifyOutputs(t *testing.T) {
	dir := auditedAll(t)
	expectVerify(t, "as written", dir, exitDone, "audit.pdf: printed anew", "audit.html: printed anew", "audit.xlsx: printed anew")
	for _, name := range []string{"audit.pdf", "audit.html", "audit.xlsx"} {
		path := filepath.Join(dir, name)
		was, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []int{len(was) / 3, len(was) / 2, len(was) - 20} {
			now := bytes.Clone(was)
			now[at] ^= 1
			if err := os.WriteFile(path, now, 0o644); err != nil {
				t.Fatal(err)
			}
			expectVerify(t, name+" altered", dir, exitFailed, name, "cause: an output of another making")
		}
		if err := os.WriteFile(path, was, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(filepath.Dir(dir), "copy of it")
	if err := os.Rename(dir, other); err != nil {
		t.Fatal(err)
	}
	expectVerify(t, "a copy under another name", other, exitDone, "a copy under another name: the case was osk-3, the folder is copy of it", "used by nothing: notes.txt", "audit.pdf: printed anew")
}

// TestVerifyBundle: a bundle verifies as it unpacks, and a file of it that is altered, missing or added is told.
func TestVerifyBundle(t *testing.T) {
	dir := auditedAll(t)
	packed := filepath.Join(t.TempDir(), "bundle.zip")
	do(t, "letter", "--to", "authority", "--date", "2026-08-03", "--out", t.TempDir(), "--bundle", packed, dir)
	at := t.TempDir()
	unpack(t, packed, at)
	expectVerify(t, "as packed", at, exitDone, "follows from the inputs", "of the bundle by the SHA-256", "audit.pdf: printed anew", "not checked: the manifest itself")
	if err := os.WriteFile(filepath.Join(at, "added.txt"), []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	expectVerify(t, "with a file more", at, exitDone, "not in its manifest: added.txt")
	letter := filepath.Join(at, "letter-authority.txt")
	if err := os.WriteFile(letter, []byte("another letter"), 0o644); err != nil {
		t.Fatal(err)
	}
	expectVerify(t, "a letter altered", at, exitFailed, "letter-authority.txt", "cause: a file of the bundle")
	if err := os.Remove(letter); err != nil {
		t.Fatal(err)
	}
	expectVerify(t, "a file less", at, exitFailed, "letter-authority.txt", "not there")
}

func unpack(t *testing.T, packed, to string) {
	t.Helper()
	z, err := zip.OpenReader(packed)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	for _, f := range z.File {
		path := filepath.Join(to, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		r.Close()
		if err == nil {
			err = os.WriteFile(path, data, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}
