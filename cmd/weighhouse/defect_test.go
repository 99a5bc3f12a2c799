package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestDefectOfTheProgram: a writer that panics fails its case with one line, writes nothing of it, and the other cases of
// the run go on.
func TestDefectOfTheProgram(t *testing.T) {
	was := writers["html"]
	defer func() { writers["html"] = was }()
	writers["html"] = func(l *loaded, o writerOptions) ([]byte, []string, error) {
		if filepath.Base(l.dir) == "odd-bom" {
			panic("index out of range")
		}
		return was(l, o)
	}
	out := t.TempDir()
	var printed, errOut bytes.Buffer
	status := run([]string{"audit", "../../testdata/broken/odd-bom", "../../testdata/broken/odd-tabs", "--format", "json,html", "--out", out}, nil, &printed, &errOut)
	if status != exitFailed || !strings.Contains(errOut.String(), "the program failed on this case (index out of range)") || strings.Contains(errOut.String(), "goroutine") {
		t.Errorf("exit status %d\n%s", status, errOut.String())
	}
	if _, err := os.Stat(filepath.Join(out, "odd-bom", "audit.json")); err == nil {
		t.Error("an output of the case that failed")
	}
	if _, err := os.Stat(filepath.Join(out, "odd-tabs", "audit.html")); err != nil {
		t.Error(err)
	}
}
