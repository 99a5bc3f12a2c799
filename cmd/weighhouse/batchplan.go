package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"weighhouse/measure/sheet"
)

// maxCases is the largest number of cases of one run, or of one index.
const maxCases = 100_000

// task is one case of a run: its folder, and the folder of its outputs.
type task struct{ dir, out string }

// plan lists the cases of a run: those named, in their order, then the sub-folders of each folder of cases that hold a spec
// book, by name. It is an error where a case is named twice, also by a link, or two would be written to one folder. notes
// say what was passed over.
func plan(named, each []string, out string) (tasks []task, notes []string, err error) {
	cases := append([]string(nil), named...)
	for _, dir := range each {
		found, more, err := casesIn(dir)
		if err != nil {
			return nil, nil, err
		}
		cases, notes = append(cases, found...), append(notes, more...)
	}
	if len(cases) > maxCases {
		return nil, nil, fmt.Errorf("%s\n%sshare them out over several runs and join these with weighhouse index", sheet.TooLarge("cases of one run", int64(len(cases)), maxCases), hintMark)
	}
	own := len(cases) > 1 || len(each) > 0
	read, taken := map[string]string{}, map[string]string{}
	var errs []error
	for _, dir := range cases {
		t := task{dir, outFolder(out, dir, own)}
		from := sameFolder(dir)
		to := from
		if t.out != dir {
			to = strings.ToLower(sameFolder(t.out)) // a folder of results is copied to systems that take Demo and demo for one
		}
		if other, twice := read[from]; twice {
			also := ""
			if other != dir { // another way of writing it, or a link
				also = fmt.Sprintf(" (also as %q)", other)
			}
			errs = append(errs, fmt.Errorf("the case %q is named twice%s", dir, also))
			continue
		}
		if other, twice := taken[to]; twice {
			errs = append(errs, fmt.Errorf("the cases %q and %q would both be written to %q: rename one of them, or audit them into different folders", other, dir, t.out))
			continue
		}
		read[from], taken[to] = dir, dir
		tasks = append(tasks, t)
	}
	if len(errs) > 0 {
		return nil, nil, errUsage{errors.Join(errs...)}
	}
	return tasks, notes, nil
}

// sameFolder brings the path of a folder to a form in which equal folders are equal, as far as the system tells.
func sameFolder(dir string) string {
	abs, err := filepath.Abs(dir)
	if err != nil {
		abs = filepath.Clean(dir)
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		abs = real
	}
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" { // their file systems take Demo and demo for one
		abs = strings.ToLower(abs)
	}
	return abs
}

// casesIn lists the sub-folders of dir that hold a spec book, by name. Links are not followed.
func casesIn(dir string) (cases, notes []string, err error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, nil, fmt.Errorf("--each %q: %w", dir, pathless(err))
	}
	passed := func(name, why string) {
		notes = append(notes, fmt.Sprintf("%s: %s; it was passed over", filepath.Join(dir, name), why))
	}
	for _, e := range entries {
		name := e.Name()
		switch {
		case strings.HasPrefix(name, "."):
		case e.Type()&fs.ModeSymlink != 0:
			passed(name, "a link")
		case !e.IsDir():
		case holdsSpec(filepath.Join(dir, name)):
			cases = append(cases, filepath.Join(dir, name))
		default:
			passed(name, "a folder without a spec book")
		}
	}
	if len(cases) == 0 {
		return nil, nil, fmt.Errorf("--each %q: no folder in it holds a spec book (spec.xlsx, or spec with .csv files)\n%sweighhouse new makes the blank forms of a case", dir, hintMark)
	}
	return cases, notes, nil
}

// holdsSpec reports whether a folder is a case: whether it holds a spec book, one of a kind that is not read included, so
// that it is reported and not passed over.
func holdsSpec(dir string) bool {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return true // to be reported as a case
	}
	for _, e := range entries {
		switch name := strings.ToLower(e.Name()); {
		case name == "spec.xlsx", name == "spec.xls", name == "spec.xlsm", name == "spec.ods":
			return true
		case name == "spec":
			inside, err := os.ReadDir(filepath.Join(dir, e.Name()))
			if err != nil {
				return true
			}
			for _, f := range inside {
				if strings.EqualFold(filepath.Ext(f.Name()), ".csv") {
					return true
				}
			}
		}
	}
	return false
}

// outFolder is where a case's outputs go: its own folder, that of --out, or, where each case needs one of its own, the
// folder of the case's name in that.
func outFolder(out, dir string, own bool) string {
	switch {
	case out == "":
		return dir
	case own:
		if abs, err := filepath.Abs(dir); err == nil {
			dir = abs
		}
		return filepath.Join(out, filepath.Base(dir))
	}
	return out
}
