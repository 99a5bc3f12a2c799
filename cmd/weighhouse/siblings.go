package main

import (
	"bytes"
	"crypto/md5"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"weighhouse/templates/bundle"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// maxOutput is the largest output, beside audit.json, that verify reads: a PDF holds the case's books.
const maxOutput = 512 << 20

// outputs prints what stands beside an audit.json anew from it and compares the bytes: they may be of another making where a
// run was killed between two of them, where one format alone was written anew, or where one was altered. Where the audit does
// not follow from its inputs, or another version wrote it, only the audit.json that the PDF carries is compared, by the check
// sum of its attachment.
func (v *verifier) outputs(l *loaded, sameVersion bool) error {
	c := &v.check
	follows := len(c.Differences) == 0
	stem := strings.TrimSuffix(v.path, ".json")
	l.data = v.data // what a PDF carries is the audit as it was written
	faults := 0
	for _, format := range formatNames {
		if format == "json" {
			continue
		}
		name := filepath.Base(stem) + "." + format
		got, err := readPlain(stem+"."+format, maxOutput)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			c.Unchecked = append(c.Unchecked, name+": there is none")
			continue
		case err != nil:
			return err
		}
		carries := format != "pdf" || bytes.Contains(got, fmt.Appendf(nil, "/CheckSum<%x>", md5.Sum(v.data)))
		if !carries {
			faults++
			c.Differences = append(c.Differences, verdict.Difference{Kind: "output", What: name, Was: "carries another audit.json", Is: "the audit.json beside it"})
			continue
		}
		if !follows {
			c.Unchecked = append(c.Unchecked, name+": not printed anew, since the audit does not follow from the inputs")
			continue
		}
		same := false
		for _, paper := range []string{"a4", "letter"} {
			o := v.options
			o.paper = paper
			now, _, err := write(format, l, o)
			if err != nil {
				return err
			}
			if same = bytes.Equal(got, now); same {
				break
			}
		}
		switch {
		case same:
			c.Checked = append(c.Checked, name+": printed anew from the audit, the same bytes")
		case !sameVersion:
			c.Unchecked = append(c.Unchecked, name+": written by another version, which prints otherwise")
		case v.written.Tool.Machine != "" && v.written.Tool.Machine != runtime.GOARCH:
			c.Unchecked = append(c.Unchecked, name+": written on another kind of machine, whose last digits it may hold")
		default:
			faults++
			c.Differences = append(c.Differences, verdict.Difference{Kind: "output", What: name, Was: fmt.Sprintf("%d bytes that are not those of this audit", len(got)), Is: "what is written of this audit"})
		}
	}
	if faults > 0 {
		c.Causes = append(c.Causes, "an output of another making beside audit.json: a run that ended between two outputs, one format that was written alone, a font of --font, a build of the program by another Go release, or an alteration; weighhouse audit with all formats writes them anew")
	}
	return nil
}

// mostUnused is how many files that nothing uses are named.
const mostUnused = 20

// unused names the files of the case folder that are neither inputs of the audit nor what the program writes.
func (v *verifier) unused() error {
	used := map[string]bool{}
	for _, in := range v.written.Inputs {
		used[in.Path] = true
	}
	var out []string
	err := filepath.WalkDir(v.dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(v.dir, p)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		switch {
		case used[rel] || rel == recordName:
		case strings.HasPrefix(rel, "letter-") && !strings.Contains(rel, "/"):
			v.check.Unchecked = append(v.check.Unchecked, rel+": a letter, which hangs on choices that are not recorded")
		case strings.HasPrefix(rel, "audit.") && slices.Contains(formatNames, strings.TrimPrefix(rel, "audit.")):
			if filepath.Clean(filepath.Dir(v.path)) != filepath.Clean(v.dir) {
				v.check.Unchecked = append(v.check.Unchecked, rel+": an output in the case folder, not beside the audit named")
			}
		default:
			out = append(out, rel)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if n := len(out); n > mostUnused {
		out = append(out[:mostUnused], fmt.Sprintf("and %d more", n-mostUnused))
	}
	if len(out) > 0 {
		v.check.Notes = append(v.check.Notes, "in the case, and used by nothing: "+strings.Join(out, ", "))
	}
	return nil
}

// unpacked looks whether the folder is an unpacked bundle: then its files are held against its manifest, and the case is the
// one within.
func (v *verifier) unpacked() error {
	folder, err := os.OpenRoot(v.dir)
	if err != nil {
		return fmt.Errorf("%s: %w", v.dir, pathless(err))
	}
	defer folder.Close()
	m, faults, extra, err := bundle.Check(folder.FS())
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("%s: %w", v.dir, err)
	}
	for _, f := range faults {
		v.check.Differences = append(v.check.Differences, verdict.Difference{Kind: "bundle", What: f.Path, Was: f.Was, Is: f.Is})
	}
	if len(faults) > 0 {
		v.check.Causes = append(v.check.Causes, "a file of the bundle that was altered, taken away or lost after it was packed")
	}
	v.check.Checked = append(v.check.Checked, fmt.Sprintf("%s of the bundle by the SHA-256 of its manifest", numeral.Several(len(m.Files), "file")))
	v.check.Unchecked = append(v.check.Unchecked, "the manifest itself: whoever alters a file can alter its hash there too")
	if len(extra) > 0 {
		v.check.Notes = append(v.check.Notes, "in the bundle, and not in its manifest: "+strings.Join(extra, ", "))
	}
	if m.Case == "" || strings.ContainsAny(m.Case, `/\`) || m.Case == ".." {
		return fmt.Errorf("%s: manifest.json: case %q names no folder of the bundle", v.dir, m.Case)
	}
	v.path, v.dir = filepath.Join(v.dir, "audit.json"), filepath.Join(v.dir, "inputs", m.Case)
	return nil
}
