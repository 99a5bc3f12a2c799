package main

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// TestOutputsNameNoOther: what the outputs say of who made them is this program and the tester: workbooks, forms, the
// PDF's information, the page's head.
func TestOutputsNameNoOther(t *testing.T) {
	dir := t.TempDir()
	for _, args := range [][]string{
		{"audit", "../../testdata/demo-csv", "--out", filepath.Join(dir, "a"), "--format", "pdf,json,html,xlsx", "--date", "2026-08-03"},
		{"new", filepath.Join(dir, "n")},
		{"vet", "../../testdata/listings/shop.html", "--save", filepath.Join(dir, "v")},
	} {
		var out, errOut bytes.Buffer
		if got := run(args, nil, &out, &errOut); got != exitDone {
			t.Fatalf("%v: status %d: %s", args, got, errOut.String())
		}
	}
	foreign := regexp.MustCompile(`(?i)appName|excelize|rupBuild|calibri|office theme|<a:font script`)
	books := 0
	for _, sub := range []string{"a", "n", "v"} {
		found, err := filepath.Glob(filepath.Join(dir, sub, "*.xlsx"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range found {
			books++
			z, err := zip.OpenReader(path)
			if err != nil {
				t.Fatal(err)
			}
			seen := map[string]string{}
			for _, f := range z.File {
				r, err := f.Open()
				if err != nil {
					t.Fatal(err)
				}
				data, err := io.ReadAll(r)
				r.Close()
				if err != nil {
					t.Fatal(err)
				}
				seen[f.Name] = string(data)
				last := 0
				for _, m := range regexp.MustCompile(`<col min="(\d+)"`).FindAllSubmatch(data, -1) { // ISO/IEC 29500-1 18.3.1.13: some programs refuse columns out of order
					n, err := strconv.Atoi(string(m[1]))
					if err != nil || n <= last {
						t.Errorf("%s: %s: column %d after %d", filepath.Base(path), f.Name, n, last)
					}
					last = n
				}
				if m := foreign.Find(data); m != nil {
					t.Errorf("%s: %s holds %q", filepath.Base(path), f.Name, m)
				}
			}
			z.Close()
			for _, part := range []string{"xl/workbook.xml", "docProps/app.xml", "docProps/core.xml"} {
				if m := regexp.MustCompile(`(?i)excel|microsoft`).FindString(seen[part]); m != "" {
					t.Errorf("%s: %s names %q", filepath.Base(path), part, m)
				}
			}
			if !strings.Contains(seen["docProps/app.xml"], "<Application>weighhouse</Application>") || !strings.Contains(seen["docProps/core.xml"], "<dc:creator>weighhouse<") {
				t.Errorf("%s: docProps: %s %s", filepath.Base(path), seen["docProps/app.xml"], seen["docProps/core.xml"])
			}
		}
	}
	if books < 4 {
		t.Fatalf("only %d workbooks", books)
	}
	for name, want := range map[string][]string{
		"audit.pdf":  {"<pdf:Producer>weighhouse " + version + "<", "<xmp:CreatorTool>weighhouse " + version + "<"},
		"audit.html": {`<meta name="generator" content="weighhouse ` + version + `">`},
	} {
		data, err := os.ReadFile(filepath.Join(dir, "a", name))
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range want {
			if !bytes.Contains(data, []byte(w)) {
				t.Errorf("%s does not hold %s", name, w)
			}
		}
	}
}

// TestHelpIsOurOwn: no help screen holds the heads and sentences that the command library brings, and each says how its
// command is called.
func TestHelpIsOurOwn(t *testing.T) {
	stock := regexp.MustCompile(`Available Commands|Global Flags|Usage:|Flags:|for more information about|Help about any command|Generate the autocompletion|help for |version for `)
	calls := [][]string{{"--help"}, {"help"}, {"completion", "--help"}, {"help", "completion"}}
	for _, c := range newRoot().Commands() {
		calls = append(calls, []string{c.Name(), "--help"}, []string{"help", c.Name()})
	}
	for _, args := range calls {
		var out, errOut bytes.Buffer
		if got := run(args, nil, &out, &errOut); got != exitDone || errOut.Len() > 0 {
			t.Errorf("%v: status %d: %s", args, got, errOut.String())
		}
		if m := stock.FindString(out.String()); m != "" || !strings.Contains(out.String(), "Called as:  weighhouse") {
			t.Errorf("%v holds %q:\n%s", args, m, out.String())
		}
	}
}
