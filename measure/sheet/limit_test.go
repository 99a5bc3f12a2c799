package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// limitTests reach each limit of limit.go, one by one: a book, a log or a file that goes beyond it gives the error that is
// wanted. What testdata/broken reaches as well stands here too, so that no limit depends on a case there.
var limitTests = map[string]struct {
	make func(t *testing.T) *Folder
	read func(f *Folder) error
	want string
}{
	"MaxTableFile":    {sparse("spec/claims.csv", MaxTableFile), book("spec"), "spec/claims.csv: bytes of the file: 67 108 865 found, at most 67 108 864 accepted"},
	"MaxBookFile":     {sparse("spec.xlsx", MaxBookFile), book("spec"), "spec.xlsx: bytes of the file: 268 435 457 found, at most 268 435 456 accepted"},
	"MaxLogFile":      {sparse("a.csv", MaxLogFile), log("a.csv"), "a.csv: bytes of the file: 1 073 741 825 found, at most 1 073 741 824 accepted"},
	"MaxEvidenceFile": {sparse("page.png", MaxEvidenceFile), func(f *Folder) error { return f.Hash("page.png") }, "page.png: bytes of the file: 4 294 967 297 found, at most 4 294 967 296 accepted"},
	"MaxUnzipped":     {file("spec.xlsx", bomb), book("spec"), "bytes of the workbook unpacked: 536 870 913 found, at most 536 870 912 accepted"},
	"MaxStrings": {file("spec.xlsx", altered(func(h *zip.FileHeader) {
		if h.Name == "xl/sharedStrings.xml" {
			h.UncompressedSize64 = uint64(MaxStrings) + 1
		}
	})), book("spec"), "bytes of shared strings: 268 435 457 found, at most 268 435 456 accepted"},
	"MaxParts": {file("spec.xlsx", func(t testing.TB) string {
		var b bytes.Buffer
		w := zip.NewWriter(&b)
		for i := range MaxParts + 1 {
			if _, err := w.Create(fmt.Sprint("xl/", i)); err != nil {
				t.Fatal(err)
			}
		}
		w.Close()
		return b.String()
	}), book("spec"), "parts of the workbook: 10 001 found, at most 10 000 accepted"},
	"MaxSheets": {func(t *testing.T) *Folder {
		files := map[string]string{}
		for i := range MaxSheets + 1 {
			files[fmt.Sprintf("spec/t%d.csv", i)] = "a\n"
		}
		return open(t, files)
	}, book("spec"), "CSV files of the book: 501 found, at most 500 accepted"},
	"MaxTableRows":  {text("attribute\n" + strings.Repeat("x\n", MaxTableRows)), book("spec"), "rows of the table: 100 001 found, at most 100 000 accepted"},
	"MaxTableCells": {text(strings.Repeat("a"+strings.Repeat(",b", 999)+"\n", MaxTableCells/1000+1)), book("spec"), "cells of the table: 501 000 found, at most 500 000 accepted"},
	"MaxClaims":     {text("attribute\n" + strings.Repeat("noise\n", MaxClaims+1)), book("spec"), "rows of the table: 1 001 found, at most 1 000 accepted"},
	"MaxRuns": {func(t *testing.T) *Folder {
		return open(t, map[string]string{"lab/decay.csv": "run\n" + strings.Repeat("a\n", MaxRuns+1)})
	}, book("lab"), "rows of the table: 501 found, at most 500 accepted"},
	"MaxKnownRows": {func(t *testing.T) *Folder {
		return open(t, map[string]string{"lab/sound.csv": "setting\n" + strings.Repeat("a\n", MaxKnownRows+1)})
	}, book("lab"), "rows of the table: 10 001 found, at most 10 000 accepted"},
	"MaxColumns":    {text(strings.Repeat(",", MaxColumns) + "\n"), book("spec"), "columns of the table: 16 385 found, at most 16 384 accepted"},
	"MaxSheetRows":  {file("spec.xlsx", sheetXML(`<row r="1048577"><c><v>1</v></c></row>`)), book("spec"), "rows of the sheet: 1 048 577 found, at most 1 048 576 accepted"},
	"MaxRowBytes":   {text("attribute\n" + strings.Repeat("x", MaxRowBytes+1)), book("spec"), "bytes of one line: 1 048 577 found, at most 1 048 576 accepted"},
	"MaxSheetRow":   {file("spec.xlsx", sheetXML(`<row r="1">`+strings.Repeat(`<c t="inlineStr"><is><t>`+strings.Repeat("x", 1000)+`</t></is></c>`, MaxSheetRow/1000+1)+`</row>`)), book("spec"), "bytes of one row: 4 195 000 found, at most 4 194 304 accepted"},
	"MaxDepth":      {file("spec.xlsx", sheetXML("<row><c>"+strings.Repeat("<is>", MaxDepth))), book("spec"), "nested elements: 65 found, at most 64 accepted"},
	"MaxAttributes": {file("spec.xlsx", sheetXML("<row "+attributes(MaxAttributes+1)+"/>")), book("spec"), "attributes of one element: 257 found, at most 256 accepted"},
	"MaxConfirmed": {file("spec.xlsx", altered(func(h *zip.FileHeader) {
		if h.Name == "xl/other.bin" {
			h.CompressedSize64 = uint64(MaxConfirmed) + 1
		}
	})), func(f *Folder) error {
		b, err := f.Book("spec")
		if err != nil {
			return fmt.Errorf("refused: %w", err)
		}
		var all []string
		for _, n := range b.Notes() {
			all = append(all, n.String())
		}
		return fmt.Errorf("%s", strings.Join(all, "\n"))
	}, "the second reader did not confirm the tables: bytes of the workbook, packed: 67 1"},
	"MaxPreamble": {func(t *testing.T) *Folder {
		return open(t, map[string]string{"a.csv": strings.Repeat("device;3\n", MaxPreamble+1) + "time [s];v\n0;1\n"})
	}, log("a.csv"), "a header is looked for in the first 1 000 lines (a limit of this program)"},
	"MaxReadings": {func(t *testing.T) *Folder {
		return open(t, map[string]string{"a.csv": "time [s],v\n0,1\n60,1\n"})
	}, func(f *Folder) error { // all but the last of 40 million readings are taken already
		task := &logTask{name: "a.csv", file: "a.csv", place: Place{Book: "a.csv"}, asks: []*ask{{time: "time", value: "v", want: newWish("v", true)}}}
		f.run(task, &counter{n: 1})
		return task.ps.Err()
	}, "readings of all logs together: 40 000 001 found, at most 40 000 000 accepted"},
}

