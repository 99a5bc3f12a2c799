package main

import (
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"weighhouse/templates/bundle"
)

// bundleAside writes the bundle to a temporary file beside its place.
func (j letterJob) bundleAside(l *loaded, outputs []made) (temp string, err error) {
	root, err := os.OpenRoot(l.dir)
	if err != nil {
		return "", err
	}
	defer root.Close()
	at, there := os.Stat(j.bundle)
	var files []bundle.File
	for _, m := range outputs {
		files = append(files, bundle.Bytes(m.name, m.what, m.data))
	}
	for _, in := range l.audit.Inputs {
		stat, open := root.Stat, root.Open
		name := path.Join("inputs", l.audit.Case, in.Path)
		if strings.HasPrefix(in.Path, "../") { // of the room book, beside the case
			stat = func(p string) (os.FileInfo, error) { return os.Stat(filepath.Join(l.dir, filepath.FromSlash(p))) }
			open = func(p string) (*os.File, error) { return os.Open(filepath.Join(l.dir, filepath.FromSlash(p))) }
			if !strings.HasPrefix(name, "inputs/") {
				return "", fmt.Errorf("--bundle %s: the room book's %s stands more than one folder above the case; a bundle holds the case's folder and what stands beside it", j.bundle, in.Path)
			}
		}
		info, err := stat(in.Path)
		if err != nil {
			return "", err
		}
		if there == nil && os.SameFile(info, at) {
			return "", fmt.Errorf("--bundle %s: is an input of the case; another name would do", j.bundle)
		}
		files = append(files, bundle.File{Name: name, What: "input of the case", Size: in.Bytes, SHA256: in.SHA256,
			Open: func() (io.ReadCloser, error) { return open(in.Path) }})
	}
	if there == nil && !at.Mode().IsRegular() {
		return "", fmt.Errorf("%s: is there and is not a regular file; it was not replaced", j.bundle)
	}
	t, err := os.CreateTemp(filepath.Dir(j.bundle), "."+filepath.Base(j.bundle)+".*.part")
	if err != nil {
		return "", fmt.Errorf("%s: cannot be written: %w", j.bundle, err)
	}
	day, _ := time.Parse(time.DateOnly, j.issued)
	err = bundle.Write(t, bundle.Title{Tool: "weighhouse " + version, Case: l.audit.Case, Issued: day}, files)
	for _, step := range []func() error{func() error { return t.Chmod(0o644) }, t.Sync, t.Close} {
		if e := step(); err == nil {
			err = e
		}
	}
	if err != nil {
		os.Remove(t.Name())
		return "", fmt.Errorf("%s: cannot be written: %w", j.bundle, err)
	}
	return t.Name(), nil
}
