package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"

	"weighhouse/measure/sheet"
	"weighhouse/verdict"
)

// What --resume skips. A case is left as it is where all of this holds, and is audited anew otherwise:
//
//   - beside its outputs stands audit.sha256, whose first line gives this version of the program, this date of issue, this
//     paper and this font, and whose further lines give exactly the formats asked for;
//   - every output is a plain file with the SHA-256 that stands there;
//   - audit.json names this case, this version and this date;
//   - every input that audit.json lists is in the case with the size and SHA-256 that stand there;
//   - the case holds no other file that would be read as a book or a table of a book.
//
// Runs of several cases write audit.sha256, and so does --resume. Its form is that of sha256sum, which checks it with -c.

const (
	recordName = "audit.sha256"
	maxRecord  = 64 << 10 // bytes of an audit.sha256
)

// settings is the first line of audit.sha256: all that the outputs depend on beside the case.
func (j job) settings() string {
	font := "none"
	if len(j.options.font) > 0 {
		font = fmt.Sprintf("%x", sha256.Sum256(j.options.font))
	}
	return fmt.Sprintf("# weighhouse %s, issued %s, paper %s, font %s", version, j.issued, j.options.paper, font)
}

// recordOf is the text of audit.sha256.
func (j job) recordOf(files []file) []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, j.settings())
	for _, f := range files {
		fmt.Fprintf(&b, "%x  %s\n", sha256.Sum256(f.data), filepath.Base(f.path))
	}
	return b.Bytes()
}

// unchanged reads what was written of a case before and reports whether it would be written so again.
func (b *batch) unchanged(t task) (r verdict.Report, ok bool) {
	old, err := readPlain(filepath.Join(t.out, recordName), maxRecord)
	if err != nil {
		return r, false
	}
	var now bytes.Buffer
	fmt.Fprintln(&now, b.settings())
	for _, name := range b.formats {
		p := filepath.Join(t.out, "audit."+name)
		sum, err := hashPlain(p)
		if err != nil {
			return r, false
		}
		fmt.Fprintf(&now, "%s  audit.%s\n", sum, name)
	}
	if !bytes.Equal(old, now.Bytes()) {
		return r, false
	}
	data, err := readPlain(filepath.Join(t.out, "audit.json"), verdict.MaxFile)
	if err != nil || json.Unmarshal(data, &r) != nil {
		return r, false
	}
	if r.Format != verdict.Format || r.Tool.Version != version || r.Issued != b.issued {
		return r, false
	}
	return r, sameInputs(t.dir, r)
}

// sameInputs reports whether a case is still the one that an audit was made of.
func sameInputs(dir string, r verdict.Report) bool {
	f, err := sheet.OpenFolder(dir)
	if err != nil {
		return false
	}
	defer f.Close()
	if f.Name() != r.Case {
		return false
	}
	known := map[string]bool{}
	var own []sheet.Input
	for _, in := range r.Inputs {
		known[in.Path] = true
		if strings.HasPrefix(in.Path, "../") { // of the room book, beside the case
			data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(in.Path)))
			if err != nil || fmt.Sprintf("%x", sha256.Sum256(data)) != in.SHA256 {
				return false
			}
			continue
		}
		own = append(own, in)
		if f.Hash(in.Path) != nil {
			return false
		}
	}
	got := f.Inputs()
	if len(got) != len(own) {
		return false
	}
	for i, in := range got { // both are in order of path
		if in != own[i] {
			return false
		}
	}
	books, err := bookFiles(dir)
	if err != nil {
		return false
	}
	for _, p := range books {
		if !known[p] {
			return false
		}
	}
	return true
}

// bookFiles lists the files of a case that are read as books or tables of books, or that make an error of it.
func bookFiles(dir string) (paths []string, err error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		name := strings.ToLower(e.Name())
		base := strings.TrimSuffix(name, path.Ext(name))
		if base != "spec" && base != "lab" {
			continue
		}
		switch path.Ext(name) {
		case ".xlsx", ".xls", ".xlsm", ".ods":
			paths = append(paths, e.Name())
		case "":
			inside, err := os.ReadDir(filepath.Join(dir, e.Name()))
			if err != nil {
				return nil, err
			}
			for _, f := range inside {
				if strings.EqualFold(path.Ext(f.Name()), ".csv") && !strings.HasPrefix(f.Name(), ".") {
					paths = append(paths, e.Name()+"/"+f.Name())
				}
			}
		}
	}
	return paths, nil
}

// openPlain opens a plain file; a link, a folder or a device is none.
func openPlain(path string) (*os.File, error) {
	info, err := os.Lstat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: is no plain file", path)
	}
	return os.Open(path)
}

// readPlain reads a plain file of at most limit bytes; of a larger one not even those.
func readPlain(path string, limit int64) ([]byte, error) {
	f, err := openPlain(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return readLimited(f, limit)
}

// readLimited reads an open file of at most limit bytes.
func readLimited(f *os.File, limit int64) ([]byte, error) {
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.Size() > limit {
		return nil, fmt.Errorf("%s: %s", f.Name(), sheet.TooLarge("bytes of the file", info.Size(), limit))
	}
	data, err := io.ReadAll(io.LimitReader(f, limit+1)) // a device or a pipe has no size
	if err == nil && int64(len(data)) > limit {
		err = fmt.Errorf("%s: %s", f.Name(), sheet.TooLarge("bytes of the file", int64(len(data)), limit))
	}
	return data, err
}

func hashPlain(path string) (string, error) {
	f, err := openPlain(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
