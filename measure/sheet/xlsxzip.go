package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"path"
	"strings"
)

// parts is the zip archive of a workbook, checked before anything is taken from it.
type parts struct {
	files map[string]*zip.File // by lower-case name without a leading slash
	list  []*zip.File
}

func openParts(r io.ReaderAt, size int64) (*parts, error) {
	head := make([]byte, 8)
	n, _ := r.ReadAt(head, 0)
	head = head[:n]
	switch {
	case n == 0:
		return nil, fmt.Errorf("the file is empty, accepted is an .xlsx workbook")
	case bytes.HasPrefix(head, []byte{0xD0, 0xCF, 0x11, 0xE0}):
		return nil, fmt.Errorf("found an old .xls workbook or one protected by a password, accepted is an .xlsx workbook without a password")
	case !bytes.HasPrefix(head, []byte("PK")):
		return nil, fmt.Errorf("found a file that is no .xlsx workbook (it begins with %s)", quote(string(head)))
	}
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fmt.Errorf("the workbook is damaged or cut short: %v", err)
	}
	if len(z.File) > MaxParts {
		return nil, fmt.Errorf("%s", tooLarge("parts of the workbook", int64(len(z.File)), MaxParts))
	}
	p := &parts{files: map[string]*zip.File{}}
	var total uint64
	for _, f := range z.File {
		if strings.HasSuffix(f.Name, "/") {
			continue
		}
		name := partName("", f.Name)
		if p.files[name] != nil {
			return nil, fmt.Errorf("the workbook is damaged: the part %s stands in it twice", quote(f.Name))
		}
		if f.Flags&1 != 0 {
			return nil, fmt.Errorf("found a workbook protected by a password, accepted is one without")
		}
		if total += f.UncompressedSize64; total > uint64(MaxUnzipped) || f.UncompressedSize64 > uint64(MaxUnzipped) {
			return nil, fmt.Errorf("%s", tooLarge("bytes of the workbook unpacked", int64(min(total, 1<<62)), MaxUnzipped))
		}
		p.files[name] = f
		p.list = append(p.list, f)
	}
	return p, nil
}

// partName resolves a target of a relation against the folder of the part that names it.
func partName(dir, target string) string {
	target = strings.ReplaceAll(target, `\`, "/")
	if !strings.HasPrefix(target, "/") {
		target = path.Join("/", dir, target)
	}
	return strings.ToLower(strings.TrimPrefix(path.Clean(target), "/"))
}

// scan runs over the tokens of a part to its end; the zip reader checks length and checksum there.
func (p *parts) scan(name string, each func(x *xmlScanner) error) error {
	f := p.files[name]
	if f == nil {
		return fmt.Errorf("the workbook is damaged: its part %s is missing", quote(name))
	}
	r, err := f.Open()
	if err != nil {
		return fmt.Errorf("the workbook is damaged: %s: %v", name, err)
	}
	defer r.Close()
	x := newXMLScanner(r)
	x.what = "the workbook's part " + quote(name)
	for {
		if err := x.next(); err != nil {
			return err
		}
		if x.tok == tokEOF {
			return nil
		}
		if err := each(x); err != nil {
			return err
		}
	}
}

type relation struct{ kind, target string }

// relations reads the relations of a part: id → kind (the last step of its type) and target.
func (p *parts) relations(part string) (map[string]relation, error) {
	dir, base := path.Split(part)
	name := partName("", dir+"_rels/"+base+".rels")
	out := map[string]relation{}
	if p.files[name] == nil {
		return out, nil
	}
	err := p.scan(name, func(x *xmlScanner) error {
		if x.tok != tokStart || string(x.name) != "Relationship" {
			return nil
		}
		id, _ := x.attr("Id")
		kind, _ := x.attr("Type")
		target, _ := x.attr("Target")
		if mode, _ := x.attr("TargetMode"); mode == "External" {
			return nil
		}
		out[id] = relation{path.Base(kind), partName(dir, target)}
		return nil
	})
	return out, err
}
