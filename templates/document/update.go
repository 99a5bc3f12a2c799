package document

import (
	"bytes"
	"compress/zlib"
	"crypto/md5"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"time"
	"unicode/utf16"
)

// Attachment is a file that a document carries.
type Attachment struct {
	Name         string // as a reader sees it
	MIME         string // "application/json"; "application/octet-stream" where empty
	Relationship string // Source, Data, Alternative, Supplement or Unspecified (ISO 32000-2, 7.11.3, /AFRelationship)
	Description  string
	Data         []byte
}

// The library writes a sound file, but no structure, no language and no identifier, and its attachments shift object
// numbers under links and bookmarks. So these are appended as an incremental update (ISO 32000-1, 7.5.6): new objects,
// new versions of the catalog and of the pages, a cross-reference section for them, and a trailer that points back to
// the first. Object numbers of the library do not change: page n is object 2n+1, the catalog the last, the information
// dictionary the one before it.

// revision collects the objects of the update.
type revision struct {
	buf     bytes.Buffer
	base    int         // bytes before the update
	offsets map[int]int // of the objects of this update
	next    int         // the next free object number
}

func (r *revision) reserve() int {
	r.next++
	return r.next - 1
}

// object writes an object under a number.
func (r *revision) object(n int, body string) {
	r.offsets[n] = r.base + r.buf.Len()
	fmt.Fprintf(&r.buf, "%d 0 obj\n%s\nendobj\n", n, body)
}

// stream writes a stream object; dict is its dictionary without the brackets and the length.
func (r *revision) stream(n int, dict string, data []byte) {
	r.offsets[n] = r.base + r.buf.Len()
	fmt.Fprintf(&r.buf, "%d 0 obj\n<<%s/Length %d>>\nstream\n", n, dict, len(data))
	r.buf.Write(data)
	r.buf.WriteString("\nendstream\nendobj\n")
}

var outlines = regexp.MustCompile(`/Outlines (\d+) 0 R`)

// update appends structure, metadata, language, identifier and attachments to a PDF that the library made. marks holds,
// for each page, the element of each piece of marked content.
func (d *Doc) update(file []byte, marks [][]*element) ([]byte, error) {
	at, start, err := crossReferences(file)
	if err != nil {
		return nil, err
	}
	catalog := len(at) - 1
	r := &revision{base: len(file), offsets: map[int]int{}, next: len(at)}
	pageObject := func(n int) int { return 2*n + 1 }
	tree := d.structure(r, marks, pageObject)

	for n := 1; n <= len(d.pages); n++ {
		body, err := objectBody(file, at, pageObject(n))
		if err != nil {
			return nil, err
		}
		i := strings.LastIndex(body, "/Contents ")
		if i < 0 || !strings.HasPrefix(body, "<</Type /Page") {
			return nil, fmt.Errorf("object %d is no page", pageObject(n))
		}
		r.object(pageObject(n), fmt.Sprintf("%s/StructParents %d/Tabs/S%s", body[:i], n-1, body[i:]))
	}

	old, err := objectBody(file, at, catalog)
	if err != nil {
		return nil, err
	}
	if !strings.Contains(old, "/Type /Catalog") {
		return nil, fmt.Errorf("object %d is no catalog", catalog)
	}
	var c strings.Builder
	fmt.Fprintf(&c, "<</Type/Catalog/Version/1.7/Pages 1 0 R/Lang%s/MarkInfo<</Marked true>>/StructTreeRoot %d 0 R/ViewerPreferences<</DisplayDocTitle true>>", textString(d.opt.Lang), tree)
	if m := outlines.FindStringSubmatch(old); m != nil {
		c.WriteString("/Outlines " + m[1] + " 0 R/PageMode/UseOutlines")
	}
	meta := r.reserve()
	r.stream(meta, "/Type/Metadata/Subtype/XML", d.xmp())
	fmt.Fprintf(&c, "/Metadata %d 0 R", meta)
	c.WriteString(d.embed(r))
	c.WriteString(">>")
	r.object(catalog, c.String())
	return r.close(file, catalog, start), nil
}

// structure writes the structure tree and its index of marked content; it returns the number of its root.
func (d *Doc) structure(r *revision, marks [][]*element, page func(int) int) int {
	root, index := r.reserve(), r.reserve()
	d.root.walk(func(e *element) { e.num = r.reserve() })
	d.root.walk(func(e *element) {
		parent := root
		if e.parent != nil {
			parent = e.parent.num
		}
		r.object(e.num, e.object(parent, page))
	})
	var b strings.Builder
	b.WriteString("<</Nums[")
	for i, es := range marks {
		fmt.Fprintf(&b, "%d[", i)
		for j, e := range es {
			if j > 0 {
				b.WriteByte(' ')
			}
			fmt.Fprintf(&b, "%d 0 R", e.num)
		}
		b.WriteString("]\n")
	}
	b.WriteString("]>>")
	r.object(index, b.String())
	r.object(root, fmt.Sprintf("<</Type/StructTreeRoot/K %d 0 R/ParentTree %d 0 R/ParentTreeNextKey %d>>", d.root.num, index, len(marks)))
	return root
}

