package document

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// The library writes a sound file, but no structure, no language and no identifier; its attachments shift object numbers
// under links and bookmarks; and it makes a compressor of a megabyte for every page. So the file is put together anew
// from the objects of the library's: pages get their contents, their links and their place in the structure, the catalog
// gets its entries, everything else is taken over. Object numbers do not change: page n of the library is object 2n+1,
// its contents 2n+2, the catalog the last, the information dictionary the one before it; what is added follows.

var outlines = regexp.MustCompile(`/Outlines (\d+) 0 R`)

// resourcesObject is what all pages draw with.
const resourcesObject = 2

func pageObject(n int) int { return 2*n + 1 }

// assemble puts the document together: the objects of a PDF that the library made, the contents of its pages as they
// were rendered, and what the library does not write.
func (d *Doc) assemble(file []byte, r *renderer) ([]byte, error) {
	at, err := crossReferences(file)
	if err != nil {
		return nil, err
	}
	size := len(file) + 1<<19
	for _, c := range r.contents {
		size += len(c.data)
	}
	for _, a := range d.attachments {
		size += len(a.Data) / 2
	}
	o := newObjects(len(at)-1, size)
	defer o.free()
	catalog := len(at) - 2
	annotations := d.annotations(o)
	tree := d.structure(o, r.marks, annotations)
	resources, err := d.resources(o, r.fonts)
	if err != nil {
		return nil, err
	}
	for n := 1; n < catalog; n++ {
		body, err := objectBody(file, at, n)
		if err != nil {
			return nil, err
		}
		page := (n - 1) / 2
		switch {
		case n == resourcesObject:
			o.object(n, []byte(resources))
		case n < 3 || page > len(d.pages):
			o.object(n, body)
		case n == pageObject(page):
			i := bytes.LastIndex(body, []byte("/Contents "))
			if i < 0 || !bytes.HasPrefix(body, []byte("<</Type /Page")) {
				return nil, fmt.Errorf("object %d is no page", n)
			}
			o.begin(n)
			o.put(string(body[:i]), "/StructParents ", strconv.Itoa(page-1), "/Tabs/S")
			if as := annotations[page-1]; len(as) > 0 {
				o.put("/Annots[")
				for _, a := range as {
					o.ref(a.num)
				}
				o.put("]")
			}
			o.put(string(body[i:]))
			o.end()
		default:
			o.packedStream(n, "", r.contents[page-1])
		}
	}
	old, err := objectBody(file, at, catalog)
	if err != nil {
		return nil, err
	}
	if !bytes.Contains(old, []byte("/Type /Catalog")) {
		return nil, fmt.Errorf("object %d is no catalog", catalog)
	}
	var c strings.Builder
	fmt.Fprintf(&c, "<</Type/Catalog/Pages 1 0 R/Lang%s/MarkInfo<</Marked true>>/StructTreeRoot %d 0 R/ViewerPreferences<</DisplayDocTitle true>>", textString(d.opt.Lang), tree)
	if m := outlines.FindSubmatch(old); m != nil {
		fmt.Fprintf(&c, "/Outlines %s 0 R/PageMode/UseOutlines", m[1])
	}
	meta := o.reserve()
	o.plainStream(meta, "/Type/Metadata/Subtype/XML", d.xmp()) // readable to programs that do not read PDF
	fmt.Fprintf(&c, "/Metadata %d 0 R", meta)
	c.WriteString(d.embed(o))
	c.WriteString(">>")
	o.object(catalog, []byte(c.String()))
	return o.close(catalog), nil
}

// annotation is a link of a page.
type annotation struct {
	num  int
	key  int // in the structure's index
	elem *element
}

