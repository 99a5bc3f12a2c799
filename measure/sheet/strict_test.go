package sheet

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// part changes one part of a workbook.
func part(t testing.TB, book, name string, change func(s string) string) string {
	t.Helper()
	z, err := zip.NewReader(strings.NewReader(book), int64(len(book)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	done := false
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if f.Name == name {
			changed := change(string(data))
			done = changed != string(data)
			data = []byte(changed)
		}
		o, err := w.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		o.Write(data)
	}
	if !done {
		t.Fatalf("the change of %s changed nothing", name)
	}
	w.Close()
	return out.String()
}

func rows(n int) [][]any {
	out := [][]any{{"attribute", "value"}}
	for i := range n {
		out = append(out, []any{"noise", i})
	}
	return out
}

const sheet1 = "xl/worksheets/sheet1.xml"

// TestDamagedSheets: each of these is a problem with its sheet, and with its cell where there is one. The first is also
// given to excelize alone, which shows why its rows are not taken on trust.
func TestDamagedSheets(t *testing.T) {
	sound := xlsx(t, map[string][][]any{"Sheet1": rows(100)}, func(x *excelize.File) { x.SetSheetName("Sheet1", "claims") })
	for _, c := range []struct {
		name, want string
		change     func(s string) string
	}{
		{"cut in half", "it ends inside", func(s string) string { return s[:len(s)/2] }},
		{"mismatched tag", "</row> stands where </c> is due", func(s string) string {
			return strings.Replace(s, `<v>48</v></c>`, `<v>48</v>`, 1)
		}},
		{"strange element", "found <rwo> among the rows", func(s string) string { return strings.Replace(s, `<row r="50"`, `<rwo r="50"`, 1) }},
		{"row twice", `found row "49" after row 49`, func(s string) string { return strings.Replace(s, `<row r="50"`, `<row r="49"`, 1) }},
		{"cell in the wrong row", `found cell "B77" in row 50`, func(s string) string { return strings.Replace(s, `r="B50"`, `r="B77"`, 1) }},
		{"cells out of order", `found cell "A50" in row 50 after column`, func(s string) string { return strings.Replace(s, `r="B50"`, `r="A50"`, 1) }},
		{"text after the end", "text stands outside", func(s string) string { return s + "x" }},
		{"two roots", "two root elements", func(s string) string { return s + "<a/>" }},
		{"unknown reference", "unknown reference", func(s string) string { return strings.Replace(s, "<v>48</v>", "<v>&x;</v>", 1) }},
		{"document type", "document type", func(s string) string {
			return strings.Replace(s, "<worksheet", `<!DOCTYPE a [<!ENTITY x "y">]><worksheet`, 1)
		}},
		{"attribute twice", "stands twice", func(s string) string { return strings.Replace(s, `<row r="50"`, `<row r="50" r="50"`, 1) }},
		{"text that is not there", "refers to a text", func(s string) string {
			return strings.Replace(s, `r="A50" t="s"><v>2</v>`, `r="A50" t="s"><v>999</v>`, 1)
		}},
		{"no rows", "no rows part", func(s string) string {
			return s[:strings.Index(s, "<sheetData>")] + s[strings.Index(s, "</sheetData>")+len("</sheetData>"):]
		}},
		{"nested deep", "nested elements", func(s string) string {
			return strings.Replace(s, "</worksheet>", strings.Repeat("<a>", 100)+strings.Repeat("</a>", 100)+"</worksheet>", 1)
		}},
		{"formula without a value", `cell B50: found a formula without a value`, func(s string) string {
			return strings.Replace(s, "<v>48</v>", "<f>1+1</f>", 1)
		}},
		{"error", `cell B50: found the error "#DIV/0!"`, func(s string) string {
			return strings.Replace(s, `<c r="B50"><v>48</v>`, `<c r="B50" t="e"><f>1/0</f><v>#DIV/0!</v>`, 1)
		}},
		{"not a number", `cell B50: found the stored value "NaN"`, func(s string) string { return strings.Replace(s, "<v>48</v>", "<v>NaN</v>", 1) }},
		{"value under no header", `cell C50: a value stands under no header`, func(s string) string {
			return strings.Replace(s, "<v>48</v></c>", `<v>48</v></c><c r="C50"><v>1</v></c>`, 1)
		}},
		{"control character", "control character 0x01", func(s string) string { return strings.Replace(s, "<v>48</v>", "<v>4\x018</v>", 1) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			book := part(t, sound, sheet1, c.change)
			_, err := open(t, map[string]string{"spec.xlsx": book}).Book("spec")
			if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "spec.xlsx: sheet claims") {
				t.Errorf("got %v\nwant %s", err, c.want)
			}
		})
	}
	half := part(t, sound, sheet1, func(s string) string { return s[:len(s)/2] })
	x, err := excelize.OpenReader(strings.NewReader(half))
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	lost, err := x.GetRows("claims")
	t.Logf("excelize alone: %d of 101 rows, error %v", len(lost), err)
	b, err := open(t, map[string]string{"spec.xlsx": sound}).Book("spec")
	if err != nil || len(b.Table("claims").Rows) != 100 {
		t.Fatalf("the sound book: %v", err)
	}
}

