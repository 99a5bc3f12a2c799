package main

import (
	"os"
	"path/filepath"
	"testing"
)

// TestCommitted: the program writes the cases that are committed, the same on each run.
func TestCommitted(t *testing.T) {
	cases := all()
	again := all()
	if len(cases) < 80 {
		t.Errorf("%d cases, at least 80 wanted", len(cases))
	}
	for name, f := range cases {
		dir := filepath.Join("..", "broken", name)
		for path, want := range f {
			if again[name][path] != want {
				t.Errorf("%s: %s differs from run to run", name, path)
			}
			got, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(path)))
			if err != nil || string(got) != want {
				t.Errorf("%s: %s is not as it is made (%v); run go run ./testdata/makebroken", name, path, err)
			}
		}
		err := filepath.WalkDir(dir, func(p string, e os.DirEntry, err error) error {
			if err != nil || e.IsDir() {
				return err
			}
			rel, err := filepath.Rel(dir, p)
			if _, ok := f[filepath.ToSlash(rel)]; !ok {
				t.Errorf("%s is not made", p)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	}
	entries, err := os.ReadDir("../broken")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.IsDir() && cases[e.Name()] == nil {
			t.Errorf("testdata/broken/%s is not made", e.Name())
		}
	}
}
