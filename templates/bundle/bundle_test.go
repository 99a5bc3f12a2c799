package bundle

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var title = Title{Tool: "weighhouse test", Case: "mossgate", Issued: time.Date(2031, 3, 14, 0, 0, 0, 0, time.UTC)}

func files() []File {
	return []File{
		Bytes("letter.txt", "the letter", []byte(strings.Repeat("To whom it may concern\n", 200))),
		Bytes("inputs/logs/max-1.csv", "input", []byte("time,value\n0,1\n")),
		Bytes("audit.pdf", "the report", []byte("%PDF-1.7")),
		Bytes("inputs/ärger.csv", "input", nil),
	}
}

func TestWrite(t *testing.T) {
	var a, b bytes.Buffer
	if err := Write(&a, title, files()); err != nil {
		t.Fatal(err)
	}
	fs := files()
	fs[0], fs[3] = fs[3], fs[0] // the order in which they are handed in does not count
	if err := Write(&b, title, fs); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two bundles of the same files differ")
	}
	z, err := zip.NewReader(bytes.NewReader(a.Bytes()), int64(a.Len()))
	if err != nil {
		t.Fatal(err)
	}
	got := map[string][]byte{}
	var names []string
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if got[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
		names = append(names, f.Name)
		if !f.Modified.Equal(title.Issued) || f.Mode() != 0o644 {
			t.Errorf("%s: time %s, mode %s", f.Name, f.Modified, f.Mode())
		}
	}
	if want := "manifest.json manifest.txt audit.pdf inputs/logs/max-1.csv inputs/ärger.csv letter.txt"; strings.Join(names, " ") != want {
		t.Errorf("names %v; want %s", names, want)
	}
	var m Manifest
	if err := json.Unmarshal(got["manifest.json"], &m); err != nil {
		t.Fatal(err)
	}
	if m.Format != Format || m.Issued != "2031-03-14" || m.Case != "mossgate" || len(m.Files) != 4 {
		t.Errorf("%+v", m)
	}
	lines := ""
	for _, e := range m.Files {
		sum := sha256.Sum256(got[e.Path])
		if hex.EncodeToString(sum[:]) != e.SHA256 || int64(len(got[e.Path])) != e.Bytes {
			t.Errorf("%s: manifest says %d bytes, %s", e.Path, e.Bytes, e.SHA256)
		}
		lines += e.SHA256 + "  " + e.Path + "\n"
	}
	if string(got["manifest.txt"]) != lines {
		t.Errorf("manifest.txt:\n%s", got["manifest.txt"])
	}
}

// Programs that are not ours read the zip and check the manifest.
func TestAgainstUnzip(t *testing.T) {
	for _, p := range []string{"unzip", "sha256sum"} {
		if _, err := exec.LookPath(p); err != nil {
			if os.Getenv("CI") == "true" {
				t.Fatalf("%s is needed where CI=true", p)
			}
			t.Skipf("%s is not installed", p)
		}
	}
	dir := t.TempDir()
	var b bytes.Buffer
	if err := Write(&b, title, files()); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "d.zip"), b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"unzip", "-tq", "d.zip"}, {"unzip", "-q", "d.zip"}, {"sha256sum", "--strict", "-c", "manifest.txt"}} {
		c := exec.Command(args[0], args[1:]...)
		c.Dir, c.Env = dir, append(os.Environ(), "LC_ALL=C.UTF-8")
		if out, err := c.CombinedOutput(); err != nil {
			t.Errorf("%v: %v\n%s", args, err, out)
		}
	}
}

func TestRefuses(t *testing.T) {
	changed := Bytes("a.txt", "", []byte("one"))
	changed.Open = func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader("two")), nil }
	longer := Bytes("a.txt", "", []byte("one"))
	longer.Open = func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader("one and more")), nil }
	gone := Bytes("a.txt", "", nil)
	gone.Open = func() (io.ReadCloser, error) { return nil, fmt.Errorf("no such file") }
	for want, fs := range map[string][]File{
		"a.txt: the file changed while":         {changed},
		"changed while the bundle was made":     {longer},
		"a.txt: no such file":                   {gone},
		"would be one file":                     {Bytes("A.txt", "", nil), Bytes("a.txt", "", nil)},
		"manifest.json and Manifest.JSON would": {Bytes("Manifest.JSON", "", nil)},
		`the name "../a" cannot`:                {Bytes("../a", "", nil)},
		`the name "/a" cannot`:                  {Bytes("/a", "", nil)},
		`the name "a\\b" cannot`:                {Bytes(`a\b`, "", nil)},
		`the name "a/../b" cannot`:              {Bytes("a/../b", "", nil)},
		"a: no SHA-256":                         {{Name: "a"}},
	} {
		if err := Write(io.Discard, title, fs); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %s", err, want)
		}
	}
}
