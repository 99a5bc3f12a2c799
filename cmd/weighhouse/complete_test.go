package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// need gives the path of a program that a test looks at outputs with.
func need(t *testing.T, program string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is needed where CI=true", program)
		}
		t.Skipf("%s is not installed", program)
	}
	return path
}

// TestCompletionScripts reads the script of each shell with that shell.
func TestCompletionScripts(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish"} {
		t.Run(shell, func(t *testing.T) {
			var script, errOut bytes.Buffer
			if got := run([]string{"completion", shell}, nil, &script, &errOut); got != exitDone {
				t.Fatalf("status %d: %s", got, errOut.String())
			}
			path := filepath.Join(t.TempDir(), "weighhouse")
			if err := os.WriteFile(path, script.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			if said, err := exec.Command(need(t, shell), "-n", path).CombinedOutput(); err != nil || len(said) > 0 {
				t.Errorf("%v: %s", err, said)
			}
		})
	}
}

// bashWords has bash complete a line as it does for a key press: with its own completion library and our script.
const bashWords = `
source "$1"; shift
source <("$1" completion bash); shift
COMP_LINE="$*"; COMP_POINT=${#COMP_LINE}; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1))
__start_weighhouse 2>/dev/null # compopt does nothing outside a key press, and says so
printf '%s\n' "${COMPREPLY[@]}"
`

// TestCompletionInShells presses tab: a case, a folder, a word.
func TestCompletionInShells(t *testing.T) {
	bash := need(t, "bash")
	library := "/usr/share/bash-completion/bash_completion"
	if _, err := os.Stat(library); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("bash-completion is needed where CI=true")
		}
		t.Skip("bash-completion is not installed")
	}
	dir := t.TempDir()
	program := filepath.Join(dir, "bin", "weighhouse")
	for _, d := range []string{"bin", "cases/fennow 40", "cases/tavvik-35", "results"} {
		if err := os.MkdirAll(filepath.Join(dir, d), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "cases", "index.csv"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, c := range []struct{ line, want []string }{
		{[]string{"audit", "ca"}, []string{"cases"}},
		{[]string{"audit", "cases/"}, []string{"cases/fennow 40", "cases/tavvik-35"}}, // no file
		{[]string{"audit", "cases/t"}, []string{"cases/tavvik-35"}},
		{[]string{"verify", "cases/f"}, []string{"cases/fennow 40"}},
		{[]string{"audit", "--each", "c"}, []string{"cases"}},
		{[]string{"audit", "--out", "r"}, []string{"results"}},
		{[]string{"letter", "cases/", "--to", ""}, []string{"authority", "maker"}},
		{[]string{"audit", "--format", "pdf,h"}, []string{"pdf,html"}},
		{[]string{"rules", "tol"}, []string{"tolerances"}},
		{[]string{"rank", "cases/i"}, []string{""}}, // left to the shell, which offers files: an audit.json is one
		{[]string{"ran"}, []string{"rank"}},
	} {
		cmd := exec.Command(bash, append([]string{"--norc", "-c", bashWords, "bash", library, program, "weighhouse"}, c.line...)...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "PATH="+filepath.Join(dir, "bin")+string(os.PathListSeparator)+os.Getenv("PATH"))
		out, err := cmd.Output()
		got := strings.Split(strings.TrimSpace(string(out)), "\n")
		for i := range got { // descriptions stand after a tab or in brackets where there are several
			got[i], _, _ = strings.Cut(got[i], "  (")
			got[i] = strings.ReplaceAll(strings.TrimRight(got[i], " /"), `\`, "")
		}
		slices.Sort(got)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("weighhouse %q: %v, %q; want %q", c.line, err, got, c.want)
		}
	}
	fish, err := exec.LookPath("fish") // TestCompletionScripts says where it is missing
	if err != nil {
		return
	}
	for line, want := range map[string]string{"weighhouse audit ca": "cases/", "weighhouse audit cases/t": "cases/tavvik-35/", "weighhouse letter x --to m": "maker"} {
		cmd := exec.Command(fish, "--no-config", "-c", `weighhouse completion fish | source; complete -C "$argv"`, line)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "PATH="+filepath.Join(dir, "bin")+string(os.PathListSeparator)+os.Getenv("PATH"), "HOME="+dir)
		out, err := cmd.Output()
		if got := strings.TrimSpace(string(out)); err != nil || got != want {
			t.Errorf("fish, %q: %v, %q; want %q", line, err, got, want)
		}
	}
}
