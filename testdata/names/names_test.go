package main

import (
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the list anew")

// TestNames compares the list with the one that was last looked through: a new name is looked at before it stays.
func TestNames(t *testing.T) {
	got, err := Names("../..")
	if err != nil {
		t.Fatal(err)
	}
	const kept = "../names.txt"
	if *update {
		if err := os.WriteFile(kept, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	was := map[string]bool{}
	for line := range strings.Lines(string(want)) {
		was[line] = true
	}
	for line := range strings.Lines(got) {
		if !was[line] {
			t.Errorf("a name that nobody has looked at: %s", line)
		}
	}
	if t.Failed() {
		t.Log("see that it is nobody's (DEVELOPERS.md, Names), then: go test ./testdata/names -update")
	}
}

// TestNamesFindsOne: a name that is put into a listing comes into the list, with a telephone number and a host.
func TestNamesFindsOne(t *testing.T) {
	dir := t.TempDir()
	for _, d := range texts {
		if err := os.MkdirAll(filepath.Join(dir, "testdata", d), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	text := "Wibbulant 3 air cleaner\nan air cleaner, phone 01632 960001, see https://wibb.example/3\n"
	if err := os.WriteFile(filepath.Join(dir, "testdata", "listings", "x.txt"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	got, err := Names(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"listings/x.txt: Wibbulant 3 air cleaner", "Wibbulant (listings/x.txt)", "01632 960001 (", "wibb.example ("} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in the list:\n%s", want, got)
		}
	}
}

// TestWeatherAndWare: no coined name is a compound of what such things are sold by: weather words, air, pure, ion, plasma.
// The rule is this project's; the words are the brief's and those that were found.
func TestWeatherAndWare(t *testing.T) {
	got, err := Names("../..")
	if err != nil {
		t.Fatal(err)
	}
	_, words, _ := strings.Cut(got, "# words with a capital")
	words, _, _ = strings.Cut(words, "# telephone")
	bad := regexp.MustCompile(`(?im)^(\S*(breez|brise|brisa|cloud|wind|zephyr|zefiro|storm|nube|brume|souffl|wolke|nebel|plasma|ionic|pure|puro|aero)\S*|(air|aer|ion|fog|mist|gale|gust)[a-z]{3,}) \(`)
	for _, m := range bad.FindAllString(words, -1) {
		t.Errorf("%s", m)
	}
}

// TestCommittedWorkbooks: no committed workbook carries a mark of the library that wrote it or of another program.
func TestCommittedWorkbooks(t *testing.T) {
	n := 0
	err := filepath.WalkDir("..", func(p string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(p) != ".xlsx" || strings.Contains(filepath.ToSlash(p), "broken/") {
			return err
		}
		n++
		parts, err := Parts(p)
		for name, text := range parts {
			for _, m := range regexp.MustCompile(`(?i)appName|excelize|calibri|rupBuild|<a:font script`).FindAllString(text, -1) {
				t.Errorf("%s: %s holds %q", p, name, m)
			}
			if name != "xl/styles.xml" && regexp.MustCompile(`(?i)excel|microsoft|office theme`).MatchString(text) { // namespaces of the format stand in the styles
				t.Errorf("%s: %s names another program", p, name)
			}
		}
		if !strings.Contains(parts["docProps/app.xml"], "<Application>weighhouse</Application>") || !strings.Contains(parts["docProps/core.xml"], "<dc:creator>weighhouse<") {
			t.Errorf("%s: docProps do not name weighhouse", p)
		}
		return err
	})
	if err != nil || n < 4 {
		t.Fatal(err, n)
	}
}
