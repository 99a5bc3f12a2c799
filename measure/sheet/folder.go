package sheet

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"time"
)

// Folder is a case: the folder that all paths of its books stay inside. It keeps a list of every file that was read,
// with the SHA-256 of exactly the bytes that were used. Its methods may be called from several goroutines.
type Folder struct {
	root *os.Root
	name string
	bare bool // no case: the folder of a single log, for errors

	mu     sync.Mutex
	inputs map[string]Input
}

// OpenFolder opens a case. It is an error when dir is no folder that can be read.
func OpenFolder(dir string) (*Folder, error) {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("case %s: there is no such folder", quote(dir))
	case err != nil:
		return nil, fmt.Errorf("case %s: %v", quote(dir), reason(err))
	case !info.IsDir():
		return nil, fmt.Errorf("case %s: found a file, accepted is the folder that holds the books", quote(dir))
	}
	abs, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("case %s: %v", quote(dir), reason(err))
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("case %s: %v", quote(dir), reason(err))
	}
	return &Folder{root: root, name: filepath.Base(abs), inputs: map[string]Input{}}, nil
}

// Close lets go of the folder.
func (f *Folder) Close() error { return f.root.Close() }

// Name is the base name of the case folder.
func (f *Folder) Name() string { return f.name }

// Inputs lists every file read so far, in order of path.
func (f *Folder) Inputs() []Input {
	f.mu.Lock()
	defer f.mu.Unlock()
	out := make([]Input, 0, len(f.inputs))
	for _, in := range f.inputs {
		out = append(out, in)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Path < out[j].Path })
	return out
}

// names lists what a folder of the case holds, in order.
func (f *Folder) names(dir string) ([]string, error) {
	d, err := f.root.Open(dir)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	names, err := d.Readdirnames(-1)
	sort.Strings(names)
	return names, err
}

// Exists reports whether the path names a file inside the case.
func (f *Folder) Exists(name string) bool {
	p, err := casePath(name)
	if err != nil {
		return false
	}
	info, err := f.root.Stat(p)
	return err == nil && info.Mode().IsRegular()
}

// ReadFile reads a whole file of the case, of at most MaxTableFile bytes, and counts it among the inputs.
func (f *Folder) ReadFile(name string) ([]byte, error) { return f.readFile(name, MaxTableFile) }

func (f *Folder) readFile(name string, limit int64) ([]byte, error) {
	in, err := f.open(name, limit)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	data := make([]byte, 0, in.size+1)
	for {
		if len(data) == cap(data) {
			data = append(data, 0)[:len(data)]
		}
		n, err := in.Read(data[len(data):cap(data)])
		data = data[:len(data)+n]
		if err == io.EOF {
			return data, in.done()
		}
		if err != nil {
			return nil, in.problem("", "%v", reason(err))
		}
	}
}

// Hash reads a file of the case to its end, of at most MaxEvidenceFile bytes, and counts it among the inputs.
func (f *Folder) Hash(name string) error {
	in, err := f.open(name, MaxEvidenceFile)
	if err != nil {
		return err
	}
	defer in.Close()
	if _, err := io.Copy(io.Discard, in); err != nil {
		return in.problem("", "%v", reason(err))
	}
	return in.done()
}

