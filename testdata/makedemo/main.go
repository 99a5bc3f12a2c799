// Command makedemo writes the demo cases of this folder and the truth behind them.
//
//	go run ./testdata/makedemo          from the module root; -out names another folder
//
// The scenario is invented from end to end: a town library vets room air cleaners for its reading rooms. No maker,
// model, person, shop or instrument in it exists. What the laboratory "measured" is computed from a truth that stands in
// this program (scenario.go, rankcases.go), with noise of a fixed seed, so that the same files come out on each run; the
// truth is written to truth.json, which tests read. The program shares no code with the reductions that are tested
// against it.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

// seed is the seed of every random stream; each log adds the hash of its own name.
const seed = 20260512

func main() {
	out := flag.String("out", "testdata", "folder to write the cases to")
	flag.Parse()
	if err := writeTo(*out); err != nil {
		fmt.Fprintln(os.Stderr, "makedemo:", err)
		os.Exit(1)
	}
}

// files is what is written: content by slash path, relative to the output folder.
type files map[string][]byte

// writeTo makes all files in memory and then writes them, so that an error in the making leaves nothing half written.
func writeTo(out string) error {
	made, err := makeAll()
	if err != nil {
		return err
	}
	names := made.names()
	for _, n := range names {
		path := filepath.Join(out, filepath.FromSlash(n))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, made[n], 0o644); err != nil {
			return err
		}
	}
	fmt.Printf("%d files written below %s\n", len(names), out)
	return nil
}

// makeAll makes every case and the truth.
func makeAll() (files, error) {
	out := files{}
	t := newTruth()
	demo := demoCase()
	if err := demo.write(out, "demo", formXLSX); err != nil {
		return nil, err
	}
	if err := demo.write(out, "demo-csv", formCSV); err != nil {
		return nil, err
	}
	t.Cases["demo"] = demo.truth
	for _, c := range rankCases() {
		form := formCSV
		if c.folder == "fennow-40" {
			form = formXLSX
		}
		if err := c.write(out, "rank/"+c.folder, form); err != nil {
			return nil, err
		}
		t.Cases["rank/"+c.folder] = c.truth
	}
	b, err := t.encode()
	if err != nil {
		return nil, err
	}
	out["truth.json"] = b
	return out, nil
}

func (f files) names() []string {
	var out []string
	for n := range f {
		out = append(out, n)
	}
	sort.Strings(out)
	return out
}

// demoFile reports whether a path below testdata belongs to what this program writes.
func demoFile(path string) bool {
	return path == "truth.json" || strings.HasPrefix(path, "demo/") || strings.HasPrefix(path, "demo-csv/") || strings.HasPrefix(path, "rank/")
}
