package letter

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"weighhouse/templates/internal/mossgate"
)

// own writes templates into a folder.
func own(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for n, s := range files {
		if err := os.WriteFile(filepath.Join(dir, n), []byte(s), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestOwnTemplate(t *testing.T) {
	dir := own(t, map[string]string{"maker.tmpl": "# Hello {{.Product.Maker}}\r\nanswer by {{.Deadline.Day}}\n{{template \"rule.tmpl\" .}}", "notes.txt": "not a template"})
	l, err := Write(mossgate.Audit(), Options{To: ToMaker, Templates: dir, Days: 3})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := l.WriteText(&b); err != nil {
		t.Fatal(err)
	}
	if l.Title != "Hello Brindlecote Air Works" || l.Deadline != "2031-03-19" || !strings.Contains(b.String(), "answer by 2031-03-19") {
		t.Errorf("title %q, deadline %q", l.Title, l.Deadline)
	}
	text := joinedLines(b.String())
	for _, c := range mossgate.Audit().Cautions {
		if !strings.Contains(text, c) {
			t.Errorf("a letter went without the caution %q", c)
		}
	}
	if len(l.Notes) != 1 {
		t.Errorf("notes: %q", l.Notes)
	}
	// the other letter is not touched
	if got := textOf(t, mossgate.Audit(), Options{To: ToAuthority, Templates: dir}); got != textOf(t, mossgate.Audit(), Options{To: ToAuthority}) {
		t.Error("a template for the maker changed the dossier")
	}
}

func TestOwnTemplateRefused(t *testing.T) {
	for name, x := range map[string]struct {
		files map[string]string
		want  string
	}{
		"unknown name":      {map[string]string{"makers.tmpl": "x"}, `makers\.tmpl: stands in for no template; there are .*maker\.tmpl`},
		"nothing there":     {map[string]string{"maker.txt": "x"}, `holds no template; expected`},
		"syntax":            {map[string]string{"maker.tmpl": "# a\n{{if}}"}, `/maker\.tmpl:2: missing value for if`},
		"unknown function":  {map[string]string{"maker.tmpl": "{{shout 1}}"}, `/maker\.tmpl:1: function "shout" not defined`},
		"unknown field":     {map[string]string{"maker.tmpl": "a\n\n{{.Profit}}"}, `/maker\.tmpl:3:.*can't evaluate field Profit`},
		"a word to avoid":   {map[string]string{"maker.tmpl": "# a\n\nThis is Fraud."}, `/maker\.tmpl:3: found "fraud".*"beyond the limit with a probability of at least 95 %, on the unit tested" would do`},
		"two words":         {map[string]string{"rule.tmpl": "a lie\nthat fails"}, `(?s)rule\.tmpl:1: found "lie".*rule\.tmpl:2: found "fails"`},
		"control character": {map[string]string{"maker.tmpl": "a\nb\x01c"}, `maker\.tmpl: line 2: found the control character U\+0001`},
		"not UTF-8":         {map[string]string{"maker.tmpl": "caf\xe9"}, `maker\.tmpl: is not UTF-8`},
		"too large":         {map[string]string{"maker.tmpl": strings.Repeat("x", maxTemplate+1)}, `larger than 1 MB \(a limit of this program\)`},
		"too long a letter": {map[string]string{"maker.tmpl": "{{range .Claims}}{{range $.Claims}}" + strings.Repeat("x", maxTemplate/2) + "{{end}}{{end}}"}, `the letter is larger than 16 MB \(a limit of this program\)`},
		"empty":             {map[string]string{"maker.tmpl": "{{/* nothing */}}"}, `gives an empty letter`},
		"thirteen columns":  {map[string]string{"maker.tmpl": "| a" + strings.Repeat(" | b", 12) + " |"}, `line 1 of the text: 13 columns: at most 12 would do`},
		"a fact of one":     {map[string]string{"maker.tmpl": "= name"}, `maker\.tmpl: line 1 of the text: .*expected = name \| value`},
		"endless":           {map[string]string{"maker.tmpl": `{{template "maker.tmpl" .}}`}, `more than 100 deep`},
		"a long loop":       {map[string]string{"maker.tmpl": `{{range 2000000000}}{{end}}x`}, `maker\.tmpl:1:.*more than 1048576 rounds of loops and templates \(a limit of this program\)`},
		"loops in loops":    {map[string]string{"rule.tmpl": `{{define "q"}}{{range 3000}}{{if true}}{{range 3000}}{{end}}{{end}}{{end}}{{end}}{{template "q"}}`, "maker.tmpl": `{{template "q"}}`}, `more than 1048576 rounds`},
		"calls in a tree":   {map[string]string{"maker.tmpl": `{{define "a"}}{{template "b"}}{{template "b"}}{{end}}{{define "b"}}{{range 2}}{{template "a"}}{{end}}{{end}}{{template "a"}}`}, `more than 100 deep`},
		"a doubled text":    {map[string]string{"maker.tmpl": `{{$x := "x"}}{{range 60}}{{$x = print $x $x}}{{end}}{{$x}}`}, `the letter is larger than 16 MB`},
		"a printed text":    {map[string]string{"maker.tmpl": `{{$x := "x"}}{{range 60}}{{$x = printf "%s%s" $x $x | html}}{{end}}{{$x}}`}, `the letter is larger than 16 MB`},
		"blank of nothing":  {map[string]string{"maker.tmpl": `{{blank ""}}`}, `blank: expected what the sender completes`},
	} {
		_, err := Write(mossgate.Audit(), Options{To: ToMaker, Templates: own(t, x.files)})
		if err == nil || !regexp.MustCompile(x.want).MatchString(err.Error()) {
			t.Errorf("%s: %v; want %s", name, err, x.want)
		}
	}
	if _, err := Write(mossgate.Audit(), Options{To: ToMaker, Templates: filepath.Join(t.TempDir(), "none")}); err == nil {
		t.Error("a folder that is not there was taken")
	}
	dir := t.TempDir()
	if err := os.Symlink("/etc/hostname", filepath.Join(dir, "maker.tmpl")); err == nil {
		if _, err := Write(mossgate.Audit(), Options{To: ToMaker, Templates: dir}); err == nil {
			t.Error("a link out of the folder was followed")
		}
	}
}
