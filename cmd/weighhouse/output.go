package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"golang.org/x/term"
)

// The rules of output:
//   - an output file is built whole in memory, written to a temporary file beside its place, and renamed; an older file
//     survives any failure, and no half-written file is left;
//   - of several files of one case all are written aside before the first is renamed;
//   - what people read goes to standard output, errors go to standard error, one hint line where there is a next step;
//   - text from inputs is stripped of control characters before it reaches a terminal;
//   - colour and weight only on a terminal, and not where NO_COLOR is set or TERM is dumb.

// file is one output: its path and its bytes.
type file struct {
	path string
	data []byte
}

// writeAll writes files so that either all stand whole in their places or none has changed.
func writeAll(files []file) error {
	var temps []string
	undo := func() {
		for _, t := range temps {
			os.Remove(t)
		}
	}
	for _, f := range files {
		t, err := writeAside(f)
		if err != nil {
			undo()
			return err
		}
		temps = append(temps, t)
	}
	for i, f := range files {
		if err := os.Rename(temps[i], f.path); err != nil {
			undo()
			return fmt.Errorf("%s: %w", f.path, err)
		}
	}
	return nil
}

// writeAside writes a file's bytes to a temporary file in its folder and returns that file's path.
func writeAside(f file) (string, error) {
	if info, err := os.Stat(f.path); err == nil && !info.Mode().IsRegular() {
		return "", fmt.Errorf("%s: is there and is not a regular file; it was not replaced", f.path)
	}
	t, err := os.CreateTemp(filepath.Dir(f.path), "."+filepath.Base(f.path)+".*.part")
	if err != nil {
		return "", fmt.Errorf("%s: cannot be written: %w", f.path, err)
	}
	_, err = t.Write(f.data)
	if err == nil {
		err = t.Chmod(0o644)
	}
	if err == nil {
		err = t.Sync()
	}
	if e := t.Close(); err == nil {
		err = e
	}
	if err != nil {
		os.Remove(t.Name())
		return "", fmt.Errorf("%s: cannot be written: %w", f.path, err)
	}
	return t.Name(), nil
}

// clean makes a line of foreign text fit for a terminal: control and formatting characters become spaces.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == unicode.ReplacementChar {
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
}

func newScreen(w io.Writer) screen {
	s := screen{Writer: w, width: 120}
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return s
	}
	s.terminal = true
	if width, _, err := term.GetSize(int(f.Fd())); err == nil && width > 20 {
		s.width = width
	}
	_, plain := os.LookupEnv("NO_COLOR")
	s.styled = !plain && os.Getenv("TERM") != "dumb"
	return s
}

// bold gives text weight on a terminal that may be styled.
func (s screen) bold(text string) string {
	if !s.styled {
		return text
	}
	return "\x1b[1m" + text + "\x1b[0m"
}