// annotations writes the links of each page. One to an anchor that no block has is left out.
func (d *Doc) annotations(o *objects) [][]annotation {
	out := make([][]annotation, len(d.pages))
	key := len(d.pages) // the keys before it are the pages'
	for i, p := range d.pages {
		for _, l := range p.links {
			var to string
			if name, inside := strings.CutPrefix(l.to, "#"); inside {
				t, known := d.anchors[name]
				if !known {
					continue
				}
				to = fmt.Sprintf("/Dest[%d 0 R/XYZ 0 %.2f null]", pageObject(t.page), d.height-t.y)
			} else {
				to = "/A<</S/URI/URI" + textString(l.to) + ">>"
			}
			a := annotation{num: o.reserve(), key: key}
			if l.elem != nil && l.elem.attached {
				a.elem = l.elem
			}
			key++
			o.object(a.num, fmt.Appendf(nil, "<</Type/Annot/Subtype/Link/Rect[%.2f %.2f %.2f %.2f]/Border[0 0 0]/F 4/StructParent %d%s>>",
				l.x, d.height-l.y-l.h, l.x+l.w, d.height-l.y, a.key, to))
			out[i] = append(out[i], a)
			if a.elem != nil {
				l.elem.kids = append(l.elem.kids, kid{page: i + 1, object: a.num})
			}
		}
	}
	return out
}

// structure writes the structure tree and its index of marked content and links; it returns the number of its root.
func (d *Doc) structure(o *objects, marks [][]*element, links [][]annotation) int {
	root, index := o.reserve(), o.reserve()
	d.root.walk(func(e *element) { e.num = o.reserve() })
	d.root.walk(func(e *element) {
		parent := root
		if e.parent != nil {
			parent = e.parent.num
		}
		o.begin(e.num)
		e.write(o, parent)
		o.end()
	})
	o.begin(index)
	o.put("<</Nums[")
	for i, es := range marks {
		o.int(i)
		o.put("[")
		for _, e := range es {
			o.ref(e.num)
		}
		o.put("]\n")
	}
	next := len(marks)
	for _, as := range links {
		for _, a := range as {
			next = a.key + 1
			if a.elem != nil {
				o.int(a.key)
				o.put(" ")
				o.ref(a.elem.num)
			}
		}
	}
	o.put("]>>")
	o.end()
	o.object(root, fmt.Appendf(nil, "<</Type/StructTreeRoot/K %d 0 R/ParentTree %d 0 R/ParentTreeNextKey %d>>", d.root.num, index, next))
	return root
}

// crossReferences reads the library's one cross-reference table: the offset of each object by number, and as the last
// where the table begins, which is where the last object ends.
func crossReferences(file []byte) (at []int, err error) {
	bad := errors.New("the library's cross-reference table is not where it should be")
	i := bytes.LastIndex(file, []byte("startxref\n"))
	if i < 0 {
		return nil, bad
	}
	line, _, _ := strings.Cut(string(file[i+len("startxref\n"):]), "\n")
	start, err := strconv.Atoi(line)
	if err != nil || start < 0 || start > i || !bytes.HasPrefix(file[start:], []byte("xref\n0 ")) {
		return nil, bad
	}
	rows := strings.Split(string(file[start:i]), "\n")
	n, err := strconv.Atoi(strings.TrimPrefix(rows[1], "0 "))
	if err != nil || len(rows) < n+2 {
		return nil, bad
	}
	at = make([]int, n)
	for k := range at {
		f := strings.Fields(rows[k+2])
		if len(f) != 3 {
			return nil, bad
		}
		if at[k], err = strconv.Atoi(f[0]); err != nil || at[k] > start {
			return nil, bad
		}
	}
	return append(at, start), nil
}

// objectBody is what stands between "obj" and "endobj". The library writes the pages' root and the resources behind the
// pages, so an object ends where the next in the file begins.
func objectBody(file []byte, at []int, n int) ([]byte, error) {
	end := at[len(at)-1]
	for _, a := range at[1:] {
		if a > at[n] && a < end {
			end = a
		}
	}
	body, ok := bytes.CutPrefix(file[at[n]:end], fmt.Appendf(nil, "%d 0 obj\n", n))
	body, ok2 := bytes.CutSuffix(body, []byte("\nendobj\n"))
	if !ok || !ok2 {
		return nil, fmt.Errorf("object %d is not where the table says", n)
	}
	return body, nil
}
