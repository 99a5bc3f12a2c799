package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"
)

// confirm opens the tables of the workbook with excelize as well and compares cell by cell. What is reported comes from
// our own strict reader, for excelize loses rows of damaged sheets in silence; where the two see different cells, the
// book is not understood well enough to accuse anyone by it, and each such cell is a problem.
//
// Sheets that are no tables (logs) are left out of what excelize gets, so that it neither unpacks nor keeps them.
func (w *workbook) confirm(tables []sheetEntry, b *Book) (ps Problems) {
	at := Place{Book: w.path}
	defer func() {
		if r := recover(); r != nil {
			ps.Add(at, "", "the workbook cannot be read: %v", r)
		}
	}()
	data, size, ok, err := w.reduced(tables)
	if err != nil {
		ps.Add(at, "", "the workbook is damaged: %v", err)
		return ps
	}
	if !ok {
		b.notes = append(b.notes, Note{Place: at, Text: "the second reader did not confirm the tables: " + tooLarge("bytes of the workbook, packed", size, MaxConfirmed)})
		return nil
	}
	x, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue:      true,
		UnzipSizeLimit:    MaxUnzipped,
		UnzipXMLSizeLimit: MaxUnzipped, // nothing goes to temporary files
	})
	if err != nil {
		ps.Add(at, "", "the workbook is damaged: %v", err)
		return ps
	}
	defer x.Close()
	for _, s := range tables {
		rows, err := x.GetRows(s.name)
		if err != nil {
			ps.Add(Place{Book: w.path, Sheet: s.name}, "", "the sheet is damaged: %v", err)
			continue
		}
		ps = append(ps, compare(b.Table(s.name), rows)...)
	}
	return ps
}

// compare sets the second reader's rows against a table: every cell of the table must be filled there, and no more.
func compare(t *Table, rows [][]string) (ps Problems) {
	filled := map[[2]int]bool{}
	for _, key := range t.passed {
		filled[key] = true
	}
	for _, c := range t.Columns {
		filled[[2]int{c.Place.Row, c.Place.Col}] = true
	}
	for _, r := range t.Rows {
		for _, c := range r.Cells {
			if !c.Blank() {
				filled[[2]int{c.Place.Row, c.Place.Col}] = true
			}
		}
	}
	const text = "two readers of this workbook disagree on whether the cell is blank"
	for i, row := range rows {
		for j, s := range row {
			key := [2]int{i + 1, j + 1}
			if blank := clean(s) == ""; blank == filled[key] {
				p := t.Place
				p.Row, p.Col = key[0], key[1]
				ps.Add(p, "open the book in a spreadsheet and save it again", text)
			}
			delete(filled, key)
		}
	}
	for key := range filled {
		p := t.Place
		p.Row, p.Col = key[0], key[1]
		ps.Add(p, "open the book in a spreadsheet and save it again", text)
	}
	return ps
}

// ornament reports whether a part says nothing of what stands in cells: pictures, charts, colours, and the number formats,
// since values are compared as they are stored.
func ornament(part string) bool {
	for _, p := range []string{"xl/media/", "xl/drawings/", "xl/charts/", "xl/theme/", "xl/printerSettings/", "docProps/"} {
		if strings.HasPrefix(part, p) {
			return true
		}
	}
	return part == "xl/styles.xml"
}

// reduced writes the workbook again without the sheets that are no tables. It is false where it would be too large.
func (w *workbook) reduced(tables []sheetEntry) (data []byte, size int64, ok bool, err error) {
	keep := map[string]bool{}
	for _, s := range tables {
		keep[s.part] = true
	}
	drop := map[string]bool{}
	for _, s := range w.sheets {
		if s.part != "" && !keep[s.part] {
			drop[s.part] = true
		}
	}
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	through := make([]byte, 32<<10)
	for _, f := range w.parts.list {
		name := partName("", f.Name)
		if ornament(name) {
			continue
		}
		if drop[name] {
			out, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Store}) // a compressor would take a megabyte
			if err != nil {
				return nil, size, false, err
			}
			fmt.Fprint(out, `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData/></worksheet>`)
			continue
		}
		if size += int64(min(f.CompressedSize64, 1<<40)); size > MaxConfirmed {
			return nil, size, false, nil
		}
		if err := copyPacked(z, f, through); err != nil {
			return nil, size, false, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, size, false, err
	}
	return buf.Bytes(), size, true, nil
}

// copyPacked takes a part over as it stands, by way of a buffer.
func copyPacked(z *zip.Writer, f *zip.File, through []byte) error {
	in, err := f.OpenRaw()
	if err != nil {
		return err
	}
	head := f.FileHeader
	out, err := z.CreateRaw(&head)
	if err != nil {
		return err
	}
	_, err = io.CopyBuffer(out, in, through)
	return err
}
