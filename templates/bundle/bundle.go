// Package bundle packs what belongs to a complaint into one zip file: the audit, the letter, every input, and a manifest
// with the SHA-256 of each. The same files and day give the same bytes.
package bundle

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"path"
	"sort"
	"strings"
	"time"

	"weighhouse/verdict"
)

// Format is the format field of manifest.json.
const Format = "weighhouse-bundle/1"

// File is one file to pack.
type File struct {
	Name   string                        // in the bundle, with forward slashes
	Open   func() (io.ReadCloser, error) // its bytes
	Size   int64                         // how many there are
	SHA256 string                        // in hexadecimal
	What   string                        // what it is, for the manifest
}

// Bytes is a file that is held in memory.
func Bytes(name, what string, data []byte) File {
	sum := sha256.Sum256(data)
	return File{Name: name, What: what, Size: int64(len(data)), SHA256: hex.EncodeToString(sum[:]),
		Open: func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil }}
}

// Manifest is manifest.json.
type Manifest struct {
	Format string  `json:"format"`
	Tool   string  `json:"tool"`
	Issued string  `json:"issued"`
	Case   string  `json:"case"`
	Files  []Entry `json:"files"`
}

// Entry is one file of a manifest.
type Entry struct {
	Path   string `json:"path"`
	What   string `json:"what"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// Title is what a manifest says of its bundle.
type Title struct {
	Tool, Case string
	Issued     time.Time // the time of every file in the zip
}

// The manifests; manifest.txt can be checked with sha256sum -c.
const (
	manifestText = "manifest.txt"
	manifestJSON = "manifest.json"
)

// Write writes the zip, its files in order of their names, the manifests first. A file whose bytes are not those that its
// size and hash promise is an error: it changed on the way.
func Write(w io.Writer, t Title, files []File) error {
	files = append([]File(nil), files...)
	sort.Slice(files, func(i, j int) bool { return files[i].Name < files[j].Name })
	if err := check(files); err != nil {
		return err
	}
	m := Manifest{Format: Format, Tool: t.Tool, Issued: t.Issued.Format(time.DateOnly), Case: t.Case, Files: []Entry{}}
	var text strings.Builder
	for _, f := range files {
		m.Files = append(m.Files, Entry{f.Name, f.What, f.Size, f.SHA256})
		text.WriteString(f.SHA256 + "  " + f.Name + "\n")
	}
	js, err := verdict.PlainJSON(m, "  ")
	if err != nil {
		return err
	}
	z := zip.NewWriter(w)
	first := []File{Bytes(manifestJSON, "", js), Bytes(manifestText, "", []byte(text.String()))}
	for _, f := range append(first, files...) {
		if err := add(z, f, t.Issued); err != nil {
			return fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	return z.Close()
}

// check looks at the names: relative, clean, each once even where case is ignored.
func check(files []File) error {
	seen := map[string]string{strings.ToLower(manifestText): manifestText, strings.ToLower(manifestJSON): manifestJSON}
	for _, f := range files {
		if f.Name == "" || path.Clean(f.Name) != f.Name || path.IsAbs(f.Name) || strings.HasPrefix(f.Name, "../") || strings.ContainsAny(f.Name, "\\\n\r") {
			return fmt.Errorf("bundle: the name %q cannot stand in a zip", f.Name)
		}
		if len(f.SHA256) != hex.EncodedLen(sha256.Size) {
			return fmt.Errorf("bundle: %s: no SHA-256", f.Name)
		}
		key := strings.ToLower(f.Name)
		if old, ok := seen[key]; ok {
			return fmt.Errorf("bundle: %s and %s would be one file where case is ignored", old, f.Name)
		}
		seen[key] = f.Name
	}
	return nil
}

// packed are the endings of files that are compressed already.
var packed = map[string]bool{".xlsx": true, ".pdf": true, ".png": true, ".jpg": true, ".jpeg": true, ".webp": true, ".gif": true, ".zip": true, ".gz": true,
	".mp4": true, ".mp3": true}

// lastDay is the last day that the times of a zip can hold for every reader.
var lastDay = time.Date(2099, 12, 31, 0, 0, 0, 0, time.UTC)

func add(z *zip.Writer, f File, day time.Time) error {
	if day.After(lastDay) {
		day = lastDay
	}
	h := &zip.FileHeader{Name: f.Name, Method: zip.Deflate, Modified: day.UTC()}
	if packed[strings.ToLower(path.Ext(f.Name))] {
		h.Method = zip.Store
	}
	h.SetMode(0o644)
	to, err := z.CreateHeader(h)
	if err != nil {
		return err
	}
	from, err := f.Open()
	if err != nil {
		return err
	}
	defer from.Close()
	sum := sha256.New()
	n, err := io.Copy(io.MultiWriter(to, sum), io.LimitReader(from, f.Size+1))
	if err != nil {
		return err
	}
	if n != f.Size || hex.EncodeToString(sum.Sum(nil)) != f.SHA256 {
		return fmt.Errorf("the file changed while the bundle was made")
	}
	return nil
}
