package main

import (
	"bytes"
	"crypto/md5"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"weighhouse/verdict"
)

// maxOutput is the largest output, beside audit.json, that verify reads: a PDF holds the case's books.
const maxOutput = 512 << 20

// siblings compares the outputs beside an audit.json with it: they may be of another making where a run was killed between
// two of them, where one format alone was written anew, or where one was altered. The PDF has to carry this audit.json,
// known by the check sum of its attachment; the page and the workbook have to be what is written of the case now, byte by
// byte, which is compared only where the audit still follows from its inputs (anew).
func siblings(path string, written []byte, l *loaded, anew bool) (out []verdict.Difference, err error) {
	if filepath.Base(path) != "audit.json" {
		return nil, nil
	}
	add := func(name, was, is string) {
		out = append(out, verdict.Difference{Kind: "output", What: name, Was: was, Is: is})
	}
	for _, format := range formatNames {
		if format == "json" || format != "pdf" && !anew {
			continue
		}
		name := "audit." + format
		got, err := readPlain(filepath.Join(filepath.Dir(path), name), maxOutput)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			continue
		case err != nil:
			return nil, err
		case format == "pdf":
			if !bytes.Contains(got, fmt.Appendf(nil, "/CheckSum<%x>", md5.Sum(written))) {
				add(name, "carries another audit.json", "the audit.json beside it")
			}
			continue
		}
		same := false
		for _, paper := range []string{"a4", "letter"} {
			now, _, err := write(format, l, writerOptions{paper: paper})
			if err != nil {
				return nil, err
			}
			same = same || bytes.Equal(got, now)
		}
		if !same {
			add(name, fmt.Sprintf("%d bytes that are not those of this audit", len(got)), "what is written of this audit")
		}
	}
	return out, nil
}
