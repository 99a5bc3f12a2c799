package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/xuri/excelize/v2"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"weighhouse": main})
}

// TestScripts runs the command as a user would: one script a behaviour, in testdata/script.
func TestScripts(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("ROOT", root)
			e.Setenv("NO_COLOR", "1")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"copydir":   copyDir,
			"jsonlines": jsonLines,
			"jsonpath":  jsonPath,
			"manycases": manyCases,
			"noparts":   noParts,
			"pdftext":   pdfText,
			"setcell":   setCell,
			"status":    status,
			"waitfor":   waitFor,
		},
	})
}

// copyDir SRC DST copies a folder, without the audits that somebody may have written into it.
func copyDir(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: copydir SRC DST")
	}
	dst := ts.MkAbs(args[1])
	ts.Check(os.CopyFS(dst, os.DirFS(ts.MkAbs(args[0]))))
	for _, kind := range []string{"pdf", "json", "html", "xlsx"} {
		ts.Check(os.RemoveAll(filepath.Join(dst, "audit."+kind)))
	}
}

var step = regexp.MustCompile(`[^.\[\]]+|\[\d+\]|\[[a-z]+=[^\]]*\]`)

// jsonPath FILE PATH WANT checks a value: "claims[id=C1].verdict", "measurements[0].U". WANT is a regular expression over
// the value as JSON; with ! it must not match.
func jsonPath(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 3 {
		ts.Fatalf("usage: [!] jsonpath FILE PATH WANT")
	}
	var v any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &v))
	for _, s := range step.FindAllString(args[1], -1) {
		v = take(ts, v, s)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	ts.Check(e.Encode(v))
	got := strings.TrimSpace(b.String())
	re, err := regexp.Compile(args[2])
	ts.Check(err)
	if re.MatchString(got) == neg {
		ts.Fatalf("%s: %s is %s; wanted match %v of %s", args[0], args[1], got, !neg, args[2])
	}
}

func take(ts *testscript.TestScript, v any, s string) any {
	if key, val, ok := strings.Cut(strings.Trim(s, "[]"), "="); ok && s[0] == '[' {
		for _, x := range v.([]any) {
			if fmt.Sprint(x.(map[string]any)[key]) == val {
				return x
			}
		}
		ts.Fatalf("no %s", s)
	}
	if s[0] == '[' {
		n, err := strconv.Atoi(strings.Trim(s, "[]"))
		ts.Check(err)
		return v.([]any)[n]
	}
	m, ok := v.(map[string]any)
	if !ok {
		ts.Fatalf("%s of something that is no object: %v", s, v)
	}
	return m[s]
}

// pdfText FILE WANT looks for a regular expression in the text of a PDF.
func pdfText(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: [!] pdftext FILE WANT")
	}
	if _, err := exec.LookPath("pdftotext"); err != nil {
		if os.Getenv("CI") == "true" {
			ts.Fatalf("pdftotext is needed where CI=true")
		}
		ts.Logf("pdftotext is not installed: the PDF's text was not looked at")
		return
	}
	out, err := exec.Command("pdftotext", "-layout", ts.MkAbs(args[0]), "-").Output()
	ts.Check(err)
	text := strings.Join(strings.Fields(string(out)), " ")
	if regexp.MustCompile(args[1]).MatchString(text) == neg {
		ts.Fatalf("%s: wanted match %v of %q in:\n%s", args[0], !neg, args[1], out)
	}
}

// setCell BOOK SHEET CELL VALUE changes one cell of a workbook.
func setCell(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 4 {
		ts.Fatalf("usage: setcell BOOK SHEET CELL VALUE")
	}
	f, err := excelize.OpenFile(ts.MkAbs(args[0]))
	ts.Check(err)
	defer f.Close()
	if x, err := strconv.ParseFloat(args[3], 64); err == nil {
		ts.Check(f.SetCellValue(args[1], args[2], x))
	} else {
		ts.Check(f.SetCellValue(args[1], args[2], args[3]))
	}
	ts.Check(f.Save())
}

// status WANT ARGS… runs weighhouse and checks its exit status.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status WANT weighhouse ARGS…")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := 0
	if err != nil {
		got = 1
		var exit *exec.ExitError
		if ok := asExit(err, &exit); ok {
			got = exit.ExitCode()
		}
	}
	if fmt.Sprint(got) != args[0] {
		ts.Fatalf("exit status %d, wanted %s", got, args[0])
	}
}

func asExit(err error, target **exec.ExitError) bool {
	e, ok := err.(*exec.ExitError)
	if ok {
		*target = e
	}
	return ok
}