// embed writes the attachments and returns the catalog's entries for them.
func (d *Doc) embed(r *revision) string {
	if len(d.attachments) == 0 {
		return ""
	}
	as := append([]Attachment(nil), d.attachments...)
	sort.Slice(as, func(i, j int) bool { return as[i].Name < as[j].Name }) // a name tree is in order
	var names, files strings.Builder
	for _, a := range as {
		if a.MIME == "" {
			a.MIME = "application/octet-stream"
		}
		sum := md5.Sum(a.Data) // the format's own check sum (ISO 32000-1, table 46), no protection
		stream, spec := r.reserve(), r.reserve()
		r.stream(stream, fmt.Sprintf("/Type/EmbeddedFile/Subtype%s/Params<</Size %d/ModDate(%s)/CheckSum<%x>>>/Filter/FlateDecode",
			name(a.MIME), len(a.Data), pdfDate(d.opt.Created), sum), deflate(a.Data))
		n := textString(a.Name)
		r.object(spec, fmt.Sprintf("<</Type/Filespec/F%s/UF%s/Desc%s/AFRelationship/%s/EF<</F %d 0 R/UF %d 0 R>>>>",
			textString(strings.Map(ascii, a.Name)), n, textString(a.Description), a.Relationship, stream, stream))
		fmt.Fprintf(&names, "%s %d 0 R ", n, spec)
		fmt.Fprintf(&files, "%d 0 R ", spec)
	}
	return "/Names<</EmbeddedFiles<</Names[" + strings.TrimSpace(names.String()) + "]>>>>/AF[" + strings.TrimSpace(files.String()) + "]"
}

// ascii keeps a file name readable to old readers.
func ascii(r rune) rune {
	if r < 0x20 || r > 0x7e {
		return '_'
	}
	return r
}

func deflate(data []byte) []byte {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, _ = w.Write(data) // a bytes.Buffer does not fail
	_ = w.Close()
	return b.Bytes()
}

// close writes the update's cross-references and trailer behind the file.
func (r *revision) close(file []byte, catalog, previous int) []byte {
	sum := sha256.New()
	sum.Write(file)
	sum.Write(r.buf.Bytes())
	id := hex.EncodeToString(sum.Sum(nil)[:16]) // of the content, so that the same content has the same identifier
	start := r.base + r.buf.Len()
	var ns []int
	for n := range r.offsets {
		ns = append(ns, n)
	}
	sort.Ints(ns)
	r.buf.WriteString("xref\n")
	for i := 0; i < len(ns); {
		j := i + 1
		for j < len(ns) && ns[j] == ns[j-1]+1 {
			j++
		}
		fmt.Fprintf(&r.buf, "%d %d\n", ns[i], j-i)
		for ; i < j; i++ {
			fmt.Fprintf(&r.buf, "%010d 00000 n \n", r.offsets[ns[i]])
		}
	}
	fmt.Fprintf(&r.buf, "trailer\n<</Size %d/Root %d 0 R/Info %d 0 R/ID[<%s><%s>]/Prev %d>>\nstartxref\n%d\n%%%%EOF\n",
		r.next, catalog, catalog-1, id, id, previous, start)
	return append(bytes.Clone(file), r.buf.Bytes()...)
}

// crossReferences reads the library's one cross-reference table: the offset of each object by number, and where the
// table begins.
func crossReferences(file []byte) (at []int, start int, err error) {
	bad := errors.New("the library's cross-reference table is not where it should be")
	i := bytes.LastIndex(file, []byte("startxref\n"))
	if i < 0 {
		return nil, 0, bad
	}
	line, _, _ := strings.Cut(string(file[i+len("startxref\n"):]), "\n")
	start, err = strconv.Atoi(line)
	if err != nil || start < 0 || start > i || !bytes.HasPrefix(file[start:], []byte("xref\n0 ")) {
		return nil, 0, bad
	}
	rows := strings.Split(string(file[start:i]), "\n")
	n, err := strconv.Atoi(strings.TrimPrefix(rows[1], "0 "))
	if err != nil || len(rows) < n+2 {
		return nil, 0, bad
	}
	at = make([]int, n)
	for k := range at {
		f := strings.Fields(rows[k+2])
		if len(f) != 3 {
			return nil, 0, bad
		}
		if at[k], err = strconv.Atoi(f[0]); err != nil || at[k] > start {
			return nil, 0, bad
		}
	}
	return at, start, nil
}

// objectBody is what stands between "obj" and "endobj".
func objectBody(file []byte, at []int, n int) (string, error) {
	if n <= 0 || n >= len(at) {
		return "", fmt.Errorf("there is no object %d", n)
	}
	head := fmt.Sprintf("%d 0 obj\n", n)
	rest := file[at[n]:]
	end := bytes.Index(rest, []byte("\nendobj"))
	if !bytes.HasPrefix(rest, []byte(head)) || end < len(head) {
		return "", fmt.Errorf("object %d is not where the table says", n)
	}
	return string(rest[len(head):end]), nil
}

// textString writes a PDF text string: in brackets where it is plain ASCII, else as UTF-16 in hexadecimal.
func textString(s string) string {
	s = strings.ToValidUTF8(s, string(replacement))
	if plain(s) {
		return "(" + strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`, "\n", `\n`).Replace(s) + ")"
	}
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	b.WriteString(">")
	return b.String()
}

// name writes a PDF name, with what a name cannot hold as hexadecimal.
func name(s string) string {
	var b strings.Builder
	b.WriteByte('/')
	for _, c := range []byte(s) {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '.' || c == '+' {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "#%02X", c)
		}
	}
	return b.String()
}

func pdfDate(t time.Time) string { return t.UTC().Format("D:20060102150405Z") }
