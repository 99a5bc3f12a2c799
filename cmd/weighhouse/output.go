package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"golang.org/x/term"
)

// The rules of output:
//   - an output file is built whole in memory, written to a temporary file beside its place, and renamed; an older file
//     survives any failure, and no half-written file is left;
//   - of several files of one case all are written aside before the first is renamed; where a rename fails, those before
//     it are taken back;
//   - a link, a folder, a device or a file that may only be read is never replaced;
//   - what people read goes to standard output, errors go to standard error, one hint line where there is a next step;
//   - text from inputs is stripped of control characters before it reaches a terminal;
//   - colour and weight only on a terminal, and not where NO_COLOR is set or TERM is dumb.

// file is one output: its path and its bytes.
type file struct {
	path string
	data []byte
}

// writeAll writes files so that either all stand whole in their places or none has changed. Each is written aside and
// brought to the disk before the first is renamed; where a rename fails, those before it are taken back. A program that
// is killed between two renames leaves whole files of two makings, which verify tells.
func writeAll(files []file) error {
	var aside, kept []string
	defer func() {
		for _, p := range append(aside, kept...) {
			if p != "" {
				os.Remove(p)
			}
		}
	}()
	removeLeftovers(files)
	for _, f := range files {
		t, err := writeAside(f)
		if err != nil {
			return err
		}
		aside = append(aside, t)
	}
	for i, f := range files {
		kept = append(kept, keepOld(f.path))
		if err := os.Rename(aside[i], f.path); err != nil {
			for k := range i {
				if kept[k] != "" {
					err = errors.Join(err, os.Rename(kept[k], files[k].path))
				} else {
					err = errors.Join(err, os.Remove(files[k].path))
				}
			}
			return fmt.Errorf("%s: %w", f.path, pathless(err))
		}
	}
	for _, dir := range folders(files) { // so that the names, too, are on the disk
		if d, err := os.Open(dir); err == nil {
			d.Sync()
			d.Close()
		}
	}
	return nil
}

// writeAside writes a file's bytes to a temporary file in its folder and returns that file's path.
func writeAside(f file) (string, error) {
	if info, err := os.Lstat(f.path); err == nil {
		switch {
		case info.Mode()&fs.ModeSymlink != 0:
			return "", fmt.Errorf("%s: is there and is a link; it was not replaced", f.path)
		case !info.Mode().IsRegular():
			return "", fmt.Errorf("%s: is there and is not a regular file; it was not replaced", f.path)
		case info.Mode().Perm()&0o200 == 0:
			return "", fmt.Errorf("%s: is there and may only be read; it was not replaced", f.path)
		}
	}
	t, err := asideOf(f.path)
	if err != nil {
		return "", fmt.Errorf("%s: cannot be written: %w", f.path, pathless(err))
	}
	_, err = t.Write(f.data)
	if err == nil {
		err = t.Chmod(0o644)
	}
	if err == nil && filepath.Base(f.path) != recordName { // a record that is not whole counts for none
		err = t.Sync()
	}
	if e := t.Close(); err == nil {
		err = e
	}
	if err != nil {
		os.Remove(t.Name())
		return "", fmt.Errorf("%s: cannot be written: %w", f.path, pathless(err))
	}
	return t.Name(), nil
}

// asideOf makes the temporary file of an output: hidden, and with an ending that nobody takes for the output.
func asideOf(path string) (*os.File, error) {
	return os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*.part")
}

// keepOld gives the file that is to be replaced a second name, so that it can be brought back. It is "" where there is
// none, and where the file system has no second names.
func keepOld(path string) string {
	for range 100 {
		aside := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+"."+strconv.FormatUint(rand.Uint64(), 36)+".part")
		switch err := os.Link(path, aside); {
		case err == nil:
			return aside
		case !errors.Is(err, fs.ErrExist):
			return ""
		}
	}
	return ""
}

// leftoverAge is how old a temporary file is that no running program can be writing.
const leftoverAge = time.Hour

// removeLeftovers takes away the temporary files of outputs that a killed program has left.
func removeLeftovers(files []file) {
	for _, dir := range folders(files) {
		d, err := os.Open(dir)
		if err != nil {
			continue // to be met where the output is written
		}
		names, _ := d.Readdirnames(-1)
		d.Close()
		for _, name := range names {
			if !strings.HasSuffix(name, ".part") || !slices.ContainsFunc(files, func(f file) bool {
				head := "." + filepath.Base(f.path) + "."
				return filepath.Dir(f.path) == dir && strings.HasPrefix(name, head) && len(name) >= len(head)+len(".part")
			}) {
				continue
			}
			p := filepath.Join(dir, name)
			if info, err := os.Lstat(p); err == nil && info.Mode().IsRegular() && time.Since(info.ModTime()) > leftoverAge {
				os.Remove(p)
			}
		}
	}
}

// folders lists the folders of files, each once.
func folders(files []file) (out []string) {
	for _, f := range files {
		if dir := filepath.Dir(f.path); !slices.Contains(out, dir) {
			out = append(out, dir)
		}
	}
	return out
}

// clean makes a line of foreign text fit for a terminal: control and formatting characters and other line ends become spaces.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) || r == unicode.ReplacementChar {
			return ' '
		}
		return r
	}, s)
}

// cleanLines is clean line by line.
func cleanLines(s string) string {
	lines := strings.Split(s, "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(clean(lines[i]), " ")
	}
	return strings.Join(lines, "\n")
}

// screen is where people read: a writer, its width, and whether it is a terminal that may be styled.
type screen struct {
	io.Writer
	width    int
	terminal bool
	styled   bool
	plain    bool // it shows no more than letters and digits
}

func newScreen(w io.Writer) screen {
	s := screen{Writer: w, width: 120}
	if r, ok := w.(*recoded); ok {
		w, s.plain = r.file, true
	}
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return s
	}
	s.terminal = true
	if width, _, err := term.GetSize(int(f.Fd())); err == nil && width > 0 {
		s.width = width
	}
	s.plain = s.plain || os.Getenv("TERM") == "dumb"
	s.styled = os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	return s
}

// bold gives text weight on a terminal that may be styled.
func (s screen) bold(text string) string {
	if !s.styled {
		return text
	}
	return "\x1b[1m" + text + "\x1b[0m"
}
