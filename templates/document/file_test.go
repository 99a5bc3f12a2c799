package document_test

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"weighhouse/templates/document"
	"weighhouse/templates/typeface"
)

func TestSameBytesTwice(t *testing.T) {
	a, _ := write(t, sample(t, document.Options{}))
	b, _ := write(t, sample(t, document.Options{}))
	if !bytes.Equal(a, b) {
		t.Error("the same document gave other bytes the second time")
	}
	local := time.Local
	defer func() { time.Local = local }()
	time.Local = time.FixedZone("far", 13*3600)
	c, _ := write(t, sample(t, document.Options{}))
	if !bytes.Equal(a, c) {
		t.Error("the file depends on the time zone")
	}
}

func TestFileIsSound(t *testing.T) {
	for _, paper := range []string{"a4", "Letter"} {
		pdf, ws := write(t, sample(t, document.Options{Paper: paper}))
		if len(ws) > 0 {
			t.Errorf("warnings: %v", ws)
		}
		f := saved(t, pdf)
		if out := run(t, "qpdf", "--check", f); !strings.Contains(out, "No syntax or stream encoding errors") || strings.Contains(strings.ToLower(out), "warning") {
			t.Errorf("qpdf --check:\n%s", out)
		}
		info := run(t, "pdfinfo", f)
		size := map[string]string{"a4": "(A4)", "Letter": "(letter)"}[paper]
		for _, want := range []string{`Tagged: +yes`, `Title: +A sample \(with brackets\) \\ and Ünïcode`, `Author: +N. N.`, `PDF version: +1.7`, regexp.QuoteMeta(size), `Metadata Stream: +yes`} {
			if !regexp.MustCompile(want).MatchString(info) {
				t.Errorf("pdfinfo does not say %q:\n%s", want, info)
			}
		}
		if out := run(t, "qpdf", "--show-object=trailer", f); !strings.Contains(out, "/ID") {
			t.Errorf("no /ID in the trailer: %s", out)
		}
	}
}

func TestAttachmentsComeOutAsTheyWentIn(t *testing.T) {
	pdf, _ := write(t, sample(t, document.Options{}))
	f := saved(t, pdf)
	if out := run(t, "qpdf", "--list-attachments", "--verbose", f); !strings.Contains(out, "audit.json") || !strings.Contains(out, "text/csv") || !strings.Contains(out, "lab ü.csv") {
		t.Errorf("attachments:\n%s", out)
	}
	if out := run(t, "qpdf", "--show-attachment=books/lab ü.csv", f); out != "a,b\n1,2\n" {
		t.Errorf("the attachment reads %q", out)
	}
}

// Links and bookmarks must lead to the page on which their block stands, with attachments in the file.
func TestBookmarksAndLinksLeadHome(t *testing.T) {
	d := sample(t, document.Options{})
	rec := d.Recording()
	pdf, _ := write(t, d)
	text := string(pdf)
	page := 0
	at := map[string]int{} // bookmark → page, by the recording
	for _, l := range strings.Split(rec, "\n") {
		if n, err := fmt.Sscanf(l, "page %d", &page); n == 1 && err == nil {
			continue
		}
		if m := regexp.MustCompile(`^bookmark \d [\d.]+ "(.*)"$`).FindStringSubmatch(l); m != nil {
			at[m[1]] = page
		}
	}
	if len(at) < 3 {
		t.Fatalf("bookmarks in the recording: %v", at)
	}
	var doc struct{ Outlines []outline }
	if err := json.Unmarshal([]byte(run(t, "qpdf", "--json", "--json-key=outlines", saved(t, pdf))), &doc); err != nil {
		t.Fatal(err)
	}
	last := 0
	for i, p := range pages(rec) {
		if last == 0 && strings.Contains(p, `"Number"`) {
			last = i + 1
		}
	}
	if want := fmt.Sprintf("/Dest [%d 0 R", 2*last+1); last < 1 || !strings.Contains(text, want) {
		t.Errorf("no link leads to page %d, where the table begins", last)
	}
	for name, want := range at {
		if got := home(name, doc.Outlines); got != want {
			t.Errorf("bookmark %q: the file leads to page %d, want %d", name, got, want)
		}
	}
	if !strings.Contains(text, "https://example.org/a\\(b\\)c") {
		t.Error("the web link is not in the file")
	}
}

