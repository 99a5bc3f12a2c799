// Desk builds the whole program as one page for a browser: the program compiled to WebAssembly, packed into the page with
// the code that gives it files and shows what it writes. The page asks for nothing from anywhere.
//
//	go run ./cmd/desk -o desk.html
package main

import (
	"archive/zip"
	"bytes"
	"embed"
	"encoding/base64"
	"encoding/json"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/klauspost/compress/zstd"
)

//go:embed page.html desk.css desk.js worker.js memory.js fzstd.js fzstd.LICENSE texts.json
var sources embed.FS

func main() {
	out := flag.String("o", "desk.html", "the page to write")
	demo := flag.String("demo", filepath.Join("testdata", "demo"), "the case that the page offers as its demo")
	flag.Parse()
	if err := build(*out, *demo); err != nil {
		fmt.Fprintln(os.Stderr, "desk:", err)
		os.Exit(1)
	}
}

// build compiles the program and writes the page. It runs the go command in the current folder, which is the module's.
func build(out, demo string) error {
	program, err := compile()
	if err != nil {
		return err
	}
	packed, err := pack(program)
	if err != nil {
		return err
	}
	glue, err := runtimeGlue()
	if err != nil {
		return err
	}
	example, err := zipped(demo)
	if err != nil {
		return err
	}
	page, err := assemble(glue, packed, base64.StdEncoding.EncodeToString(example))
	if err != nil {
		return err
	}
	if err := os.WriteFile(out, page, 0o644); err != nil {
		return err
	}
	fmt.Printf("%s: %.2f MB (program %.1f MB, packed %.2f MB)\n", out, float64(len(page))/1e6, float64(len(program))/1e6, float64(len(packed))/1e6)
	return nil
}

// compile builds the program for a browser and returns its bytes.
func compile() ([]byte, error) {
	dir, err := os.MkdirTemp("", "desk-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "program.wasm")
	cmd := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-o", path, "weighhouse/cmd/weighhouse")
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if text, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("go build: %w\n%s", err, text)
	}
	return os.ReadFile(path)
}

// runtimeGlue is the JavaScript that Go's toolchain brings for programs in a browser.
func runtimeGlue() (string, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", fmt.Errorf("go env GOROOT: %w", err)
	}
	text, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	return string(text), err
}

// alphabet is what a packed program is written in: 102 characters of one byte, of which three hold 20 bits (102³ is
// 1,061,208): the printable ones and the blank but for "<", so that no element is ended or opened, a tab, and seven control
// characters, which a page keeps as they are.
var alphabet = func() string {
	s := "\t\x0e\x0f\x10\x11\x12\x13\x14"
	for c := byte(' '); c <= '~'; c++ {
		if c != '<' {
			s += string(c)
		}
	}
	return s
}()

// pack compresses a program (Zstandard, RFC 8878) and writes it in printable characters, after the number of its bytes and
// a colon.
func pack(program []byte) (string, error) {
	enc, err := zstd.NewWriter(nil, zstd.WithEncoderLevel(zstd.SpeedBestCompression), zstd.WithWindowSize(8<<20), zstd.WithEncoderConcurrency(1))
	if err != nil {
		return "", err
	}
	data := enc.EncodeAll(program, nil)
	var b strings.Builder
	b.Grow(len(data)*6/5 + 16)
	fmt.Fprintf(&b, "%d:", len(data))
	held, bits := uint32(0), 0
	put := func(v uint32) {
		b.WriteByte(alphabet[v/102/102])
		b.WriteByte(alphabet[v/102%102])
		b.WriteByte(alphabet[v%102])
	}
	for _, x := range data {
		held |= uint32(x) << bits
		if bits += 8; bits >= 20 {
			put(held & (1<<20 - 1))
			held >>= 20
			bits -= 20
		}
	}
	if bits > 0 {
		put(held & (1<<20 - 1))
	}
	return b.String(), nil
}

// zipped packs a folder's files into a zip; what the program wrote there is left out. The same files give the same bytes.
func zipped(dir string) ([]byte, error) {
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil || strings.HasPrefix(filepath.Base(name), "audit.") || strings.HasPrefix(filepath.Base(name), ".") {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		f, err := w.Create(filepath.ToSlash(name))
		if err != nil {
			return err
		}
		_, err = f.Write(data)
		return err
	})
	if err == nil {
		err = w.Close()
	}
	return buf.Bytes(), err
}

// assemble puts the parts into the page.
func assemble(glue, packed, demo string) ([]byte, error) {
	read := func(name string) string {
		b, err := sources.ReadFile(name)
		if err != nil {
			panic(err) // the file is part of this program
		}
		return string(b)
	}
	var texts map[string]string
	if err := json.Unmarshal([]byte(read("texts.json")), &texts); err != nil {
		return nil, fmt.Errorf("texts.json: %w", err)
	}
	js, err := json.Marshal(texts) // escapes what could end a script
	if err != nil {
		return nil, err
	}
	notice := "/* fzstd\n" + read("fzstd.LICENSE") + "*/\n"
	page := read("page.html")
	for _, p := range []struct{ mark, text string }{
		{"/*style*/", read("desk.css")}, {"/*texts*/", "const texts = " + string(js) + ";"},
		{"/*worker*/", glue + "\n" + notice + read("fzstd.js") + "\n" + read("memory.js") + read("worker.js")},
		{"/*desk*/", read("desk.js")}, {"/*demo*/", demo}, {"/*program*/", packed},
	} {
		if strings.Count(page, p.mark) != 1 {
			return nil, fmt.Errorf("page.html: %s stands %d times, expected once", p.mark, strings.Count(page, p.mark))
		}
		if i := strings.Index(strings.ToLower(p.text), "</script"); i >= 0 {
			return nil, fmt.Errorf("%s holds the end of a script at byte %d", p.mark, i)
		}
		page = strings.Replace(page, p.mark, p.text, 1)
	}
	return []byte(page), nil
}
