package bundle

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"strings"
)

// maxManifest is the most bytes of a manifest.json that is read.
const maxManifest = 16 << 20

// Fault is a file of an unpacked bundle that is not what the manifest says of it.
type Fault struct{ Path, Was, Is string }

// Check holds the files of an unpacked bundle against its manifest.json: faults are files that are missing or other than it
// says, extra those that it does not name. The error is fs.ErrNotExist where there is no manifest.
func Check(dir fs.FS) (m Manifest, faults []Fault, extra []string, err error) {
	f, err := dir.Open(manifestJSON)
	if err != nil {
		return m, nil, nil, err
	}
	data, err := io.ReadAll(io.LimitReader(f, maxManifest+1))
	f.Close()
	switch {
	case err != nil:
		return m, nil, nil, err
	case len(data) > maxManifest:
		return m, nil, nil, fmt.Errorf("%s: more than %d MB", manifestJSON, maxManifest>>20)
	}
	if err := json.Unmarshal(data, &m); err != nil || m.Format != Format {
		return m, nil, nil, fmt.Errorf("%s: is no manifest of a bundle (format %q expected)", manifestJSON, Format)
	}
	named := map[string]bool{manifestJSON: true, manifestText: true}
	var text strings.Builder
	for _, e := range m.Files {
		named[e.Path] = true
		text.WriteString(e.SHA256 + "  " + e.Path + "\n")
		was := fmt.Sprintf("%d bytes, SHA-256 %s", e.Bytes, e.SHA256)
		if is := described(dir, e.Path, e.Bytes); is != was {
			faults = append(faults, Fault{e.Path, was, is})
		}
	}
	if got, err := fs.ReadFile(dir, manifestText); err != nil || string(got) != text.String() {
		faults = append(faults, Fault{manifestText, "the same hashes as " + manifestJSON, "other ones, or it is missing"})
	}
	err = fs.WalkDir(dir, ".", func(p string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && !named[p] {
			extra = append(extra, p)
		}
		return err
	})
	return m, faults, extra, err
}

// described is a file as the manifest writes it, as far as most bytes and one more, or why it cannot be read.
func described(dir fs.FS, path string, most int64) string {
	if !fs.ValidPath(path) {
		return "no path within the bundle"
	}
	f, err := dir.Open(path)
	if err != nil {
		return "not there"
	}
	defer f.Close()
	sum := sha256.New()
	n, err := io.Copy(sum, io.LimitReader(f, most+1)) // a longer one is another one
	if err != nil {
		return "cannot be read"
	}
	return fmt.Sprintf("%d bytes, SHA-256 %s", n, hex.EncodeToString(sum.Sum(nil)))
}