func TestWorkbooksThatAreNone(t *testing.T) {
	sound := xlsx(t, map[string][][]any{"Sheet1": rows(3)}, func(x *excelize.File) { x.SetSheetName("Sheet1", "claims") })
	for _, c := range []struct{ name, data, want string }{
		{"empty", "", "the file is empty"},
		{"text", "attribute,value\n", "no .xlsx workbook"},
		{"old", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and more", "protected by a password"},
		{"cut", sound[:len(sound)/2], "damaged or cut short"},
		{"another zip", zipOf(t, "a.txt", "x"), "no .xlsx workbook"},
		{"bomb", bomb(t), "bytes of the workbook unpacked"},
		{"one sheet twice", part(t, sound, "xl/workbook.xml", func(s string) string {
			return strings.Replace(s, "</sheets>", `<sheet name="reply" sheetId="9" r:id="rId1"/></sheets>`, 1)
		}), "are one part"},
		{"no part", part(t, sound, "xl/workbook.xml", func(s string) string {
			return strings.Replace(s, "</sheets>", `<sheet name="reply" sheetId="9" r:id="rId99"/></sheets>`, 1)
		}), "has no part"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, err := open(t, map[string]string{"lab.xlsx": c.data}).Book("lab")
			if err == nil || !strings.Contains(err.Error(), c.want) || b != nil {
				t.Errorf("got %v %v\nwant %s", b, err, c.want)
			}
		})
	}
	two := xlsx(t, map[string][][]any{"Claims": rows(1), "claims ": rows(1)}, nil)
	if _, err := open(t, map[string]string{"spec.xlsx": two}).Book("spec"); err == nil || !strings.Contains(err.Error(), "one sheet a table") {
		t.Errorf("two sheets of one name: %v", err)
	}
	if _, err := open(t, map[string]string{"spec/claims.csv": "a\n", "spec/CLAIMS.CSV": "a\n"}).Book("spec"); err == nil || !strings.Contains(err.Error(), "one file a table") {
		t.Errorf("two files of one name: %v", err)
	}
	if _, err := open(t, map[string]string{"spec/claims.csv": "a\n", "spec.xlsx": sound}).Book("spec"); err == nil || !strings.Contains(err.Error(), "two forms") {
		t.Errorf("both forms: %v", err)
	}
	if b, err := open(t, nil).Book("spec"); b != nil || err != nil {
		t.Errorf("no book: %v %v", b, err)
	}
}

func zipOf(t testing.TB, name, data string) string {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	o, err := w.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	io.WriteString(o, data)
	w.Close()
	return out.String()
}

// bomb is a workbook whose part says that it unpacks to more than the limit.
func bomb(t testing.TB) string {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	if _, err := w.CreateRaw(&zip.FileHeader{Name: "xl/workbook.xml", Method: zip.Deflate, UncompressedSize64: uint64(MaxUnzipped) + 1}); err != nil {
		t.Fatal(err)
	}
	w.Close()
	return out.String()
}

func TestHiddenMergedAndUnknownAreNoted(t *testing.T) {
	book := xlsx(t, map[string][][]any{"claims": rows(5), "scratch": rows(1), "Reply": {{"sent", "text"}, {"2026-05-04", "x"}}}, func(x *excelize.File) {
		x.SetRowVisible("claims", 4, false)
		x.SetColVisible("claims", "B", false)
		x.MergeCell("claims", "A2", "A3")
		if i, err := x.GetSheetIndex("claims"); err == nil {
			x.SetActiveSheet(i)
		}
		x.SetSheetVisible("Reply", false)
	})
	b, err := open(t, map[string]string{"spec.xlsx": book}).Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, n := range b.Notes() {
		all = append(all, n.String())
	}
	text := strings.Join(all, "\n")
	for _, want := range []string{"sheet claims: row 4 is hidden", "sheet claims: column B is hidden", "the cells A2:A3 are merged; the value counts for A2 alone",
		"sheet Reply: the sheet is hidden; it was read", `sheet scratch: "scratch" is no table of this book`} {
		if !strings.Contains(text, want) {
			t.Errorf("missing: %s\nin\n%s", want, text)
		}
	}
}