// casePath brings a path of a table to the form that the root takes. Windows separators are taken for what they mean.
func casePath(name string) (string, error) {
	s := strings.ReplaceAll(clean(name), `\`, "/")
	switch {
	case s == "":
		return "", fmt.Errorf("found no path, accepted is the path of a file inside the case folder")
	case strings.ContainsFunc(s, func(r rune) bool { return r < 0x20 || r == 0x7f }):
		return "", fmt.Errorf("found the path %s with a control character, accepted is the path of a file inside the case folder", quote(name))
	case strings.HasPrefix(s, "/"), len(s) > 1 && s[1] == ':':
		return "", fmt.Errorf("found the absolute path %s, accepted is a path inside the case folder", quote(name))
	}
	s = path.Clean(s)
	if s == "." || s == ".." || strings.HasPrefix(s, "../") || !filepath.IsLocal(filepath.FromSlash(s)) {
		return "", fmt.Errorf("found the path %s, which leads out of the case folder, accepted is a path inside it", quote(name))
	}
	return s, nil
}

// reason takes the operation and the path off an error of the system, for the place says them already.
func reason(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// input is a file of the case while it is read. What is read goes through the hash; done checks that the file stayed
// the same and counts it.
type input struct {
	f     *Folder
	file  *os.File
	path  string
	size  int64
	mtime time.Time
	limit int64
	read  int64
	sum   hash.Hash
}

func (f *Folder) open(name string, limit int64) (*input, error) {
	p, err := casePath(name)
	if err != nil {
		return nil, Problems{{Text: err.Error()}}
	}
	in := &input{f: f, path: p, limit: limit, sum: sha256.New()}
	info, err := f.root.Stat(p) // before opening: to open a pipe would wait for ever
	if err != nil {
		return nil, in.openProblem(err)
	}
	if err := in.regular(info); err != nil {
		return nil, err
	}
	if in.file, err = f.root.Open(p); err != nil {
		return nil, in.openProblem(err)
	}
	again, err := in.file.Stat()
	if err == nil {
		err = in.regular(again)
	}
	if err != nil {
		in.file.Close()
		return nil, err
	}
	in.size, in.mtime = again.Size(), again.ModTime()
	if in.size > limit {
		in.file.Close()
		return nil, in.problem("", "%s", tooLarge("bytes of the file", in.size, limit))
	}
	return in, nil
}

func (in *input) regular(info fs.FileInfo) error {
	switch {
	case info.Mode().IsRegular():
		return nil
	case info.IsDir():
		return in.problem("", "found a folder, accepted is a file")
	}
	return in.problem("", "found a device, pipe or socket, accepted is a plain file")
}

func (in *input) openProblem(err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if in.f.bare {
			return in.problem("", "there is no such file")
		}
		return in.problem("", "there is no such file in the case folder")
	case errors.Is(err, fs.ErrPermission):
		return in.problem("", "the file may not be read (permission denied)")
	case strings.Contains(err.Error(), "escapes"):
		return in.problem("", "found a link that leads out of the case folder, accepted is a file inside it")
	}
	return in.problem("", "%v", reason(err))
}

func (in *input) problem(hint, format string, args ...any) Problems {
	var ps Problems
	ps.Add(Place{Book: in.path}, hint, format, args...)
	return ps
}

// Read reads the next bytes and takes them into the hash.
func (in *input) Read(b []byte) (int, error) {
	n, err := in.file.Read(b)
	in.read += int64(n)
	in.sum.Write(b[:n])
	if in.read > in.limit {
		return n, fmt.Errorf("%s", tooLarge("bytes of the file", in.read, in.limit))
	}
	return n, err
}

func (in *input) Close() error { return in.file.Close() }

// done is called at the end of the file: it checks that nothing changed since it was opened, or since it was read
// before, and counts the file among the inputs.
func (in *input) done() error {
	const hint = "close the program that writes to it and run again"
	same, err := in.file.Stat()
	if err != nil {
		return in.problem("", "%v", reason(err))
	}
	now, err := in.f.root.Stat(in.path)
	if err != nil || !os.SameFile(same, now) || same.Size() != in.size || in.read != in.size || !same.ModTime().Equal(in.mtime) {
		return in.problem(hint, "the file changed while it was read")
	}
	got := Input{Path: in.path, Bytes: in.size, SHA256: hex.EncodeToString(in.sum.Sum(nil))}
	in.f.mu.Lock()
	defer in.f.mu.Unlock()
	if old, ok := in.f.inputs[in.path]; ok && old != got {
		return in.problem(hint, "the file changed between two readings")
	}
	in.f.inputs[in.path] = got
	return nil
}
