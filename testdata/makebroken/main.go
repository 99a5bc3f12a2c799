// Command makebroken writes the cases of testdata/broken: books and logs that are damaged, wrong or odd, one fault a
// case, as strangers send them.
//
//	go run ./testdata/makebroken        from the module root; -out names another folder
//
// What the program must say of each stands in testdata/broken/expected.csv, which is kept by hand and which
// cmd/weighhouse tests against: the case, what is done to its copy before it is read (a pipe, a link, a line too long to
// keep here), the exit status, and a regular expression for every line that must be printed, or every note that the audit
// must hold. The makers and models are invented. There is no randomness: the same files come out on each run.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

func main() {
	out := flag.String("out", "testdata/broken", "folder to write the cases to")
	flag.Parse()
	n, err := writeTo(*out)
	if err != nil {
		fmt.Fprintln(os.Stderr, "makebroken:", err)
		os.Exit(1)
	}
	fmt.Printf("%d cases written below %s\n", n, *out)
}

// files is the content of a case by slash path.
type files map[string]string

// with is a copy of f with one file more, or another content of it.
func (f files) with(path, content string) files {
	out := files{}
	for p, c := range f {
		out[p] = c
	}
	out[path] = content
	return out
}

// edit is a copy of f with the first occurrence of old in a file replaced. A change that changes nothing is a defect of
// this program.
func (f files) edit(path, old, fresh string) files {
	if !strings.Contains(f[path], old) {
		panic(fmt.Sprintf("%s does not hold %q", path, old))
	}
	return f.with(path, strings.Replace(f[path], old, fresh, 1))
}

// all gathers every case by name.
func all() map[string]files {
	out := map[string]files{}
	for _, group := range []map[string]files{workbooks(), csvTables(), claimTables(), labTables(), logs(), paths(), odd(), mixups(), cells()} {
		for name, f := range group {
			if out[name] != nil {
				panic("two cases are named " + name)
			}
			out[name] = f
		}
	}
	return out
}

// writeTo writes all cases and removes folders of cases that are no more.
func writeTo(out string) (int, error) {
	cases := all()
	old, err := os.ReadDir(out)
	if err != nil && !os.IsNotExist(err) {
		return 0, err
	}
	for _, e := range old {
		if e.IsDir() {
			if err := os.RemoveAll(filepath.Join(out, e.Name())); err != nil {
				return 0, err
			}
		}
	}
	for _, name := range sorted(cases) {
		f := cases[name]
		for _, p := range sorted(f) {
			path := filepath.Join(out, name, filepath.FromSlash(p))
			if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
				return 0, err
			}
			if err := os.WriteFile(path, []byte(f[p]), 0o644); err != nil {
				return 0, err
			}
		}
	}
	return len(cases), nil
}

func sorted[V any](m map[string]V) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}