// moved is Go Regular with one part of its character map moved to U+4E2D, so that it has "glyphs" for ideographs: a
// font file that differs from the embedded ones without a further file in the project.
func moved(t *testing.T) (ttf []byte, has rune) {
	t.Helper()
	b := bytes.Clone(typeface.Regular.TTF())
	u16 := func(at int) int { return int(binary.BigEndian.Uint16(b[at:])) }
	var cmap int
	for i := range u16(4) {
		if e := 12 + 16*i; string(b[e:e+4]) == "cmap" {
			cmap = int(binary.BigEndian.Uint32(b[e+8:]))
		}
	}
	done := false
	for i := range u16(cmap + 2) {
		sub := cmap + int(binary.BigEndian.Uint32(b[cmap+4+8*i+4:]))
		if u16(sub) != 4 {
			continue
		}
		n := u16(sub+6) / 2
		end, start, delta := sub+14, sub+16+2*n, sub+16+4*n
		for k := range n {
			if s := u16(start + 2*k); s > 0x9fff && s < 0xffff {
				if s == 0x4e2d { // the tables of two platforms may be one
					break
				}
				shift := s - 0x4e2d
				binary.BigEndian.PutUint16(b[start+2*k:], uint16(s-shift))
				binary.BigEndian.PutUint16(b[end+2*k:], uint16(u16(end+2*k)-shift))
				if u16(delta+2*n+2*k) == 0 { // no idRangeOffset: the glyph is code + delta
					binary.BigEndian.PutUint16(b[delta+2*k:], uint16(u16(delta+2*k)+shift))
				}
				done = true
				break
			}
		}
	}
	if !done {
		t.Fatal("no part of the character map could be moved")
	}
	return b, 0x4e2d
}

func TestExtraFont(t *testing.T) {
	ttf, r := moved(t)
	s := "before " + string(r) + " after"
	d := begin(t, document.Options{})
	d.Paragraph(document.Plain(s))
	if _, ws := write(t, d); len(ws) != 1 || !strings.Contains(ws[0], "U+4E2D") {
		t.Errorf("without the font: warnings %q", ws)
	}
	d = begin(t, document.Options{Font: ttf})
	d.Paragraph(document.Plain(s + " 漢"))
	pdf, ws := write(t, d)
	if len(ws) != 1 || strings.Contains(ws[0], "U+4E2D") || !strings.Contains(ws[0], "U+6F22") {
		t.Errorf("with the font: warnings %q", ws)
	}
	f := saved(t, pdf)
	run(t, "qpdf", "--check", f)
	if out := run(t, "pdftotext", f, "-"); !strings.Contains(out, s) {
		t.Errorf("the text reads %q", out)
	}
	if out := run(t, "pdffonts", f); !strings.Contains(out, "+Added") {
		t.Errorf("fonts:\n%s", out)
	}
}

// The structure must hold the text in reading order, with its types.
func TestStructure(t *testing.T) {
	pdf, _ := write(t, sample(t, document.Options{}))
	out := run(t, "pdfinfo", "-struct-text", saved(t, pdf))
	at := 0
	for _, want := range []string{"H1", `"A sample"`, "P", "Link", `"the last table`, "H1", `"Lists"`, "L", "LI", "Lbl", "LBody", "H2", "Figure", "Table", "TR", "TH", `"Name"`, "TD"} {
		i := strings.Index(out[at:], want)
		if i < 0 {
			t.Fatalf("the structure has no %s where it should:\n%.3000s", want, out)
		}
		at += i
	}
}
