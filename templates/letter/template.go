package letter

import (
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"text/template"
	"unicode"
	"unicode/utf8"

	"weighhouse/templates/words"
)

//go:embed *.tmpl
var ownTemplates embed.FS

// The limits on an organisation's own templates: the size of one file, and of what a letter may come to.
const (
	maxTemplate = 1 << 20
	maxRendered = 16 << 20
)

// templates is the set in force.
type templates struct {
	set           *template.Template
	from          map[string]string // the path of each file, for errors
	steps, nested int               // rounds of loops and templates called, of the letter that is being written, and how deep
}

var functions = template.FuncMap{
	"blank": func(what any) (string, error) {
		s, ok := what.(string)
		if t, isText := what.(Text); isText {
			s, ok = string(t), true
		}
		if s = strings.TrimSpace(strings.ReplaceAll(clean(s), "\n", " ")); !ok || s == "" {
			return "", fmt.Errorf("blank: expected what the sender completes, found %v", what)
		}
		return string(blankOpen) + s + string(blankClose), nil
	},
	"sourced": func(source Text, mark string) Text { return Text(words.Sourced(string(source), mark)) },
	"join": func(ts []Text, sep string) Text {
		ss := make([]string, len(ts))
		for i, t := range ts {
			ss[i] = string(t)
		}
		return Text(strings.Join(ss, sep))
	},
	"of": func(verdict string, cs []*Claim) []*Claim {
		var out []*Claim
		for _, c := range cs {
			if c.Verdict == verdict {
				out = append(out, c)
			}
		}
		return out
	},
	"sightings": Sightings,
	"ids": func(cs []*Claim) []Text {
		var out []Text
		for _, c := range cs {
			out = append(out, c.ID)
		}
		return out
	},
}

// readTemplates reads the templates of this package, and those of a folder in their place.
func readTemplates(dir string) (*templates, error) {
	t := &templates{set: template.New("letter").Funcs(functions).Option("missingkey=error"), from: map[string]string{}}
	t.set.Funcs(t.bounded())
	names, err := fs.Glob(ownTemplates, "*.tmpl")
	if err != nil {
		return nil, err
	}
	source := map[string]string{}
	for _, n := range names {
		b, err := ownTemplates.ReadFile(n)
		if err != nil {
			return nil, err
		}
		source[n], t.from[n] = string(b), n
	}
	if dir != "" {
		if err := t.replace(dir, names, source); err != nil {
			return nil, err
		}
	}
	var all []error
	for _, n := range names {
		if _, err := t.set.New(n).Parse(source[n]); err != nil {
			all = append(all, t.plain(err))
			continue
		}
		all = append(all, t.guard(n, source[n])...)
	}
	t.countSteps()
	return t, errors.Join(all...)
}

// replace reads the files of a folder over those of this package.
func (t *templates) replace(dir string, names []string, source map[string]string) error {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return fmt.Errorf("templates: %w", err)
	}
	defer root.Close()
	entries, err := fs.ReadDir(root.FS(), ".")
	if err != nil {
		return fmt.Errorf("templates: %s: %w", dir, err)
	}
	var all []error
	n := 0
	for _, e := range entries {
		name := e.Name()
		if !strings.HasSuffix(name, ".tmpl") {
			continue
		}
		n++
		at := filepath.Join(dir, name)
		if _, ok := source[name]; !ok {
			all = append(all, fmt.Errorf("%s: stands in for no template; there are %s", at, strings.Join(names, ", ")))
			continue
		}
		text, err := readTemplate(root, name)
		if err != nil {
			all = append(all, fmt.Errorf("%s: %w", at, err))
			continue
		}
		source[name], t.from[name] = text, at
	}
	if n == 0 {
		all = append(all, fmt.Errorf("%s: holds no template; expected one or more of %s", dir, strings.Join(names, ", ")))
	}
	return errors.Join(all...)
}

func readTemplate(root *os.Root, name string) (string, error) {
	info, err := root.Stat(name)
	if err != nil {
		return "", err
	}
	if !info.Mode().IsRegular() {
		return "", fmt.Errorf("is no plain file")
	}
	f, err := root.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxTemplate+1))
	switch {
	case err != nil:
		return "", err
	case len(b) > maxTemplate:
		return "", fmt.Errorf("larger than %d MB (a limit of this program)", maxTemplate>>20)
	case !utf8.Valid(b):
		return "", fmt.Errorf("is not UTF-8")
	}
	text := strings.ReplaceAll(strings.TrimPrefix(string(b), "\ufeff"), "\r\n", "\n")
	for i, line := range strings.Split(text, "\n") {
		for _, r := range line {
			if r != '\t' && unicode.IsControl(r) {
				return "", fmt.Errorf("line %d: found the control character U+%04X", i+1, r)
			}
		}
	}
	return text, nil
}

var comment = regexp.MustCompile(`(?s)\{\{-?\s*/\*.*?\*/\s*-?\}\}`)

// guard finds words that no letter says of its own; what the case says in quotation is not looked at.
func (t *templates) guard(name, source string) (all []error) {
	source = comment.ReplaceAllStringFunc(source, func(s string) string { return strings.Repeat("\n", strings.Count(s, "\n")) })
	for i, line := range strings.Split(source, "\n") {
		for _, w := range avoidedIn(line) {
			all = append(all, fmt.Errorf("%s:%d: found %q, since %s; %q would do", t.from[name], i+1, w.never, w.why, w.write))
		}
	}
	return all
}

// avoidedIn lists the words of avoid.csv that stand in a text as whole words, case ignored.
func avoidedIn(s string) []avoided {
	var out []avoided
	s = strings.ToLower(s)
	for _, w := range load().avoid {
		for from := 0; ; {
			i := strings.Index(s[from:], w.never)
			if i < 0 {
				break
			}
			i += from
			before, _ := utf8.DecodeLastRuneInString(s[:i])
			after, _ := utf8.DecodeRuneInString(s[i+len(w.never):])
			if !unicode.IsLetter(before) && !unicode.IsLetter(after) {
				out = append(out, w)
				break
			}
			from = i + len(w.never)
		}
	}
	return out
}

// render renders one template.
func (t *templates) render(name string, v *View) (string, error) {
	w := &limited{}
	t.steps, t.nested = 0, 0
	if err := t.set.ExecuteTemplate(w, name, v); err != nil {
		return "", t.plain(err)
	}
	return w.String(), nil
}

// limited takes text up to the limit of a letter.
type limited struct{ strings.Builder }

func (w *limited) Write(p []byte) (int, error) {
	if w.Len()+len(p) > maxRendered {
		return 0, fmt.Errorf("the letter is larger than %d MB (a limit of this program)", maxRendered>>20)
	}
	return w.Builder.Write(p)
}

// at puts a template's path before an error.
func (t *templates) at(name string, err error) error {
	return fmt.Errorf("%s: %w", t.from[name], err)
}

// plain words an error of the template package with the file's own path.
func (t *templates) plain(err error) error {
	s := strings.TrimPrefix(err.Error(), "template: ")
	for name, path := range t.from {
		if rest, ok := strings.CutPrefix(s, name+":"); ok {
			return fmt.Errorf("%s:%s", path, rest)
		}
	}
	return fmt.Errorf("%s", s)
}