// TestLimits reaches every limit, and finds every constant of limit.go among the tests.
func TestLimits(t *testing.T) {
	for name, c := range limitTests {
		t.Run(name, func(t *testing.T) {
			err := c.read(c.make(t))
			if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "a limit of this program") {
				t.Errorf("got %.400v\nwant %s", err, c.want)
			}
		})
	}
	source, err := os.ReadFile("limit.go")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, line := range strings.Split(string(source), "\n") {
		if f := strings.Fields(line); len(f) > 1 && strings.HasPrefix(f[0], "Max") {
			if n++; limitTests[f[0]].want == "" {
				t.Errorf("no test reaches %s", f[0])
			}
		}
	}
	if n != len(limitTests) {
		t.Errorf("%d constants, %d tests", n, len(limitTests))
	}
}

func sparse(name string, limit int64) func(t *testing.T) *Folder {
	return func(t *testing.T) *Folder {
		f := open(t, map[string]string{name: ""})
		if err := os.Truncate(filepath.Join(f.root.Name(), filepath.FromSlash(name)), limit+1); err != nil {
			t.Skipf("a file of %d bytes, all of it a hole, cannot be made here: %v", limit+1, err)
		}
		return f
	}
}

func file(name string, content func(t testing.TB) string) func(t *testing.T) *Folder {
	return func(t *testing.T) *Folder { return open(t, map[string]string{name: content(t)}) }
}

func text(table string) func(t *testing.T) *Folder {
	return func(t *testing.T) *Folder { return open(t, map[string]string{"spec/claims.csv": table}) }
}

func book(name string) func(f *Folder) error {
	return func(f *Folder) error {
		_, err := f.Book(name)
		return err
	}
}

func log(name string) func(f *Folder) error {
	return func(f *Folder) error {
		_, ps := f.Logs(nil, []LogRequest{{Path: name, Time: "time", Value: "v"}})
		return ps.Err()
	}
}

func attributes(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `a%d="1" `, i)
	}
	return b.String()
}

// altered is a small workbook whose directory has been changed: sizes that it says and that are not so. It holds a part
// xl/other.bin, which is of no use.
func altered(change func(h *zip.FileHeader)) func(t testing.TB) string {
	return func(t testing.TB) string {
		return rezip(t, func(h *zip.FileHeader, data []byte) []byte {
			change(h)
			return data
		})
	}
}

// sheetXML is a small workbook whose table claims has these rows.
func sheetXML(rows string) func(t testing.TB) string {
	return func(t testing.TB) string {
		return rezip(t, func(h *zip.FileHeader, data []byte) []byte {
			if h.Name != "xl/worksheets/sheet1.xml" && !bytes.Contains(data, []byte("<sheetData>")) {
				return data
			}
			head, _, _ := bytes.Cut(data, []byte("<sheetData>"))
			data = append(append(bytes.Clone(head), "<sheetData>"+rows...), "</sheetData></worksheet>"...)
			h.UncompressedSize64, h.CompressedSize64, h.Method, h.CRC32 = uint64(len(data)), uint64(len(data)), zip.Store, crc32.ChecksumIEEE(data)
			return data
		})
	}
}

// rezip writes a workbook with one table, part by part: change may alter its header and gives its bytes, stored.
func rezip(t testing.TB, change func(h *zip.FileHeader, data []byte) []byte) string {
	t.Helper()
	from := xlsx(t, map[string][][]any{"claims": {{"attribute"}, {"noise"}}}, func(x *excelize.File) { x.Pkg.Store("xl/other.bin", []byte("nothing")) })
	z, err := zip.NewReader(strings.NewReader(from), int64(len(from)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		h := &zip.FileHeader{Name: f.Name, Method: zip.Store, CRC32: f.CRC32, UncompressedSize64: uint64(len(data)), CompressedSize64: uint64(len(data))}
		data = change(h, data)
		o, err := w.CreateRaw(h)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := o.Write(data); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.String()
}
