package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the notices anew")

// TestNotices composes the notices from the modules that are linked into the program, Go's own library and the embedded
// typefaces, and compares them with the text that the program prints.
func TestNotices(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}} {{.Dir}}{{end}}{{end}}", ".").Output()
	if err != nil {
		t.Fatal(err)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	type part struct{ names, text string }
	var parts []part
	add := func(name, text string) {
		text = strings.TrimSpace(strings.ReplaceAll(text, "\r\n", "\n"))
		for i := range parts {
			if parts[i].text == text {
				parts[i].names += "\n" + name
				return
			}
		}
		parts = append(parts, part{name, text})
	}
	read := func(path string) string {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	add("weighhouse", read("LICENSE"))
	add("Go's own library", read(filepath.Join(strings.TrimSpace(string(root)), "LICENSE")))
	seen := map[string]bool{}
	licence := regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|third_party_licen[cs]es)(\.(txt|md))?$`)
	for line := range strings.Lines(string(out)) {
		f := strings.Fields(line)
		if len(f) != 3 || seen[f[0]] {
			continue
		}
		seen[f[0]] = true
		files, err := os.ReadDir(f[2])
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, e := range files {
			if !licence.MatchString(e.Name()) {
				continue
			}
			if e.IsDir() {
				inside, err := filepath.Glob(filepath.Join(f[2], e.Name(), "*"))
				if err != nil {
					t.Fatal(err)
				}
				for _, p := range inside {
					add(f[0]+", "+filepath.Base(p), read(p))
				}
				continue
			}
			n++
			add(f[0], read(filepath.Join(f[2], e.Name())))
		}
		if n == 0 {
			t.Errorf("%s has no licence file", f[0])
		}
		if f[0] == "golang.org/x/image" {
			add("the embedded typefaces: Go Regular, Go Bold, Go Italic, Go Mono", read(filepath.Join(f[2], "font", "gofont", "ttfs", "README")))
		}
	}
	if len(seen) < 10 || !seen["golang.org/x/image"] {
		t.Fatalf("only %d modules: %v", len(seen), seen)
	}
	var want strings.Builder
	for _, p := range parts {
		fmt.Fprintf(&want, "%s\n%s\n\n%s\n\n\n", p.names, strings.Repeat("-", 80), p.text)
	}
	if *update {
		if err := os.WriteFile("notices.txt", []byte(want.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if notices != want.String() {
		t.Error("the notices are not those of the modules that are linked; write them anew: go test ./cmd/weighhouse -run TestNotices -update")
	}
	var printed, errOut bytes.Buffer
	if got := run([]string{"notices"}, nil, &printed, &errOut); got != exitDone || printed.String() != notices {
		t.Errorf("status %d: %s", got, errOut.String())
	}
}
