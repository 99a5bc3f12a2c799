package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// onTerminal runs the program on a terminal of so many columns, by script of util-linux, and gives what it writes, carriage
// returns as line ends.
func onTerminal(t *testing.T, program string, columns int, env []string, args ...string) string {
	t.Helper()
	line := fmt.Sprintf("stty cols %d; '%s' '%s'", columns, program, strings.Join(args, "' '"))
	cmd := exec.Command(need(t, "script"), "-qec", line, os.DevNull)
	cmd.Env = append([]string{"PATH=" + os.Getenv("PATH"), "TERM=xterm", "SHELL=/bin/sh"}, env...)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(out))
}

// TestOnTerminal looks at what a person sees: the bar and the tables fit narrow terminals, NO_COLOR (no-color.org: when
// present and not an empty string) and TERM=dumb give plain text, a locale without UTF-8 gets its own characters.
func TestOnTerminal(t *testing.T) {
	need(t, "script")
	need(t, "stty")
	program, _ := ownProgram(t)
	dir := t.TempDir()
	for i := range 12 {
		if err := os.CopyFS(filepath.Join(dir, "cases", fmt.Sprint("c", i)), os.DirFS("../../testdata/demo-csv")); err != nil {
			t.Fatal(err)
		}
	}
	one := []string{"audit", filepath.Join(dir, "cases", "c1"), "--format", "json", "--date", "2026-08-03", "--out", filepath.Join(dir, "out")}
	many := []string{"audit", "--each", filepath.Join(dir, "cases"), "--format", "json", "--date", "2026-08-03", "--jobs", "1", "--out", filepath.Join(dir, "out")}
	utf8Locale := []string{"LANG=C.UTF-8"}

	for _, columns := range []int{12, 30, 80} {
		bars := 0
		for _, l := range strings.Split(onTerminal(t, program, columns, utf8Locale, many...), "\n") {
			shown, is := strings.CutPrefix(l, "\x1b[K")
			if !is || strings.Contains(shown, "supported") || shown == "" {
				continue
			}
			bars++
			if n := utf8.RuneCountInString(shown); n >= columns {
				t.Errorf("%d columns: a bar of %d: %q", columns, n, shown)
			}
			if columns == 80 && !strings.Contains(shown, " of 12 cases") {
				t.Errorf("the bar %q", shown)
			}
		}
		if bars < 2 {
			t.Errorf("%d columns: %d bars", columns, bars)
		}
	}

	wide := onTerminal(t, program, 130, utf8Locale, one...)
	if !strings.Contains(wide, "\nC1     delivery rate, max, smoke       at least 340 m3/h") || !strings.Contains(wide, "\x1b[1mclaim  attribute") {
		t.Errorf("130 columns: %.600s", wide)
	}
	narrow := onTerminal(t, program, 60, utf8Locale, one...)
	table := narrow[:max(0, strings.Index(narrow, "\n■ "))] // the counts' line, after the table
	if !strings.Contains(narrow, "\n    limit 305.5 m3/h  gap -23 %  verdict ☒ contradicted\n") {
		t.Errorf("60 columns: %.600s", narrow)
	}
	for _, l := range strings.Split(table, "\n") {
		if n := utf8.RuneCountInString(strings.NewReplacer("\x1b[1m", "", "\x1b[0m", "").Replace(l)); n > 60 {
			t.Errorf("60 columns: a line of %d: %q", n, l)
		}
	}

	for _, c := range []struct {
		env    []string
		styled bool
	}{{[]string{"LANG=C.UTF-8", "NO_COLOR="}, true}, {[]string{"LANG=C.UTF-8", "NO_COLOR=0"}, false}, {[]string{"LANG=C.UTF-8", "TERM=dumb"}, false}} {
		if got := onTerminal(t, program, 130, c.env, one...); strings.Contains(got, "\x1b") != c.styled {
			t.Errorf("%v: styled %v: %.200q", c.env, !c.styled, got)
		}
		if got := onTerminal(t, program, 130, c.env, many...); c.env[1] == "TERM=dumb" && (strings.Contains(got, "\x1b") || strings.Contains(got, "░")) {
			t.Errorf("%v: a bar: %.200q", c.env, got)
		}
	}

	for _, locale := range []string{"LC_ALL=C", "LC_ALL=POSIX", "LANG=en_US.ANSI_X3.4-1968"} {
		for _, args := range [][]string{one, many, {"decay", filepath.Join(dir, "cases", "c1", "logs", "max-1.csv"), "--volume", "45 m3", "--value", "pm1"}} {
			got := onTerminal(t, program, 130, []string{locale}, args...)
			for i, r := range got {
				if r >= utf8.RuneSelf {
					t.Errorf("%s: %q holds %q", locale, args[0], got[max(0, i-30):min(len(got), i+30)])
					break
				}
			}
			if args[0] == "audit" && !strings.Contains(got, "supported") {
				t.Errorf("%s: %.300q", locale, got)
			}
		}
	}
	if got := onTerminal(t, program, 130, []string{"LANG=de_DE.ISO-8859-1"}, one...); !strings.Contains(got, "262 \xb1 29 m3/h") {
		t.Errorf("Latin-1: %.400q", got)
	}
	if data, err := os.ReadFile(filepath.Join(dir, "out", "audit.json")); err != nil || !utf8.Valid(data) || !strings.Contains(string(data), "m³/h") {
		t.Errorf("a file is UTF-8 whatever the locale: %v", err)
	}
}