func TestPathsStayInTheCase(t *testing.T) {
	f := open(t, map[string]string{"a/log.csv": "x", "b.txt": "y"})
	for _, name := range []string{"../secret", "/etc/hosts", `C:\x`, `..\secret`, "a/../../x", "", ".", "a", "none.txt", "a\x00b", "\\\\server\\x"} {
		if _, err := f.ReadFile(name); err == nil {
			t.Errorf("%q was read", name)
		}
	}
	if _, err := f.ReadFile(`a\log.csv`); err != nil {
		t.Errorf("a Windows path: %v", err)
	}
	if err := f.Hash("b.txt"); err != nil {
		t.Error(err)
	}
	if got := f.Inputs(); len(got) != 2 || got[0].Path != "a/log.csv" || got[1].SHA256 != "a1fce4363854ff888cff4b8e7875d600c2682390412a8cf79b37d0b11148b0fa" {
		t.Errorf("inputs %+v", got) // the hash is that of the one letter y by sha256sum
	}
	if runtime.GOOS == "windows" {
		t.Skip("links need a right of their own on Windows")
	}
	dir := f.root.Name()
	outside := filepath.Join(t.TempDir(), "secret.csv")
	if err := os.WriteFile(outside, []byte("z"), 0o644); err != nil {
		t.Fatal(err)
	}
	os.Symlink(outside, filepath.Join(dir, "link.csv"))
	os.Symlink("/dev/zero", filepath.Join(dir, "zero.csv"))
	os.Symlink("b.txt", filepath.Join(dir, "inside.csv"))
	for name, want := range map[string]string{"link.csv": "leads out of the case folder", "zero.csv": "leads out of the case folder"} {
		if _, err := f.ReadFile(name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", name, err)
		}
		if f.Exists(name) {
			t.Errorf("%s is said to exist", name)
		}
	}
	if _, err := f.ReadFile("inside.csv"); err != nil {
		t.Errorf("a link that stays inside: %v", err)
	}
}

func TestChangedWhileRead(t *testing.T) {
	f := open(t, map[string]string{"a.csv": "time [s],v\n0,1\n"})
	in, err := f.open("a.csv", MaxLogFile)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	io.Copy(io.Discard, in)
	if err := os.WriteFile(filepath.Join(f.root.Name(), "a.csv"), []byte("time [s],v\n0,1\n1,2\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := in.done(); err == nil || !strings.Contains(err.Error(), "changed while it was read") {
		t.Errorf("got %v", err)
	}
	if len(f.Inputs()) != 0 {
		t.Error("it was counted all the same")
	}
}

func TestCSVTables(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"an old code page", "attribute,value\nnoise,5\ncaf\x82,1\n", "spec/claims.csv:3: found the byte 0x82, which is no UTF-8"},
		{"NUL", "attribute\nno\x00ise\n", "spec/claims.csv:2: found a NUL byte"},
		{"open quote", "attribute\n\"noise\n", "spec/claims.csv:2: found a double quote that opens and is not closed"},
		{"bare quote", "attribute\n12\" filter\n", "spec/claims.csv:2: found a double quote inside a field"},
		{"lone CR among LF", "attribute\na\rb\nc\n", "spec/claims.csv:2: found a carriage return"},
		{"no header for a value", "attribute,\nnoise,5\n", "spec/claims.csv:2: column 2: a value stands under no header"},
		{"long line", "attribute\n" + strings.Repeat("x", MaxRowBytes+10), "bytes of one line"},
		{"many columns", strings.Repeat("a,", MaxColumns+1) + "\n", "columns of the table"},
		{"many rows", "attribute\n" + strings.Repeat("x\n", MaxTableRows+1), "rows of the table"},
	} {
		_, err := open(t, map[string]string{"spec/claims.csv": c.text}).Book("spec")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %.300v\nwant %s", c.name, err, c.want)
		}
	}
	wide := func(s string, big bool) string {
		out := "\xff\xfe"
		if big {
			out = "\xfe\xff"
		}
		for _, c := range []byte(s) {
			if big {
				out += "\x00" + string(rune(c))
			} else {
				out += string(rune(c)) + "\x00"
			}
		}
		return out
	}
	plain := "attribute,value,wording\nnoise,5,\"a\nb\"\n"
	for name, text := range map[string]string{"BOM": "\xef\xbb\xbf" + plain, "UTF-16LE": wide(plain, false), "UTF-16BE": wide(plain, true), "CRLF": strings.ReplaceAll(plain, "\n", "\r\n"),
		"tab": strings.ReplaceAll(plain, ",", "\t"), "semicolon": strings.ReplaceAll(plain, ",", ";"), "trailing separators": "attribute,value,wording,\nnoise,5,\"a\nb\",\n",
		"sep line": "sep=;\n" + strings.ReplaceAll(plain, ",", ";"), "old Mac": strings.ReplaceAll(plain, "\n", "\r"), "blank lines": "\n\n" + plain + "\n\n"} {
		b, err := open(t, map[string]string{"spec/claims.csv": text}).Book("spec")
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		got, _, ps := Decode[claimRow](b.Table("claims"))
		if len(ps) > 0 || len(got) != 1 || got[0].Value.Low != 5 || got[0].Wording.Value != "a\nb" {
			t.Errorf("%s: %+v %v", name, got, ps)
		}
	}
}
